"""Checks of forces and travel: what arrives, what folds, working loads, stroke, lost motion."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import degrees, isfinite

from cableroute.figures.cable import Figures
from cableroute.figures.transmission import Transmission
from cableroute.measure.wording import Words
from cableroute.mechanics.lost_motion import LostMotion
from cableroute.verdict.check import CABLE_DATA, OWN, PRACTICE, Check, finite
from cableroute.verdict.folding import folding_checks
from cableroute.verdict.limits import Limits
from cableroute.verdict.stiffness import sure

_SOFT_STRING = "Johancsik, Friesen, Dawson 1984 (from memory)"
_SNAKING = "Lubinski et al. 1962, Mitchell 1986 (from memory)"
#: Drag as the file gives it, and as we estimate it.
_MEASURED = ("as measured, the same at every load", "the file")
_ESTIMATED = (
    "Σ 2μN·e^(μ·wrap before), N = EI/(2√6·R^1.5·√c)",
    f"{OWN}, an upper figure, tried on a rod model; yielding end: banded only",
)


_FEWER_BENDS = "Take out bends"
_LESS_STRETCH = "Take a heavier family, fewer bends or less load"
#: What makes less of a part of lost motion, where that is not only fewer bends.
_MENDS_OF_LOST = {
    "core stretch": _LESS_STRETCH,
    "conduit": _LESS_STRETCH,
    "stretch the other way": _LESS_STRETCH,
    "brackets": "Stiffen the brackets",
}


def force_checks(figures: Figures, limits: Limits) -> Iterator[Check]:
    """Yield what pulling and pushing ask, what arrives, and what gives way."""
    yield pull_at_hand(figures, limits)
    yield _efficiency(figures, limits)
    yield from _pushing(figures, limits)
    yield from _drag(figures)
    yield from _travel(figures, limits)
    yield from _weight(figures, limits)


def pull_at_hand(
    figures: Figures, limits: Limits, *, reaching: str = "The pull at the hand reaches"
) -> Check:
    """Hold the pull at the hand against the cable's working load."""
    family, hand = figures.cable.family, figures.pull.inputs[1]
    check = Check(
        code="working-load-pull",
        name="Pull at the hand",
        where="hand end",
        value=finite(hand),
        unit="N",
        formula="dT/ds = μ·|Tκn + w⊥| − w·t",
        source=_SOFT_STRING,
        detail=f"for {figures.words.force(figures.pull.load)}",
    )
    allowed = family.max_pull if family else None
    return _working_load(
        check, allowed, limits, figures.pull, reaching=reaching, words=figures.words
    )


def _working_load(
    check: Check,
    allowed: float | None,
    limits: Limits,
    through: Transmission,
    *,
    reaching: str,
    words: Words,
) -> Check:
    if not allowed:
        return check
    marginal, failing = (share * allowed for share in limits.working_load)
    source = f"{check.source}; {CABLE_DATA}"
    held = replace(check, marginal=marginal, failing=failing, source=source)
    return sure(
        held,
        replace(held, value=finite(through.sure.inputs[1])),
        lambda c: (
            f"{reaching} {words.force(c.value or 0.0)}{_beyond(c, allowed, limits, words)}. Use a heavier "
            "family, fewer bends, or a longer arm at the far end, which takes more travel."
        ),
        added=through.stiffness,
        words=words,
    )


def _beyond(check: Check, allowed: float, limits: Limits, words: Words) -> str:
    """Say what a force goes beyond: the working load itself, or the share of it that is advised."""
    if (check.value or 0.0) > allowed:
        return f"; the cable's working load is {words.force(allowed)}"
    share = 100.0 * limits.working_load[0]
    return f", over {share:.0f} % of the cable's working load of {words.force(allowed)}"


def _efficiency(figures: Figures, limits: Limits) -> Check:
    marginal, failing = limits.efficiency
    through, loaded = figures.pull, figures.pull.load > 0.0
    wrap = degrees(figures.wraps[1])
    check = Check(
        code="efficiency-low",
        name="Share of the pull that arrives",
        value=through.passed[0] if loaded else None,  # a measured drag is no matter of bends
        marginal=marginal,
        failing=failing,
        at_least=True,
        formula="far force / hand force, a measured drag apart; e^(−μ·wrap) without weight and "
        "stiffness",
        source=f"Beer and Johnston, Statics, ex. 8.7; limit: {PRACTICE}",
        detail=f"{100.0 * through.by_bends[0]:.0f} % by the bends alone"
        if through.stiffness
        else "",
    )
    without = replace(check, value=through.by_bends[0] if loaded else None)
    by_bends = f" By the bends alone {100.0 * through.by_bends[0]:.0f} %."
    mend = " Take out a bend or use a slicker liner; a wider radius does not help."
    return sure(
        check,
        without,
        lambda c: (
            f"At friction {figures.friction[1]:g} only {100 * (c.value or 0.0):.0f} % of the "
            f"pull arrives after {wrap:.0f} degrees of bends.{mend if without.level != 'pass' else by_bends}"
        ),
        added=through.stiffness,
        words=figures.words,
        of="the pull",
    )


