"""What holds a cable and how it lasts, each figure against its limit."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import isfinite

from cableroute.assess import CableAssessment
from cableroute.hardware.wire_strength import OLDER_WIRE_LAWS
from cableroute.measure.wording import Words
from cableroute.output.checks.check import PRACTICE, Check
from cableroute.output.wording import newtons
from cableroute.verdict.figures import Figures
from cableroute.verdict.holding import Anchor
from cableroute.verdict.lasting import Heat, Returning, Strain
from cableroute.verdict.lasting_rules import aged_verdict
from cableroute.verdict.limits import Limits


def holding_checks(cable: CableAssessment, held: Limits, words: Words) -> Iterator[Check]:
    """Yield the figures of clips and anchors.

    Parameters
    ----------
    cable : CableAssessment
        The cable.
    held : Limits
        What they were held against.
    words : Words
        How lengths are written.

    Yields
    ------
    Check
        One for each anchor, one for the brackets where known, one for the clips.
    """
    for anchor in cable.holding.anchors:
        yield _anchor(anchor, held)
    gives = cable.figures.lost.bracket if cable.figures.lost else None
    if gives is not None and cable.figures.travel:
        most = held.bracket_share * cable.figures.travel
        yield Check(
            name="Brackets give",
            value=f"{words.fine(gives, digits=2)} under the pull",
            limit=f"at most {words.fine(most)}",
            margin=words.fine(most - gives),
            formula="F/k; of a plate, k = E·b·t³/(4L³)",
            source="cantilever, any table of beams (from memory); limit: our own choice",
            codes=("bracket-gives",),
        )
    own = [clip.at for clip in cable.holding.clips if clip.kind != "suggested"]
    apart = max(b - a for a, b in pairwise(own))
    yield Check(
        name="Clips apart",
        value=f"{words.length(apart)} at most",
        limit=f"{words.length(cable.holding.spacing)} is usual",
        margin=words.length(cable.holding.spacing - apart),
        formula="(384·EI·f/w)^¼ for a sag of 5 mm, at most 24 in",
        source="table of beams (from memory); AC 43.13-1B para. 11-96a, for wiring",
        codes=("clip-spacing",),
    )


def _anchor(anchor: Anchor, held: Limits) -> Check:
    load = anchor.load
    pushed = f", drawn off by {newtons(load.push)} pushing" if load.push else ""
    limit = margin = would = ""
    if anchor.screws:
        size, count = anchor.screws
        would = f"; set screws {size} that hold twice that: {count}"
    if anchor.band:
        low, high = anchor.band
        band = newtons(low) if round(low) == round(high) else f"{low:.0f} to {high:.0f} N"
        limit = f"{anchor.how}, {band}; {held.anchor_safety:g} times the load is wanted"
        if isfinite(load.greatest):
            margin = newtons(low - held.anchor_safety * load.greatest)
    return Check(
        name=f"Anchor at the {load.end} end",
        value=f"pressed out of the run by {newtons(load.pull)} pulling{pushed}{would}",
        limit=limit,
        margin=margin,
        formula="the core's force at that end, the other way",
        source="statics"
        + ("; screws: two tables that disagree two- to threefold, the lower taken" * bool(would))
        + (f"; factor: {PRACTICE}" * bool(anchor.band)),
        codes=("anchor-holding",),
        where=f"{load.end} anchor",
    )


def lasting_checks(cable: CableAssessment, held: Limits, words: Words) -> Iterator[Check]:
    """Yield the figures of return, strain, heat and friction that changes.

    Parameters
    ----------
    cable : CableAssessment
        The cable.
    held : Limits
        What they were held against.
    words : Words
        How lengths are written.

    Yields
    ------
    Check
        What the data allow.
    """
    figures, lasting = cable.figures, cable.lasting
    if lasting.returning:
        yield _return(lasting.returning, held)
    if lasting.strain:
        yield from _strain(figures, lasting.strain, held)
    if lasting.heat:
        yield from _heat(figures, lasting.heat, words)
    for aged in lasting.ages:
        push = f", push {newtons(aged.push)}" if aged.push is not None else ""
        condition = aged.condition
        yield Check(
            name=f"If {condition.name}",
            value=f"friction {condition.low:.3g} to {condition.high:.3g}: pull "
            f"{newtons(aged.pull)}{push}, {100 * aged.passed:.0f} % of the pull arrives: "
            f"{aged_verdict(aged, held)} by its forces",
            formula="the same laws at that friction",
            source=condition.note,
            codes=("ageing",) if aged_verdict(aged, held) == "fail" else (),
        )


def _return(returning: Returning, held: Limits) -> Check:
    warm, cold = returning.warm, returning.cold
    least = min(float(warm.margin), float(cold.margin))
    marginal, failing = held.return_margin
    return Check(
        name="Return spring",
        value=f"{float(warm.available):.1f} N where weakest; {float(warm.required):.1f} N bring it "
        f"back, {float(cold.required):.1f} N cold",
        limit=f"{marginal:g} times what is needed; fails at {failing:g}",
        margin=f"{least - marginal:z.1f} times" if isfinite(least) else "nothing resists",
        formula="e^(μ·wrap)·(F_hand + D) + F_far",
        source=f"capstan the other way, all drag at the hand; limit: {PRACTICE}; cold: compare "
        "49 CFR 571.124",
        codes=("return-spring",),
    )


def _strain(figures: Figures, strain: Strain, held: Limits) -> Iterator[Check]:
    marginal, failing = (share * strain.strength for share in held.wire_stress)
    stress = strain.bending + strain.direct
    yield Check(
        name="Stress in the wire",
        value=f"{stress:.0f} MPa at {figures.corner_name(strain.corner)}, {strain.bending:.0f} of "
        "it from bending",
        limit=f"{marginal:.0f} MPa; fails above {failing:.0f} MPa",
        margin=f"{marginal - stress:z.0f} MPa",
        formula="E·d/2R + F/A, bend by bend",
        source="Gere, Mechanics of Materials, ex. 5.2; limit: Shigley, table 10-5 (from memory)",
        codes=("wire-stress",),
    )
    if strain.table:
        wire = figures.cable.family.core_wire if figures.cable.family else ""
        low, high = strain.table
        sets = "; 2211/d^0.145 against an older 2060/d^0.163" * (wire == "A228")
        older = ", and an older set" * (wire in OLDER_WIRE_LAWS)
        yield Check(
            name="Strength of the wire",
            value=f"{strain.strength:.0f} MPa {'as given' if strain.given else 'taken'}; {wire} of "
            f"its diameter has {low:.0f} to {high:.0f} MPa",
            formula=f"A/d^m{sets}",
            source=f"Shigley, table 10-4 (from memory){older}",
            codes=("strength-over-table", "strength-assumed"),
        )
    if strain.pushed is not None:
        marginal, failing = (share * strain.strength for share in held.push_stress)
        yield Check(
            name="Stress in the core, pushed",
            value=f"{strain.pushed:.0f} MPa, {strain.snaking:.0f} of it from snaking",
            limit=f"{marginal:.0f} MPa; fails above {failing:.0f} MPa",
            margin=f"{marginal - strain.pushed:z.0f} MPa",
            formula="F/A + EI/R·d/2I, and F·r/2·d/2I where it snakes",
            source="Lubinski et al. 1962 (from memory)",
            codes=("push-stress",),
        )
    if strain.least_ratio is not None:
        wanted = max(strain.least_ratio, held.bend_ratio)
        yield Check(
            name="Bend over core diameter",
            value=f"{strain.ratio:.0f}",
            limit=f"{wanted:.0f}; fails below {strain.least_ratio:.0f}",
            margin=f"{strain.ratio - wanted:z.0f}",
            formula="2R/d; 10, 20, 28 at 1, 10, 20 % of the breaking load",
            source="MIL-F-18372, table before 3.1.1.17.8; for endurance at least "
            f"{held.bend_ratio:g}, a study of 1974, quoted second hand",
            codes=("bend-ratio",),
        )
    yield Check(
        name="Life of a wire flexed there",
        value=f"{strain.life}, a band and not a count",
        formula="Gerber; 0.50 and 0.53 of the strength for 10⁶ and 10⁵ bends",
        source="Shigley, table 10-10 (from memory)",
        codes=("fatigue",),
    )


def _heat(figures: Figures, heat: Heat, words: Words) -> Iterator[Check]:
    cold, hot = heat.range
    family = figures.cable.family
    span = f"{cold:.0f} to {hot:.0f} °C" + ("" if heat.given else ", what the cable stands")
    since = f"{span}; set at 20"
    if heat.given and family and family.temperature:
        low, high = family.temperature
        yield Check(
            name="Temperature",
            value=span,
            limit=f"{low:.0f} to {high:.0f} °C",
            margin=f"{min(high - hot, cold - low):z.0f} °C",
            formula="range it works at against what the cable stands",
            source="limit: the cable's own data",
            codes=("temperature",),
        )
    cold_play, hot_play = (words.fine(play, digits=2, sign="+") for play in heat.free_play)
    yield Check(
        name="Free play, cold and hot",
        value=f"{cold_play.removesuffix(' mm')} and {hot_play} ({since})",
        formula="(α_core − α_conduit)·L·ΔT",
        source="linear expansion; both lie between the same brackets",
    )
    if heat.creep and heat.liner:
        cold_creep, hot_creep = (words.fine(creep, sign="+") for creep in heat.creep)
        yield Check(
            name="Liner out of its conduit",
            value=f"{cold_creep} cold, {hot_creep.removesuffix(' mm')} hot, if it is free ({since})",
            formula="(α_liner − α_conduit)·L·ΔT",
            source=heat.liner.provenance.get("expansion", PRACTICE),
            codes=("liner-creep",),
        )
