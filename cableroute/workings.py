"""Every figure of one cable: fit the route, then forces, stresses and lengths."""

from __future__ import annotations

from math import hypot, isfinite

import numpy as np

from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.hardware.stock import choose_stock, core_length, overall_length
from cableroute.measure.job import Cable, Job
from cableroute.measure.keepout import KeepOut
from cableroute.mechanics.capstan import capstan_ratio
from cableroute.mechanics.column import rod_buckling_load
from cableroute.mechanics.construction import CoreSection, core_section
from cableroute.mechanics.drag import zero_load_drag
from cableroute.mechanics.lost_motion import LostMotion, lost_motion
from cableroute.mechanics.pull import pull_force
from cableroute.mechanics.push import push_forces, snaking_onset
from cableroute.mechanics.surplus import surplus_wrap
from cableroute.mechanics.wire import bending_stress
from cableroute.route.clearance import nearest_to
from cableroute.route.fillet import fit_arcs
from cableroute.route.lay import lay_run, natural_lay
from cableroute.route.pieces import Array, Route
from cableroute.route.survey import steady_points
from cableroute.units import GRAVITY, MM_PER_UNIT
from cableroute.verdict.figures import Clearance, Figures, NaturalLay, Order, Push, Transmission

#: Friction where neither the file nor a family gives one: steel in polyethylene, new to worn,
#: from memory (Bowden and Tabor; Marks' Standard Handbook) [-].
DEFAULT_FRICTION = (0.10, 0.25)
#: Load where none is given, so that hand forces read as percentages [N].
DEFAULT_LOAD = 100.0
#: Weight of steel, 7850 kg/m3 in N/mm^3.
STEEL_WEIGHT = 7850e-9 * GRAVITY


def work_out(cable: Cable, *, job: Job, lay: bool = False) -> Figures:
    """Fit one cable's route and work out its forces, stresses and lengths.

    Parameters
    ----------
    cable : Cable
        The cable as measured.
    job : Job
        The job it belongs to, for the tape's tolerance.
    lay : bool
        Whether to work out the natural lay too.

    Returns
    -------
    Figures
        Everything that the rules and the outputs need.
    """
    family = cable.family
    friction, load, push_load, assumed = _given_or_assumed(cable)
    radii = _radii(cable)
    survey = steady_points(
        cable.points,
        tolerance=job.tape_tolerance,
        min_bend_radius=radii,
        fixed=np.array([fix == "anchor" for fix in cable.fixes] or [False] * len(cable.points)),
    )
    route = fit_arcs(survey.points, min_bend_radius=radii)
    core = None
    if family:
        core = core_section(
            family.construction, diameter=family.core_od, modulus=family.core_modulus
        )
    drag = cable.drag or 0.0
    pull, weight_force = _pull(route, core, load=load, friction=friction, drag=drag)
    push = _push(cable, route, core, load=push_load, friction=friction)
    bend_stress = None
    if core and family:
        stress = bending_stress(
            core.wire_diameter, radius=route.min_radius, modulus=family.core_modulus
        )
        bend_stress = float(stress)
    order = _order(cable, route, tolerance=job.tape_tolerance, in_feet=job.unit in ("in", "ft"))
    return Figures(
        cable=cable,
        route=route,
        survey=survey,
        friction=friction,
        core=core,
        bend_stress=bend_stress,
        pull=pull,
        drag_estimate=_drag(cable, route, core, friction=friction[1]),
        weight_force=weight_force,
        push=push,
        lost=_lost(cable, route, core, load=load, friction=friction[1]),
        travel=cable.travel or (family.stroke if family else None),
        order=order,
        clearances=tuple(_clearance(route, zone, family) for zone in job.keepouts),
        lay=_natural_lay(cable, route, order) if lay else None,
        tolerance=job.tape_tolerance,
        assumed=job.notes + assumed,
    )


def _natural_lay(cable: Cable, route: Route, order: Order) -> NaturalLay:
    """Lay the conduit through its points as clips, and what is bought beyond that in one span."""
    points, along = route.points, route.directions
    # an anchor holds the conduit's direction; between two legs that is their mean
    held: list[Array | None] = [
        along[i - 1] + along[i] if _is_anchor(cable, int(route.kept[i])) else None
        for i in range(1, len(points) - 1)
    ]
    longest = int(np.argmax(route.legs))
    try:
        spans = lay_run(points, directions=[along[0], *held, along[-1]])
        span = swallowed = spans[longest]
        length = sum(each.length for each in spans)
        choice = order.choice
        bought = order.conduit + choice.slack if choice and choice.slack is not None else None
        spare = None if bought is None else bought - length
        if spare is not None and spare > 0.0:
            swallowed = natural_lay(
                points[longest],
                span.tangents[0],
                points[longest + 1],
                span.tangents[-1],
                length=span.length + spare,
            )
    except CableRouteError as error:
        return NaturalLay(failure=str(error))
    return NaturalLay(
        length=length,
        wrap=sum(each.wrap for each in spans),
        min_radius=min(each.min_bend_radius for each in spans),
        spare=spare,
        slack_wrap=swallowed.wrap - span.wrap,
        slack_radius=swallowed.min_bend_radius,
        slack_span=longest,
    )


