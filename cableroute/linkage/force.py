"""Force through the chain by virtual work, friction in the cable counted whichever way it moves."""

from __future__ import annotations

from typing import Literal, Protocol

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.chain import Chain, Stroke
from cableroute.linkage.vectors import check_not_negative


class CableMap(Protocol):
    """How a cable passes force; anything with these two methods will do."""

    def hand(self, far: Array, moving: Array) -> Array:
        """Return the core force at the hand.

        Parameters
        ----------
        far : ndarray, shape (...)
            Core force at the far end, tension above zero [N].
        moving : ndarray, shape (...)
            +1 while the core moves towards the hand, -1 while it moves away [-].

        Returns
        -------
        ndarray, shape (...)
            [N]
        """
        ...

    def far(self, hand: Array, moving: Array) -> Array:
        """Return the core force at the far end: the inverse of `hand`.

        Parameters
        ----------
        hand : ndarray, shape (...)
            Core force at the hand, tension above zero [N].
        moving : ndarray, shape (...)
            +1 while the core moves towards the hand, -1 while it moves away [-].

        Returns
        -------
        ndarray, shape (...)
            [N]
        """
        ...


@frozen(kw_only=True)
class Efficiency:
    """A cable as three numbers: what share of a pull and of a push gets through, and its drag.

    ``hand = far / efficiency + drag`` while the far end resists, and
    ``hand = far * efficiency - drag`` while it drives back

    Parameters
    ----------
    pull, push : float
        Far-end force over hand-end force in tension and in compression, above 0 to 1 [-].
    drag : float, default 0
        Force to move the core unloaded [N].

    Raises
    ------
    GeometryError
        If an efficiency is not above 0 and up to 1, or the drag is negative.

    Examples
    --------
    >>> cable = Efficiency(pull=0.5, push=0.4, drag=3)
    >>> float(cable.hand(np.array(10.0), np.array(1.0)))
    23.0
    """

    pull: float
    push: float
    drag: float = 0.0

    def __post_init__(self) -> None:
        for what, value in (("pull", self.pull), ("push", self.push)):
            if not 0 < value <= 1:
                raise GeometryError(
                    f"efficiency, {what}: expected above 0 and up to 1, got {value!r}"
                )
        check_not_negative(self.drag, "drag")

    def _share(self, core: Array) -> Array:
        return np.where(core >= 0, self.pull, self.push)

    def hand(self, far: Array, moving: Array) -> Array:
        """Return the core force at the hand.

        Parameters
        ----------
        far : ndarray, shape (...)
            Core force at the far end, tension above zero [N].
        moving : ndarray, shape (...)
            +1 while the core moves towards the hand, -1 while it moves away [-].

        Returns
        -------
        ndarray, shape (...)
            [N]
        """
        against, share = far * moving, self._share(far)
        return np.asarray(
            moving * (np.where(against >= 0, against / share, against * share) + self.drag)
        )

    def far(self, hand: Array, moving: Array) -> Array:
        """Return the core force at the far end.

        Parameters
        ----------
        hand : ndarray, shape (...)
            Core force at the hand, tension above zero [N].
        moving : ndarray, shape (...)
            +1 while the core moves towards the hand, -1 while it moves away [-].

        Returns
        -------
        ndarray, shape (...)
            [N]
        """
        through = hand * moving - self.drag
        share = self._share(through * moving)
        return np.asarray(moving * np.where(through >= 0, through * share, through / share))


@frozen(eq=False, kw_only=True)
class HandForce:
    """What the hand must do at every position.

    Attributes
    ----------
    grip : ndarray, shape (...)
        Force along the path of the grip, above zero against the motion [N].
    core_hand, core_far : ndarray, shape (...)
        Core force at the two ends, tension above zero [N].
    """

    grip: Array
    core_hand: Array
    core_far: Array


def _ways(stroke: Stroke, moving: int) -> tuple[Array, Array]:
    """Return which way the core and the far member go: +1, -1, or 0 at a standstill."""
    if moving not in (1, -1):
        raise GeometryError(f"moving: expected 1 or -1, got {moving!r}")
    return np.sign(stroke.hand_to_cable) * moving, np.sign(stroke.gain) * moving


def hand_force(
    chain: Chain,
    stroke: Stroke,
    *,
    cable: CableMap,
    moving: Literal[1, -1],
    load: ArrayLike = 0.0,
    spring: ArrayLike = 0.0,
) -> HandForce:
    """Return the force at the grip that moves the load, at every position of the stroke.

    ``F ds_grip = C_hand du``, ``C_far dv = Q dq_far``, ``C_hand = cable(C_far)``

    Parameters
    ----------
    chain : Chain
        The linkage.
    stroke : Stroke
        What `evaluate` returned for it.
    cable : CableMap
        How the cable passes force.
    moving : int
        +1 while the hand's coordinate grows, -1 while it falls [-].
    load : array-like, shape (...)
        Resists the far member whichever way it goes: detents, friction of the box; torque on an
        arm, force on a slide [N*mm or N].
    spring : array-like, shape (...)
        Needed always towards a growing far coordinate: return springs, weights [N*mm or N].

    Returns
    -------
    HandForce

    Raises
    ------
    GeometryError
        If `moving` is neither 1 nor -1.

    Notes
    -----
    Pins and swivels are taken as frictionless. At an over-centre no load reaches the grip; where
    the far arm locks the force is infinite for any load; nan where both meet.
    """
    core_way, far_way = _ways(stroke, moving)
    wanted = np.asarray(load) * far_way + np.asarray(spring)
    with np.errstate(invalid="ignore"):
        core_far = np.where(wanted == 0.0, 0.0, wanted * stroke.cable_to_far)
        core_hand = cable.hand(core_far, core_way)
        grip = moving * core_hand * stroke.hand_to_cable / chain.grip_speed
    return HandForce(grip=np.asarray(grip), core_hand=core_hand, core_far=core_far)


def far_load(
    chain: Chain,
    stroke: Stroke,
    *,
    cable: CableMap,
    moving: Literal[1, -1],
    grip: ArrayLike,
    spring: ArrayLike = 0.0,
) -> Array:
    """Return the resisting load a limited hand can still move, at every position of the stroke.

    Parameters
    ----------
    chain : Chain
        The linkage.
    stroke : Stroke
        What `evaluate` returned for it.
    cable : CableMap
        How the cable passes force.
    moving : int
        +1 while the hand's coordinate grows, -1 while it falls [-].
    grip : array-like, shape (...)
        Force of the hand along the path of the grip, above zero along the motion [N].
    spring : array-like, shape (...)
        Taken by springs and weights, as in `hand_force` [N*mm or N].

    Returns
    -------
    ndarray, shape (...)
        Torque on an arm, force on a slide; below zero if the hand cannot even move the cable;
        infinite where the hand is over-centre, 0 or less where the far arm locks [N*mm or N].

    Raises
    ------
    GeometryError
        If `moving` is neither 1 nor -1.
    """
    core_way, far_way = _ways(stroke, moving)
    with np.errstate(divide="ignore", invalid="ignore"):
        core_hand = core_way * np.asarray(grip) * chain.grip_speed / np.abs(stroke.hand_to_cable)
        core_far = cable.far(core_hand, core_way)
        load = (core_far / stroke.cable_to_far - np.asarray(spring)) * far_way
    return np.asarray(np.where(stroke.hand_to_cable == 0.0, np.inf, load))
