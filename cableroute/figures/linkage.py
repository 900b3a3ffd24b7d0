"""Every figure of a linkage, from its entry and the figures of its cable."""

from __future__ import annotations

from dataclasses import field

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.figures.cable import Figures
from cableroute.figures.grip import arriving_at_limit, grip_forces, published_limit, throughs
from cableroute.figures.moved_run import MovedRun, moved_run
from cableroute.figures.reach import Reaches, rod_reaches
from cableroute.frozen import frozen
from cableroute.linkage.build import Built, build_linkage
from cableroute.linkage.centres import DeadCentre, closing_range, dead_centres
from cableroute.linkage.chain import Stroke, evaluate, needed_travel, nonlinearity, walk
from cableroute.linkage.direction import Direction, direction
from cableroute.linkage.hand import HandLimit
from cableroute.linkage.mends import Mend, mends
from cableroute.linkage.slide import Slide
from cableroute.linkage.travel import Adjuster, TravelBudget, travel_budget
from cableroute.measure.linkage_models import LinkageEntry
from cableroute.measure.wording import Words
from cableroute.mechanics.swivel import leaning_rod

#: Positions of the hand on either side of neutral that are worked out.
STEPS = 20


#: Share of the range kept where it ends in a lock, at which no force is finite [-].
SHORT_OF_LOCK = 0.999


@frozen(eq=False, kw_only=True)
class LinkageFigures:
    """All figures of one linkage, over the part of the hand's range in which it closes.

    Attributes
    ----------
    built : Built
        The chain and what is wanted of it.
    hand : ndarray, shape (n,)
        Positions of the hand, from low to high [rad].
    far : ndarray, shape (n,)
        Where the far member stands, the play taken up on the way out [rad or mm].
    core : ndarray, shape (n,)
        Core drawn at the hand since neutral [mm].
    arriving : ndarray, shape (n,)
        Core that has arrived at the far end [mm].
    hand_angle, far_angle : ndarray, shape (n,)
        Rod to the line of its swivel at the two ends [rad].
    pulling, pushing : ndarray, shape (2, n)
        Force at the grip while the core is pulled and pushed, at low and at high friction;
        infinite where the cable or the arm locks; nan for a cable that does not push. Of a
        pull pair "pushed" is the other core pulled [N].
    core_load : float
        Greatest force on the core at the far end anywhere in the stroke [N].
    cable_load : float
        Least of the loads that the cable itself was judged for, pulling and pushing [N].
    far_at_limit : float or None
        Least force that arrives at the working point when the hand gives its limit only [N].
    hand_sure : float
        Greatest force at the grip at high friction without what the core's stiffness adds [N].
    hand_limit : HandLimit or None
        The published limit that fits the effort.
    budget : TravelBudget or None
        Travel; None where the far arm cannot get to what it needs.
    stroke : float or None
        The cable's own stroke, where known [mm].
    direction : Direction or None
        Which way everything goes; None if the far member does not move.
    mends : tuple of Mend
        Changes that turn a mirrored motion round.
    moved : tuple of (MovedRun or None)
        What each costs the cable's run; None where it leaves the cable as it is, or leaves no run.
    swivels : tuple of float
        Side load on the swivel's seat where the rod leans most, at the hand and at the far end; nan
        where the cable locks up [N].
    ratio : float
        Path of the working point over that of the grip, over the whole range [-].
    off_proportion : float
        Farthest that the motion strays from proportion, as a share of it [-].
    centres : tuple of DeadCentre
        Over-centre and lock positions in the hand's range.
    faults : tuple of str
        What does not close or does not move.
    reaches : Reaches
        Anchor to pin at both ends, against the rods of the cable.
    words : Words
        How lengths are written for the tape.
    """

    built: Built
    hand: Array
    far: Array
    core: Array
    arriving: Array
    hand_angle: Array
    far_angle: Array
    pulling: Array
    pushing: Array
    core_load: float
    cable_load: float
    far_at_limit: float | None
    hand_sure: float
    hand_limit: HandLimit | None
    budget: TravelBudget | None
    stroke: float | None
    direction: Direction | None
    mends: tuple[Mend, ...]
    moved: tuple[MovedRun | None, ...]
    swivels: tuple[float, float]
    ratio: float
    off_proportion: float
    centres: tuple[DeadCentre, ...]
    faults: tuple[str, ...]
    reaches: Reaches
    words: Words = field(default_factory=Words)

    @property
    def name(self) -> str:
        """What the linkage is called."""
        return self.built.entry.name

    @property
    def slides(self) -> bool:
        """Whether the far member slides, in mm, and does not swing."""
        return isinstance(self.built.chain.bodies[-1].incoming, Slide)

    @property
    def pulls_only(self) -> bool:
        """Whether the cable cannot push; a spring then holds its play to one side."""
        return bool(np.all(np.isnan(self.pushing)))

    @property
    def hand_forces(self) -> tuple[float, float]:
        """Greatest force at the grip anywhere in the stroke, at low and at high friction [N]."""
        return _greatest(self.pulling, self.pushing)

    @property
    def far_travel(self) -> float:
        """Path of the working point over the whole stroke [mm]."""
        return float(abs(self.far[-1] - self.far[0])) * self.built.chain.work_speed

    @property
    def far_needed(self) -> float:
        """Path of the working point needed [mm]."""
        low, high = self.built.need
        return (high - low) * self.built.chain.work_speed


