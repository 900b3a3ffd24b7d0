"""Rules about how a cable fares over its life: return, stress, wear, heat, friction that changes."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, isfinite

from cableroute.mechanics.wire import least_radius
from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding, Level, Verdict, verdict_of
from cableroute.verdict.force_rules import level_of
from cableroute.verdict.lasting import Aged, Heat, Lasting, Returning, Strain
from cableroute.verdict.limits import Limits

#: Where a cable that does not come back by itself hurts.
_MUST_RETURN = ("throttle", "brake", "clutch")


def lasting_findings(figures: Figures, lasting: Lasting, limits: Limits) -> Iterator[Finding]:
    """Yield what is the matter with return, strain, heat and friction that changes.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    lasting : Lasting
        How the cable fares over its life.
    limits : Limits
        What to hold it against.

    Yields
    ------
    Finding
        None, one or more.
    """
    if lasting.returning is not None:
        yield from _return(figures, lasting.returning, limits)
    elif figures.cable.kind == "pull" and figures.cable.controls in _MUST_RETURN:
        yield Finding(
            "return-unknown",
            "marginal",
            "far end",
            f"What brings this {figures.cable.controls} back is not given. Say what its spring pulls "
            "with, resists = { preload, spring, friction }, and it will be held against the "
            "cable's friction and drag, cold too.",
        )
    if lasting.strain is not None:
        yield from _stress(figures, lasting.strain, limits)
        yield from _wear(figures, lasting.strain, limits)
    if lasting.heat is not None:
        yield from _heat(figures, lasting.heat, limits)
    yield from _ageing(figures, lasting.ages, limits)
    yield from _load(figures, lasting.resisting, limits)


def aged_verdict(aged: Aged, limits: Limits) -> Verdict:
    """Return the verdict on a cable in one condition, by how much of the force arrives.

    Parameters
    ----------
    aged : Aged
        The condition.
    limits : Limits
        What to hold it against.

    Returns
    -------
    str
        ``pass``, ``marginal`` or ``fail``.
    """
    if aged.push is not None and not isfinite(aged.push):
        return "fail"
    level = level_of(aged.passed, limits.efficiency)
    return verdict_of([level or "pass"])


def _return(figures: Figures, returning: Returning, limits: Limits) -> Iterator[Finding]:
    states = {"at high friction": returning.warm, "cold": returning.cold}
    state, worst = min(states.items(), key=lambda pair: float(pair[1].margin))
    margin = float(worst.margin)
    marginal, failing = limits.return_margin
    if figures.drag is None:
        yield Finding(
            "return-without-drag",
            "note",
            "whole run",
            "The cable's own drag is not known, so its return spring is held against friction alone. "
            "Measure the force that moves the core with nothing attached, and give it as drag.",
        )
    level: Level | None = "fail" if margin <= failing else "marginal" if margin < marginal else None
    if level is None:
        return
    what = figures.cable.controls
    control = what if what and what != "other" else "lever"
    estimated = figures.cable.drag is None and figures.drag is not None
    drag = ", an upper estimate of the drag in it" if estimated else ""
    spare, wanted = (100.0 * (share - 1.0) for share in (margin, marginal))
    said = f"may come back weakly, {spare:.0f} % to spare where {wanted:.0f} are wanted"
    if level == "fail":
        said = "may not come back"
    danger = (
        "the engine runs on" if what == "throttle" else f"the {control} stays where it was left"
    )
    yield Finding(
        "return-spring",
        level,
        "far end",
        f"This {control} {said}: the spring gives {float(worst.available):.1f} N where it is weakest, {float(worst.required):.1f} N are needed {state}{drag}. Where it sticks, "
        f"{danger}. Use a stronger spring at the far end, and a second one; take out bends.",
        value=margin,
        limit=failing if level == "fail" else marginal,
    )


def _load(figures: Figures, resisting: float | None, limits: Limits) -> Iterator[Finding]:
    """Yield a load below what the far end is said to resist with."""
    load = figures.pull.load
    if resisting is None or resisting <= load * (1.0 + limits.load_differs):
        return
    yield Finding(
        "load-differs",
        "marginal",
        "far end",
        f"The load is given as {load:.0f} N, yet spring, friction and detents of the far end come to "
        f"{resisting:.0f} N. Leave load out to take that, or correct one of them.",
        value=load,
        limit=resisting,
        unit="N",
    )


def _stress(figures: Figures, strain: Strain, limits: Limits) -> Iterator[Finding]:
    family, core, words = figures.cable.family, figures.core, figures.words
    assert family is not None
    assert core is not None
    stress = strain.bending + strain.direct
    if level := level_of(strain.share, limits.wire_stress):
        limit = limits.wire_stress[1 if level == "fail" else 0] * strain.strength
        radius = float(figures.route.radii[strain.corner])
        mend = "Use a stronger core, or lower the load"
        if limit > strain.direct:
            least = least_radius(
                core.wire_diameter, allowable=limit - strain.direct, modulus=family.core_modulus
            )
            wide = words.length(float(least), rounding=ceil)
            mend = f"Widen that bend to {wide} or use a core of thinner wires"
        yield Finding(
            "wire-stress",
            level,
            figures.corner_name(strain.corner),
            f"The wire sees {stress:.0f} MPa in the {words.length(radius)} bend; it should stay "
            f"below {limit:.0f} MPa. {mend}.",
            value=stress,
            limit=limit,
            unit="MPa",
        )
    yield from _strength(strain, family.core_wire, limits, solid=core.construction == "solid")
    if strain.pushed and (level := level_of(strain.pushed / strain.strength, limits.push_stress)):
        limit = limits.push_stress[1 if level == "fail" else 0] * strain.strength
        snakes = strain.snaking > 0.0
        how = "Pushed, bent and snaking" if snakes else "Pushed and bent"
        mend = "Widen the bends, or use a closer conduit" if snakes else "Widen the bends"
        yield Finding(
            "push-stress",
            level,
            "pushed core",
            f"{how}, the core sees {strain.pushed:.0f} MPa; it should stay below {limit:.0f} MPa. "
            f"{mend}.",
            value=strain.pushed,
            limit=limit,
            unit="MPa",
        )


def _strength(strain: Strain, wire: str, limits: Limits, *, solid: bool) -> Iterator[Finding]:
    """Yield a strength that was taken from a table, or that no table gives."""
    if not strain.given:
        taken = f"that of {wire} by the lower of two tables" if solid else "that of control cable"
        yield Finding(
            "strength-assumed",
            "note",
            "core",
            f"The strength of the core's wire is not given: {strain.strength:.0f} MPa, {taken}, is "
            f"taken. Give core_strength{', or core_wire' if solid else ''}.",
            value=strain.strength,
            unit="MPa",
        )
    elif strain.table and strain.strength > strain.table[1] * (1.0 + limits.over_table):
        yield Finding(
            "strength-over-table",
            "marginal",
            "core",
            f"A core_strength of {strain.strength:.0f} MPa is given; {wire} wire of its diameter has "
            f"{strain.table[0]:.0f} to {strain.table[1]:.0f} MPa. See that it is breaking load over "
            "metal area, in MPa.",
            value=strain.strength,
            limit=strain.table[1],
            unit="MPa",
        )


def _wear(figures: Figures, strain: Strain, limits: Limits) -> Iterator[Finding]:
    core = figures.core
    assert core is not None
    least = strain.least_ratio
    if least is not None and strain.ratio < (wanted := max(least, limits.bend_ratio)):
        below = strain.ratio < least and not strain.extrapolated
        level: Level = "fail" if below else "marginal"
        asked = f", {least:.1f} at least under this load" if level == "fail" else ""
        beyond = "; beyond 20 % of the breaking load that is an extrapolation"
        yield Finding(
            "bend-ratio",
            level,
            "tightest bend",
            f"The bend is {strain.ratio:.1f} core diameters across; for a strand to last {wanted:.1f} "
            f"are wanted{asked}{beyond if strain.extrapolated else ''}. Widen it to "
            f"{figures.words.length(0.5 * wanted * core.diameter, rounding=ceil)}.",
            value=strain.ratio,
            limit=least if level == "fail" else wanted,
        )
    if strain.life == "short" and strain.share <= limits.wire_stress[0]:
        yield Finding(
            "fatigue",
            "note",
            figures.corner_name(strain.corner),
            f"Every stroke flexes the core to {strain.bending:.0f} MPa there; spring wire bears that "
            "fewer than a hundred thousand times. Look it over for wear, or widen the bend.",
            value=strain.bending / strain.strength,
        )


def _heat(figures: Figures, heat: Heat, limits: Limits) -> Iterator[Finding]:
    family = figures.cable.family
    if not heat.given or family is None:
        return
    cold, hot = heat.range
    stands = family.temperature
    if stands and (hot > stands[1] or cold < stands[0]):
        too_hot = hot > stands[1]
        quoted = heat.liner.quoted_temperature if heat.liner else None
        within = quoted is not None and hot <= quoted[1]
        level: Level = "fail" if too_hot and not within else "marginal"
        disagree = (
            f" Other sources let the liner go to {quoted[1]:.0f} degC, jacket and grease apart."
            if too_hot and quoted and within
            else ""
        )
        mend = "Choose another liner, or shield it" if too_hot else "Choose a cable for the cold"
        yield Finding(
            "temperature",
            level,
            "whole run",
            f"It works at {cold:.0f} to {hot:.0f} degC; the cable stands {stands[0]:.0f} to "
            f"{stands[1]:.0f} degC.{disagree} {mend}.",
            value=hot if too_hot else cold,
            limit=stands[1] if too_hot else stands[0],
            unit="degC",
        )
    yield from _tightening(figures, heat, limits)
    creep = max(map(abs, heat.creep)) if heat.creep else 0.0
    if creep > limits.creep:
        yield Finding(
            "liner-creep",
            "note",
            "conduit ends",
            f"From {cold:.0f} to {hot:.0f} degC a free liner comes up to {figures.words.fine(creep)} out of "
            "its conduit or draws back into it: hold it by end caps, or leave room for it.",
            value=creep,
            limit=limits.creep,
            unit="mm",
        )


def _tightening(figures: Figures, heat: Heat, limits: Limits) -> Iterator[Finding]:
    """Yield a pull cable that heat or cold pulls tight, which opens a throttle or drags a brake."""
    tighter = -min(heat.free_play)
    if figures.cable.kind != "pull" or tighter <= limits.tightening:
        return
    when = "cold" if heat.free_play[0] < heat.free_play[1] else "hot"
    yield Finding(
        "heat-tightens",
        "marginal",
        "whole run",
        f"{when.capitalize()}, core and conduit differ by {figures.words.fine(tighter)} and the cable is "
        f"pulled that much tighter. Set it with more free play than that, and look at rest when {when}.",
        value=tighter,
        limit=limits.tightening,
        unit="mm",
    )


def _ageing(figures: Figures, ages: tuple[Aged, ...], limits: Limits) -> Iterator[Finding]:
    """Yield the conditions in which a cable fails that does not fail at the friction given."""
    failing = [aged for aged in ages if aged_verdict(aged, limits) == "fail"]
    as_given = any(aged.condition.name in ("new", "worn") for aged in failing)
    if as_given or not failing:
        return
    names = " or ".join(aged.condition.name for aged in failing)
    worst = max(failing, key=lambda aged: aged.condition.high)
    little = worst.passed < limits.efficiency[1]
    said = [f"only {100 * worst.passed:.0f} % of the pull arrives"] if little else []
    if worst.push is not None and not isfinite(worst.push):
        said.append("a push locks up")
    yield Finding(
        "ageing",
        "note",
        "whole run",
        f"As given it does not fail, but {names} it would: at friction {worst.condition.high:.2g} "
        f"{' and '.join(said)}. Keep it clean and greased, and try it that way on the bench.",
        value=worst.passed if little else None,
        limit=limits.efficiency[1] if little else None,
    )
