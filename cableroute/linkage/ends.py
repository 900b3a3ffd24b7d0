"""Where the cable meets a member: the rod swings about its swivel and drives an arm or a shaft."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.arms import Member
from cableroute.linkage.drum import Drum
from cableroute.linkage.reach import Reach
from cableroute.linkage.vectors import ON_THE_LINE, check_direction, check_point, cross, dot, norm

#: Shortest rod that still has a direction [mm].
ROD_AT_LEAST = 1e-6


@frozen(eq=False, kw_only=True)
class Swivel:
    """The anchored end of a conduit: the ball that the rod swings about, and the line it leaves by.

    Parameters
    ----------
    point : array-like, shape (3,)
        Centre of the swivel [mm].
    axis : array-like, shape (3,)
        Line of the conduit, pointing out of it towards the rod [-].

    Examples
    --------
    >>> Swivel(point=(0, 0, 0), axis=(0, 3, 4)).axis.tolist()
    [0.0, 0.6, 0.8]
    """

    point: Array
    axis: Array

    def __post_init__(self) -> None:
        object.__setattr__(self, "point", check_point(self.point, "swivel point"))
        object.__setattr__(self, "axis", check_direction(self.axis, "swivel axis"))


@frozen(eq=False, kw_only=True)
class RodEnd:
    """A cable's rod from its swivel to an arm or a sliding shaft.

    ``pulled(q) = |attachment(q) - swivel| - |attachment(0) - swivel|``

    Parameters
    ----------
    member : Arm or Slide
        What the rod takes hold of.
    swivel : Swivel
        Where the rod comes from.
    name : str
        What to call it in messages.

    Raises
    ------
    GeometryError
        If the attachment lies on the swivel at neutral, which leaves no rod.

    Notes
    -----
    The rod is straight and stiff, and swings freely about the swivel's centre; the core between
    the swivels keeps its length (what it loses is given to the chain as lost motion).
    """

    member: Member
    swivel: Swivel
    name: str = "cable end"

    def __post_init__(self) -> None:
        if self.neutral_length < ROD_AT_LEAST:
            raise GeometryError(
                f"{self.name}: expected the hole of the cable's rod clear of the swivel at neutral, "
                f"got {self.neutral_length:.3g} mm between them"
            )

    @property
    def neutral_length(self) -> float:
        """Swivel to attachment at neutral [mm]."""
        return float(norm(self._rod(0.0)))

    @property
    def side(self) -> float:
        """Branch of neutral: +1 if turning on pulls the core out, -1 if not, 0 in line [-]."""
        leverage = float(self.leverage(0.0))
        return float(np.sign(leverage)) if abs(leverage) > ON_THE_LINE else 0.0

    def _rod(self, coordinate: ArrayLike) -> Array:
        return self.member.at(coordinate) - self.swivel.point

    def pulled(self, coordinate: ArrayLike) -> Array:
        """Return the core drawn out of the conduit since neutral.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle [rad] or slide [mm] of the member.

        Returns
        -------
        ndarray, shape (...)
            Above zero when pulled out [mm].
        """
        return norm(self._rod(coordinate)) - self.neutral_length

    def gain(self, coordinate: ArrayLike) -> Array:
        """Return the core drawn out per unit of the coordinate.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle [rad] or slide [mm] of the member.

        Returns
        -------
        ndarray, shape (...)
            [mm/rad] or [mm/mm]
        """
        rod = self._rod(coordinate)
        return dot(rod, self.member.rate(coordinate)) / norm(rod)

    def leverage(self, coordinate: ArrayLike) -> Array:
        """Return the share of the member's motion that goes along the rod, with its sign.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle [rad] or slide [mm] of the member.

        Returns
        -------
        ndarray, shape (...)
            1 or -1 with the rod square to the arm, 0 at a dead centre [-].
        """
        return self.gain(coordinate) / self.member.speed

    def rod_angle(self, coordinate: ArrayLike) -> Array:
        """Return the angle of the rod to the cable's line, to be held against the swivel's limit.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle [rad] or slide [mm] of the member.

        Returns
        -------
        ndarray, shape (...)
            [rad]
        """
        rod = self._rod(coordinate)
        across = norm(cross(rod, self.swivel.axis))
        return np.asarray(np.arctan2(across, dot(rod, self.swivel.axis)))

    def dead_centres(self) -> Array:
        """Return the coordinates at which the rod stands in line: how far neutral is from a lock.

        Returns
        -------
        ndarray, shape (2,) or (1,)
            Farthest then nearest for an arm, the one square position for a slide [rad or mm].
        """
        return self.member.stationary(self.swivel.point)

    def solve(self, pulled: ArrayLike, *, carried: ArrayLike = (0.0, 0.0, 0.0)) -> Reach:
        """Find the member's coordinate when a given length of core has been drawn out.

        Parameters
        ----------
        pulled : array-like, shape (...)
            Core drawn out of the conduit since neutral [mm].
        carried : array-like, shape (..., 3), optional
            How far the whole member has been carried off by something else [mm].

        Returns
        -------
        Reach
            On the branch that neutral lies on.

        Raises
        ------
        GeometryError
            If the rod stands in line with the pivot at neutral, so that either way is as good.
        """
        if self.side == 0.0:
            raise GeometryError(
                f"{self.name}: expected the rod across the driven arm at neutral, got it in line "
                "with the pivot (a dead centre), where the cable cannot choose which way to turn it"
            )
        length = self.neutral_length + np.asarray(pulled, dtype=np.float64)
        return self.member.solve(self.swivel.point - np.asarray(carried), length, self.side)


#: Anything that draws core out of a conduit: both have pulled, gain, leverage, rod_angle, solve.
CableEnd: TypeAlias = RodEnd | Drum
