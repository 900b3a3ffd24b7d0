"""Integrals of tension along the two cores of a pull pair, and the tension they leave slack."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import SolverError
from cableroute.mechanics.capstan import check_friction
from cableroute.mechanics.lost_motion import pull_integral
from cableroute.route.pieces import Route


def sums(route: Route, friction: ArrayLike) -> tuple[Array, Array]:
    """Integrals of a tension of 1 N at the far end, growing and falling towards the hand."""
    mu = check_friction(friction)
    with np.errstate(over="ignore", invalid="ignore"):  # told below
        rising, falling = (
            pull_integral(route, load=1.0, friction=sense * mu) for sense in (1.0, -1.0)
        )
    if not np.isfinite(rising).all():
        raise SolverError("the tension along the run grows beyond all bounds; check friction")
    return rising, falling


def slack_tension(load: Array, assembled: Array, *, pulled: Array, paying: Array) -> Array:
    """Tension of the slack core at the far end; ``assembled`` is P L."""
    tension: Array = np.maximum(0.0, (2.0 * assembled - load * pulled) / (pulled + paying))
    return tension
