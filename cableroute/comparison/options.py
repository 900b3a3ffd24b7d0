"""An option, and the figures by which options are compared."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import inf

from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.figures.pair import PairFigures
from cableroute.figures.transmission import Transmission
from cableroute.frozen import frozen
from cableroute.table.figure import Figure
from cableroute.table.forces import ROD_SAFETY
from cableroute.table.pair import PRELOAD
from cableroute.table.run import LEG_SLACK, LENGTH, MIN_RADIUS, SLACK_LEFT, WRAP
from cableroute.table.travel import ARRIVES_PULLED, LOST, LOST_SHARE
from cableroute.verdict.check import Check, Verdict, verdict_of

#: Verdicts as numbers: more is better.
RANKS: Mapping[str, float] = {"fail": 0.0, "marginal": 1.0, "pass": 2.0}
#: How sure a return spring is, weakest first: one that is not known or held against no drag is
#: better than one found weak.
RETURN_RANKS: Mapping[str, float] = {"fail": 0.0, "marginal": 1.0, "unknown": 2.0, "pass": 3.0}


@frozen(eq=False)
class Option:
    """One of the things that are compared.

    Parameters
    ----------
    name : str
        What tells it from the others.
    source : str
        File it comes from.
    cable : CableAssessment
        What was worked out and found; of a pair, with the force and the lost motion of the pair.
    linkage : str or None
        Verdict on the linkages and selectors that it works; None if there are none, or if they
        were judged with the cable as another kind.
    what_if : bool
        Whether the file holds the cable as another kind than this.
    """

    name: str
    source: str
    cable: CableAssessment
    linkage: Verdict | None = None
    what_if: bool = False

    @property
    def figures(self) -> Figures:
        """What was worked out."""
        return self.cable.figures

    @property
    def findings(self) -> tuple[Check, ...]:
        """What to know about it, gravest first."""
        return self.cable.findings

    @property
    def pair(self) -> PairFigures | None:
        """What is peculiar to a pull pair."""
        return self.cable.pair

    @property
    def verdict(self) -> Verdict:
        """The gravest of the findings and of what the cable works."""
        levels = [finding.level for finding in self.findings]
        return verdict_of([*levels, self.linkage or "pass"])

    @property
    def returning(self) -> str | None:
        """How sure its return spring is, as a word of ``RETURN_RANKS``; None where it has none."""
        if self.figures.cable.kind != "pull":
            return None
        levels = {check.code: check.level for check in self.cable.checks}
        held = {levels.get("return-spring"), levels.get("return-springs")}
        weak = next((word for word in ("fail", "marginal") if word in held), None)
        sure = "return-spring" in levels and "return-without-drag" not in levels
        return weak or ("pass" if sure else "unknown")

    @property
    def return_margin(self) -> float | None:
        """Force of one spring over what it must drag back, at its worst [-]."""
        back = self.cable.lasting.returning
        if back is None:
            return None
        return min(float(band.stiff.margin) for band in back.states.values())

    @property
    def conduits(self) -> int:
        """How many conduits are to be routed [-]."""
        return 2 if self.pair else 1

    @property
    def back(self) -> Transmission | None:
        """The other way, by push or by the other core; None where a spring brings it back."""
        if self.pair:
            return self.pair.ways[1]
        return self.figures.push.through if self.figures.push else None


@frozen(eq=False)
class Criterion:
    """A figure that options are compared by, at high friction.

    Parameters
    ----------
    figure : Figure of Option
        The figure, as every output tells it.
    better : int
        1 if more is better, -1 if less is, 0 if neither [-].
    by_load : bool
        Whether a smaller load at the far end, as a weaker spring makes it, is enough to be better.
    """

    figure: Figure[Option]
    better: int
    by_load: bool = False

    @property
    def key(self) -> str:
        """Its name in plain data, with the unit."""
        return self.figure.key


def _return_rank(option: Option) -> float | None:
    return RETURN_RANKS[option.returning] if option.returning else None


def _hand_back(option: Option) -> float | None:
    return option.back.inputs[1] if option.back else None


def _empty_drag(option: Option) -> float | None:
    drag = option.figures.drag
    if drag is None or option.pair is None:
        return drag
    return float(option.pair.empty.hand[1]) + drag


def _anchor_hand(option: Option) -> float:
    if option.pair:
        return option.pair.tensions[1]
    return max(option.figures.pull.inputs[1], _hand_back(option) or 0.0)


def _anchor_far(option: Option) -> float:
    if option.pair:
        return option.pair.far_tension
    back = option.back
    return max(option.figures.pull.load, back.load if back else 0.0)


def _folding(option: Option) -> float | None:
    """Buckling load of the exposed rod over the push; infinite where nothing pushes."""
    push = option.figures.push
    if push is None:
        return inf
    return 0.0 if push.lockup else push.rod_safety


def _clearance(option: Option) -> float | None:
    return min((each.clear for each in option.figures.clearances), default=None)


def _clips(option: Option) -> float:
    return option.conduits * sum(fix == "clip" for fix in option.figures.cable.fixes)


def _bought(option: Option) -> float | None:
    choice = option.figures.order.choice
    return option.conduits * choice.stock if choice and choice.stock is not None else None


def _of_cable(figure: Figure[Figures], key: str = "", *, words: str = "") -> Figure[Option]:
    """Return a figure of a cable as one of an option."""
    whole = figure.within(lambda option: option.figures)
    return replace(whole, key=key or figure.key, words=words or figure.words)


PULLED = Figure[Option]("hand_pull_n", "pull at hand", "N", lambda o: o.figures.pull.inputs[1])
BACK = Figure[Option]("hand_back_n", "other way", "N", _hand_back)
RETURN = Figure[Option]("return_spring", "return spring", "", _return_rank)
#: What is compared, in the order in which it is shown.
CRITERIA = (
    Criterion(Figure("verdict", "verdict", "", lambda option: RANKS[option.verdict]), 1),
    Criterion(Figure("linkage", "what it works", "", lambda o: RANKS.get(o.linkage or "")), 1),
    Criterion(RETURN, 1),
    Criterion(PULLED, -1, by_load=True),
    Criterion(BACK, -1, by_load=True),
    Criterion(
        Figure("efficiency", "pull that arrives", "%", lambda o: o.figures.pull.passed[0]),
        1,
        by_load=True,
    ),
    Criterion(Figure("empty_drag_n", "hand, unloaded", "N", _empty_drag), -1),
    Criterion(
        Figure(
            PRELOAD.key,
            PRELOAD.words,
            PRELOAD.unit,
            lambda option: PRELOAD.value(option.pair) if option.pair else None,
        ),
        0,
    ),
    Criterion(Figure("anchor_hand_n", "anchor, hand end", "N", _anchor_hand), -1, by_load=True),
    Criterion(Figure("anchor_far_n", "anchor, far end", "N", _anchor_far), -1, by_load=True),
    Criterion(_of_cable(LOST, "lost_motion_mm"), -1, by_load=True),
    Criterion(_of_cable(LOST_SHARE, "lost_share"), -1, by_load=True),
    Criterion(_of_cable(ARRIVES_PULLED, "arriving_mm"), 1, by_load=True),
    Criterion(Figure("folding_margin", ROD_SAFETY.words, "", _folding, ROD_SAFETY.digits), 1),
    Criterion(_of_cable(MIN_RADIUS), 1),
    Criterion(_of_cable(LEG_SLACK, "tightest_leg_slack_mm"), 1),
    Criterion(_of_cable(WRAP), -1),
    Criterion(_of_cable(LENGTH), -1),
    Criterion(Figure("clearance_mm", "nearest solid", "mm", _clearance), 1),
    Criterion(Figure("clips", "clips", "", _clips), -1),
    Criterion(Figure("bought_mm", "to buy", "mm", _bought), -1),
    Criterion(SLACK_LEFT.within(lambda option: option.figures.order), 0),
)
