"""Each figure of a cable against its limit, with margin, formula and source."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import degrees, isfinite

import numpy as np

from cableroute.assess import CableAssessment
from cableroute.measure.wording import Words
from cableroute.output.checks.check import PRACTICE, Check
from cableroute.output.checks.holding import holding_checks, lasting_checks
from cableroute.output.wording import newtons, span
from cableroute.verdict.figures import Clearance, Figures, Push
from cableroute.verdict.findings import LEVELS
from cableroute.verdict.limits import Limits

_OWN = "own derivation"
_FAMILY = "limit: the cable's own data"
#: A weight of less than this is not worth a line [N].
_SLIGHT = 0.05


def checks(
    cable: CableAssessment, *, unit: str = "mm", limits: Limits | None = None
) -> tuple[Check, ...]:
    """Return every figure of a cable with its limit, the outcome being that of the findings.

    Parameters
    ----------
    cable : CableAssessment
        The cable.
    unit : str
        Unit of the tape.
    limits : Limits, optional
        What the figures were held against.

    Returns
    -------
    tuple of Check
        What the data do not allow is left out; :func:`not_judged` names it.
    """
    held, words = limits or Limits(), Words(unit)
    figures = cable.figures
    found = [
        *_bends(figures, words),
        *_pulling(figures, held),
        *_pushing(figures, held),
        *_travel(figures, held, words),
        *_length(figures, held, words),
        *lasting_checks(cable, held, words),
        *holding_checks(cable, held, words),
    ]
    for clearance in figures.clearances:
        found += _keeping_clear(figures, clearance, words)
    return tuple(replace(check, outcome=_outcome(check, cable)) for check in found)


def not_judged(figures: Figures) -> tuple[str, ...]:
    """Say what could not be held against a limit for want of data.

    Parameters
    ----------
    figures : Figures
        One cable.

    Returns
    -------
    tuple of str
        Names of checks.
    """
    family, push = figures.cable.family, figures.push
    missing = {
        "snaking": push is not None and family is None,
        "working load": family is None or not family.max_pull,
        "exposed rod": push is not None and push.rod_buckling is None,
        "wire stress": family is None,
        "lost motion": figures.lost_share is None,
        "stroke": family is None or not family.stroke or not figures.cable.travel,
        "stock length": figures.order.choice is None,
    }
    return tuple(name for name, is_missing in missing.items() if is_missing)


def _outcome(check: Check, cable: CableAssessment) -> str:
    """Take the outcome from the findings, so that no table contradicts the verdict."""
    levels = [
        finding.level
        for finding in cable.findings
        if finding.code in check.codes and check.where in ("", finding.where)
    ]
    return min(levels, key=LEVELS.index, default="pass" if check.limit else "told")


def _bends(figures: Figures, words: Words) -> Iterator[Check]:
    route, family = figures.route, figures.cable.family
    leg = int(np.argmin(route.slacks))
    slack = float(route.slacks[leg])
    needed = float(route.legs[leg]) - slack
    yield Check(
        name="Room for the bends",
        value=f"{words.length(float(route.legs[leg]))}, tightest leg: "
        f"{figures.vertex_name(leg)} to {figures.vertex_name(leg + 1)}",
        limit=f"at least {words.length(needed)}",
        margin=words.length(slack),
        formula="R·tan(θ/2) off each end of a leg",
        source="surveying's circular curve",
        codes=("bend-does-not-fit",),
    )
    if isfinite(float(route.min_radius)):
        least = family.min_bend_radius if family else figures.cable.bend_radius
        yield Check(
            name="Tightest bend",
            value=f"{words.length(float(route.min_radius))} radius",
            limit=f"at least {words.length(least)}",
            margin=words.length(float(route.min_radius) - least),
            formula="radius to the conduit's centreline",
            source=_FAMILY if family else "limit: as given in the file",
            codes=("radius-below-family", "bend-does-not-fit"),
        )
    yield Check(
        name="Wrap, all bends added",
        value=f"{degrees(float(route.wrap)):.0f}°",
        formula="Σθ, unsigned; tan²(θ/2) = q/(4 − q), q = |u₂ − u₁|²",
        source="Kahan 2006, sec. 12 (from memory)",
    )


def _pulling(figures: Figures, held: Limits) -> Iterator[Check]:
    pull, family = figures.pull, figures.cable.family
    allowed = family.max_pull if family else None
    yield Check(
        name="Pull at the hand",
        value=f"{span(*pull.inputs)} for {newtons(pull.load)}",
        **_working_load(pull.inputs[1], allowed, held),
        formula="dT/ds = μ·|Tκn + w⊥| − w·t",
        source="Johancsik, Friesen, Dawson 1984 (from memory)" + (f"; {_FAMILY}" * bool(allowed)),
        codes=("working-load-pull",),
    )
    worst, best = pull.efficiencies
    marginal, failing = held.efficiency
    yield Check(
        name="Share of the pull that arrives",
        value=f"{100 * worst:.0f} to {100 * best:.0f} %",
        limit=f"{100 * marginal:.0f} %; fails below {100 * failing:.0f} %",
        margin=f"{100 * (pull.passed[0] - marginal):z.0f} % points",  # drag apart, as judged
        formula="far force / hand force; e^(−μ·wrap) without weight",
        source=f"Beer and Johnston, Statics, ex. 8.7; limit: {PRACTICE}",
        codes=("efficiency-low",),
    )
    if figures.drag is not None:
        yield Check(
            name="Drag without load",
            **_drag(figures.drag, measured=figures.cable.drag is not None),
            codes=(),
        )
    if abs(figures.weight_force) >= _SLIGHT:
        yield Check(
            name="Weight of the core",
            value=f"{figures.weight_force:z.1f} N of the pull at the hand",
            formula="pull with weight less pull without",
            source="as the pull",
            codes=("core-weight",),
        )


def _drag(drag: float, *, measured: bool) -> dict[str, str]:
    if measured:
        return {
            "value": f"{newtons(drag)}, in the forces at the hand",
            "formula": "as measured, the same at every load",
            "source": "the file",
        }
    return {
        "value": f"up to {newtons(drag)} more at the hand",
        "formula": "μ·Σ min(0.8165·EI/(R^1.5·√c), EI·θ³/(9c²))",
        "source": f"{_OWN}, an upper estimate",
    }


def _working_load(hand: float, allowed: float | None, held: Limits) -> dict[str, str]:
    """Limit and margin of a hand force, where the cable's working load is known."""
    if not allowed:
        return {}
    marginal, failing = (share * allowed for share in held.working_load)
    left = f"{marginal - hand:z.0f} N" if isfinite(hand) else "none"
    return {"limit": f"{marginal:.0f} N; fails above {failing:.0f} N", "margin": left}


