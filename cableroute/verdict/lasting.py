"""Checks of how a cable fares over its life: return, heat, friction that changes, its load."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from cableroute.figures.cable import Figures
from cableroute.figures.lasting import Aged, Beyond, Heat, Lasting
from cableroute.hardware.liners import Liner
from cableroute.measure.wording import Words
from cableroute.mechanics.force_doubt import BEYOND
from cableroute.verdict.check import CABLE_DATA, OWN, PRACTICE, Check, Verdict, verdict_of
from cableroute.verdict.folding import first_to_fold
from cableroute.verdict.frost import frost_checks
from cableroute.verdict.limits import Limits
from cableroute.verdict.returning import return_checks
from cableroute.verdict.strain import strain_checks


def lasting_checks(figures: Figures, lasting: Lasting, limits: Limits) -> Iterator[Check]:
    """Yield return, strain, heat, each condition of friction, and the load against what resists."""
    if lasting.demand is not None:
        yield from return_checks(figures, lasting.demand, limits)
    if lasting.strain is not None:
        yield from strain_checks(figures, lasting.strain, limits)
    if lasting.heat is not None:
        yield from _heat(figures, lasting.heat, limits)
    if lasting.folding is not None:
        yield from first_to_fold(figures, lasting.folding, limits)
    if lasting.frost is not None:
        yield from frost_checks(figures, lasting.frost)
    if lasting.beyond is not None:
        yield _beyond(figures, lasting.beyond)
    yield from _ageing(lasting.ages, limits, figures.words)
    yield from _load(figures, lasting.resisting, limits)


def _beyond(figures: Figures, beyond: Beyond) -> Check:
    """Tell what friction above its range would cost."""
    push = "" if beyond.push is None else f"; pushing {figures.words.force(beyond.push)} more"
    return Check(
        code="friction-beyond",
        name=f"More pull at the hand with friction {100 * BEYOND:.0f} % above its range",
        where="hand end",
        value=beyond.pull,
        unit="N",
        formula="F·(e^(0.2·μ·wrap) − 1), a push anew; stiffness a fifth more",
        source=f"capstan; how far: {OWN}",
        detail=f"at {(1.0 + BEYOND) * figures.friction[1]:.3g}{push}",
    )


def aged_verdict(aged: Aged, limits: Limits) -> Verdict:
    """Return the verdict on a cable in one condition, by how much of the force arrives."""
    if aged.push is not None and not isfinite(aged.push):
        return "fail"
    return verdict_of([_arriving(aged, limits).level])


def _arriving(aged: Aged, limits: Limits) -> Check:
    marginal, failing = limits.efficiency
    return Check(
        code="arriving",
        name=f"If {aged.condition.name}",
        value=aged.passed,
        marginal=marginal,
        failing=failing if aged.by_bends < failing else None,
        at_least=True,
    )


def _load(figures: Figures, resisting: float | None, limits: Limits) -> Iterator[Check]:
    """Yield the load against what the far end is said to resist with."""
    load, words = figures.pull.load, figures.words
    if resisting is None:
        return
    yield Check(
        code="load-differs",
        name="Load given against what the far end resists with",
        where="far end",
        value=load,
        marginal=resisting / (1.0 + limits.load_differs),
        at_least=True,
        unit="N",
        formula="the most of spring, friction and detents over the travel",
        source="the file",
    ).saying(
        lambda _: (
            f"The load is given as {words.force(load)}, yet spring, friction and detents of the far "
            f"end come to {words.force(resisting)}. Leave load out to take that, or correct one of them."
        )
    )


def _heat(figures: Figures, heat: Heat, limits: Limits) -> Iterator[Check]:
    family = figures.cable.family
    if heat.given and family and family.temperature:
        yield _temperatures_stood(heat, family.temperature)
    cold, hot = heat.range
    since = (
        f"{cold:.0f} to {hot:.0f} degC{'' if heat.given else ', what the cable stands'}; set at 20"
    )
    yield _tightening(figures, heat, limits, since)
    if heat.creep and heat.liner:
        yield _creep(figures, heat, heat.liner, limits, since)


def _temperatures_stood(heat: Heat, stands: tuple[float, float]) -> Check:
    """Hold the temperatures it works at against what the cable stands."""
    cold, hot = heat.range
    too_hot = hot - stands[1] > stands[0] - cold
    quoted = heat.liner.quoted_temperature if heat.liner else None
    within = not too_hot or (quoted is not None and hot <= quoted[1])
    disagree = (
        f" Other sources let the liner go to {quoted[1]:.0f} degC, jacket and grease apart."
        if too_hot and quoted and within
        else ""
    )
    limit = stands[1] if too_hot else stands[0]
    mend = "Choose another liner, or shield it" if too_hot else "Choose a cable for the cold"
    return Check(
        code="temperature",
        name="Hottest" if too_hot else "Coldest",
        value=hot if too_hot else cold,
        marginal=limit if within else None,
        failing=None if within else limit,
        at_least=not too_hot,
        unit="degC",
        formula="range it works at against what the cable stands",
        source=CABLE_DATA,
    ).saying(
        lambda _: (
            f"It works at {cold:.0f} to {hot:.0f} degC; the cable stands {stands[0]:.0f} to "
            f"{stands[1]:.0f} degC.{disagree} {mend}."
        )
    )


def _tightening(figures: Figures, heat: Heat, limits: Limits, since: str) -> Check:
    """Hold how much heat or cold tightens a pull cable, which opens a throttle or drags a brake."""
    words = figures.words
    when = "cold" if heat.free_play[0] < heat.free_play[1] else "hot"
    cold, hot = (words.fine(play, digits=2, sign="+") for play in heat.free_play)
    judged = heat.given and figures.cable.kind == "pull" and figures.cable.family
    return Check(
        code="heat-tightens",
        name="Free play lost to heat or cold",
        value=max(-min(heat.free_play), 0.0),
        marginal=limits.tightening if judged else None,
        unit="mm",
        formula="(α_core − α_conduit)·L·ΔT",
        source=f"linear expansion; both lie between the same brackets; limit: {PRACTICE}",
        detail=f"{cold} cold and {hot} hot ({since})",
    ).saying(
        lambda c: (
            f"{when.capitalize()}, core and conduit differ by {words.fine(c.value or 0.0)} and "
            "the cable is pulled that much tighter. Set it with more free play than that, and look at "
            f"rest when {when}."
        )
    )


def _creep(figures: Figures, heat: Heat, liner: Liner, limits: Limits, since: str) -> Check:
    cold, hot = heat.range
    creep = heat.creep or (0.0, 0.0)
    at_cold, at_hot = (figures.words.fine(each, sign="+") for each in creep)
    return Check(
        code="liner-creep",
        name="Growth of the liner, if nothing holds its ends",
        where="conduit ends",
        value=max(map(abs, creep)),
        noting=limits.creep if heat.given else None,
        unit="mm",
        formula="(α_liner − α_conduit)·L·ΔT",
        source=liner.provenance.get("expansion", PRACTICE),
        detail=f"{at_cold} cold, {at_hot} hot ({since})",
    ).saying(
        lambda c: (
            f"From {cold:.0f} to {hot:.0f} degC a liner that nothing holds grows up to "
            f"{figures.words.fine(c.value or 0.0)} out of its conduit, or shrinks as far into it: fit end "
            "caps that hold it, or leave room for it."
        )
    )


def _ageing(ages: tuple[Aged, ...], limits: Limits, words: Words) -> Iterator[Check]:
    """Yield each condition, and a note on those in which a cable fails that is sound as given."""
    for aged in ages:
        condition = aged.condition
        push = "" if aged.push is None else f", push {words.force(aged.push)}"
        yield Check(
            code=f"condition-{condition.name}",
            name=f"Share of the pull that arrives if {condition.name}",
            value=aged.passed,
            formula="the same laws at that friction",
            source=condition.note,
            detail=f"friction {condition.low:.3g} to {condition.high:.3g}: pull {words.force(aged.pull)}"
            f"{push}: {aged_verdict(aged, limits)} by its forces",
        )
    failing = [aged for aged in ages if aged_verdict(aged, limits) == "fail"]
    if failing and all(aged.condition.name not in ("new", "worn") for aged in failing):
        yield _fails_later(failing, limits)


def _fails_later(failing: list[Aged], limits: Limits) -> Check:
    names = " or ".join(aged.condition.name for aged in failing)
    worst = max(failing, key=lambda aged: aged.condition.high)
    little = worst.by_bends < limits.efficiency[1]
    said = [f"only {100 * worst.passed:.0f} % of the pull arrives"] if little else []
    if worst.push is not None and not isfinite(worst.push):
        said.append("a push locks up")
    return Check(
        code="ageing",
        name="Share of the pull that arrives when it is at its worst",
        value=worst.passed if little else None,
        noting=limits.efficiency[1] if little else None,
        at_least=True,
        message=f"New or worn it lets enough through, but {names} it may not: at friction "
        f"{worst.condition.high:.2g} {' and '.join(said)}. Keep it clean and greased, and try it in "
        "that state on the bench.",
    )
