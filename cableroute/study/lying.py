"""Whether a push along the shape in which the conduit lies may take more than the tight run's."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.cable import Figures
from cableroute.figures.shape import times
from cableroute.mechanics.push import push_forces
from cableroute.route.pieces import Route

#: Of the push load and of the clearance, what is tried [-].
_TRIED = (0.5, 1.0, 2.0)


def lying_harder(figures: Figures) -> Route | None:
    """Return the shape in which a cable lies where it may be pushed harder so; mostly it is not.

    With as much wrap the tight run has its turns in bends as tight as may be and the rest in straights,
    where a core snakes from the first newton on. A shape that lies takes more only where it is far
    longer: where it did not settle. Tried at both ends of friction, about the load and the clearance.
    """
    push, core, family = figures.push, figures.core, figures.cable.family
    if push is None or core is None or family is None:
        return None
    tight, lying = figures.route, figures.shapes.loose
    most = figures.wraps[1]
    tried = np.array(_TRIED)

    def pushes(run: Route, friction: float) -> Array:
        return push_forces(
            run,
            load=push.through.load * tried[:, None],
            friction=friction * times(most, of=float(run.wrap)),
            bending_stiffness=core.bending_stiffness,
            clearance=family.clearance * tried,
        )[..., 0]

    harder = any((pushes(lying, mu) > pushes(tight, mu)).any() for mu in figures.friction)
    return lying if harder else None
