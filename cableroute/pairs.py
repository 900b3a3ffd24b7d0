"""All figures of a pull pair on the route of one cable, and the findings about it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from cableroute.measure.wording import Words
from cableroute.mechanics.lost_motion import LostMotion
from cableroute.mechanics.pair_travel import loose_core, pair_lost_motion
from cableroute.mechanics.pull_pair import PullPair, least_preload, pull_pair
from cableroute.route.pieces import Array
from cableroute.verdict.figures import Figures, Transmission
from cableroute.verdict.findings import Finding, by_gravity
from cableroute.verdict.force_rules import load_rule
from cableroute.verdict.holding import Holding
from cableroute.verdict.holding_rules import holding_findings
from cableroute.verdict.lasting import Lasting
from cableroute.verdict.lasting_rules import lasting_findings
from cableroute.verdict.limits import Limits
from cableroute.verdict.rules import judge
from cableroute.workings import lasting_of

#: Preload of a pair over the least that keeps it taut [-]. Common practice, no source: cores settle.
RESERVE = 1.2


@dataclass(frozen=True, slots=True, eq=False)
class PairFigures:
    """What is peculiar to a pull pair; tensions are those at low and at high friction.

    Parameters
    ----------
    preload : float
        Tension of both cores as assembled [N].
    least : float
        Preload at which the slack core just stays taut, both ways and at high friction [N].
    loads : tuple of float
        Load at the far end, and that of the other way [N].
    drag : float
        Drag of one core as measured, there at any load; 0 where it was not [N].
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
    out: PullPair
    back: PullPair
    empty: PullPair
    lost: LostMotion | None
    loose: float | None

    @property
    def ways(self) -> tuple[Transmission, Transmission]:
        """Force at the hand to pull the load, and that of the other way, drag of both cores in it."""
        drag = 2.0 * self.drag
        out, back = (
            Transmission(load, _two(pair.hand + drag), drag)
            for load, pair in zip(self.loads, (self.out, self.back), strict=True)
        )
        return out, back

    @property
    def tensions(self) -> tuple[float, float]:
        """Greatest tension of a core, at the hand, at low and at high friction [N]."""
        return _two(np.maximum(self.out.pulled_hand, self.back.pulled_hand) + self.drag)

    @property
    def far_tension(self) -> float:
        """Greatest tension of a core at the far end [N]."""
        return float(max(self.out.pulled_far.max(), self.back.pulled_far.max()))


def work_out_pair(figures: Figures, *, preload: float | None = None) -> PairFigures:
    """Work out a pull pair on the route of a cable.

    Parameters
    ----------
    figures : Figures
        Figures of the single cable.
    preload : float, optional
        Tension of both cores as assembled, instead of the cable's own; :data:`RESERVE` times the
        least if neither is given [N].

    Returns
    -------
    PairFigures
        Tensions both ways and lost motion.

    Raises
    ------
    CableRouteError
        For a preload that is negative or not finite.
    """
    cable, route, friction = figures.cable, figures.route, figures.friction
    preload = cable.preload if preload is None else preload
    load = figures.pull.load
    back = load if cable.push_load is None else cable.push_load
    least = float(least_preload(route, load=max(load, back), friction=friction[1]))
    tight = RESERVE * least if preload is None else preload
    out, other, empty = (
        pull_pair(route, load=each, friction=np.array(friction), preload=tight)
        for each in (load, back, 0.0)
    )
    lost, loose = _travel(figures, back=back, preload=tight)
    drag = cable.drag or 0.0
    return PairFigures(tight, least, (load, back), drag, out, other, empty, lost, loose)


def as_felt(figures: Figures, pair: PairFigures) -> Figures:
    """Return the figures of a cable with the forces and the lost motion of the pair.

    Parameters
    ----------
    figures : Figures
        Figures of the single cable.
    pair : PairFigures
        Figures of the pair.

    Returns
    -------
    Figures
        What the hand feels, both cores together.
    """
    out, _ = pair.ways
    one = figures.drag_estimate
    return replace(
        figures,
        pull=out,
        push=None,
        push_lost=None,
        lost=pair.lost,
        drag_estimate=None if one is None else 2.0 * one,
        weight_force=0.0,
    )


