"""How one cable fares over its life: return, stress and wear, heat, friction that changes."""

from __future__ import annotations

import numpy as np

from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.hardware.liners import LINERS, Liner
from cableroute.hardware.wire_strength import STRAND_STRENGTH, strength_band
from cableroute.mechanics.ageing import Condition, condition_ranges
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.heat import free_play_change, liner_growth
from cableroute.mechanics.life import fatigue_band, sheave_ratio
from cableroute.mechanics.return_spring import ReturnMargin, return_margin
from cableroute.mechanics.stress import helix_stress, wire_stress
from cableroute.route.pieces import STRAIGHT
from cableroute.verdict.figures import Figures
from cableroute.verdict.lasting import Aged, Heat, Lasting, Returning, Strain
from cableroute.workings._forces import drag_estimate, far_load, pulls_along, pushes_along, reach_of


def lasting_of(figures: Figures) -> Lasting:
    """Work out return, strain, heat, and what each condition of friction asks."""
    family = figures.cable.family
    liner = LINERS.get(family.liner) if family and family.liner else None
    conditions = condition_ranges(figures.friction, liner=liner)
    return Lasting(
        returning=_returning(figures, next(c for c in conditions if c.name == "cold")),
        strain=_strain(figures),
        heat=_heat(figures, liner),
        ages=_ages(figures, conditions),
        resisting=_resisting(figures),
    )


def _resisting(figures: Figures) -> float | None:
    """Return the most that the far end resists with over the travel [N]."""
    resists = figures.cable.resists
    if resists is None or not figures.travel:
        return None
    return far_load(resists).greatest(reach_of(figures.cable))


def _returning(figures: Figures, cold: Condition) -> Returning | None:
    cable = figures.cable
    if cable.kind != "pull" or cable.resists is None:
        return None
    load = far_load(cable.resists)
    spring = load.force(load.places(0.0, figures.travel or 0.0))
    if not spring.any():
        return None  # nothing is said of a spring

    def margin(friction: float, factor: float) -> ReturnMargin:
        return return_margin(
            wrap=figures.route.wrap,
            friction=friction,
            spring=max(float(spring.min()), 0.0),
            drag=_drag_at(figures, friction, factor),
            hand_resistance=cable.hand_resists,
            far_resistance=load.friction,
        )

    return Returning(margin(figures.friction[1], 1.0), margin(cold.high, cold.drag_factor))


def _drag_at(figures: Figures, friction: float, factor: float) -> float:
    """Drag without load: as measured and then times a factor, or estimated at that friction."""
    cable = figures.cable
    if cable.drag is not None:
        return cable.drag * factor
    return drag_estimate(cable, figures.route, figures.core, friction=friction) or 0.0


def _ages(figures: Figures, conditions: tuple[Condition, ...]) -> tuple[Aged, ...]:
    """Hand forces in every condition, all of them in one batch."""
    cable, route, core = figures.cable, figures.route, figures.core
    highs = [condition.high for condition in conditions]
    load = figures.pull.load
    pulls = pulls_along(route, core, load=load, friction=highs)[:, 0]
    pushes = None
    if figures.push:
        along = pushes_along(cable, route, core, load=figures.push.through.load, friction=highs)
        pushes = along[:, 0]
    measured = cable.drag or 0.0
    aged = []
    for i, condition in enumerate(conditions):
        drag = measured * condition.drag_factor
        pull = float(pulls[i])
        passed = load / pull if load > 0.0 and pull > 0.0 else 1.0  # by the bends, drag apart
        push = float(pushes[i]) + drag if pushes is not None else None
        aged.append(Aged(condition, pull + drag, passed, push))
    return tuple(aged)


def _heat(figures: Figures, liner: Liner | None) -> Heat | None:
    cable, family = figures.cable, figures.cable.family
    span = cable.temperature or (family.temperature if family else None)
    if span is None or family is None:
        return None
    length = figures.order.conduit
    free = free_play_change(
        length=length,
        core_expansion=family.core_expansion,
        conduit_expansion=family.conduit_expansion,
        temperature_range=span,
    )
    creep = None
    if liner is not None and liner.name != "none":
        creep = liner_growth(
            length=length,
            liner_expansion=liner.expansion,
            conduit_expansion=family.conduit_expansion,
            temperature_range=span,
        )
    return Heat(
        range=span,
        given=cable.temperature is not None,
        free_play=(float(free[0]), float(free[1])),
        creep=(float(creep[0]), float(creep[1])) if creep else None,
        liner=liner,
    )


def _strain(figures: Figures) -> Strain | None:
    route, family, core = figures.route, figures.cable.family, figures.core
    bent = np.flatnonzero(route.turns > STRAIGHT)
    if family is None or core is None or not len(bent):
        return None
    table = _table_strength(core, family)
    strength = family.core_strength or _assumed_strength(core, table)
    if strength is None:
        return None
    friction, load = figures.friction[1], figures.pull.load
    pulls = pulls_along(route, core, load=load, friction=friction)
    tension = pulls[1:-1:2][bent] + figures.pull.drag
    if not np.isfinite(tension).all():
        return None
    radius = route.radii[bent]
    stress = wire_stress(
        core, radius=radius, tension=tension, modulus=family.core_modulus, strength=strength
    )
    worst, tightest = int(np.argmax(stress.total)), int(np.argmin(radius))
    least = sheave_ratio(tension[tightest] / (core.area * strength))
    bending, direct = float(stress.bending[worst]), float(stress.direct[worst])
    pushed, snaking = _pushed(figures)
    return Strain(
        corner=int(bent[worst]),
        bending=bending,
        direct=direct,
        strength=strength,
        table=table,
        given=family.core_strength is not None,
        pushed=pushed,
        snaking=snaking,
        ratio=2.0 * float(route.min_radius) / core.diameter,
        least_ratio=None if core.construction == "solid" else float(least.least),
        extrapolated=bool(least.extrapolated),
        life=str(fatigue_band(bending, strength=strength, mean=0.5 * bending + direct)),
    )


def _assumed_strength(core: CoreSection, table: tuple[float, float] | None) -> float | None:
    """Return the lower table's strength, or that of control cable for a strand [MPa]."""
    known = [table[0]] if table else []
    if core.construction != "solid":  # seldom of wire as strong as the tables'
        known.append(STRAND_STRENGTH)
    return min(known, default=None)


def _table_strength(core: CoreSection, family: Family) -> tuple[float, float] | None:
    """Return what tables give wire of that kind and diameter; None beyond them [MPa]."""
    try:
        low, high = strength_band(core.wire_diameter, wire=family.core_wire)
    except CableRouteError:
        return None
    return float(low), float(high)


def _pushed(figures: Figures) -> tuple[float | None, float]:
    """Greatest stress of the pushed core, on its straights or in its bends, and the helix's part."""
    route, family, core = figures.route, figures.cable.family, figures.core
    if figures.push is None or figures.push.lockup or core is None or family is None:
        return None, 0.0
    forces = pushes_along(
        figures.cable,
        route,
        core,
        load=figures.push.through.load,
        friction=figures.friction[1],
    )
    radii = np.full(len(forces) - 1, np.inf)
    radii[1::2] = np.where(route.turns > STRAIGHT, route.radii, np.inf)
    stress = helix_stress(
        core,
        force=forces[:-1] + figures.push.through.drag,
        clearance=family.clearance,
        radius=radii,
    )
    worst = int(np.argmax(stress.total))
    return float(stress.total[worst]), float(stress.snaking[worst])
