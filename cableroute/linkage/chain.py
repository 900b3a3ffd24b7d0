"""The whole chain from the hand to the far member, at every position of the hand."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.body import Body
from cableroute.linkage.follow import CableMotion, JointMotion, follow_cable, follow_link
from cableroute.linkage.joints import Cable, Joint
from cableroute.linkage.slide import Slide


@frozen(eq=False, kw_only=True)
class Chain:
    """Bodies from the hand to the far end, joined in order, one of the joints being the cable.

    Parameters
    ----------
    name : str
        What to call it.
    bodies : tuple of Body
        Hand member first, far member last.
    joints : tuple of Link or Cable
        One between each two bodies.

    Raises
    ------
    GeometryError
        If the joints do not fit between the bodies, or there is not exactly one cable.
    """

    name: str
    bodies: tuple[Body, ...]
    joints: tuple[Joint, ...]

    def __post_init__(self) -> None:
        if len(self.bodies) < 2 or len(self.joints) != len(self.bodies) - 1:
            raise GeometryError(
                f"{self.name}: expected one joint between each two members, got "
                f"{len(self.bodies)} members and {len(self.joints)} joints"
            )
        cables = sum(isinstance(joint, Cable) for joint in self.joints)
        if cables != 1:
            raise GeometryError(f"{self.name}: expected exactly one cable, got {cables}")

    @property
    def cable_at(self) -> int:
        """Index of the cable among the joints."""
        return next(i for i, joint in enumerate(self.joints) if isinstance(joint, Cable))

    @property
    def cable(self) -> Cable:
        """The cable itself."""
        return next(joint for joint in self.joints if isinstance(joint, Cable))

    @property
    def grip_speed(self) -> float:
        """Path of the grip per unit of the hand's coordinate [mm/rad or mm/mm]."""
        return self.bodies[0].point(working=False).speed

    @property
    def work_speed(self) -> float:
        """Path of the far working point per unit of the far coordinate [mm/rad or mm/mm]."""
        return self.bodies[-1].point(working=True).speed


@frozen(eq=False, kw_only=True)
class Stroke:
    """Every member and joint of a chain at every position of the hand.

    Attributes
    ----------
    coordinates : tuple of ndarray, shape (...)
        Of each body, hand first [rad or mm].
    joints : tuple of JointMotion
        Of each joint.
    cable : CableMotion
        What the core did.
    hand_to_cable : ndarray, shape (...)
        Core drawn per unit of the hand's coordinate [mm/rad or mm/mm].
    cable_to_far : ndarray, shape (...)
        Far coordinate per mm arriving [rad/mm or mm/mm].
    """

    coordinates: tuple[Array, ...]
    joints: tuple[JointMotion, ...]
    cable: CableMotion
    hand_to_cable: Array
    cable_to_far: Array

    @property
    def hand(self) -> Array:
        """Coordinate of the hand member [rad or mm]."""
        return self.coordinates[0]

    @property
    def far(self) -> Array:
        """Coordinate of the far member [rad or mm]."""
        return self.coordinates[-1]

    @property
    def gain(self) -> Array:
        """Far coordinate per hand coordinate, the play taken up [rad or mm per rad or mm]."""
        return self.hand_to_cable * self.cable_to_far


def walk(chain: Chain, hand: ArrayLike) -> Stroke:
    """Follow the chain at every position of the hand, with nan from where it cannot close.

    Parameters
    ----------
    chain : Chain
        The linkage.
    hand : array-like, shape (...)
        Coordinate of the hand member [rad or mm].

    Returns
    -------
    Stroke
        `joints[i].shortfall` says where and by how much joint i fails.

    Raises
    ------
    GeometryError
        If the layout at neutral is unusable (no rod, a driven member in line).
    """
    q = np.asarray(hand, dtype=np.float64)
    coordinates, motions, split = [q], [], chain.cable_at
    for i, joint in enumerate(chain.joints):
        start, end = chain.bodies[i].out, chain.bodies[i + 1].incoming
        if isinstance(joint, Cable):
            q, motion, cable = follow_cable(joint, start, end, q)
        else:
            q, motion = follow_link(joint, start, end, q)
        coordinates.append(q)
        motions.append(motion)
    gains = [motion.gain for motion in motions]
    return Stroke(
        coordinates=tuple(coordinates),
        joints=tuple(motions),
        cable=cable,
        hand_to_cable=math.prod(gains[:split], start=cable.pulled_rate),
        cable_to_far=math.prod(gains[split + 1 :], start=cable.driven_rate),
    )


