"""Over-centre and lock positions: where a rod stands in line with a pivot somewhere in the chain.

*Over-centre*: the rod in line with its **driving** arm. The hand moves and nothing else does; past
it the motion comes back. It holds against any load, which is either the purpose or a trap.

*Lock*: the rod in line with its **driven** arm. No force can move it from there, and with more
travel the linkage cannot close.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.chain import Chain, Stroke, walk
from cableroute.linkage.search import bisect
from cableroute.linkage.vectors import check_span

#: Positions looked at in the range: one per half degree of a whole turn.
SAMPLES = 721


@frozen(kw_only=True)
class DeadCentre:
    """A position where a rod stands in line with a pivot.

    Attributes
    ----------
    kind : str
        "over-centre" (the driving side stands in line) or "lock" (the driven side does).
    joint, member : str
        The rod, and the member it stands in line with.
    hand : float
        Coordinate of the hand there [rad or mm].
    coordinate : float
        Coordinate of the member there [rad or mm].
    """

    kind: Literal["over-centre", "lock"]
    joint: str
    member: str
    hand: float
    coordinate: float


def _closes(stroke: Stroke) -> Array:
    """Return, per position, how many joints close before the first that does not."""
    closed = np.stack([~np.isnan(q) for q in stroke.coordinates[1:]])
    return np.asarray(np.sum(np.logical_and.accumulate(closed), axis=0))


def closing_range(chain: Chain, *, low: float, high: float) -> tuple[float, float]:
    """Return how far the hand can go either way from neutral before something cannot close.

    Parameters
    ----------
    chain : Chain
        The linkage.
    low, high : float
        Range of the hand, holding neutral 0 [rad or mm].

    Returns
    -------
    tuple of float
        The part of the range over which everything closes [rad or mm].

    Raises
    ------
    GeometryError
        If the chain does not close even at neutral, or the range does not hold it.
    """
    check_span(low, high, f"{chain.name} hand range")
    if not low <= 0 <= high:
        raise GeometryError(
            f"{chain.name} hand range: expected it to hold neutral 0, got {low!r} to {high!r}"
        )
    places, at_zero = _places(low, high)
    shut = _closes(walk(chain, places)) < len(chain.joints)
    if shut[at_zero]:
        raise GeometryError(f"{chain.name}: expected it to close at neutral, got a gap there")

    def closes(hand: float) -> bool:
        return bool(_closes(walk(chain, hand)) == len(chain.joints))

    above = np.flatnonzero(shut[at_zero:])
    below = np.flatnonzero(shut[at_zero::-1])
    top, bottom = high, low
    if above.size:
        top = bisect(closes, holds=places[at_zero + above[0] - 1], fails=places[at_zero + above[0]])
    if below.size:
        bottom = bisect(
            closes, holds=places[at_zero - below[0] + 1], fails=places[at_zero - below[0]]
        )
    return float(bottom), float(top)


def _places(low: float, high: float) -> tuple[Array, int]:
    """Return sampled positions from low to high with neutral among them, and its index."""
    below = np.linspace(low, 0.0, SAMPLES if low < 0 else 1)
    above = np.linspace(0.0, high, SAMPLES if high > 0 else 1)
    return np.concatenate([below, above[1:]]), below.size - 1


def dead_centres(
    chain: Chain, *, low: float, high: float, closing: tuple[float, float] | None = None
) -> tuple[DeadCentre, ...]:
    """Find every over-centre and lock position in a range of the hand.

    An over-centre is a change of sign of the driving leverage; a lock is where closing ends.

    Parameters
    ----------
    chain : Chain
        The linkage.
    low, high : float
        Range of the hand, holding neutral 0 [rad or mm].
    closing : tuple of float, optional
        What :func:`closing_range` says of it, where that is known [rad or mm].

    Returns
    -------
    tuple of DeadCentre
        In the order of the hand's coordinate.

    Raises
    ------
    GeometryError
        If the range does not hold neutral, or the chain does not close there.

    Notes
    -----
    The range is sampled, then refined by bisection: two dead centres of one rod closer together
    than a 720th of the range either side of neutral may be passed over as none.
    """
    bottom, top = closing or closing_range(chain, low=low, high=high)
    found = [
        _lock(chain, hand, beyond)
        for hand, beyond in ((bottom, low), (top, high))
        if hand != beyond
    ]
    places, _ = _places(bottom, top)
    stroke = walk(chain, places)
    for joint, motion in enumerate(stroke.joints):
        leverage = motion.start_leverage
        crossings = np.flatnonzero(np.sign(leverage[:-1]) * np.sign(leverage[1:]) < 0)
        found += [_over(chain, joint, *places[[i, i + 1]]) for i in crossings]
        found += [_over(chain, joint, place, place) for place in places[leverage == 0.0]]
    return tuple(sorted(found, key=lambda centre: centre.hand))


def _lock(chain: Chain, hand: float, beyond: float) -> DeadCentre:
    """Name the joint that stops closing just beyond a position of the hand."""
    past = hand + (beyond - hand) * 1e-6
    joint = int(_closes(walk(chain, past)))
    joint = min(joint, len(chain.joints) - 1)
    return DeadCentre(
        kind="lock",
        joint=chain.joints[joint].name,
        member=chain.bodies[joint + 1].name,
        hand=hand,
        coordinate=float(walk(chain, hand).coordinates[joint + 1]),
    )


def _over(chain: Chain, joint: int, before: float, after: float) -> DeadCentre:
    """Refine the position at which a driving leverage changes sign."""
    start = np.sign(walk(chain, before).joints[joint].start_leverage)

    def same_side(hand: float) -> bool:
        return bool(np.sign(walk(chain, hand).joints[joint].start_leverage) == start)

    hand = bisect(same_side, holds=before, fails=after)
    return DeadCentre(
        kind="over-centre",
        joint=chain.joints[joint].name,
        member=chain.bodies[joint].name,
        hand=hand,
        coordinate=float(walk(chain, hand).coordinates[joint]),
    )
