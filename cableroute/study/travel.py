"""Travel that many machines lose, by the formulas of one."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.travel import ANY_SPACING, stiffness_of
from cableroute.mechanics.conduit_shift import conduit_shift
from cableroute.mechanics.lost_motion import (
    clearance_travel,
    compliances,
    pull_integral,
    worn_clearance,
)
from cableroute.mechanics.push_travel import push_travel
from cableroute.study.drawn import Drawn
from cableroute.study.forces import Felt, bending


def travel_of(machines: Drawn, pull: Felt, push: Felt | None) -> dict[str, Array]:
    """Return travel that is lost, and that arrives; nothing where the cable's data are not known."""
    figures = machines.figures
    core, family = figures.core, figures.cable.family
    if core is None or family is None or figures.lost is None:
        return {}
    route, load, friction = machines.route, machines.values["load"], machines.apparent
    each = compliances(core.axial_stiffness, conduit_stiffness=family.conduit_axial)
    pulling = pull_integral(route, load=load, friction=friction)
    lost = pulling * sum(each) + _brackets(machines, pull.hand, load)
    letting_back = pull_integral(route, load=load, friction=-friction)
    hysteresis = (pulling - letting_back) * sum(each)
    if push is None:
        return arriving(machines, lost + hysteresis + curls(machines, load))
    far = machines.values["push_load"]
    crossing = clearance_travel(machines.wrap, clearance=machines.values["clearance"])
    lost = lost + crossing + curls(machines, load + far)
    other = _pushed(machines, far) + _brackets(machines, push.hand, far)
    jammed = ~np.isfinite(other)
    told = arriving(machines, lost + np.where(jammed, hysteresis, other))
    if "arrives" in told:
        told["arrives"] = np.where(jammed, 0.0, told["arrives"])
    return told


def arriving(machines: Drawn, lost: Array) -> dict[str, Array]:
    """Return what is lost, and what of the travel then arrives, where it is known."""
    travel = machines.figures.travel
    return {"lost": lost, **({"arrives": np.maximum(travel - lost, 0.0)} if travel else {})}


def _pushed(machines: Drawn, load: Array) -> Array:
    """Travel that core and conduit give under the push; infinite where it locks up."""
    core, family = machines.figures.core, machines.figures.cable.family
    assert core is not None
    assert family is not None
    pushed = push_travel(
        machines.route,
        load=load,
        friction=machines.apparent,
        bending_stiffness=bending(machines),
        axial_stiffness=core.axial_stiffness,
        clearance=machines.values["clearance"],
        conduit_stiffness=family.conduit_axial,
    )
    return np.asarray(pushed.total)


def _brackets(machines: Drawn, hand: Array, far: Array) -> Array:
    """Travel that the brackets swallow under these forces at their ends."""
    anchors = machines.figures.cable.anchors
    given = np.zeros_like(far)
    for end, force in ((anchors.hand, hand), (anchors.far, far)) if anchors else ():
        if end is not None and end.bracket is not None:
            given = given + force / stiffness_of(end.bracket)
    return given


def curls(machines: Drawn, load: Array) -> Array:
    """Travel that the conduit eats by curling under loads in all, worn and slack: its unsafe end."""
    family = machines.figures.cable.family
    if family is None or family.conduit_stiffness is None:
        return np.zeros_like(machines.wrap)
    slack, _ = family.conduit_stiffness_range or (family.conduit_stiffness,) * 2
    shift = conduit_shift(
        machines.route,
        load=load,
        friction=machines.apparent,
        clip_spacing=ANY_SPACING,
        clearance=worn_clearance(machines.values["clearance"])[:, 1],
        conduit_stiffness=slack,
    )
    return shift.eccentric