def evaluate(chain: Chain, hand: ArrayLike) -> Stroke:
    """Follow the chain at every position of the hand, and insist that it closes at all of them.

    Parameters
    ----------
    chain : Chain
        The linkage.
    hand : array-like, shape (...)
        Coordinate of the hand member: angle [rad], or slide [mm].

    Returns
    -------
    Stroke

    Raises
    ------
    GeometryError
        If some position cannot close; the text names the member, the joint and the shortfall.

    Notes
    -----
    Every closure is a closed formula, exact to rounding; near a lock the driven angle is known
    only to the square root of rounding, as in any arithmetic.
    """
    stroke = walk(chain, hand)
    for i, motion in enumerate(stroke.joints):
        if np.any(np.nan_to_num(motion.shortfall) != 0.0):
            raise GeometryError(_gap(chain, i, stroke))
    return stroke


def _gap(chain: Chain, joint: int, stroke: Stroke) -> str:
    """Say which member cannot follow, by how much, and where the hand is then."""
    shortfall = stroke.joints[joint].shortfall
    worst = int(np.nanargmax(np.abs(shortfall)))
    miss = float(shortfall.flat[worst])
    lever = chain.bodies[0].point(working=False)
    where = float(stroke.hand.flat[worst])
    at = f"{where:.1f} mm" if isinstance(lever, Slide) else f"{np.degrees(where):.1f} degrees"
    fault = (
        f"{abs(miss):.2f} mm of travel left over at its dead centre"
        if joint == chain.cable_at
        else f"a rod too {'long' if miss > 0 else 'short'} by {abs(miss):.2f} mm"
    )
    return (
        f"{chain.name}: with {chain.bodies[0].name} at {at}, expected "
        f"{chain.bodies[joint + 1].name} to follow {chain.joints[joint].name}, got {fault}"
    )


def needed_travel(chain: Chain, far: ArrayLike) -> Array:
    """Return the core travel that must arrive to bring the far member to each position.

    Parameters
    ----------
    chain : Chain
        The linkage.
    far : array-like, shape (...)
        Wanted coordinates of the far member [rad or mm].

    Returns
    -------
    ndarray, shape (...)
        Core drawn into the conduit at the far end since neutral [mm].

    Raises
    ------
    GeometryError
        If a link after the cable cannot close there.
    """
    q = np.asarray(far, dtype=np.float64)
    split = chain.cable_at
    for i in range(len(chain.joints) - 1, split, -1):
        joint = chain.joints[i]
        if isinstance(joint, Cable):
            break
        q, motion = follow_link(joint, chain.bodies[i + 1].incoming, chain.bodies[i].out, q)
        if np.any(motion.shortfall != 0.0):
            miss = float(np.max(np.abs(motion.shortfall)))
            raise GeometryError(
                f"{chain.name}: {chain.bodies[i].name} cannot bring {chain.bodies[i + 1].name} "
                f"there: expected {joint.name} to close, got a gap of {miss:.2f} mm"
            )
    return -chain.cable.end(chain.bodies[split + 1].incoming, at_hand=False).pulled(q)


def nonlinearity(along: ArrayLike, out: ArrayLike) -> Array:
    """Return the farthest a motion strays from the straight line between its ends.

    ``max|y - chord(x)| / |y_last - y_first|``

    Parameters
    ----------
    along : array-like, shape (..., n)
        What drives, over the stroke [any].
    out : array-like, shape (..., n)
        What is driven [any].

    Returns
    -------
    ndarray, shape (...)
        Share of the whole motion [-]; nan if it ends where it began.

    Examples
    --------
    >>> float(nonlinearity([0, 1, 2], [0, 3, 4]))
    0.25
    """
    x, y = np.asarray(along, dtype=np.float64), np.asarray(out, dtype=np.float64)
    rise, run = y[..., -1:] - y[..., :1], x[..., -1:] - x[..., :1]
    with np.errstate(divide="ignore", invalid="ignore"):
        chord = y[..., :1] + rise * (x - x[..., :1]) / run
        share = np.max(np.abs(y - chord), axis=-1) / np.abs(rise[..., 0])
    return np.asarray(np.where(rise[..., 0] == 0.0, np.nan, share))
