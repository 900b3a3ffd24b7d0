"""How near a route comes to a solid, and where."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cableroute.measure.keepout import Shape
from cableroute.route.pieces import Array, Route

#: Samples along the run at first, and then twice around the nearest.
_COARSE, _FINE = 2001, 101


@dataclass(frozen=True, slots=True, eq=False)
class Nearest:
    """Where a route is nearest to a solid.

    Parameters
    ----------
    distance : float
        From the conduit's centreline to the surface; negative inside [mm].
    at : float
        Distance along the run from the hand end [mm].
    point : ndarray, shape (3,)
        The place on the centreline [mm].
    """

    distance: float
    at: float
    point: Array


def nearest_to(route: Route, shape: Shape) -> Nearest:
    """Find where a route comes nearest to a solid.

    The run is sampled evenly, then twice more around the nearest sample. A distance changes no
    faster than the place, so the result is too large by no more than a 5000th of the coarse step,
    provided that the nearest place lies next to the nearest coarse sample.

    Parameters
    ----------
    route : Route
        One route.
    shape : Shape
        The solid.

    Returns
    -------
    Nearest
        Distance and place.

    Examples
    --------
    >>> from cableroute.measure.keepout import Capsule
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [1000, 0, 0]], min_bend_radius=50)
    >>> ball = Capsule(np.array([300.0, 80.0, 0.0]), np.array([300.0, 80.0, 0.0]), 20.0)
    >>> round(nearest_to(route, ball).distance, 3)
    60.0
    """
    low, high = 0.0, float(route.length)
    for count in (_COARSE, _FINE, _FINE):
        s = np.linspace(low, high, count)
        distances = shape.distance(route.point(s))
        i = int(np.argmin(distances))
        low, high = s[max(i - 1, 0)], s[min(i + 1, count - 1)]
    return Nearest(float(distances[i]), float(s[i]), route.point(s[i]))
