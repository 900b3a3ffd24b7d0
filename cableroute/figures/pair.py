"""A pull pair on the route of a cable: both cores, what the hand feels, the tauter core."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.figures.cable import Figures
from cableroute.figures.forces import pulls_along
from cableroute.figures.lasting import Lasting, lasting_of, share_of
from cableroute.figures.returning import apparent_scale
from cableroute.figures.stiffness import added_to_pull
from cableroute.figures.transmission import Transmission
from cableroute.figures.travel import conduit_curls
from cableroute.frozen import frozen
from cableroute.mechanics.lost_motion import LostMotion
from cableroute.mechanics.pair_travel import loose_core, pair_lost_motion
from cableroute.mechanics.pull_pair import PullPair, least_preload, pull_pair

#: Preload of a pair over the least that keeps it taut [-]. Common practice, no source: cores settle.
RESERVE = 1.2


@frozen(eq=False)
class PairFigures:
    """What is peculiar to a pull pair; tensions are those at low and at high friction.

    Parameters
    ----------
    preload : float
        Tension of both cores as assembled [N].
    least : float
        Preload at which the slack core just stays taut, both ways, at high friction and with the
        drag as measured [N].
    loads : tuple of float
        Load at the far end, and that of the other way [N].
    drag : float
        Drag of one core as measured, there at any load; 0 where it was not [N].
    stiffness : tuple of (float, float)
        What stiffness adds at most to the core that pulls and to the other, out and back, at high
        friction [N].
    out : PullPair
        Pulling the load.
    back : PullPair
        The other core pulling the load of the other way.
    empty : PullPair
        Moved without a load.
    lost : LostMotion or None
        Lost motion at high friction, where the cable's data are known.
    loose : float or None
        Core that hangs loose under load, where the cable's data are known [mm].
    """

    preload: float
    least: float
    loads: tuple[float, float]
    drag: float
    stiffness: tuple[tuple[float, float], tuple[float, float]]
    out: PullPair
    back: PullPair
    empty: PullPair
    lost: LostMotion | None
    loose: float | None

    @property
    def ways(self) -> tuple[Transmission, Transmission]:
        """Force at the hand to pull the load, and that of the other way, drag of both cores in it."""
        out, back = (
            Transmission(load, _low_and_high(hand), 2.0 * self.drag, float((hand - bare)[1]))
            for load, (hand, *_), (bare, *_) in zip(
                self.loads, self._dragging(), self._dragging(stiff=False), strict=True
            )
        )
        return out, back

    @property
    def tensions(self) -> tuple[float, float]:
        """Greatest tension of a core, at the hand, at low and at high friction [N]."""
        return _low_and_high(self._tauter())

    @property
    def stiffness_of_tauter(self) -> float:
        """What stiffness adds at most to the tauter core, its own and the other's, at high friction [N]."""
        return float((self._tauter() - self._tauter(stiff=False))[1])

    @property
    def held(self) -> tuple[float, float]:
        """What of the tauter core's tension at the hand its bends do not make of its load [N]."""
        by_bends = np.maximum(self.out.pulled_hand, self.back.pulled_hand)
        return _low_and_high(self._tauter() - by_bends)

    @property
    def far_tension(self) -> float:
        """Greatest tension of a core at the far end [N]."""
        return self._far()

    @property
    def stiffness_of_far(self) -> float:
        """What of that stiffness adds: what the slack core cannot give of its own tension [N]."""
        return self.far_tension - self._far(stiff=False)

    def _far(self, *, stiff: bool = True) -> float:
        return float(max(far.max() for *_, far in self._dragging(stiff=stiff)))

    @property
    def far_load(self) -> float:
        """The same of load and preload alone, which grows through the bends to ``tensions`` less ``held`` [N]."""
        return float(max(self.out.pulled_far.max(), self.back.pulled_far.max()))

    def _tauter(self, *, stiff: bool = True) -> Array:
        """Tension of the core that bears more, at the hand, with stiffness or without it."""
        one, other = (taut for _, taut, _ in self._dragging(stiff=stiff))
        return np.maximum(one, other)

    def _dragging(self, *, stiff: bool = True) -> list[tuple[Array, Array, Array]]:
        """Both ways with the drag of either core, and at high friction what stiffness adds."""
        high = np.array([0.0, float(stiff)])
        return [
            pair.dragging(self.drag, pulled=high * pulled, slack=high * slack)
            for pair, (pulled, slack) in zip((self.out, self.back), self.stiffness, strict=True)
        ]


def work_out_pair(figures: Figures, *, preload: float | None = None) -> PairFigures:
    """Work out a pull pair on the route of a cable."""
    cable, route, friction = figures.cable, figures.route, figures.apparent_friction
    preload = cable.preload if preload is None else preload
    load, back = loads_of(figures)
    least = least_of(figures)
    tight = RESERVE * least if preload is None else preload
    out, other, empty = (
        pull_pair(route, load=each, friction=np.array(friction), preload=tight)
        for each in (load, back, 0.0)
    )
    lost, loose = _travel(figures, back=back, preload=tight)
    stiff = _stiffness(figures, out), _stiffness(figures, other)
    drag = cable.drag or 0.0
    return PairFigures(tight, least, (load, back), drag, stiff, out, other, empty, lost, loose)


