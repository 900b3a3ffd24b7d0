"""Two-axis selectors: one lever, two cables, and what arrives at the box in every gate.

The lever turns about one point in two directions, so each cable's attachment moves along a path in
space and its distance to the swivel depends on *both* angles. That cross-talk is not modelled: it
is what the true distances give.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.ends import ROD_AT_LEAST, CableEnd, RodEnd, Swivel
from cableroute.linkage.lever import TwoAxisLever
from cableroute.linkage.reach import Reach
from cableroute.linkage.slide import Slide
from cableroute.linkage.travel import arriving
from cableroute.linkage.vectors import check_not_negative, check_point, cross, dot, norm

Axis = Literal["select", "shift"]


@frozen(eq=False, kw_only=True)
class SelectorCable:
    """One of the selector's two cables.

    Parameters
    ----------
    name : str
        What to call it.
    point : array-like, shape (3,)
        Where its rod takes hold of the lever at neutral [mm].
    hand : Swivel
        Its swivel at the lever.
    box : RodEnd or Drum
        Its end at the box, with the member it moves there.
    lost : float, default 0
        Whole free play between pulled and pushed, at the core [mm].
    let_out : float, default 0
        Conduit let out at its adjusters, which pulls the box's end; below zero taken up [mm].
    arm_pivot : array-like, shape (3,), optional
        Where its arm of the lever meets the pin; by default the lever's pivot [mm].

    Raises
    ------
    GeometryError
        If there is no rod between lever and swivel, or the play is negative.
    """

    name: str
    point: Array
    hand: Swivel
    box: CableEnd
    lost: float = 0.0
    let_out: float = 0.0
    arm_pivot: Array | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "point", check_point(self.point, f"{self.name} attachment"))
        check_not_negative(self.lost, f"{self.name} lost motion")
        rod = float(norm(self.point - self.hand.point))
        if rod < ROD_AT_LEAST:
            raise GeometryError(
                f"{self.name}: expected its hole in the lever clear of the swivel, "
                f"got {rod:.3g} mm between them"
            )

    def pulled(self, lever: TwoAxisLever, select: ArrayLike, shift: ArrayLike) -> Array:
        """Return the core drawn out of the conduit at the lever since neutral.

        Parameters
        ----------
        lever : TwoAxisLever
            The lever.
        select, shift : array-like, shape (...)
            Lever angles [rad].

        Returns
        -------
        ndarray, shape (...)
            [mm]
        """
        rod = lever.carried(self.point, select, shift) - self.hand.point
        return norm(rod) - norm(self.point - self.hand.point)

    def rod_angle(self, lever: TwoAxisLever, select: ArrayLike, shift: ArrayLike) -> Array:
        """Return the angle of the rod to the cable's line at the lever.

        Parameters
        ----------
        lever : TwoAxisLever
            The lever.
        select, shift : array-like, shape (...)
            Lever angles [rad].

        Returns
        -------
        ndarray, shape (...)
            [rad]
        """
        rod = lever.carried(self.point, select, shift) - self.hand.point
        across = norm(cross(rod, self.hand.axis))
        return np.asarray(np.arctan2(across, dot(rod, self.hand.axis)))


@frozen(eq=False, kw_only=True)
class Selector:
    """A lever, its two cables, and the two members of the box.

    Parameters
    ----------
    name : str
        What to call it.
    lever : TwoAxisLever
        The lever.
    select, shift : SelectorCable
        The cable that picks the column and the one that works the row.
    shift_rides : bool, default False
        Whether the box's shifting arm sits on the shaft that the selecting cable slides, and is
        carried along by it.

    Raises
    ------
    GeometryError
        If the shifting arm is to ride on a shaft that does not slide.
    """

    name: str
    lever: TwoAxisLever
    select: SelectorCable
    shift: SelectorCable
    shift_rides: bool = False

    def __post_init__(self) -> None:
        if self.shift_rides and not (
            isinstance(self.select.box, RodEnd)
            and isinstance(self.select.box.member, Slide)
            and isinstance(self.shift.box, RodEnd)
        ):
            raise GeometryError(
                f"{self.name}: expected the shifting arm to ride on a shaft that slides, got "
                "another kind of member at the box"
            )


def drawn(selector: Selector, select: ArrayLike, shift: ArrayLike) -> tuple[Array, Array]:
    """Return how far the lever draws each of the two cores.

    Parameters
    ----------
    selector : Selector
        The selector.
    select, shift : array-like, shape (...)
        Lever angles from neutral [rad].

    Returns
    -------
    select, shift : ndarray, shape (...)
        Core drawn out at the lever [mm].
    """
    lever = selector.lever
    return selector.select.pulled(lever, select, shift), selector.shift.pulled(lever, select, shift)


def at_box(
    selector: Selector, select_travel: ArrayLike, shift_travel: ArrayLike
) -> tuple[Reach, Reach]:
    """Return where the two members of the box stand for core travel that has arrived.

    Parameters
    ----------
    selector : Selector
        The selector.
    select_travel, shift_travel : array-like, shape (...)
        Core drawn in at the box since neutral [mm].

    Returns
    -------
    select, shift : Reach

    Raises
    ------
    GeometryError
        If a member stands at a dead centre at neutral.
    """
    across = selector.select.box.solve(-np.asarray(select_travel, dtype=np.float64))
    travel = -np.asarray(shift_travel, dtype=np.float64)
    box, rider = selector.select.box, selector.shift.box
    if selector.shift_rides and isinstance(box, RodEnd) and isinstance(rider, RodEnd):
        carried = box.member.at(across.coordinate) - box.member.at(0.0)
        return across, rider.solve(travel, carried=carried)
    return across, rider.solve(travel)


def arrives(selector: Selector, select: ArrayLike, shift: ArrayLike) -> tuple[Array, Array]:
    """Return where the box stands for every lever position, the play taken up on the way out.

    Parameters
    ----------
    selector : Selector
        The selector.
    select, shift : array-like, shape (...)
        Lever angles from neutral [rad].

    Returns
    -------
    select, shift : ndarray, shape (...)
        Coordinate of each member of the box [rad or mm].

    Raises
    ------
    GeometryError
        If a member of the box cannot follow; the text names the cable and what is left over.
    """
    across, along = drawn(selector, select, shift)
    reached = at_box(
        selector,
        arriving(across, lost=selector.select.lost) + selector.select.let_out,
        arriving(along, lost=selector.shift.lost) + selector.shift.let_out,
    )
    for cable, reach in zip((selector.select, selector.shift), reached, strict=True):
        miss = float(np.max(np.abs(np.nan_to_num(reach.shortfall))))
        if miss > 0:
            raise GeometryError(
                f"{selector.name}: expected the box to follow {cable.name}, got {miss:.2f} mm of "
                "travel left over at its dead centre"
            )
    return reached[0].coordinate, reached[1].coordinate


def cable_of(selector: Selector, axis: Axis) -> SelectorCable:
    """Return the cable of one axis.

    Parameters
    ----------
    selector : Selector
        The selector.
    axis : str
        "select" or "shift".

    Returns
    -------
    SelectorCable
    """
    return selector.select if axis == "select" else selector.shift