def _push_at_hand(figures: Figures, through: Transmission, limits: Limits) -> Check:
    """Hold the push at the hand against the cable's working load."""
    family = figures.cable.family
    hand = Check(
        code="working-load-push",
        name="Push at the hand",
        where="hand end",
        value=finite(through.inputs[1]),
        unit="N",
        formula="dF/ds = μ·max(F/R, rF²/4EI)",
        source=_SNAKING,
        detail=f"for {figures.words.force(through.load)}",
    )
    allowed, words = family.max_push if family else None, figures.words
    reaching = "The push at the hand reaches"
    return _working_load(hand, allowed, limits, through, reaching=reaching, words=words)


def _pushing(figures: Figures, limits: Limits) -> Iterator[Check]:
    push = figures.push
    if push is None:
        return
    load = push.through.load
    yield _push_at_hand(figures, push.through, limits)
    yield Check(
        code="push-lock-up",
        name="Ends of the friction range at which a push jams",
        value=float(sum(not isfinite(hand) for hand in push.through.inputs)),
        failing=0.0,
        formula="1/F reaches 0 on the way to the hand",
        source=_SNAKING,
    ).saying(
        lambda _: (
            f"Pushing {figures.words.force(load)} the core snakes and jams at friction "
            f"{figures.friction[1]:g}: no force at the hand gets it through. Use a stiffer core, a "
            "closer conduit or fewer bends, or pull both ways with a pair."
        )
    )
    yield from folding_checks(figures, push, limits)


def _drag(figures: Figures) -> Iterator[Check]:
    """Tell the drag without load; what it makes of the forces is in their own checks."""
    if figures.drag is None:
        return
    band, measured = figures.drag_band, figures.cable.drag is not None
    formula, source = _MEASURED if measured else _ESTIMATED
    detail = "in the forces at the hand"
    if not measured and band:
        detail = f"{figures.words.force(band[0])} with free wires in a conduit that yields"
    yield Check(
        code="unloaded-drag",
        name="Drag without load" if measured else "Drag without load, locked wires, rigid conduit",
        value=figures.drag,
        unit="N",
        formula=formula,
        source=source,
        detail=detail,
    )


def _travel(figures: Figures, limits: Limits) -> Iterator[Check]:
    cable, lost, words = figures.cable, figures.lost, figures.words
    if cable.travel and cable.family and cable.family.stroke:
        stroke = cable.family.stroke
        yield Check(
            code="stroke",
            name="Travel against the cable's stroke",
            where="both ends",
            value=cable.travel,
            marginal=limits.stroke[0] * stroke,
            failing=limits.stroke[1] * stroke,
            unit="mm",
            formula="travel wanted / stroke",
            source=f"{CABLE_DATA}; share: {PRACTICE}",
        ).saying(
            lambda c: (
                f"{words.length(c.value or 0.0)} of travel is wanted; the cable has "
                f"{words.length(stroke)}. Choose a family with a longer stroke, or shorten the arms at "
                "both ends, which takes more force."
            )
        )
    if lost is None:
        return
    marginal, failing = (
        share * figures.travel if figures.travel else None for share in limits.lost_motion
    )
    parts = lost.parts
    most = max(parts, key=lambda part: parts[part])
    share = "most of it" if parts[most] > 0.5 * lost.total else "the largest part of it"
    told = ", ".join(
        f"{name} {words.fine(part).removesuffix(' mm')}" for name, part in parts.items()
    )
    yield Check(
        code="lost-motion",
        name="Lost motion",
        value=lost.total,
        marginal=marginal,
        failing=failing,
        unit="mm",
        formula="c·wrap + ∫F/EA ds, core and conduit, both ways; + hysteresis if a spring returns it",
        source=f"{OWN} from the capstan law; limit: {PRACTICE}",
        detail=f"at most ({told})",
    ).saying(
        lambda _: (
            f"{words.fine(lost.total)} of the {words.length(figures.travel or 0.0)} travel is "
            f"lost, {share} in {most} ({words.fine(parts[most])}). {_MENDS_OF_LOST.get(most, _FEWER_BENDS)}. A "
            "lever that moves that much more brings back the travel, not the feel."
        )
    )
    if lost.worn:
        yield _worn(figures, lost, marginal)


def _worn(figures: Figures, lost: LostMotion, limit: float | None) -> Check:
    """Hold what is lost with a worn liner against the limit, worth a word beyond it."""
    words = figures.words
    return Check(
        code="lost-motion-worn",
        name="Lost motion with a worn liner",
        value=lost.total_worn,
        noting=limit if lost.total <= (limit or 0.0) else None,
        unit="mm",
        formula="clearance of 2 times the new one",
        source=PRACTICE,
    ).saying(
        lambda c: (
            f"With a liner worn to twice its clearance {words.fine(c.value or 0.0)} of the "
            f"{words.length(figures.travel or 0.0)} travel is lost: look it over, and renew it in time."
        )
    )


def _weight(figures: Figures, limits: Limits) -> Iterator[Check]:
    hand = figures.pull.inputs[1]
    if not hand > 0.0 or not figures.weight_force:
        return
    yield Check(
        code="core-weight",
        name="Weight of the core in the pull at the hand",
        value=finite(figures.weight_force),
        noting=finite(limits.weight_share * hand),
        unit="N",
        formula="pull with weight less pull without",
        source=_SOFT_STRING,
    ).saying(
        lambda c: (
            f"The core's own weight is {figures.words.force(c.value or 0.0)} of the pull at the hand: on a long run "
            "it matters whether climbs come before bends."
        )
    )
