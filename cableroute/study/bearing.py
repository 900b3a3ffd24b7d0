"""What many machines bear: their wires, what folds first, and the spring that brings them back."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.returning import cold_factors, least_spring
from cableroute.figures.strain import strength_of
from cableroute.hardware.family import Family
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.core_in_guide import core_in_guide, wound_limit
from cableroute.mechanics.life import sheave_ratio
from cableroute.mechanics.lost_motion import worn_clearance
from cableroute.mechanics.push import around_bend
from cableroute.mechanics.return_spring import return_margin
from cableroute.mechanics.stiff_core import unloaded_drag
from cableroute.mechanics.stress import helix_stress, wire_stress
from cableroute.mechanics.validity import ELASTIC
from cableroute.route.pieces import STRAIGHT
from cableroute.study.drawn import Drawn
from cableroute.study.forces import Felt, bending


def wires_of(machines: Drawn, pull: Felt, push: Felt | None) -> dict[str, Array]:
    """Return the stress of the wires [MPa], and the bend ratio beyond the least one for the load [-].

    As for one machine where it fails: without what stiffness adds to the forces; nothing without bends
    or strength; 0 stress where no force is enough.
    """
    figures = machines.figures
    family, core = figures.cable.family, figures.core
    if family is None or core is None or not (figures.route.turns > STRAIGHT).any():
        return {}
    strength = strength_of(core, family)
    if strength is None:
        return {}
    told = _pulled(machines, pull, family, core, strength)
    return told if push is None else told | {"push_wire": _pushed(machines, push, core)}


def _pulled(
    machines: Drawn, pull: Felt, family: Family, core: CoreSection, strength: float
) -> dict[str, Array]:
    route = machines.route
    bent = route.turns > STRAIGHT
    tension = pull.along[:, 1:-1:2] + np.reshape(pull.drag, (-1, 1))
    known = np.isfinite(pull.hand)
    tension = np.where(known[:, None] & bent, tension, 0.0)
    radius = np.where(bent, route.radii, np.inf)
    stress = wire_stress(
        core, radius=radius, tension=tension, modulus=family.core_modulus, strength=strength
    )
    told = {"wire": np.where(known, stress.total.max(-1), 0.0)}
    if core.construction == "solid":
        return told
    tightest = np.argmin(radius, axis=-1)[:, None]
    at_it = np.take_along_axis(tension, tightest, axis=-1)[:, 0]
    least = sheave_ratio(at_it / (core.area * strength))
    room = 2.0 * np.asarray(route.min_radius) / core.diameter - least.least
    # beyond the table it is no more than marginal
    return {**told, "bend_room": np.where(least.extrapolated, np.maximum(room, 0.0), room)}


def _pushed(machines: Drawn, push: Felt, core: CoreSection) -> Array:
    route, runs = machines.route, len(push.hand)
    known = np.isfinite(push.hand)
    force = np.where(known[:, None], push.along[:, :-1], 0.0) + np.reshape(push.drag, (-1, 1))
    radius = np.full((runs, force.shape[-1]), np.inf)
    radius[:, 1::2] = np.where(route.turns > STRAIGHT, route.radii, np.inf)
    stiff = replace(core, bending_stiffness=bending(machines)[:, None])  # type: ignore[arg-type]
    clearance = machines.values["clearance"][:, None]
    stress = helix_stress(stiff, force=force, clearance=clearance, radius=radius)
    return np.where(known, stress.total.max(-1), 0.0)


def folds_of(machines: Drawn, push: Felt | None) -> dict[str, Array]:
    """Return by how much the push may grow until something folds; nothing without cable data [-].

    The weakest of the exposed rod, the bare core in its guide and the core wound in the straight leg
    that is nearest to the hand, each by the push at the hand just then, without what stiffness adds; a
    greater push is felt there before it is at the far end, or jams. Beyond more than one bend without a straight on the hand's
    side, the growth of the push over the others is left out, on the safe side.
    """
    figures = machines.figures
    family, core = figures.cable.family, figures.core
    strength = strength_of(core, family) if core and family else None
    if push is None or core is None or family is None or strength is None:
        return {}
    wire: dict[str, Any] = {
        "bending_stiffness": bending(machines),
        "area": core.area,
        "wire_diameter": core.wire_diameter,
        "yield_strength": ELASTIC * strength,
        "modulus": core.modulus,
    }
    worn = worn_clearance(machines.values["clearance"])[:, 1]
    bears = [_to_the_hand(machines, wound_limit(worn, **wire), worn)]
    rod = figures.push.rod_buckling if figures.push else None
    if rod is not None:
        bears.append(np.full_like(worn, rod))
    if family.guide_bore and family.stroke and family.guide_bore > core.diameter:
        guide = core_in_guide(
            0.0,
            length=family.stroke,
            bore=family.guide_bore,
            core_diameter=core.diameter,
            friction=0.0,
            **wire,
        )
        bears.append(guide.folds_at)
    with np.errstate(divide="ignore", invalid="ignore"):
        times = np.min(bears, axis=0) / push.bare
    return {"folds": np.where(push.bare > 0.0, times, np.inf)}


def _to_the_hand(machines: Drawn, felt: Array, clearance: Array) -> Array:
    """Return the push at the hand when the core in the straight nearest to it feels so much."""
    route = machines.route
    onset = clearance[:, None] / (8.0 * bending(machines)[:, None]) * route.radii[:, :1]
    exponent = (machines.apparent * route.turns[:, 0])[:, None]
    leaving, _ = around_bend(1.0 / felt[:, None], onset, exponent)
    with np.errstate(divide="ignore"):
        beyond = np.where(leaving[:, 0] > 0.0, 1.0 / leaving[:, 0], np.inf)
    straight = route.straights > 0.0
    return np.where(straight[:, 0], felt, np.where(straight.any(-1), beyond, np.inf))


def return_of(machines: Drawn) -> dict[str, Array]:
    """Return the spring over what it must drag back, warm or cold, the less; nothing without one [-].

    ``returns`` is with the stiffness drawn and the most that cold may do, as `check` judges it;
    ``returns_at_best`` with free wires in a conduit that yields and the least that cold does, which
    alone can say that a cable does not come back.
    """
    spring = least_spring(machines.figures)
    if spring is None:
        return {}
    factors = ((1.0, 1.0), *cold_factors(machines.figures))
    warm, mild, cold = (_returns(machines, *spring, *each) for each in factors)
    return {
        "returns": np.minimum(warm[0], cold[0]),
        "returns_at_best": np.minimum(warm[1], mild[1]),
    }


def _returns(
    machines: Drawn, spring: float, far: float, rubs_more: float, drags_more: float
) -> Array:
    """Margin with the stiffness drawn, and with free wires, at friction and drag so much higher."""
    cable, core, family = (
        machines.figures.cable,
        machines.figures.core,
        machines.figures.cable.family,
    )
    if cable.drag is not None:
        drag = np.full((2, len(machines.wrap)), cable.drag * drags_more)
    elif core is None or family is None:
        drag = np.zeros((2, len(machines.wrap)))
    else:
        given: dict[str, Any] = {
            "friction": rubs_more * machines.apparent,
            "clearance": machines.values["clearance"],
            "conduit_stiffness": family.conduit_stiffness,
        }
        free = unloaded_drag(machines.route, bending_stiffness=core.bending_stiffness, **given)
        own = unloaded_drag(machines.route, bending_stiffness=bending(machines), **given)
        share = machines.values["stiffness"]
        drag = np.stack((own[:, 0] * (1.0 - share) + own[:, 1] * share, free[:, 0]))
    found = return_margin(
        wrap=machines.wrap,
        friction=rubs_more * machines.values["friction"],
        spring=np.full((*drag.shape, 1), spring),
        drag=drag,
        hand_resistance=cable.hand_resists,
        far_resistance=far,
    )
    return found.margin
