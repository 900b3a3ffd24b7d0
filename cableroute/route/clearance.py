"""How near a route comes to a solid, and where."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.frozen import frozen
from cableroute.measure.keepout import Shape, distances
from cableroute.route.pieces import Route

#: Samples along the run at first, and then twice around the nearest.
_COARSE, _FINE = 2001, 101
#: Of the samples at first every so many are looked at for each solid.
_APART = 20


@frozen(eq=False)
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
    return nearest_to_each(route, (shape,))[0]


def nearest_to_each(route: Route, shapes: Sequence[Shape]) -> list[Nearest]:
    """Find where a route comes nearest to each of many solids, as :func:`nearest_to` does of one.

    Where the run passes is asked once for all of them.

    Parameters
    ----------
    route : Route
        One route.
    shapes : sequence of Shape
        The solids.

    Returns
    -------
    list of Nearest
        Distance and place for each.
    """
    if not shapes:
        return []
    every = np.arange(len(shapes))
    s = np.linspace(0.0, float(route.length), _COARSE)
    i = _nearest_sample(shapes, route.point(s), far_apart=float(s[_APART]))
    s = np.broadcast_to(s, (len(shapes), _COARSE))
    for _ in range(2):
        low, high = np.maximum(i - 1, 0), np.minimum(i + 1, s.shape[1] - 1)
        s = np.linspace(s[every, low], s[every, high], _FINE, axis=-1)
        places = route.point(s.ravel()).reshape(*s.shape, 3)
        found = distances(shapes, every, places)
        i = np.argmin(found, axis=1)
    return [
        Nearest(float(found[k, i[k]]), float(s[k, i[k]]), places[k, i[k]]) for k in every.tolist()
    ]


def _nearest_sample(shapes: Sequence[Shape], places: Array, *, far_apart: float) -> IntArray:
    """Return which of the samples along a run is nearest to each solid.

    Some are looked at first, and of the rest those that the way to their neighbours leaves in question.
    """
    some = places[::_APART]
    found = np.full((len(shapes), len(places)), np.inf)
    first = distances(
        shapes, np.arange(len(shapes)), np.broadcast_to(some, (len(shapes), *some.shape))
    )
    found[:, ::_APART] = first
    # a distance changes no faster than the place
    least = 0.5 * (first[:, :-1] + first[:, 1:] - far_apart)
    which, stretch = np.nonzero(least <= first.min(1, keepdims=True) + 1e-9 * far_apart)
    samples = _APART * stretch[:, None] + np.arange(1, _APART)
    found[which[:, None], samples] = distances(shapes, which, places[samples])
    nearest: IntArray = np.argmin(found, axis=1)
    return nearest
