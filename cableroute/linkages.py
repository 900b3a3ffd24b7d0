"""Every figure of a linkage and of a selector, from the entries and the figures of the cables."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from cableroute.errors import GeometryError
from cableroute.linkage.bind import build_selector
from cableroute.linkage.build import Built, build_linkage
from cableroute.linkage.centres import closing_range, dead_centres
from cableroute.linkage.chain import Chain, Stroke, evaluate, needed_travel, nonlinearity, walk
from cableroute.linkage.direction import Direction, direction
from cableroute.linkage.force import Efficiency, far_load, hand_force
from cableroute.linkage.gates import AXES, Reaching, radius_to_reach, selector_table
from cableroute.linkage.hand import HandLimit, effort_of, hand_limits
from cableroute.linkage.mends import Mend, mends
from cableroute.linkage.slide import Slide
from cableroute.linkage.travel import Adjuster, TravelBudget, arriving, travel_budget
from cableroute.measure.linkage_models import LinkageEntry, SelectorEntry
from cableroute.mechanics.capstan import capstan_ratio
from cableroute.verdict.figures import Figures, Transmission
from cableroute.verdict.linkage_figures import LinkageFigures, SelectorFigures, sound_axes

Array = NDArray[np.float64]
#: Positions of the hand on either side of neutral that are worked out.
STEPS = 20
#: Share of the range kept where it ends in a lock, at which no force is finite [-].
SHORT_OF_LOCK = 0.999
#: What stands for an efficiency of none [-].
LOCKED = 1e-9
#: A force beyond this is called infinite [N].
HEAVIEST = 1e6


def work_out_linkage(entry: LinkageEntry, *, cable: Figures) -> LinkageFigures:
    """Work out travel, direction, rod angles and hand force over the whole stroke.

    Parameters
    ----------
    entry : LinkageEntry
        What the file says.
    cable : Figures
        What was worked out for its cable: friction, lost motion and stroke are taken from it.

    Returns
    -------
    LinkageFigures

    Raises
    ------
    GeometryError
        If a member is not usable as written, or does not close even at neutral.
    """
    lost = entry.lost if entry.lost is not None else cable.lost.total if cable.lost else 0.0
    built = build_linkage(entry, cable=cable.cable, lost=lost)
    try:
        return _work_out(built, cable)
    except GeometryError as error:
        raise GeometryError(f'linkage "{entry.name}": {error}') from error


def _work_out(built: Built, cable: Figures) -> LinkageFigures:
    chain, faults = built.chain, []
    try:
        evaluate(chain, _places(built.low, built.high))
    except GeometryError as error:
        faults.append(str(error))
    low, high = _closing(chain, built.low, built.high)
    places = _places(low, high)
    stroke = walk(chain, places)
    pulled = stroke.cable.pulled
    going, no_way = _direction(built, low, high)
    budget, no_budget = _budget(built, pulled, cable)
    faults += [fault for fault in (no_way, no_budget) if fault]
    mirrored = going is not None and going.mirrored
    limit = _limit(built)
    grip = float(places[-1] - places[0]) * chain.grip_speed
    return LinkageFigures(
        built=built,
        hand=places,
        far=stroke.far,
        core=pulled,
        arriving=arriving(pulled, lost=chain.cable.lost),
        hand_angle=stroke.cable.hand_angle,
        far_angle=stroke.cable.far_angle,
        pulling=_forces(built, stroke, cable, pulled=True),
        pushing=_forces(built, stroke, cable, pulled=False),
        core_load=float(np.max(np.abs(built.load * stroke.cable_to_far))),
        cable_load=min(through.load for through in _throughs(cable)),
        far_at_limit=_at_limit(built, stroke, cable, limit),
        hand_limit=limit,
        budget=budget,
        stroke=_own_stroke(cable),
        direction=going,
        mends=_mends(built, low, high) if mirrored else (),
        ratio=float(abs(stroke.far[-1] - stroke.far[0])) * chain.work_speed / grip,
        bend=float(nonlinearity(places, stroke.far)),
        centres=dead_centres(chain, low=built.low, high=built.high),
        faults=tuple(faults),
    )


def _places(low: float, high: float) -> Array:
    """Return positions of the hand from low to high, neutral among them."""
    below = np.linspace(low, 0.0, STEPS + 1 if low < 0 else 1)
    above = np.linspace(0.0, high, STEPS + 1 if high > 0 else 1)
    return np.concatenate([below, above[1:]])


def _closing(chain: Chain, low: float, high: float) -> tuple[float, float]:
    """Return the part of the range to work over: all of it, or up to just short of a lock."""
    bottom, top = closing_range(chain, low=low, high=high)
    return (
        bottom if bottom == low else bottom * SHORT_OF_LOCK,
        top if top == high else top * SHORT_OF_LOCK,
    )


def _direction(built: Built, low: float, high: float) -> tuple[Direction | None, str]:
    at = high if built.hand_sense > 0 else low
    try:
        return direction(built.chain, hand=at, wanted=built.entry.wanted.far), ""
    except GeometryError as error:
        return None, str(error)


def _mends(built: Built, low: float, high: float) -> tuple[Mend, ...]:
    at = high if built.hand_sense > 0 else low
    return tuple(
        mend
        for mend in mends(built.chain, hand=at, wanted=built.entry.wanted.far, low=low, high=high)
        if mend.mends
    )


def _own_stroke(cable: Figures) -> float | None:
    family = cable.cable.family
    return family.stroke if family else None


def _budget(built: Built, pulled: Array, cable: Figures) -> tuple[TravelBudget | None, str]:
    """Hold the travel against the need, or say why the far arm cannot get there."""
    given = float(np.min(pulled)), float(np.max(pulled))
    try:
        return travel_budget(
            given=given,
            needed=_core_needed(built),
            lost=built.chain.cable.lost,
            stroke=_own_stroke(cable) or given[1] - given[0],
            adjusters=tuple(Adjuster(length=length) for length in built.entry.adjusters),
        ), ""
    except GeometryError as error:
        return None, str(error)


def _core_needed(built: Built) -> tuple[float, float]:
    """Return the least and greatest core that must arrive; past a dead centre none will do."""
    chain, (low, high) = built.chain, built.need
    half = np.inf if isinstance(chain.bodies[-1].incoming, Slide) else np.pi  # a centre is within
    places = np.linspace(max(low, -half), min(high, half), 8 * STEPS + 1)
    core = needed_travel(chain, places)
    rising = np.diff(core)
    neutral = min(int(np.searchsorted(places, 0.0)), rising.size - 1)
    back = rising * rising[neutral] <= 0
    top = float(np.min(places[:-1][back & (places[:-1] >= 0)], initial=high))
    bottom = float(np.max(places[1:][back & (places[1:] <= 0)], initial=low))
    short = max(high - top, bottom - low) * chain.work_speed
    if short > 0:
        reach, whole = ((x * chain.work_speed) for x in (top - bottom, high - low))
        raise GeometryError(
            f"{chain.bodies[-1].name}: expected the cable to bring it through {whole:.1f} mm, got "
            f"a dead centre after about {reach:.1f}, {short:.1f} mm short"
        )
    return float(np.min(core)), float(np.max(core))


def _throughs(cable: Figures) -> tuple[Transmission, Transmission]:
    """Return the cable's pull and its push; for a cable that cannot push, the pull again."""
    return cable.pull, cable.push.through if cable.push else cable.pull