def _is_anchor(cable: Cable, point: int) -> bool:
    return point < len(cable.fixes) and cable.fixes[point] == "anchor"


def _clearance(route: Route, zone: KeepOut, family: Family | None) -> Clearance:
    nearest = nearest_to(route, zone.shape)
    outside = 0.5 * family.conduit_od if family else 0.0
    return Clearance(zone, nearest, clear=nearest.distance - outside)


def _given_or_assumed(
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
        notes.append("friction is the family's; measure it on the bench")
    load = cable.load
    if load is None:
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


def _radii(cable: Cable) -> float | Array:
    """One radius, or one a corner where single points have their own."""
    own = cable.point_radii[1:-1]
    if not any(own):
        return cable.bend_radius
    return np.array([radius or cable.bend_radius for radius in own])


def _pull(
    route: Route,
    core: CoreSection | None,
    *,
    load: float,
    friction: tuple[float, float],
    drag: float,
) -> tuple[Transmission, float]:
    """Work out the pull, weight and drag included, and what the weight adds at high friction."""
    weight = core.area * STEEL_WEIGHT if core else 0.0
    hands = pull_force(route, load=load, friction=np.array(friction), weight=weight)
    low, high = np.maximum(hands, 0.0).tolist()  # a core that its own weight pulls asks no force
    bare = load * float(capstan_ratio(route.wrap, friction=friction[1]))
    added = high - bare if isfinite(high) else 0.0
    return Transmission(load, (low + drag, high + drag), drag), added


def _push(
    cable: Cable,
    route: Route,
    core: CoreSection | None,
    *,
    load: float,
    friction: tuple[float, float],
) -> Push | None:
    """Work out the push; without cable data the core is taken as too stiff to snake."""
    if cable.kind != "push-pull":
        return None
    family = cable.family
    stiffness = core.bending_stiffness if core else 1.0
    clearance = family.clearance if family else 0.0
    forces = push_forces(
        route,
        load=load,
        friction=np.array(friction),
        bending_stiffness=stiffness,
        clearance=clearance,
    )
    onset = snaking_onset(route.radii, bending_stiffness=stiffness, clearance=clearance)
    entering = forces[1, 1:-1:2]  # at the hand side of each bend, where it is highest
    use = np.max(
        np.divide(entering, onset, where=route.turns > 0.0, out=np.zeros_like(onset)), initial=0.0
    )
    drag = cable.drag or 0.0
    low, high = (forces[:, 0] + drag).tolist()
    return Push(
        through=Transmission(load, (low, high), drag),
        snaking_onset=float(np.min(onset, initial=np.inf)),
        snaking_use=float(use),
        rod_buckling=_rod_buckling(cable),
    )


def _drag(cable: Cable, route: Route, core: CoreSection | None, *, friction: float) -> float | None:
    if core is None or cable.family is None:
        return None
    return zero_load_drag(
        route,
        friction=friction,
        bending_stiffness=core.bending_stiffness,
        clearance=cable.family.clearance,
    )


def _lost(
    cable: Cable, route: Route, core: CoreSection | None, *, load: float, friction: float
) -> LostMotion | None:
    """Work out lost motion; a cable that only pulls never crosses its clearance."""
    family = cable.family
    if core is None or family is None:
        return None
    return lost_motion(
        route,
        load=load,
        friction=friction,
        clearance=family.clearance if cable.kind == "push-pull" else 0.0,
        axial_stiffness=core.axial_stiffness,
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


def _order(cable: Cable, route: Route, *, tolerance: float, in_feet: bool) -> Order:
    """Lengths to order; the stock list in feet for a tape in feet and inches."""
    family = cable.family
    conduit = float(route.length)
    ends = (family.end_allowance if family else None) or 0.0
    stroke = cable.travel or (family.stroke if family else None) or 0.0
    measure = family.stock_measure if family else "conduit"
    need = overall_length(conduit, end_allowance=ends) if measure == "overall" else conduit
    # moving a point by its tolerance lengthens the run by the change of direction there
    doubt = tolerance * hypot(2.0**0.5, float(np.linalg.norm(2.0 * np.sin(0.5 * route.turns))))
    stock: tuple[float, ...] = ()
    if family:
        feet = tuple(float(MM_PER_UNIT["ft"]) * length for length in family.stock_lengths_ft)
        stock = (feet or family.stock_lengths) if in_feet else (family.stock_lengths or feet)
    choice = None
    if stock:
        choice = choose_stock(need, stock_lengths=stock, slack=cable.slack, doubt=doubt)
    surplus = choice.slack if choice and choice.slack else 0.0
    return Order(
        conduit=conduit,
        core=core_length(conduit, end_allowance=ends, stroke=stroke),
        need=need,
        measure=measure,
        doubt=doubt,
        choice=choice,
        surplus_wrap=float(surplus_wrap(max(surplus, 0.0), span=conduit)),
    )
