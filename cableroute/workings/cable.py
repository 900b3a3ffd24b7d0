"""Every figure of one cable: fit the route, then forces, stresses and lengths."""

from __future__ import annotations

import numpy as np

from cableroute.measure.job import Cable, Job
from cableroute.mechanics.construction import core_section
from cableroute.mechanics.wire import bending_stress
from cableroute.route.fillet import fit_arcs
from cableroute.route.survey import steady_points
from cableroute.verdict.figures import Figures
from cableroute.workings import _forces, _shape
from cableroute.workings._holding import brackets_give


def work_out(cable: Cable, *, job: Job, lay: bool = False) -> Figures:
    """Fit one cable's route and work out its forces, stresses and lengths.

    Parameters
    ----------
    cable : Cable
        The cable as measured.
    job : Job
        The job it belongs to, for the tape's tolerance and unit.
    lay : bool
        Whether to work out the natural lay too.

    Returns
    -------
    Figures
        Everything that the rules and the outputs need.
    """
    family = cable.family
    friction, load, push_load, assumed = _forces.given_or_assumed(cable)
    radii = _shape.wanted_radii(cable)
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
    pull, weight_force = _forces.pull_through(route, core, load=load, friction=friction, drag=drag)
    push = _forces.push_through(cable, route, core, load=push_load, friction=friction)
    push_lost = _forces.push_travel_lost(cable, route, core, load=push_load, friction=friction[1])
    bend_stress = None
    if core and family:
        stress = bending_stress(
            core.wire_diameter, radius=route.min_radius, modulus=family.core_modulus
        )
        bend_stress = float(stress)
    order = _shape.lengths_to_order(
        cable, route, tolerance=job.tape_tolerance, in_feet=job.unit in ("in", "ft")
    )
    return Figures(
        cable=cable,
        route=route,
        survey=survey,
        friction=friction,
        core=core,
        bend_stress=bend_stress,
        pull=pull,
        drag_estimate=_forces.drag_estimate(cable, route, core, friction=friction[1]),
        weight_force=weight_force,
        push=push,
        lost=_forces.travel_lost(
            cable,
            route,
            core,
            load=load,
            hand=pull.inputs[1],
            friction=friction[1],
            bracket=brackets_give(cable.anchors, pull),
            pushed=push_lost,
            pushed_bracket=brackets_give(cable.anchors, push.through) if push else None,
        ),
        push_lost=push_lost,
        travel=_forces.travel_of(cable),
        order=order,
        clearances=tuple(_shape.clearance_to(route, zone, family) for zone in job.keepouts),
        lay=_shape.lay_of(cable, route, order) if lay else None,
        tolerance=job.tape_tolerance,
        assumed=job.notes + assumed,
        unit=job.unit,
    )