def _pushing(figures: Figures, held: Limits) -> Iterator[Check]:
    push, family = figures.push, figures.cable.family
    if push is None:
        return
    allowed = family.max_push if family else None
    yield Check(
        name="Push at the hand",
        value=f"{span(*push.through.inputs)} for {newtons(push.through.load)}",
        **_working_load(push.through.inputs[1], allowed, held),
        formula="dF/ds = μ·max(F/R, rF²/4EI)",
        source="Lubinski et al. 1962, Mitchell 1986 (from memory)"
        + (f"; {_FAMILY}" * bool(allowed)),
        codes=("working-load-push", "push-lock-up"),
    )
    yield from _folding(figures, push, held)


def _folding(figures: Figures, push: Push, held: Limits) -> Iterator[Check]:
    if isfinite(push.snaking_onset):
        use = push.snaking_use
        yield Check(
            name="Snaking in the conduit",
            value=f"{100 * use:.1f} % of the onset" if isfinite(use) else "beyond the onset",
            limit=f"at most 100 %; onset {newtons(push.snaking_onset)} in the bend nearest to it",
            margin=f"{100 * (1 - use):z.0f} %" if isfinite(use) else "none",
            formula="F_s = 4EI/(R·r)",
            source="He and Kyllingstad 1995 (from memory)",
            codes=("snaking", "push-lock-up"),
        )
    if push.rod_buckling is not None:
        marginal, failing = held.rod_safety
        safety = push.rod_safety
        yield Check(
            name="Exposed rod at full stroke",
            value=f"folds at {newtons(push.rod_buckling)}"
            + (f", {safety:.1f} times the push ({figures.cable.rod_end})" if safety else ""),
            limit=f"{marginal:g} times; fails below {failing:g}",
            margin=f"{safety - marginal:z.1f} times" if safety else "none",
            formula="Euler C·π²EI/L²; Johnson for short rods",
            source=f"Shigley, 9th ed., eqs. 4-43, 4-45, 4-46; limit: {PRACTICE}",
            codes=("rod-buckling", "push-lock-up"),
        )


