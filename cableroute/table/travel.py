"""The travel of a cable: what is lost on the way, what arrives, what brings it back."""

from __future__ import annotations

from collections.abc import Callable
from math import isfinite
from typing import Any

from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.figures.returning import Returning
from cableroute.measure.wording import Words
from cableroute.mechanics.lost_motion import LostMotion
from cableroute.mechanics.return_spring import ReturnBand, ReturnMargin
from cableroute.table.figure import Figure, Group, Row
from cableroute.verdict.returning import WANTED, needed

LOST = Figure[Figures](
    "both_ways_mm", "lost motion", "mm", lambda of: of.lost.total if of.lost else None, digits=1
)
LOST_SHARE = Figure[Figures]("both_ways_share", "share of travel", "%", lambda of: of.lost_share)
ARRIVES_PULLED = Figure[Figures](
    "arrives_pulling_mm", "travel arriving", "mm", lambda of: of.arrives[0]
)
ARRIVES_PUSHED = Figure[Figures]("arrives_pushing_mm", "", "mm", lambda of: of.arrives[1])


def _lost(of: Figures) -> LostMotion:
    assert of.lost is not None
    return of.lost


def _finite(value: Any) -> float | None:
    return None if value is None or not isfinite(value) else float(value)


def _pushing(of: Figures) -> dict[str, float | None] | None:
    """Return what pushing loses to core and conduit as plain data."""
    lost = of.push_lost
    if lost is None:
        return None
    return {
        "stretch_mm": _finite(lost.stretch),
        "conduit_mm": _finite(lost.conduit),
        "snaking_mm": _finite(lost.snaking),
    }


def _shift(of: Figures) -> list[float] | None:
    """Return what the conduit eats by curling, least and most."""
    shift = _lost(of).shift
    return list(shift) if shift else None


WORN = Figure[Figures]("worn_mm", "", "mm", lambda of: _lost(of).total_worn, digits=1)
LOST_MOTION = Group[CableAssessment, Figures](
    "lost_motion",
    lambda cable: cable.figures if cable.figures.lost else None,
    (
        Figure("clearance_mm", "", "mm", lambda of: _lost(of).clearance),
        Figure("stretch_mm", "", "mm", lambda of: _lost(of).stretch),
        Figure("conduit_mm", "", "mm", lambda of: _lost(of).conduit),
        Figure("hysteresis_mm", "", "mm", lambda of: _lost(of).hysteresis),
        Figure("bracket_mm", "", "mm", lambda of: _lost(of).bracket),
        Figure("total_mm", "", "mm", lambda of: _lost(of).one_way),
        Figure(
            "share_of_stroke",
            "",
            "%",
            lambda of: _lost(of).one_way / of.travel if of.travel else None,
        ),
        Figure("other_way_mm", "", "mm", lambda of: _lost(of).other_way),
        LOST,
        LOST_SHARE,
        ARRIVES_PULLED,
        ARRIVES_PUSHED,
        Figure("pushing", "", "", _pushing),
        Figure("shift_mm", "", "mm", _shift),
        WORN,
    ),
)


def _lost_row(cable: CableAssessment, words: Words) -> str | None:
    """Say what is lost, and what of the travel arrives."""
    figures = cable.figures
    if figures.lost is None:
        return None
    worn = f", {WORN.told(figures, words)} with a worn liner" if figures.lost.worn else ""
    lost = f"{LOST.told(figures, words)} at most{worn}"
    pulling, pushing = figures.arrives
    if pulling is None or figures.travel is None:
        return lost
    arrives = pulling if pushing is None else min(pulling, pushing)
    of_travel = f"of {words.length(figures.travel)} travel"
    return f"{lost}: {of_travel} {ARRIVES_PULLED.word(arrives, words)} arrives"


SPRING = Figure[Returning](
    "spring_n", "return spring", "N", lambda back: float(back.warm.stiff.available)
)


def _free_and_locked(of: ReturnBand, value: Callable[[ReturnMargin], Any]) -> list[float | None]:
    """Return a figure with free and with locked wires."""
    return [_finite(value(of.slack)), _finite(value(of.stiff))]


MARGIN = (
    Figure[ReturnBand]("required_n", "", "N", lambda back: float(back.stiff.required)),
    Figure[ReturnBand]("margin", "", "", lambda back: float(back.stiff.margin)),
    Figure[ReturnBand]("left_at_hand_n", "", "N", lambda back: float(back.stiff.left_at_hand)),
    Figure[ReturnBand]("returns", "", "", lambda back: bool(back.stiff.returns)),
    Figure[ReturnBand](
        "required_range_n", "", "N", lambda of: _free_and_locked(of, lambda end: end.required)
    ),
    Figure[ReturnBand](
        "margin_range", "", "", lambda of: _free_and_locked(of, lambda end: end.margin)
    ),
    Figure[ReturnBand]("most_drag_n", "", "N", lambda back: _finite(back.most_drag)),
    Figure[ReturnBand]("decided_by", "", "", lambda back: str(back.decided_by)),
)
WARM = Group[Returning, ReturnBand]("warm", lambda back: back.warm, MARGIN)
COLD = Group[Returning, ReturnBand]("cold", lambda back: back.cold, MARGIN)
RETURN_SPRING = Group[CableAssessment, Returning](
    "return_spring",
    lambda cable: cable.lasting.returning,
    (
        SPRING,
        Figure("springs", "", "", lambda back: back.springs),
        Figure("alone_n", "", "N", lambda back: list(back.alone)),
        Figure("drag_is_measured", "", "", lambda back: back.is_sure),
        Figure(WARM.key, "", "", WARM.plain),
        Figure(COLD.key, "", "", COLD.plain),
    ),
)


def _spring_row(cable: CableAssessment, words: Words) -> str | None:
    back = cable.lasting.returning
    if back is None:
        return None
    wires = "" if back.is_sure or not back.drag_known else " (wires free to locked)"
    each = " each" if (back.springs or 1) > 1 else ""
    return (
        f"{SPRING.told(back, words)}{each} where weakest; {needed(back.warm, words)} bring it back, "
        f"{needed(back.cold, words)} cold{wires}; wanted {spring_wanted(cable)}"
    )


def spring_wanted(cable: CableAssessment) -> str:
    """Say what is wanted of each spring that brings a cable back, as its check does."""
    return next(check.detail for check in cable.checks if check.code == WANTED)


LOST_ROWS = (Row("lost motion", _lost_row),)
RETURN_ROWS = (Row("return spring", _spring_row),)
