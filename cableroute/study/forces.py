"""Forces of many machines at once, by the kernels of one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import SolverError
from cableroute.figures.forces import core_weight
from cableroute.figures.shape import LEVEL
from cableroute.frozen import frozen
from cableroute.mechanics.pull import pull_forces
from cableroute.mechanics.push import push_forces
from cableroute.mechanics.stiff_core import added_pull, added_push
from cableroute.route.pieces import Route
from cableroute.study.drawn import Drawn


@frozen(eq=False)
class Felt:
    """A force of each machine.

    Parameters
    ----------
    hand : ndarray, shape (k,)
        At the hand, drag and stiffness included; infinite where no force is enough [N].
    stiffness : ndarray, shape (k,)
        What of it the core's stiffness adds [N].
    drag : float or ndarray, shape (k,)
        What of it is measured drag [N].
    along : ndarray, shape (k, joints)
        Along the tight run, hand end first, without either [N].
    """

    hand: Array
    stiffness: Array
    drag: float | Array
    along: Array

    @property
    def bare(self) -> Array:
        """Force at the hand without what stiffness adds, an upper figure that fails nothing [N]."""
        return self.hand - self.stiffness


def pull_of(machines: Drawn) -> Felt:
    """Return the pull of each machine."""
    load, drag = machines.values["load"], machines.figures.cable.drag or 0.0
    along = np.maximum(_pulls(machines, load), 0.0)
    added = added_to(machines, load, pushing=False)
    return Felt(along[:, 0] + drag + added, added, drag, along)


def push_of(machines: Drawn) -> Felt | None:
    """Return the push of each machine; None for a cable that only pulls."""
    figures, load = machines.figures, machines.values["push_load"]
    if figures.push is None:
        return None
    drag = figures.cable.drag or 0.0
    along = push_forces(
        machines.route,
        load=load,
        friction=machines.apparent,
        bending_stiffness=bending(machines),
        clearance=machines.values["clearance"],
    )
    added = added_to(machines, load, pushing=True)
    return Felt(_or_as_it_lies(machines, along[:, 0]) + drag + added, added, drag, along)


def _or_as_it_lies(machines: Drawn, tight: Array) -> Array:
    """Return the push of the tight run, or as it lies if that is more, in full left to itself."""
    run, values = machines.doubts.lying, machines.values
    if run is None:
        return tight
    turn = float(run.wrap)
    more = machines.wrap / turn if turn > LEVEL else 1.0
    lying = push_forces(
        run,
        load=values["push_load"],
        friction=values["friction"] * more,
        bending_stiffness=bending(machines),
        clearance=values["clearance"],
    )[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        one, other = 1.0 / tight, 1.0 / lying  # 0 where it locks up
        shared = one - values["shape"] * np.maximum(one - other, 0.0)
        return np.where(tight > 0.0, 1.0 / shared, 0.0)


def added_to(machines: Drawn, load: Array, *, pushing: bool) -> Array:
    """Return what stiffness adds, between yielding and rigid conduit as the share says [N]."""
    cable = machines.figures.cable
    family, kernel = cable.family, added_push if pushing else added_pull
    if family is None or cable.drag is not None:
        return np.zeros_like(load)
    band = kernel(
        machines.route,
        load=load,
        friction=machines.apparent,
        bending_stiffness=bending(machines),
        clearance=machines.values["clearance"],
        conduit_stiffness=family.conduit_stiffness,
    )
    share = machines.values["stiffness"]
    return np.asarray(band[:, 0] * (1.0 - share) + band[:, 1] * share)


def bending(machines: Drawn) -> Array:
    """EI of each core, from free to locked wires by ratio; stiff enough not to snake if not known."""
    core, share = machines.figures.core, machines.values["stiffness"]
    if core is None:
        return np.ones_like(share)
    return np.asarray(core.bending_stiffness ** (1.0 - share) * core.locked_stiffness**share)


def _pulls(machines: Drawn, load: Array) -> Array:
    """Pull at every joint; one run beyond all bounds does not take the others with it."""
    friction, weight = machines.apparent, core_weight(machines.figures.core)
    try:
        return pull_forces(machines.route, load=load, friction=friction, weight=weight)
    except SolverError:
        return np.concatenate(list(_one_by_one(machines, load, weight)))


def _one_by_one(machines: Drawn, load: Array, weight: float) -> Iterator[Array]:
    friction = machines.apparent
    for i in range(len(load)):
        one = _row(machines.route, i)
        try:
            yield pull_forces(one, load=load[[i]], friction=friction[[i]], weight=weight)
        except SolverError:
            yield np.full((1, 2 * one.legs.shape[-1]), np.inf)


def _row(route: Route, i: int) -> Route:
    """Return one of the runs, still as a batch."""
    batched = [
        field.name for field in fields(route) if field.name not in ("kept", "owners", "through")
    ]
    return replace(route, **{name: getattr(route, name)[i : i + 1] for name in batched})
