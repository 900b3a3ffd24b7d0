"""Where along the run its bends are."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.route.pieces import Route


def arc_middles(route: Route) -> Array:
    """Return how far along a run the middle of each bend is [mm]."""
    arcs = route.arc_lengths
    middles: Array = np.cumsum(np.maximum(route.straights[:-1], 0.0) + arcs) - 0.5 * arcs
    return middles