def _both_ways(cable: Figures) -> bool:
    """Whether the hand drives the far end both ways; of a pull pair the other core pulls it back."""
    return cable.push is not None or cable.cable.kind == "pull-pair"


def _cable_maps(cable: Figures) -> tuple[Efficiency, Efficiency]:
    """Return how the cable passes force at low and at high friction.

    A measured drag is added to both, an estimate, being an upper one, to the high only.
    """
    pulls, pushes = (_shares(through, cable) for through in _throughs(cable))
    drags = (cable.pull.drag, cable.drag or 0.0)
    low, high = (
        Efficiency(pull=pull, push=push, drag=drag)
        for pull, push, drag in zip(pulls, pushes, drags, strict=True)
    )
    return low, high


def _shares(through: Transmission, cable: Figures) -> tuple[float, float]:
    """Return the share that arrives at low and at high friction; the bends' where no load is."""
    if through.load > 0:
        high, low = through.passed
    else:
        low, high = (1 / float(capstan_ratio(cable.route.wrap, friction=f)) for f in cable.friction)
    return min(max(low, LOCKED), 1.0), min(max(high, LOCKED), 1.0)


WAYS: tuple[Literal[1, -1], Literal[1, -1]] = (1, -1)


def _drawn(stroke: Stroke, moving: int, *, pulled: bool) -> NDArray[np.bool_]:
    """Return where moving the hand one way pulls (pushes) the core."""
    rate = stroke.hand_to_cable * moving
    return np.asarray(rate > 0 if pulled else rate < 0)


def _forces(built: Built, stroke: Stroke, cable: Figures, *, pulled: bool) -> Array:
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


def _limit(built: Built) -> HandLimit | None:
    """Return the published limit of a lever for the way the grip goes; none for a foot."""
    hand = built.entry.hand
    if hand.by == "foot":
        return None
    rate = built.chain.bodies[0].point(working=False).rate(0.0) * built.hand_sense
    effort = effort_of(rate, facing=(*hand.facing[:2], 0.0))
    hands = 2 if hand.by == "two hands" else 1
    return next(row for row in hand_limits(effort, hands=hands) if row.name.startswith("lever"))


def _at_limit(
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


def work_out_selector(entry: SelectorEntry, *, select: Built, shift: Built) -> SelectorFigures:
    """Work out every gate of a selector.

    Parameters
    ----------
    entry : SelectorEntry
        What the file says.
    select, shift : Built
        Its linkages, ready to be worked out.

    Returns
    -------
    SelectorFigures

    Raises
    ------
    GeometryError
        If the two do not make a selector, or the pattern is at fault.
    """
    selector, gates = build_selector(entry, select=select, shift=shift)
    reaching: dict[tuple[str, str], Reaching] = {}
    try:
        table = selector_table(selector, gates)
        sound = sound_axes(table.sense)
        for row in table.rows:
            for axis, at in zip(AXES, (row.select, row.shift), strict=True):
                if axis in sound and at.outcome in ("short", "over") and at.wanted:
                    reaching[row.gate.name, axis] = radius_to_reach(selector, row.gate, axis)
    except GeometryError as error:
        return SelectorFigures(
            entry=entry, select=select, shift=shift, table=None, reaching={}, fault=str(error)
        )
    return SelectorFigures(
        entry=entry, select=select, shift=shift, table=table, reaching=reaching, fault=""
    )
