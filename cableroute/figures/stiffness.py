"""What the stiffness of a core adds at the hand, from free wires in a yielding conduit to the worst."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.measure.job import Cable
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.stiff_core import added_pull, added_push, unloaded_drag
from cableroute.route.pieces import Route


def drag_band(
    cable: Cable, route: Route, core: CoreSection | None, *, friction: ArrayLike
) -> Array | None:
    """Estimate the drag without load, least and most, last axis; None without cable data [N]."""
    return _band(unloaded_drag, cable, route, core, friction=np.asarray(friction))


def added_to_pull(
    cable: Cable, route: Route, core: CoreSection | None, *, load: ArrayLike, friction: ArrayLike
) -> Array:
    """Return the most that stiffness adds to a pull; nothing where a measured drag has it [N]."""
    return _added(added_pull, cable, route, core, load=load, friction=np.asarray(friction))


def added_to_push(
    cable: Cable, route: Route, core: CoreSection | None, *, load: ArrayLike, friction: ArrayLike
) -> Array:
    """Return the most that stiffness adds to a push; nothing where a measured drag has it [N]."""
    return _added(added_push, cable, route, core, load=load, friction=np.asarray(friction))


def _added(
    kernel: Callable[..., Array],
    cable: Cable,
    route: Route,
    core: CoreSection | None,
    **given: Any,
) -> Array:
    band = None if cable.drag is not None else _band(kernel, cable, route, core, **given)
    none = np.zeros(np.broadcast_shapes(*(np.shape(each) for each in given.values())))
    return none if band is None else band[..., 1]


def _band(
    kernel: Callable[..., Array],
    cable: Cable,
    route: Route,
    core: CoreSection | None,
    **given: Any,
) -> Array | None:
    """Least with free wires in a conduit that yields, most with locked ones in a rigid one."""
    family = cable.family
    if core is None or family is None:
        return None
    given |= {"clearance": family.clearance, "conduit_stiffness": family.conduit_stiffness}
    low, high = (
        kernel(route, bending_stiffness=stiffness, **given)[..., end]
        for end, stiffness in enumerate((core.bending_stiffness, core.locked_stiffness))
    )
    return np.stack((np.minimum(low, high), high), axis=-1)