def _greatest(pulling: Array, pushing: Array) -> tuple[float, float]:
    both = np.fmax(np.max(pulling, axis=-1), np.max(pushing, axis=-1))
    return float(both[0]), float(both[1])


def work_out_linkage(entry: LinkageEntry, *, cable: Figures) -> LinkageFigures:
    """Work out travel, direction, rod angles and hand force over the whole stroke."""
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
    closing = closing_range(chain, low=built.low, high=built.high)
    low, high = _short_of_locks(closing, built.low, built.high)
    places = _places(low, high)
    stroke = walk(chain, places)
    pulled = stroke.cable.pulled
    going, no_way = _direction(built, low, high)
    budget, no_budget = _budget(built, pulled, cable)
    faults += [fault for fault in (no_way, no_budget) if fault]
    mirrored = going is not None and going.mirrored
    limit = published_limit(built)
    grip = float(places[-1] - places[0]) * chain.grip_speed
    core_load = float(np.max(np.abs(built.load * stroke.cable_to_far)))
    ways = _mends(built, low, high) if mirrored else ()
    forces, sure = (
        [grip_forces(built, stroke, each, pulled=pulled) for pulled in (True, False)]
        for each in (cable, cable.sure)
    )
    return LinkageFigures(
        built=built,
        hand=places,
        far=stroke.far,
        core=pulled,
        arriving=stroke.cable.arrived,
        hand_angle=stroke.cable.hand_angle,
        far_angle=stroke.cable.far_angle,
        pulling=forces[0],
        pushing=forces[1],
        core_load=core_load,
        cable_load=min(through.load for through in throughs(cable)),
        far_at_limit=arriving_at_limit(built, stroke, cable, limit),
        hand_sure=_greatest(*sure)[1],
        hand_limit=limit,
        budget=budget,
        stroke=_own_stroke(cable),
        direction=going,
        mends=ways,
        moved=tuple(moved_run(cable, mend, core=chain.cable) for mend in ways),
        swivels=_swivels(built, stroke, cable, core_load),
        ratio=float(abs(stroke.far[-1] - stroke.far[0])) * chain.work_speed / grip,
        off_proportion=float(nonlinearity(places, stroke.far)),
        centres=dead_centres(chain, low=built.low, high=built.high, closing=closing),
        faults=tuple(faults),
        reaches=rod_reaches(built, stroke, cable),
        words=cable.words,
    )


def _swivels(built: Built, stroke: Stroke, cable: Figures, core_load: float) -> tuple[float, float]:
    """Side load on each swivel where its rod leans most, up to its stop [N]."""
    hand = max(through.inputs[1] for through in throughs(cable))
    entry = built.entry
    ends = (
        (hand, stroke.cable.hand_angle, entry.hand.swivel.limit_deg),
        (core_load, stroke.cable.far_angle, entry.far.swivel.limit_deg),
    )
    loads = []
    for force, angles, limit in ends:
        if not np.isfinite(force):
            loads.append(np.nan)
            continue
        rod = leaning_rod(
            force,
            lean=float(np.max(angles)),
            free_lean=np.radians(limit),
            exposed=0.0,  # what leans beyond the stop fails by itself; the seat bears up to it
            guided=1.0,
            diameter=1.0,
        )
        loads.append(float(rod.swivel))
    return loads[0], loads[1]


def _places(low: float, high: float) -> Array:
    """Return positions of the hand from low to high, neutral among them."""
    below = np.linspace(low, 0.0, STEPS + 1 if low < 0 else 1)
    above = np.linspace(0.0, high, STEPS + 1 if high > 0 else 1)
    return np.concatenate([below, above[1:]])


def _short_of_locks(closing: tuple[float, float], low: float, high: float) -> tuple[float, float]:
    """Return the part of the range to work over: all of it, or up to just short of a lock."""
    bottom, top = closing
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
            adjusters=_adjusters(built.entry),
            let_out=built.entry.adjusted,
        ), ""
    except GeometryError as error:
        return None, str(error)


def _adjusters(entry: LinkageEntry) -> tuple[Adjuster, ...]:
    """Return the threads, what is let out shared among them by their lengths."""
    whole = sum(entry.adjusters)
    return tuple(
        Adjuster(length=length, set_at=entry.adjusted * length / whole if whole else 0.0)
        for length in entry.adjusters
    )


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
