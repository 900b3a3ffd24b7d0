"""A smooth curve as a route of many small arcs, so that forces and distances are asked of it alike."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.route.fillet import COINCIDENT, fit_arcs
from cableroute.route.given import check_points
from cableroute.route.pieces import Route

#: A place that turns less than this is on a straight [rad].
_LEVEL = 1e-7


def route_along(places: ArrayLike, *, ways: ArrayLike | None = None) -> Route:
    r"""Return the route of arcs that follow places close together on a smooth curve.

    Each corner gets the arc that fills its shorter leg up to the neighbour's,
    :math:`R = h / \tan(\theta/2)`, which tends to the curve's radius there. The corners are the places,
    or, where tangents are given, the places at which those of neighbours meet.

    Parameters
    ----------
    places : array-like, shape (n, 3)
        Places along the curve, from the hand end on [mm].
    ways : array-like, shape (n, 3), optional
        Unit tangents there, towards the far end [-]. Without them half a step of turn is missing at
        each end that is bent.

    Returns
    -------
    Route
        Its length and wrap fall short of the curve's by the square of the spacing.

    Raises
    ------
    GeometryError
        For fewer than two distinct places, or a turn straight back.

    Examples
    --------
    >>> angles = np.linspace(0.0, np.pi / 2, 41)
    >>> quarter = 200.0 * np.stack([np.sin(angles), 1.0 - np.cos(angles), 0.0 * angles], axis=-1)
    >>> route = route_along(quarter)
    >>> round(route.length, 1), round(route.min_radius, 1)
    (314.1, 200.0)
    """
    given = check_points(places)
    steps = np.linalg.norm(np.diff(given, axis=0), axis=1)
    distinct = np.append(True, steps > COINCIDENT)
    corners, steps = given[distinct], steps[distinct[1:]]
    if len(corners) < 3:
        return fit_arcs(given, min_bend_radius=1.0)
    if ways is None:
        return fit_arcs(corners, min_bend_radius=_filling(corners, np.ones(len(corners) - 2)))
    along = np.asarray(ways, dtype=np.float64)[distinct]
    # from a place to where its tangent meets the next one's, as round an arc; 2 cos(θ/2) below
    reach = steps / np.maximum(np.linalg.norm(along[1:] + along[:-1], axis=1), 1.0)
    corners = _meeting(corners, along, reach[:, None])
    return fit_arcs(corners, min_bend_radius=_filling(corners, reach))


def _meeting(places: Array, ways: Array, reach: Array) -> Array:
    """Return both ends, and between them where the tangents of neighbours meet."""
    ahead, back = places[:-1] + reach * ways[:-1], places[1:] - reach * ways[1:]
    return np.vstack([places[:1], 0.5 * (ahead + back), places[-1:]])


def _filling(corners: Array, shares: Array) -> Array:
    """Radius of the arc in each corner that fills its share of the shorter leg [mm].

    Two corners split the leg between them as their `shares`; that to an end is all a corner's own.
    """
    legs = np.diff(corners, axis=0)
    sizes = np.linalg.norm(legs, axis=1)
    ways = legs / sizes[:, None]
    q = ((ways[1:] - ways[:-1]) ** 2).sum(-1)
    tangent = np.sqrt(q / np.maximum(4.0 - q, 1e-300))
    split = np.concatenate(([0.0], shares[:-1] / (shares[:-1] + shares[1:]), [1.0]))
    room = np.minimum((1.0 - split[:-1]) * sizes[:-1], split[1:] * sizes[1:])
    radii: Array = room / np.maximum(tangent, 0.5 * _LEVEL)
    return radii
