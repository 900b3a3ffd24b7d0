"""What the stiffness of a core adds at the hand, from free wires in a yielding conduit to the worst."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.hardware.family import Family
from cableroute.measure.job import Cable
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.stiff_core import added_pull, added_push, unloaded_drag
from cableroute.route.pieces import Route


def drag_band(
    cable: Cable, route: Route, core: CoreSection | None, *, friction: ArrayLike
) -> Array | None:
    """Estimate the drag without load, last axis; None without cable data [N].

    Least with free wires in a conduit that yields, most with locked ones in a rigid one.
    """
    if core is None or cable.family is None:
        return None
    low, high = (
        _of_wires(unloaded_drag, cable.family, route, stiffness, friction=friction)[..., end]
        for end, stiffness in enumerate((core.bending_stiffness, core.locked_stiffness))
    )
    return np.stack((np.minimum(low, high), high), axis=-1)


def added_to_pull(
    cable: Cable, route: Route, core: CoreSection | None, *, load: ArrayLike, friction: ArrayLike
) -> Array:
    """Return the most that stiffness adds to a pull; nothing where a measured drag has it [N]."""
    return _added(added_pull, cable, route, core, load=load, friction=friction)


def added_to_push(
    cable: Cable, route: Route, core: CoreSection | None, *, load: ArrayLike, friction: ArrayLike
) -> Array:
    """Return the most that stiffness adds to a push; nothing where a measured drag has it [N]."""
    return _added(added_push, cable, route, core, load=load, friction=friction)


def _added(
    kernel: Callable[..., Array],
    cable: Cable,
    route: Route,
    core: CoreSection | None,
    **given: ArrayLike,
) -> Array:
    """Return what locked wires add in a rigid conduit."""
    if cable.drag is not None or core is None or cable.family is None:
        return np.zeros(np.broadcast_shapes(*(np.shape(each) for each in given.values())))
    return _of_wires(kernel, cable.family, route, core.locked_stiffness, **given)[..., 1]


def _of_wires(
    kernel: Callable[..., Array], family: Family, route: Route, stiffness: float, **given: ArrayLike
) -> Array:
    return kernel(
        route,
        bending_stiffness=stiffness,
        clearance=family.clearance,
        conduit_stiffness=family.conduit_stiffness,
        **given,
    )
