"""The forces of a cable: pulling and pushing at the hand, what may fold, drag without load."""

from __future__ import annotations

from math import degrees, isfinite
from typing import Any

from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.figures.folding import Folding
from cableroute.figures.lasting import Beyond
from cableroute.figures.transmission import Push, Transmission
from cableroute.measure.wording import Words
from cableroute.mechanics.fold_order import PLACES
from cableroute.mechanics.force_doubt import BEYOND
from cableroute.table.figure import Figure, Group, Row

#: Drag without load is told from this share of the pull at the hand on.
_DRAG_SHOWN = 0.02


def _arriving(through: Transmission) -> float | None:
    """Return the share that bends let through at high friction; None where nothing arrives."""
    moves = isfinite(through.inputs[1]) and through.load > 0.0
    return through.passed[0] if moves else None


def _hands(through: Transmission) -> list[float | None]:
    return [hand if isfinite(hand) else None for hand in through.inputs]


def _shares(through: Transmission) -> list[float | None]:
    """Return the share that arrives at high and at low friction, None where it locks up."""
    low, high = through.passed
    locked = [not isfinite(hand) for hand in through.inputs]
    return [None if locked[1] else low, None if locked[0] else high]


LOAD = Figure[Transmission]("load_n", "load", "N", lambda through: through.load)
HAND = Figure[Transmission]("input_n", "at hand", "N", lambda through: through.inputs[1])
SHARE = Figure[Transmission]("efficiency", "arrives", "%", _arriving)
STIFFNESS = Figure[Transmission]("stiffness_n", "", "N", lambda through: through.stiffness)
RANGE = (
    Figure[Transmission]("input_n", "", "N", _hands),
    Figure[Transmission]("efficiency", "", "", _shares),
)


def hand_told(through: Transmission, words: Words) -> str:
    """Say what the hand needs for a load, over the range of friction."""
    hand, load = words.forces(*through.inputs), LOAD.told(through, words)
    if not isfinite(through.inputs[0]):
        return f"{hand}: no force at the hand moves {load}"
    if through.load == 0.0:
        return f"{hand} with no load at the far end"
    if not isfinite(through.inputs[1]):
        return f"{hand}, for {load} at the far end"
    worst, best = (SHARE.word(share, words) for share in through.passed)
    whole = SHARE.word(1.0, words)
    share = best if worst == best else f"{worst.removesuffix(' %')} to {best}"
    helped = ", as the core's own weight helps" if through.passed[1] > 1.0 and best != whole else ""
    return f"{hand} for {load} at the far end ({share} arrives{helped})"


WEIGHT = Figure[Figures]("weight_n", "core's own weight", "N", lambda of: of.weight_force)
DRAG = Figure[Figures]("drag_n", "unloaded drag", "N", lambda of: of.drag)

PULL = Group[CableAssessment, Figures](
    "pull",
    lambda cable: cable.figures,
    (
        *(figure.within(lambda of: of.pull) for figure in (LOAD, HAND, SHARE)),
        WEIGHT,
        DRAG,
        Figure("drag_is_measured", "", "", lambda of: of.cable.drag is not None),
        Figure("drag_range_n", "", "N", lambda of: list(of.drag_band) if of.drag_band else None),
        STIFFNESS.within(lambda of: of.pull),
    ),
)
PULL_RANGE = Group[CableAssessment, Transmission](
    "pull_range", lambda cable: cable.figures.pull, RANGE
)

ONSET = Figure[Push]("snaking_onset_n", "snaking from", "N", lambda push: push.snaking_onset)
ROD_BUCKLING = Figure[Push]("rod_buckling_n", "rod folds at", "N", lambda push: push.rod_buckling)
ROD_SAFETY = Figure[Push]("rod_safety_factor", "rod folds at", "", lambda push: push.rod_safety, 1)

PUSH = Group[CableAssessment, Push](
    "push",
    lambda cable: cable.figures.push,
    (
        *(figure.within(lambda push: push.through) for figure in (LOAD, HAND, SHARE)),
        Figure("lockup", "", "", lambda push: push.lockup),
        ONSET,
        ROD_BUCKLING,
        ROD_SAFETY,
        STIFFNESS.within(lambda push: push.through),
    ),
)
PUSH_RANGE = Group[CableAssessment, Transmission](
    "push_range",
    lambda cable: cable.figures.push.through if cable.figures.push else None,
    RANGE,
)