def _travel(figures: Figures, held: Limits, words: Words) -> Iterator[Check]:
    cable, lost, travel = figures.cable, figures.lost, figures.travel
    if cable.travel and cable.family and cable.family.stroke:
        marginal, failing = (share * cable.family.stroke for share in held.stroke)
        yield Check(
            name="Travel against the cable's stroke",
            value=words.length(cable.travel),
            limit=f"{words.length(marginal)}; fails above {words.length(failing)}",
            margin=words.length(marginal - cable.travel),
            formula="travel wanted / stroke",
            source=f"{_FAMILY}; share: {PRACTICE}",
            codes=("stroke",),
        )
    if lost is None:
        return
    bounds = {}
    if travel:
        marginal, failing = (share * travel for share in held.lost_motion)
        bounds = {
            "limit": f"{words.fine(marginal)}; fails above {words.fine(failing)}",
            "margin": words.fine(marginal - lost.total),
        }
    parts = [f"{name} {words.fine(part).removesuffix(' mm')}" for name, part in lost.parts.items()]
    yield Check(
        name="Lost motion",
        value=f"{words.fine(lost.total)} at most ({', '.join(parts)})",
        **bounds,
        formula="c·wrap + ∫F/EA ds, core and conduit, both ways; + hysteresis if a spring returns it",
        source=f"{_OWN} from the capstan law; limit: {PRACTICE}",
        codes=("lost-motion",),
    )


def _length(figures: Figures, held: Limits, words: Words) -> Iterator[Check]:
    order = figures.order
    if order.choice is None:
        return
    least = order.need + figures.cable.slack + order.doubt
    length = order.choice.stock or order.choice.longest
    yield Check(
        name="Stock length",
        value=words.length(length),
        limit=f"at least {words.length(least)}: need, slack, doubt of the tape",
        margin=words.length(length - least),
        formula="shortest one ≥ need + slack + t·√(2 + Σ(2·sin(θ/2))²)",
        source=PRACTICE,
        codes=("stock-too-short",),
    )
    if order.choice.stock is not None:
        wrap, most = degrees(order.surplus_wrap), degrees(held.surplus_wrap)
        yield Check(
            name="Wrap of what is left over",
            value=f"about {wrap:.0f}°, bowed evenly",
            limit=f"at most {most:.0f}°",
            margin=f"{most - wrap:z.0f}°",
            formula="4·√(6·ΔL/L)",
            source=f"{_OWN}; limit: {PRACTICE}",
            codes=("stock-surplus",),
        )


def _keeping_clear(figures: Figures, clearance: Clearance, words: Words) -> Iterator[Check]:
    zone, family = clearance.zone, figures.cable.family
    yield Check(
        name=f"Clear of {zone.name}",
        value=f"{words.length(clearance.clear)}, {words.length(clearance.nearest.at)} along",
        limit=f"at least {words.length(zone.distance)}",
        margin=words.length(clearance.clear - zone.distance),
        formula="nearest of 2000 places along the run, then finer",
        source="limit: as given in the file",
        codes=("keep-out",),
        where=zone.name,
    )
    if zone.temperature is not None and family and family.temperature:
        yield Check(
            name=f"Heat of {zone.name}",
            value=f"{zone.temperature:.0f} °C at its surface",
            limit=f"{family.temperature[1]:.0f} °C at the cable",
            margin=f"{family.temperature[1] - zone.temperature:z.0f} °C if it touched",
            formula="surface against what the cable stands; the air between is not worked out",
            source=_FAMILY,
            codes=("heat",),
            where=zone.name,
        )