def loads_of(figures: Figures) -> tuple[float, float]:
    """Return the load of a pair, and that of the other way: the same where it is not given [N]."""
    load, back = figures.pull.load, figures.cable.push_load
    return load, load if back is None else back


def least_of(figures: Figures) -> float:
    """Return the preload that just keeps both cores taut, at high friction and drag as measured [N]."""
    least = least_preload(
        figures.route,
        load=max(loads_of(figures)),
        friction=figures.apparent_friction[1],
        drag=figures.cable.drag or 0.0,
    )
    return float(least)


def _stiffness(figures: Figures, pair: PullPair) -> tuple[float, float]:
    """Return the most stiffness adds to the core that pulls and to the other, high friction [N]."""
    pulled, slack = stiffness_of_both(figures, pair, figures.apparent_friction)
    return float(pulled[1]), float(slack[1])


def stiffness_of_both(figures: Figures, pair: PullPair, friction: ArrayLike) -> tuple[Array, Array]:
    """Return the most that stiffness adds to the core that pulls, and to the other [N]."""
    pulled, slack = (
        added_to_pull(figures.cable, figures.route, figures.core, load=load, friction=friction)
        for load in pair.drawn
    )
    return pulled, slack


def as_felt(figures: Figures, pair: PairFigures) -> Figures:
    """Return the figures of a cable with the forces and the lost motion of the pair."""
    out, _ = pair.ways
    one = figures.drag_band
    return replace(
        figures,
        pull=out,
        push=None,
        pushes=None,
        push_lost=None,
        lost=pair.lost,
        drag_band=None if one is None else (2.0 * one[0], 2.0 * one[1]),
        weight_force=0.0,
    )


def one_core(figures: Figures, pair: PairFigures) -> Figures:
    """Return the figures of the tauter core, as its clips, anchors and wires know it."""
    stiff = pair.stiffness_of_tauter
    tension = Transmission(
        pair.far_tension, pair.tensions, pair.held[1] - stiff, stiff, pair.stiffness_of_far
    )
    return replace(
        as_felt(figures, pair),
        pull=tension,
        pulls=pulls_along(
            figures.route, figures.core, load=pair.far_load, friction=figures.apparent_friction
        ),
        drag_band=figures.drag_band,
    )


def pair_lasting(figures: Figures, pair: PairFigures) -> Lasting:
    """Return how a pair fares over its life: its tauter core, and what both ask of the hand."""
    lasting = lasting_of(one_core(figures, pair))
    load = pair.loads[0]
    scale = apparent_scale(figures)
    highs = scale * np.array([aged.condition.high for aged in lasting.ages])
    both = pull_pair(figures.route, load=load, friction=highs, preload=pair.preload)
    drags = pair.drag * np.array([aged.condition.drag_factor for aged in lasting.ages])
    pulled, slack = stiffness_of_both(figures, both, highs)
    hands, *_ = both.dragging(drags, pulled=pulled, slack=slack)
    bare, *_ = both.dragging(drags)
    ages = []
    told = zip(lasting.ages, hands.tolist(), bare.tolist(), (2.0 * drags).tolist(), strict=True)
    for aged, hand, by_bends, drag in told:
        shares = share_of(load, hand - drag), share_of(load, by_bends - drag)
        ages.append(replace(aged, pull=hand, passed=shares[0], by_bends=shares[1]))
    return replace(lasting, ages=tuple(ages))


def _travel(
    figures: Figures, *, back: float, preload: float
) -> tuple[LostMotion | None, float | None]:
    core, family = figures.core, figures.cable.family
    if core is None or family is None:
        return None, None
    EA, conduit = core.axial_stiffness, family.conduit_axial
    lost, other = (
        pair_lost_motion(
            figures.route,
            load=load,
            friction=figures.apparent_friction[1],
            preload=preload,
            axial_stiffness=EA,
            conduit_stiffness=conduit,
        )
        for load in (figures.pull.load, back)
    )
    curls = conduit_curls(
        family,
        figures.route,
        loads=(figures.pull.load, back),
        friction=figures.apparent_friction[1],
    )
    lost = replace(lost, other_way=other.stretch + (other.conduit or 0.0), shift=curls)
    loose = loose_core(
        figures.route,
        load=max(figures.pull.load, back),
        friction=figures.apparent_friction[1],
        preload=preload,
        axial_stiffness=EA,
        conduit_stiffness=conduit,
        drag=figures.cable.drag or 0.0,
    )
    return lost, loose


def _low_and_high(values: Array) -> tuple[float, float]:
    low, high = values.tolist()
    return low, high
