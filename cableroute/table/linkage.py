"""All that is told of a linkage and of a selector, in the order in which it is told."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, isfinite

from cableroute.assess import LinkageAssessment, SelectorAssessment
from cableroute.figures.linkage import LinkageFigures
from cableroute.linkage.travel import TravelBudget
from cableroute.measure.wording import Words
from cableroute.table.figure import Figure, Group, Row, facts
from cableroute.verdict.linkage import SETTING

GIVEN = Figure[TravelBudget]("given_mm", "travel given", "mm", lambda of: of.given, 1)
LOST = Figure[TravelBudget]("lost_mm", "lost", "mm", lambda of: of.lost, 1)
NEEDED = Figure[TravelBudget]("needed_mm", "needed", "mm", lambda of: of.needed, 1)
SPARE = Figure[TravelBudget]("spare_mm", "to spare", "mm", lambda of: of.spare, 1)
NEUTRAL = Figure[TravelBudget]("neutral_in_stroke", "neutral", "%", lambda of: of.neutral_in_stroke)
ADJUST = Figure[TravelBudget]("adjust_mm", "adjusters", "mm", lambda of: of.offset, 1)
LET_OUT = Figure[TravelBudget](
    "adjuster_let_out_left_mm", "left to let out", "mm", lambda of: of.longer_left, 1
)
TAKE_UP = Figure[TravelBudget](
    "adjuster_take_up_left_mm", "to take up", "mm", lambda of: of.shorter_left, 1
)
FAR = Figure[LinkageFigures]("far_mm", "far end", "mm", lambda of: of.far_travel, 1)
FAR_NEEDED = Figure[LinkageFigures]("far_needed_mm", "", "mm", lambda of: of.far_needed, 1)
STROKE = Figure[LinkageFigures]("cable_stroke_mm", "the cable's stroke", "mm", lambda of: of.stroke)
RATIO = Figure[LinkageFigures]("ratio", "ratio", "", lambda of: of.ratio, 2)
OFF_PROPORTION = Figure[LinkageFigures](
    "nonlinearity", "off linear", "%", lambda of: of.off_proportion
)
HAND_LEANS = Figure[LinkageFigures](
    "hand_deg", "rod leans at the hand", "deg", lambda of: degrees(float(of.hand_angle.max())), 1
)
FAR_LEANS = Figure[LinkageFigures](
    "far_deg", "rod leans at the far end", "deg", lambda of: degrees(float(of.far_angle.max())), 1
)
GRIP = Figure[LinkageFigures]("hand_force_n", "hand force", "N", lambda of: of.hand_forces[1])
GRIP_RANGE = Figure[LinkageFigures](
    "hand_force_range_n",
    "",
    "N",
    lambda of: [force if isfinite(force) else None for force in of.hand_forces],
)
FAR_AT_LIMIT = Figure[LinkageFigures]("far_force_at_limit_n", "", "N", lambda of: of.far_at_limit)


def _budget(of: LinkageFigures) -> TravelBudget:
    assert of.budget is not None
    return of.budget


#: Travel along the core; none where the far arm cannot get to what it needs.
TRAVEL = Group[LinkageFigures, LinkageFigures](
    "travel",
    lambda of: of if of.budget else None,
    (
        GIVEN.within(_budget),
        LOST.within(_budget),
        Figure("arriving_mm", "", "mm", lambda of: _budget(of).arrives, 1),
        NEEDED.within(_budget),
        SPARE.within(_budget),
        STROKE,
        *(figure.within(_budget) for figure in (NEUTRAL, ADJUST, LET_OUT, TAKE_UP)),
    ),
)
#: What the travel makes of itself at the working point.
FAR_TRAVEL = Group[LinkageFigures, LinkageFigures]("travel", lambda of: of, (FAR, FAR_NEEDED))


def _direction(of: LinkageFigures, _: Words) -> str | None:
    return of.direction.text if of.direction else None


def _travel(of: LinkageFigures, words: Words) -> str | None:
    budget = of.budget
    if budget is None:
        return None
    lost, needed = (figure.told(budget, words).removesuffix(" mm") for figure in (LOST, NEEDED))
    spare = SPARE.word(abs(budget.spare), words).removesuffix(" mm")
    left = f"{spare} to spare" if budget.spare >= 0 else f"{spare} SHORT"
    return f"{GIVEN.told(budget, words)} given, {lost} lost, {needed} needed: {left}"


def _neutral(of: LinkageFigures, words: Words) -> str | None:
    """Say where neutral sits."""
    if of.budget is None:
        return None
    stroke = f"; the cable's stroke is {STROKE.told(of, words)}" if of.stroke else ""
    return f"at {NEUTRAL.told(of.budget, words)} of the travel given{stroke}"


def adjusters_told(of: LinkageFigures, words: Words) -> str | None:
    """Say how to set the adjusters at neutral, and what is left of them then."""
    budget = of.budget
    if budget is None or not of.built.entry.adjusters or of.pulls_only:
        return None
    more = TAKE_UP.told(budget, words).removesuffix(" mm")
    adjusted = of.built.entry.adjusted
    if adjusted and min(budget.spare_pull, budget.spare_push) >= -SETTING:
        stands = "let out" if adjusted > 0 else "taken up"
        longer = LET_OUT.word(budget.longer_left + budget.offset, words)
        more = TAKE_UP.word(budget.shorter_left - budget.offset, words).removesuffix(" mm")
        setting = f"{ADJUST.word(abs(adjusted), words)} {stands}"
        return f"{setting}; {longer} left to let out, {more} to take up"
    verb = "let out" if budget.offset > 0 else "take up"
    change = ADJUST.word(abs(budget.offset), words)
    setting = f"{verb} {change}; then " if abs(budget.offset) > 0.05 else ""
    return f"{setting}{LET_OUT.told(budget, words)} left to let out, {more} to take up"


def _far(of: LinkageFigures, words: Words) -> str:
    off = ""
    if isfinite(of.off_proportion):
        off = f", {OFF_PROPORTION.told(of, words)} off linear"
    return f"{FAR.told(of, words)}, {RATIO.told(of, words)} of the grip's{off}"


def _rods(of: LinkageFigures, words: Words) -> str:
    return f"{HAND_LEANS.told(of, words)} at the hand, {FAR_LEANS.told(of, words)} at the far end"


def grip_told(of: LinkageFigures) -> str:
    """Say the greatest force at the grip, over the range of friction."""
    hand = of.words.forces(*of.hand_forces)
    return f"{hand} at most over the stroke" if isfinite(of.hand_forces[0]) else hand


def _hand_force(of: LinkageFigures, words: Words) -> str:
    limit = of.hand_limit
    against = f" (published limit {words.force(limit.low)})" if limit else ""
    return grip_told(of) + against


#: Lines of the short table, on the terminal and in reports.
ROWS: tuple[Row[LinkageFigures], ...] = (
    Row("direction", _direction),
    Row("travel", _travel),
    Row("neutral", _neutral),
    Row("adjusters", adjusters_told),
    Row("far end", _far),
    Row("rods lean", _rods),
    Row("hand force", _hand_force),
)


def linkage_facts(linkage: LinkageAssessment) -> Iterator[tuple[str, str]]:
    """Yield the short table of a linkage: name and words of each row."""
    return facts(ROWS, linkage.figures, linkage.figures.words)


def limit_told(of: LinkageFigures) -> str:
    """Say what is published of the force that a hand can give, or nothing."""
    limit = of.hand_limit
    if limit is None:
        return ""
    return (
        f"{of.words.forces(limit.low, limit.high)}, {limit.name} ({limit.source}; {limit.status})"
    )


def gates_told(selector: SelectorAssessment) -> str:
    """Say how many gates are reached."""
    table = selector.figures.table
    if table is None:
        return "none can be reached"
    return f"{sum(row.reached for row in table.rows)} of {len(table.rows)} reached"


def selector_facts(selector: SelectorAssessment) -> Iterator[tuple[str, str]]:
    """Yield the short table of a selector."""
    if selector.figures.table:
        yield "pattern", selector.figures.table.sense.text
        yield "gates", gates_told(selector)
