"""Forces of one cable: pull, push, drag, travel lost, and what had to be assumed for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf, isfinite

import numpy as np

from cableroute.errors import SolverError
from cableroute.hardware.family import OWN_BUILD
from cableroute.measure.job import Cable
from cableroute.measure.load_models import ResistsEntry
from cableroute.mechanics.capstan import capstan_ratio
from cableroute.mechanics.column import rod_buckling_load
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.drag import zero_load_drag
from cableroute.mechanics.far_load import Detent, FarLoad
from cableroute.mechanics.lost_motion import LostMotion, lost_motion
from cableroute.mechanics.pull import pull_forces
from cableroute.mechanics.push import push_forces, snaking_onset
from cableroute.mechanics.push_travel import PushTravel, push_travel
from cableroute.route.pieces import STRAIGHT, Array, Route
from cableroute.units import GRAVITY
from cableroute.verdict.figures import Push, Transmission

#: Friction where neither the file nor a family gives one: steel in polyethylene, new to worn,
#: from memory (Bowden and Tabor; Marks' Standard Handbook) [-].
DEFAULT_FRICTION = (0.10, 0.25)
#: Load where none is given, so that hand forces read as percentages [N].
DEFAULT_LOAD = 100.0
#: Weight of steel, 7850 kg/m3 (from memory), in N/mm^3.
STEEL_WEIGHT = 7850e-9 * GRAVITY


def given_or_assumed(
    cable: Cable,
) -> tuple[tuple[float, float], float, float, tuple[str, ...]]:
    """Friction, load, push load, and what had to be assumed for them."""
    notes = []
    friction = cable.friction or (cable.family.friction if cable.family else None)
    if friction is None:
        friction = DEFAULT_FRICTION
        notes.append(
            f"no friction is given: {friction[0]:g} to {friction[1]:g} is assumed (steel in "
            "polyethylene, from memory); measure it on the bench"
        )
    elif cable.friction is None:
        whose = "build" if cable.family and cable.family.name == OWN_BUILD else "family"
        notes.append(f"friction is the {whose}'s; measure it on the bench")
    load = cable.load
    if load is None and cable.resists is not None:
        load = far_load(cable.resists).greatest(reach_of(cable))
        over = "over the travel" if travel_of(cable) else "at rest, as no travel is given"
        notes.append(f"the load is the most that the far end resists with {over}: {load:.0f} N")
    elif load is None:
        load = DEFAULT_LOAD
        notes.append(f"no load is given: {load:g} N is assumed, so hand forces read as per cent")
    push_load = cable.push_load
    if push_load is None:
        push_load = load
        if cable.kind == "push-pull":
            notes.append(f"no push load is given: {push_load:g} N, the pull, is assumed")
    if cable.family is None:
        notes.append(
            "no cable data are given: snaking, the rod, wire stress and stock length are not "
            "judged; name a family or give a build"
        )
    return friction, load, push_load, tuple(notes)


def travel_of(cable: Cable) -> float | None:
    """Return the travel needed, or else the cable's stroke [mm]."""
    return cable.travel or (cable.family.stroke if cable.family else None)


def reach_of(cable: Cable) -> float:
    """Return how far the far end goes from rest; of what works both ways, half the travel [mm]."""
    return (travel_of(cable) or 0.0) * (1.0 if cable.kind == "pull" else 0.5)


def core_weight(core: CoreSection | None) -> float:
    """Weight of the core along the run; 0 where the core is not known [N/mm]."""
    return core.area * STEEL_WEIGHT if core else 0.0


def far_load(entry: ResistsEntry) -> FarLoad:
    """Return what the far end resists with, as the mechanics take it."""
    return FarLoad(
        preload=entry.preload,
        rate=entry.spring,
        friction=entry.friction,
        dead=entry.dead,
        detents=tuple(Detent(each.at, each.depth, each.width) for each in entry.detents),
    )


def pulls_along(
    route: Route, core: CoreSection | None, *, load: float, friction: float | Sequence[float]
) -> Array:
    """Return the pull at every joint, hand end first, for one friction or for each of several.

    None is below zero: a core that its own weight pulls asks no force. Where a run wraps so much
    that no force is enough (the survey of a shaking hand, say) all of it is infinite.
    """
    try:
        pulls = pull_forces(
            route, load=load, friction=np.asarray(friction), weight=core_weight(core)
        )
    except SolverError:
        if isinstance(friction, Sequence):
            return np.stack([pulls_along(route, core, load=load, friction=mu) for mu in friction])
        return np.full(2 * len(route.legs), np.inf)
    return np.maximum(pulls, 0.0)