def friction_told(figures: Figures) -> str:
    """Say the range of friction."""
    low, high = figures.friction
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _wrap(cable: CableAssessment, _: Words) -> str:
    """Say how much the run may turn, and how much of the range of force that makes."""
    figures = cable.figures
    low, high = (degrees(wrap) for wrap in figures.wraps)
    share = f"; friction makes {100.0 * figures.range_shares[0]:.0f} % of the range of force"
    return f"{low:.0f} to {high:.0f} deg, both shapes and the tape{share}"


def _push(cable: CableAssessment, words: Words) -> str | None:
    push = cable.figures.push
    return hand_told(push.through, words) if push else None


def _folding(cable: CableAssessment, words: Words) -> str | None:
    push, first = cable.figures.push, cable.lasting.folding
    if push is None:
        return None
    onset = f"snaking from {ONSET.told(push, words)}" if isfinite(push.snaking_onset) else ""
    rod = ""
    if push.rod_buckling is not None:
        times = "" if push.rod_safety is None else f", {ROD_SAFETY.told(push, words)} times"
        rod = f"exposed rod {ROD_BUCKLING.told(push, words)}{times} ({cable.figures.cable.rod_end})"
    lead = _first(first, words) if first else ""
    return "; ".join(filter(None, (lead, onset, rod))) or "not judged: no cable data"


def _first(first: Folding, words: Words) -> str:
    """Say what folds first, and at what push."""
    if not isfinite(first.at):
        return "nothing folds"
    times = "" if first.times is None else f", {TIMES.told(first, words)} times the push"
    return f"folds first: {first.name} at {FOLDS_AT.told(first, words)}{times}"


FOLDS_AT = Figure[Folding]("push_n", "folds first", "N", lambda first: first.at)
TIMES = Figure[Folding]("times_the_push", "", "", lambda first: first.times, 1)


def _places(first: Folding) -> dict[str, dict[str, float | None]]:
    """Return the push at which each place gives way, at the far end and at the hand."""
    order = first.order
    return {
        place: {
            f"{end}_n": float(force) if isfinite(force) else None
            for end, force in (("far", order.far[i]), ("hand", order.hand[i]))
        }
        for i, place in enumerate(PLACES)
    }


FOLDING = Group[CableAssessment, Folding](
    "folding",
    lambda cable: cable.lasting.folding,
    (
        Figure("first", "", "", lambda first: first.place),
        FOLDS_AT,
        TIMES,
        Figure("places", "", "", _places),
        Figure("bare_core_mm", "", "mm", lambda first: first.bare),
    ),
)


def _drag(cable: CableAssessment, words: Words) -> str | None:
    figures = cable.figures
    drag: Any = figures.drag
    if not drag or drag < _DRAG_SHOWN * figures.pull.inputs[1]:
        return None
    if figures.cable.drag is not None or figures.drag_band is None:
        return f"{words.force(drag)} as measured, in the forces above"
    wires = "free wires in a conduit that yields to locked ones in a rigid one"
    solid = figures.core is not None and figures.core.construction == "solid"
    wires = "conduit that yields to rigid one" if solid else wires
    return f"{words.forces(*figures.drag_band)}, {wires}; what stays under load is in the high ends"


FRICTION_BEYOND = Group[CableAssessment, Beyond](
    "friction_beyond",
    lambda cable: cable.lasting.beyond,
    (
        Figure("share", "", "%", lambda _: BEYOND),
        Figure("pull_more_n", "", "N", lambda beyond: beyond.pull),
        Figure("push_more_n", "", "N", lambda beyond: beyond.push),
    ),
)


def _friction(cable: CableAssessment, words: Words) -> str:
    """Say the range of friction, and what it costs if it is above it."""
    beyond = cable.lasting.beyond
    more = (
        f"; {100 * BEYOND:.0f} % above it costs {words.force(beyond.pull)} more" if beyond else ""
    )
    return friction_told(cable.figures) + more


FORCE_ROWS = (
    Row[CableAssessment]("friction", _friction),
    Row("wrap", _wrap),
    Row[CableAssessment]("pull at hand", lambda cable, words: hand_told(cable.figures.pull, words)),
    Row("push at hand", _push),
    Row("folding", _folding),
    Row("unloaded drag", _drag),
)
