"""Checks of what the wires of a core bear, and how long."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil

from cableroute.figures.cable import Figures
from cableroute.figures.strain import Strain
from cableroute.hardware.family import Family
from cableroute.hardware.wire_strength import OLDER_WIRE_LAWS
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.wire import least_radius
from cableroute.verdict.check import Check
from cableroute.verdict.limits import Limits
from cableroute.verdict.stiffness import sure


def strain_checks(figures: Figures, strain: Strain, limits: Limits) -> Iterator[Check]:
    """Yield stress against strength, pulled and pushed, the strength itself, bend ratio and life."""
    family, core = figures.cable.family, figures.core
    if family is None or core is None:
        return
    yield _pulled(figures, strain, family, core, limits)
    yield _strength(strain, family.core_wire, limits, solid=core.construction == "solid")
    if strain.pushed is not None:
        yield _pushed(figures, strain, strain.pushed, limits)
    if strain.least_ratio is not None:
        yield _bend_ratio(figures, strain, strain.least_ratio, core, limits)
    yield _life(figures, strain, limits)


def _pulled(
    figures: Figures, strain: Strain, family: Family, core: CoreSection, limits: Limits
) -> Check:
    marginal, failing = (share * strain.strength for share in limits.wire_stress)
    radius = float(figures.route.radii[strain.corner])
    words = figures.words

    def message(check: Check) -> str:
        limit = check.limit or 0.0
        mend = "Use a stronger core, or lower the load"
        if limit > strain.direct:
            least = least_radius(
                core.wire_diameter, allowable=limit - strain.direct, modulus=family.core_modulus
            )
            wide = words.length(float(least), rounding=ceil)
            mend = f"Widen that bend to {wide} or use a core of thinner wires"
        return (
            f"The wire sees {check.value:.0f} MPa in the {words.length(radius)} bend; it should stay "
            f"below {limit:.0f} MPa. {mend}."
        )

    check = Check(
        code="wire-stress",
        name="Stress in the wire",
        where=figures.corner_name(strain.corner),
        value=strain.stress,
        marginal=marginal,
        failing=failing,
        unit="MPa",
        formula="E·d/2R + F/A, bend by bend",
        source="Gere, Mechanics of Materials, ex. 5.2; limit: Shigley, table 10-5 (from memory)",
        detail=f"{strain.bending:.0f} of it from bending",
    )
    without = replace(check, value=(strain.sure or strain).stress)
    added = figures.pull.stiffness
    return sure(check, without, message, added=added, words=words, of="its tension")


def _strength(strain: Strain, wire: str, limits: Limits, *, solid: bool) -> Check:
    """Hold a strength as given against the tables, or say what was taken for it."""
    table, message, detail = strain.table, "", ""
    if table:
        detail = f"{wire} of its diameter has {table[0]:.0f} to {table[1]:.0f} MPa"
    if not strain.given:
        taken = f"that of {wire} by the lower of two tables" if solid else "that of control cable"
        message = (
            f"The strength of the core's wire is not given: {strain.strength:.0f} MPa, {taken}, is "
            f"taken. Give core_strength{', or core_wire' if solid else ''}."
        )
    sets = "; 2211/d^0.145 against an older 2060/d^0.163" * (wire == "A228")
    older = ", and an older set" * (wire in OLDER_WIRE_LAWS)
    check = Check(
        code="strength-over-table" if strain.given else "strength-assumed",
        name="Strength of the wire",
        where="core",
        value=strain.strength,
        marginal=table[1] * (1.0 + limits.over_table) if strain.given and table else None,
        unit="MPa",
        formula=f"A/d^m{sets}",
        source=f"Shigley, table 10-4 (from memory){older}",
        detail=detail,
        message=message,
    )
    if not (strain.given and table):
        return check
    low, high = table
    return check.saying(
        lambda _: (
            f"A core_strength of {strain.strength:.0f} MPa is given; {wire} wire of its "
            f"diameter has {low:.0f} to {high:.0f} MPa. See that it is breaking load over metal area, in "
            "MPa."
        )
    )


def _pushed(figures: Figures, strain: Strain, stress: float, limits: Limits) -> Check:
    marginal, failing = (share * strain.strength for share in limits.push_stress)
    snakes = strain.snaking > 0.0
    how = "Pushed, bent and snaking" if snakes else "Pushed and bent"
    mend = "Widen the bends, or use a closer conduit" if snakes else "Widen the bends"
    added = figures.push.through.stiffness if figures.push else 0.0
    check = Check(
        code="push-stress",
        name="Stress in the core, pushed",
        where="pushed core",
        value=stress,
        marginal=marginal,
        failing=failing,
        unit="MPa",
        formula="F/A + EI/R·d/2I, and F·r/2·d/2I where it snakes",
        source="Lubinski et al. 1962 (from memory)",
        detail=f"{strain.snaking:.0f} of it from snaking",
    )
    return sure(
        check,
        replace(check, value=(strain.sure or strain).pushed),
        lambda c: (
            f"{how}, the core sees {stress:.0f} MPa; it should stay below {c.limit:.0f} MPa. "
            f"{mend}."
        ),
        added=added,
        words=figures.words,
        of="the push",
    )


def _bend_ratio(
    figures: Figures, strain: Strain, least: float, core: CoreSection, limits: Limits
) -> Check:
    wanted, known = max(least, limits.bend_ratio), strain.sure or strain
    known_least = known.least_ratio or 0.0
    beyond = "; beyond 20 % of the breaking load that is an extrapolation"

    def message(check: Check) -> str:
        asked = f", {check.limit:.1f} at least under this load" if check.level == "fail" else ""
        return (
            f"The bend is {strain.ratio:.1f} core diameters across; for a strand to last "
            f"{wanted:.1f} are wanted{asked}{beyond if strain.extrapolated else ''}. Widen it to "
            f"{figures.words.length(0.5 * wanted * core.diameter, rounding=ceil)}."
        )

    check = Check(
        code="bend-ratio",
        name="Bend over core diameter",
        where="tightest bend",
        value=strain.ratio,
        marginal=wanted,
        failing=_failing(strain) or _failing(known),
        at_least=True,
        formula="2R/d; 10, 20, 28 at 1, 10, 20 % of the breaking load",
        source="MIL-F-18372, table before 3.1.1.17.8; for endurance at least "
        f"{limits.bend_ratio:g}, a study of 1974, quoted second hand",
    )
    without = replace(check, marginal=max(known_least, limits.bend_ratio), failing=_failing(known))
    added, words = figures.pull.stiffness, figures.words
    return sure(check, without, message, added=added, words=words, of="the pull")


def _failing(strain: Strain) -> float | None:
    """Bend ratio below which a strand fails; none where the table does not reach [-]."""
    return None if strain.extrapolated else strain.least_ratio


def _life(figures: Figures, strain: Strain, limits: Limits) -> Check:
    """Tell the life of a wire flexed there; a note, as few strokes are full and a band is no count."""
    worth_saying = strain.life == "short" and strain.share <= limits.wire_stress[0]
    return Check(
        code="fatigue",
        name="Bending stress at every stroke over the strength",
        where=figures.corner_name(strain.corner),
        value=strain.bending / strain.strength,
        formula="Gerber; 0.50 and 0.53 of the strength for 10⁶ and 10⁵ bends",
        source="Shigley, table 10-10 (from memory)",
        detail=f"life {strain.life}, a band and not a count",
        message=f"Every stroke flexes the core to {strain.bending:.0f} MPa there; spring wire bears "
        "that fewer than a hundred thousand times. Look it over for wear, or widen the bend."
        if worth_saying
        else "",
    )