def pushes_along(
    cable: Cable,
    route: Route,
    core: CoreSection | None,
    *,
    load: float,
    friction: float | Sequence[float],
) -> Array:
    """Return the push at every joint, hand end first, for one friction or for each of several."""
    return push_forces(route, load=load, friction=np.asarray(friction), **_snaking(cable, core))


def _snaking(cable: Cable, core: CoreSection | None) -> dict[str, float]:
    """Return what snaking depends on; without cable data the core is taken as too stiff for it."""
    return {
        "bending_stiffness": core.bending_stiffness if core else 1.0,
        "clearance": cable.family.clearance if cable.family else 0.0,
    }


def pull_through(
    route: Route,
    core: CoreSection | None,
    *,
    load: float,
    friction: tuple[float, float],
    drag: float,
) -> tuple[Transmission, float]:
    """Work out the pull, weight and drag included, and what the weight adds at high friction."""
    low, high = pulls_along(route, core, load=load, friction=friction)[:, 0].tolist()
    bare = load * float(capstan_ratio(route.wrap, friction=friction[1]))
    added = high - bare if isfinite(high) else 0.0
    return Transmission(load, (low + drag, high + drag), drag), added


def push_through(
    cable: Cable,
    route: Route,
    core: CoreSection | None,
    *,
    load: float,
    friction: tuple[float, float],
) -> Push | None:
    """Work out the push of a cable that pushes."""
    if cable.kind != "push-pull":
        return None
    forces = pushes_along(cable, route, core, load=load, friction=friction)
    onset = snaking_onset(route.radii, **_snaking(cable, core))
    entering = forces[1, 1:-1:2]  # at the hand side of each bend, where it is highest
    bent = route.turns > STRAIGHT
    soonest, use = _soonest_to_snake(entering[bent], onset=onset[bent])
    drag = cable.drag or 0.0
    low, high = (forces[:, 0] + drag).tolist()
    return Push(
        through=Transmission(load, (low, high), drag),
        snaking_onset=soonest,
        snaking_use=use,
        rod_buckling=_rod_buckling(cable),
    )


def _soonest_to_snake(entering: Array, *, onset: Array) -> tuple[float, float]:
    """Onset of the bend whose push comes nearest to it, and that push over it."""
    if len(onset) == 0:
        return inf, 0.0
    with np.errstate(invalid="ignore"):
        uses = entering / onset
    uses = np.where(np.isnan(uses), inf, uses)
    # where all lock up, or nothing is pushed, the lowest
    first = np.lexsort((onset, -uses))[0]
    return float(onset[first]), float(uses[first])


def drag_estimate(
    cable: Cable, route: Route, core: CoreSection | None, *, friction: float
) -> float | None:
    """Estimate the drag without load; None without cable data [N]."""
    if core is None or cable.family is None:
        return None
    return zero_load_drag(
        route,
        friction=friction,
        bending_stiffness=core.bending_stiffness,
        clearance=cable.family.clearance,
    )


def travel_lost(
    cable: Cable,
    route: Route,
    core: CoreSection | None,
    *,
    load: float,
    hand: float,
    friction: float,
    bracket: float | None,
    pushed: PushTravel | None,
    pushed_bracket: float | None,
) -> LostMotion | None:
    """Work out lost motion; a cable that only pulls never crosses its clearance."""
    family = cable.family
    if core is None or family is None or not isfinite(hand):
        return None
    lost = lost_motion(
        route,
        load=load,
        friction=friction,
        clearance=family.clearance if cable.kind == "push-pull" else 0.0,
        axial_stiffness=core.axial_stiffness,
        conduit_stiffness=family.conduit_axial,
    )
    other = float(pushed.total) + (pushed_bracket or 0.0) if pushed else inf
    return replace(lost, bracket=bracket, other_way=other if isfinite(other) else None)


def push_travel_lost(
    cable: Cable, route: Route, core: CoreSection | None, *, load: float, friction: float
) -> PushTravel | None:
    """Work out what pushing loses to core and conduit."""
    family = cable.family
    if core is None or family is None or cable.kind != "push-pull":
        return None
    return push_travel(
        route,
        load=load,
        friction=friction,
        bending_stiffness=core.bending_stiffness,
        axial_stiffness=core.axial_stiffness,
        clearance=family.clearance,
        conduit_stiffness=family.conduit_axial,
    )


def _rod_buckling(cable: Cable) -> float | None:
    family = cable.family
    if family is None or not (family.rod_od and family.rod_exposed and family.rod_yield):
        return None
    load = rod_buckling_load(
        family.rod_od,
        length=family.rod_exposed,
        modulus=family.rod_modulus,
        yield_strength=family.rod_yield,
        end=cable.rod_end,
    )
    return float(load)
