"""One moving member of a linkage: a lever, a crank, a shaft."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.arms import Arm, Member
from cableroute.linkage.drum import Drum
from cableroute.linkage.joints import Attachment
from cableroute.linkage.slide import Slide
from cableroute.linkage.vectors import check_direction, cross, dot, norm, turned

#: How far two arms of one body may be off one axis, as a share of their size [-].
SAME_LINE = 1e-6


@frozen(eq=False, kw_only=True)
class Body:
    """A lever, crank or shaft: one coordinate, with a place it is moved at and one it moves from.

    Parameters
    ----------
    name : str
        What to call it.
    incoming : Arm, Slide or Drum
        Where it is moved: the grip of a hand lever, the driven arm of a crank.
    outgoing : Arm, Slide or Drum, optional
        Where it moves something: the cable arm of a lever, the working point of the far member;
        by default the same place.

    Raises
    ------
    GeometryError
        If the two do not share one axis (or one sliding direction), or both are drums.
    """

    name: str
    incoming: Attachment
    outgoing: Attachment | None = None

    def __post_init__(self) -> None:
        if self.outgoing is None:
            object.__setattr__(self, "outgoing", self.incoming)
        _check_one_motion(self.name, self.incoming, self.out)

    @property
    def out(self) -> Attachment:
        """The outgoing attachment, whether given or the incoming one again."""
        return self.incoming if self.outgoing is None else self.outgoing

    def point(self, *, working: bool) -> Member:
        """Return the arm or slide that shows which way the body goes.

        Parameters
        ----------
        working : bool
            True for the place it works at (outgoing), False for the place it is moved at; the
            other one is taken where that is a drum.

        Returns
        -------
        Arm or Slide
        """
        first, second = (self.out, self.incoming) if working else (self.incoming, self.out)
        shown = second if isinstance(first, Drum) else first
        if isinstance(shown, Drum):  # kept out by the check at the door
            raise GeometryError(f"{self.name}: expected an arm besides the drum, got none")
        return shown


def _check_one_motion(name: str, incoming: Attachment, outgoing: Attachment) -> None:
    """Refuse a body whose two attachments could not move as one."""
    match incoming, outgoing:
        case (Drum(), Drum()):
            raise GeometryError(f"{name}: expected an arm besides the drum, got none")
        case (Drum(), Arm()) | (Arm(), Drum()):
            return
        case (Arm() as a, Arm() as b):
            apart = float(norm(cross(b.pivot - a.pivot, a.axis)))
            if float(dot(a.axis, b.axis)) < 1 - SAME_LINE or apart > SAME_LINE * a.radius:
                raise GeometryError(
                    f"{name}: expected both arms on one axis, turning the same way, got axes "
                    f"{a.axis.tolist()} and {b.axis.tolist()}, {apart:.3g} mm apart"
                )
        case (Slide() as s, Slide() as t):
            if float(dot(s.direction, t.direction)) < 1 - SAME_LINE:
                raise GeometryError(
                    f"{name}: expected both slides in one direction, got {s.direction.tolist()} "
                    f"and {t.direction.tolist()}"
                )
        case _:
            raise GeometryError(
                f"{name}: expected two arms or two slides, got a turning and a sliding attachment"
            )


def bellcrank(
    *,
    name: str,
    pivot: ArrayLike,
    axis: ArrayLike,
    neutral: ArrayLike,
    radius_in: float,
    radius_out: float,
    between: float,
) -> Body:
    """Make a crank of two arms on one pivot; at 180 degrees between it is a reversing idler.

    Parameters
    ----------
    name : str
        What to call it.
    pivot : array-like, shape (3,)
        Point on the axis in the plane of the arms [mm].
    axis : array-like, shape (3,)
        Direction of the pivot pin [-].
    neutral : array-like, shape (3,)
        Direction of the driven arm at neutral [-].
    radius_in, radius_out : float
        The driven arm and the driving arm [mm].
    between : float
        Angle from the driven to the driving arm, by the right-hand rule about the axis [rad].

    Returns
    -------
    Body

    Raises
    ------
    GeometryError
        If the arm is not square to its axis, or a number is not usable.

    Examples
    --------
    >>> b = bellcrank(name="idler", pivot=(0, 0, 0), axis=(0, 0, 1), neutral=(1, 0, 0),
    ...               radius_in=60, radius_out=30, between=np.pi)
    >>> b.out.at(0.0).round(9).tolist()
    [-30.0, 0.0, 0.0]
    """
    pin = check_direction(axis, f"{name} axis")
    first = check_direction(neutral, f"{name} neutral direction")
    incoming = Arm(pivot=np.asarray(pivot), axis=pin, neutral=first, radius=radius_in)
    outgoing = Arm(
        pivot=incoming.pivot,
        axis=pin,
        neutral=turned(incoming.neutral, pin, between),
        radius=radius_out,
    )
    return Body(name=name, incoming=incoming, outgoing=outgoing)
