"""An option, and the rows in which options are compared."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import degrees, inf

from cableroute.pairs import PairFigures
from cableroute.verdict.figures import Figures, Transmission
from cableroute.verdict.findings import Finding, Verdict, verdict_of

#: Verdicts as numbers: more is better.
RANKS: Mapping[str, float] = {"fail": 0.0, "marginal": 1.0, "pass": 2.0}


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """One of the things that are compared.

    Parameters
    ----------
    name : str
        What tells it from the others.
    source : str
        File it comes from.
    figures : Figures
        What was worked out; of a pair, with the force and the lost motion of the pair.
    findings : tuple of Finding
        What to know about it, gravest first.
    pair : PairFigures or None
        What is peculiar to a pull pair.
    linkage : str or None
        Verdict on the linkages and selectors that it works; None if there are none, or if they
        were judged with the cable as another kind.
    what_if : bool
        Whether the file holds the cable as another kind than this.
    """

    name: str
    source: str
    figures: Figures
    findings: tuple[Finding, ...]
    pair: PairFigures | None = None
    linkage: Verdict | None = None
    what_if: bool = False

    @property
    def verdict(self) -> Verdict:
        """The gravest of the findings and of what the cable works."""
        levels = [finding.level for finding in self.findings]
        return verdict_of([*levels, self.linkage or "pass"])

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


@dataclass(frozen=True, slots=True)
class Row:
    """A figure that options are compared by.

    Parameters
    ----------
    key : str
        Its name in plain data, with the unit.
    words : str
        Its name for a reader.
    unit : str
        ``N``, ``mm``, ``deg``, ``%`` (of a share), or nothing.
    digits : int
        Decimals that count: options that agree in them tie [-].
    better : int
        1 if more is better, -1 if less is, 0 if neither [-].
    value : callable
        Takes an option, returns the figure at high friction, or None where there is none.
    """

    key: str
    words: str
    unit: str
    digits: int
    better: int
    value: Callable[[Option], float | None]


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


def _preload(option: Option) -> float | None:
    return option.pair.preload if option.pair else None


def _lost(option: Option) -> float | None:
    return option.figures.lost.total if option.figures.lost else None


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


def _spare(option: Option) -> float | None:
    choice = option.figures.order.choice
    return choice.slack if choice else None


#: What is compared, in the order in which it is shown.
ROWS = (
    Row("verdict", "verdict", "", 0, 1, lambda option: RANKS[option.verdict]),
    Row("linkage", "what it works", "", 0, 1, lambda option: RANKS.get(option.linkage or "")),
    Row("hand_pull_n", "hand, pulling", "N", 0, -1, lambda option: option.figures.pull.inputs[1]),
    Row("hand_back_n", "hand, other way", "N", 0, -1, _hand_back),
    Row("efficiency", "pull that arrives", "%", 2, 1, lambda o: o.figures.pull.efficiencies[0]),
    Row("empty_drag_n", "drag unloaded", "N", 0, -1, _empty_drag),
    Row("preload_n", "preload", "N", 0, 0, _preload),
    Row("anchor_hand_n", "anchor, hand end", "N", 0, -1, _anchor_hand),
    Row("anchor_far_n", "anchor, far end", "N", 0, -1, _anchor_far),
    Row("lost_motion_mm", "lost motion", "mm", 1, -1, _lost),
    Row("lost_share", "share of travel", "%", 2, -1, lambda option: option.figures.lost_share),
    Row("arriving_mm", "travel arriving", "mm", 1, 1, lambda option: option.figures.arrives[0]),
    Row("folding_margin", "rod folds at", "", 1, 1, _folding),
    Row(
        "min_bend_radius_mm",
        "tightest bend",
        "mm",
        0,
        1,
        lambda o: float(o.figures.route.min_radius),
    ),
    Row(
        "tightest_leg_slack_mm",
        "tightest leg",
        "mm",
        0,
        1,
        lambda o: float(o.figures.route.slacks.min()),
    ),
    Row("wrap_deg", "bends in all", "deg", 0, -1, lambda o: degrees(float(o.figures.route.wrap))),
    Row("length_mm", "run", "mm", 0, -1, lambda option: option.figures.order.conduit),
    Row("clearance_mm", "nearest solid", "mm", 0, 1, _clearance),
    Row("clips", "clips", "", 0, -1, _clips),
    Row("bought_mm", "to buy", "mm", 0, -1, _bought),
    Row("slack_mm", "slack left", "mm", 0, 0, _spare),
)
