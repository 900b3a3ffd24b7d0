"""Force at the grip of a linkage, and what arrives of what a hand can give."""

from __future__ import annotations

from typing import Literal

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.figures.cable import Figures
from cableroute.figures.transmission import Transmission
from cableroute.linkage.build import Built
from cableroute.linkage.chain import Stroke
from cableroute.linkage.force import Efficiency, far_load, hand_force
from cableroute.linkage.hand import HandLimit, effort_of, hand_limits
from cableroute.mechanics.capstan import capstan_ratio

#: What stands for an efficiency of none [-].
LOCKED = 1e-9


#: A force beyond this is called infinite [N].
HEAVIEST = 1e6


def throughs(cable: Figures) -> tuple[Transmission, Transmission]:
    """Return the cable's pull and its push; for a cable that cannot push, the pull again."""
    return cable.pull, cable.push.through if cable.push else cable.pull


def _both_ways(cable: Figures) -> bool:
    """Whether the hand drives the far end both ways; of a pull pair the other core pulls it back."""
    return cable.push is not None or cable.cable.kind == "pull-pair"


def _cable_maps(cable: Figures) -> tuple[Efficiency, Efficiency]:
    """Return how the cable passes force at low and at high friction.

    A measured drag is added to both, what stiffness adds, being an upper figure, to the high only.
    """
    pulls, pushes = (_shares(through, cable) for through in throughs(cable))
    stiff = max(through.stiffness for through in throughs(cable))
    drags = (cable.pull.drag, cable.pull.drag + stiff)
    low, high = (
        Efficiency(pull=pull, push=push, drag=drag)
        for pull, push, drag in zip(pulls, pushes, drags, strict=True)
    )
    return low, high


def _shares(through: Transmission, cable: Figures) -> tuple[float, float]:
    """Return the share that arrives at low and at high friction; the bends' where no load is."""
    if through.load > 0:
        high, low = through.by_bends
    else:
        low, high = (
            1 / float(capstan_ratio(cable.route.wrap, friction=f)) for f in cable.apparent_friction
        )
    return min(max(low, LOCKED), 1.0), min(max(high, LOCKED), 1.0)


WAYS: tuple[Literal[1, -1], Literal[1, -1]] = (1, -1)


def _drawn(stroke: Stroke, moving: int, *, pulled: bool) -> BoolArray:
    """Return where moving the hand one way pulls (pushes) the core."""
    rate = stroke.hand_to_cable * moving
    return np.asarray(rate > 0 if pulled else rate < 0)


def grip_forces(built: Built, stroke: Stroke, cable: Figures, *, pulled: bool) -> Array:
    """Return the force at the grip while the core is pulled (pushed), shape (2, n)."""
    if not pulled and not _both_ways(cable):
        return np.full((2, stroke.hand.size), np.nan)
    rows = []
    for efficiency in _cable_maps(cable):
        force = np.zeros(stroke.hand.size)
        for moving in WAYS:
            grip = hand_force(
                built.chain, stroke, cable=efficiency, moving=moving, load=built.load
            ).grip
            force = np.where(_drawn(stroke, moving, pulled=pulled), grip, force)
        rows.append(np.where(force > HEAVIEST, np.inf, force))
    return np.array(rows)


def published_limit(built: Built) -> HandLimit | None:
    """Return the published limit of a lever for the way the grip goes; none for a foot."""
    hand = built.entry.hand
    if hand.by == "foot":
        return None
    rate = built.chain.bodies[0].point(working=False).rate(0.0) * built.hand_sense
    effort = effort_of(rate, facing=(*hand.facing[:2], 0.0))
    hands = 2 if hand.by == "two hands" else 1
    return next(row for row in hand_limits(effort, hands=hands) if row.name.startswith("lever"))


def arriving_at_limit(
    built: Built, stroke: Stroke, cable: Figures, limit: HandLimit | None
) -> float | None:
    """Return the least force that arrives at the working point if the hand is limited."""
    if limit is None:
        return None
    weakest = np.inf
    for moving in WAYS:
        load = far_load(
            built.chain, stroke, cable=_cable_maps(cable)[1], moving=moving, grip=limit.low
        )
        counted = _drawn(stroke, moving, pulled=True)
        if _both_ways(cable):
            counted |= _drawn(stroke, moving, pulled=False)
        weakest = min(weakest, float(np.min(load[counted], initial=np.inf)))
    return weakest / built.chain.work_speed