def one_core(figures: Figures, pair: PairFigures) -> Figures:
    """Return the figures of the tauter core, as its clips, anchors and wires know it.

    Parameters
    ----------
    figures : Figures
        Figures of the single cable.
    pair : PairFigures
        Figures of the pair.

    Returns
    -------
    Figures
        With the greatest tension of either core for a pull.
    """
    tension = Transmission(pair.far_tension, pair.tensions, pair.drag)
    return replace(as_felt(figures, pair), pull=tension, drag_estimate=figures.drag_estimate)


def pair_lasting(figures: Figures, pair: PairFigures) -> Lasting:
    """Return how a pair fares over its life: its tauter core, and what both ask of the hand.

    Parameters
    ----------
    figures : Figures
        Figures of the single cable.
    pair : PairFigures
        Figures of the pair.

    Returns
    -------
    Lasting
        Strain and heat of the tauter core; the forces in each condition are the pair's.
    """
    lasting = lasting_of(one_core(figures, pair))
    load = pair.loads[0]
    highs = np.array([aged.condition.high for aged in lasting.ages])
    hands = pull_pair(figures.route, load=load, friction=highs, preload=pair.preload).hand
    ages = []
    for aged, hand in zip(lasting.ages, hands.tolist(), strict=True):
        passed = load / hand if load > 0.0 and hand > 0.0 else 1.0
        drag = 2.0 * pair.drag * aged.condition.drag_factor
        ages.append(replace(aged, pull=hand + drag, passed=passed))
    return replace(lasting, ages=tuple(ages))


def judge_pair(
    figures: Figures,
    pair: PairFigures,
    *,
    limits: Limits,
    holding: Holding,
    lasting: Lasting,
) -> tuple[Finding, ...]:
    """Return every finding about a pull pair, gravest first.

    Parameters
    ----------
    figures : Figures
        Figures of the single cable.
    pair : PairFigures
        Figures of the pair.
    limits : Limits
        What to hold it against.
    holding : Holding
        What holds the tauter core.
    lasting : Lasting
        How the pair fares over its life.

    Returns
    -------
    tuple of Finding
        Findings, gravest first.
    """
    taut = one_core(figures, pair)
    found = judge(as_felt(figures, pair), limits=limits)
    findings = [finding for finding in found if finding.code != "working-load-pull"]
    findings += load_rule(taut, limits)
    findings += holding_findings(taut, holding, limits)
    findings += lasting_findings(taut, lasting, limits)
    if pair.preload < pair.least:
        findings.append(_slack(pair, figures.words))
    return by_gravity(findings)


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
            friction=figures.friction[1],
            preload=preload,
            axial_stiffness=EA,
            conduit_stiffness=conduit,
        )
        for load in (figures.pull.load, back)
    )
    lost = replace(lost, other_way=other.stretch + (other.conduit or 0.0))
    loose = loose_core(
        figures.route,
        load=max(figures.pull.load, back),
        friction=figures.friction[1],
        preload=preload,
        axial_stiffness=EA,
        conduit_stiffness=conduit,
    )
    return lost, loose


def _slack(pair: PairFigures, words: Words) -> Finding:
    loose = f", by {words.fine(pair.loose)}" if pair.loose else ""
    return Finding(
        "pair-slack",
        "marginal",
        "slack side",
        f"Under load the slack core goes loose{loose}: it may jump off its drum or out of its end, "
        f"and the pair is half as stiff. Set a preload of {RESERVE * pair.least:.0f} N, "
        f"{RESERVE:g} times the {pair.least:.0f} N that just keep both taut.",
        value=pair.preload,
        limit=pair.least,
        unit="N",
    )


def _two(values: Array) -> tuple[float, float]:
    low, high = values.tolist()
    return low, high
