"""Forces of one cable: pull, push, drag, and what had to be assumed for them."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, isfinite

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import SolverError
from cableroute.figures.shape import Shapes, times
from cableroute.figures.stiffness import added_to_pull, added_to_push
from cableroute.figures.transmission import Push, Transmission
from cableroute.figures.travel import far_load, reach_of, travel_assumed, travel_of
from cableroute.frozen import frozen
from cableroute.hardware.family import OWN_BUILD
from cableroute.measure.job import Cable
from cableroute.measure.wording import Words
from cableroute.mechanics.capstan import capstan_ratio
from cableroute.mechanics.column import rod_buckling_load
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.pull import pull_forces
from cableroute.mechanics.push import push_forces, snaking_onset
from cableroute.route.pieces import STRAIGHT, Route
from cableroute.units import GRAVITY

#: Friction where neither the file nor a family gives one: steel in polyethylene, new to worn,
#: from memory (Bowden and Tabor; Marks' Standard Handbook) [-].
DEFAULT_FRICTION = (0.10, 0.25)


#: Load where none is given, so that hand forces read as percentages [N].
DEFAULT_LOAD = 100.0


#: Weight of steel, 7850 kg/m3 (from memory), in N/mm^3.
STEEL_WEIGHT = 7850e-9 * GRAVITY


def given_or_assumed(
    cable: Cable, words: Words
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
        notes.append(
            f"the load is the most that the far end resists with {over}: {words.force(load)}"
        )
    elif load is None:
        load = DEFAULT_LOAD
        cent = ", so hand forces read as per cent" if words.force_unit == "N" else ""
        notes.append(f"no load is given: {words.force(load)} is assumed{cent}")
    push_load = cable.push_load
    if push_load is None:
        push_load = load
        if cable.kind == "push-pull":
            notes.append(f"no push load is given: {words.force(push_load)}, the pull, is assumed")
    if cable.family is None:
        notes.append(
            "no cable data are given: snaking, the rod, wire stress and stock length are not "
            "judged; name a family or give a build"
        )
    return friction, load, push_load, (*notes, *travel_assumed(cable, words))


def core_weight(core: CoreSection | None) -> float:
    """Weight of the core along the run; 0 where the core is not known [N/mm]."""
    return core.area * STEEL_WEIGHT if core else 0.0


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


@frozen(eq=False)
class Run:
    """What forces are asked of: a cable, its shapes, its core, and the friction given.

    Parameters
    ----------
    cable : Cable
        The cable as measured.
    shapes : Shapes
        Its shapes.
    core : CoreSection or None
        Its core, where known.
    friction : tuple of float
        Low and high, as given or assumed [-].
    """

    cable: Cable
    shapes: Shapes
    core: CoreSection | None
    friction: tuple[float, float]

    @property
    def apparent(self) -> tuple[float, float]:
        """Friction with which the tight run takes the least and the most force of any shape [-]."""
        return apparent_friction(self.friction, self.shapes)


def apparent_friction(friction: tuple[float, float], shapes: Shapes) -> tuple[float, float]:
    """Scale friction by how much the run may turn over what the tight one does [-].

    The force of a capstan knows the product of friction and wrap only, so the tight run with this
    friction stands for the other shape and for the tape's doubt, spread evenly over its bends.
    """
    (low, high), (least, most) = friction, shapes.growth
    return low * least, high * most


@frozen(eq=False)
class Pulling:
    """A pull, and what it is along the run.

    Parameters
    ----------
    through : Transmission
        Load and hand force.
    along : ndarray, shape (2, joints)
        Pull at every joint of the tight run, hand end first, at the low and the high end [N].
    weight : float
        What the core's weight adds at the high end [N].
    """

    through: Transmission
    along: Array
    weight: float


def pull_through(run: Run, *, load: float) -> Pulling:
    """Work out the pull, weight, drag and, at its high end, stiffness included."""
    apparent, drag = run.apparent, run.cable.drag or 0.0
    tight = run.shapes.tight
    stiff = float(added_to_pull(run.cable, tight, run.core, load=load, friction=apparent[1]))
    pulls = pulls_along(tight, run.core, load=load, friction=apparent)
    low, high = pulls[:, 0].tolist()
    bare = load * float(capstan_ratio(tight.wrap, friction=apparent[1]))
    added = high - bare if isfinite(high) else 0.0
    through = Transmission(load, (low + drag, high + drag + stiff), drag, stiff)
    return Pulling(through, pulls, added)


@frozen(eq=False)
class Pushing:
    """A push, and what it is along the run.

    Parameters
    ----------
    push : Push
        Load, hand force, and what may fold.
    along : ndarray, shape (2, joints)
        Push at every joint of the tight run, hand end first, at the low and the high end [N].
    """

    push: Push
    along: Array


def push_through(run: Run, *, load: float) -> Pushing | None:
    """Work out the push of a cable that pushes, on the tight run and as the conduit lies."""
    cable, shapes = run.cable, run.shapes
    if cable.kind != "push-pull":
        return None
    drag, friction = cable.drag or 0.0, run.apparent[1]
    stiff = float(added_to_push(cable, shapes.tight, run.core, load=load, friction=friction))
    pushes = pushes_along(cable, shapes.tight, run.core, load=load, friction=run.apparent)
    lying = _lying(run, load=load)
    soonest, use = _snakes(run, shapes.tight, pushes[1])
    low, high = float(pushes[0, 0]), max(float(pushes[1, 0]), float(lying[0]))
    push = Push(
        through=Transmission(load, (low + drag, high + drag + stiff), drag, stiff),
        snaking_onset=soonest,
        snaking_use=use,
        rod_buckling=_rod_buckling(cable),
    )
    return Pushing(push, pushes)


def _lying(run: Run, *, load: float) -> Array:
    """Return the push along the shape at the length bought, the tape's doubt of its wrap in it [N]."""
    loose = run.shapes.loose
    friction = run.friction[1] * times(run.shapes.wraps[1], of=float(loose.wrap))
    return pushes_along(run.cable, loose, run.core, load=load, friction=friction)


def _snakes(run: Run, route: Route, pushes: Array) -> tuple[float, float]:
    """Onset of snaking in the bend that comes nearest to it, and the push there over it."""
    onset = snaking_onset(route.radii, **_snaking(run.cable, run.core))
    bent = route.turns > STRAIGHT
    # at the hand side of each bend, where the push is highest
    return _soonest_to_snake(pushes[1:-1:2][bent], onset=onset[bent])


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
