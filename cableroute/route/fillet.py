"""Tangent arcs at the corners of a measured polyline."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cableroute.errors import GeometryError
from cableroute.route.pieces import Array, Route, at_both_ends

#: Points closer than this [mm] are one point.
COINCIDENT = 1e-6
#: A turn within this [rad] of a half turn is a reversal: its tangents would be endless.
REVERSAL = 1e-6


def fit_arcs(points: ArrayLike, *, min_bend_radius: ArrayLike) -> Route:
    r"""Join the points by straight legs and put a tangent arc in each corner.

    Each corner lies in the plane of its own two legs. With :math:`\theta` the turn (deflection
    from straight on) and :math:`R` the bend radius, the arc begins and ends at
    :math:`T = R \tan(\theta/2)` from the corner point and is :math:`R\theta` long. It fits when
    the tangents at both ends of every leg leave room: :math:`T_i + T_{i+1} \le L_i`. Where they do
    not, the arcs shrink to the largest radii that fit (all corners held by one leg by the same
    factor) and the route says so; that is a finding, not an error.

    Parameters
    ----------
    points : array-like, shape (..., n, 3)
        Points from the hand end to the far end [mm]; any leading axes are a batch of routes.
    min_bend_radius : array-like
        Least bend radius to the conduit's centreline [mm]: one number, or one for each of the
        ``n - 2`` interior points.

    Returns
    -------
    Route
        The fitted route; coincident points are dropped (``kept`` tells which stayed).

    Raises
    ------
    GeometryError
        For fewer than two distinct points, a value that is not finite, a radius that is not
        above zero, a reversal (a turn of 180 degrees), or a batch in which points coincide in
        some routes only.

    Notes
    -----
    The turn comes from :math:`\tan^2(\theta/2) = q / (4 - q)` with
    :math:`q = |u_2 - u_1|^2` for the unit vectors of the legs, which keeps its relative accuracy
    down to tiny turns, where the arccos of a dot product has lost all its digits. [1]_

    References
    ----------
    .. [1] W. Kahan, "How Futile are Mindless Assessments of Roundoff in Floating-Point
       Computation?", 2006, section 12 (from memory).

    Examples
    --------
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> round(route.length, 4), bool(route.fits)
    (657.0796, True)
    """
    given = check_points(points)
    wanted = check_radii(min_bend_radius, corners=given.shape[-2] - 2)
    vertices, kept, steps, legs = _distinct(given)
    directions = np.divide(steps, legs[..., None], out=steps)
    half_tangent = _half_turn_tangents(directions, kept)
    turns = 2.0 * np.arctan(half_tangent)
    if wanted.ndim and len(kept) < given.shape[-2]:
        wanted = wanted[..., kept[1:-1] - 1]
    radii = wanted_radii = np.broadcast_to(wanted, turns.shape)
    tangents = wanted_radii * half_tangent
    crowded = (at_both_ends(tangents) > legs).any(-1)
    if crowded.any():
        radii = wanted_radii.copy()
        radii[crowded] *= _fair_share(tangents[crowded], legs[crowded])
    return Route(vertices, kept, directions, legs, turns, wanted_radii, radii)


def check_points(points: ArrayLike) -> Array:
    """Return points as a float64 array, or say what is wrong with them.

    Parameters
    ----------
    points : array-like, shape (..., n, 3)
        Points with n of two or more [mm].

    Returns
    -------
    ndarray, shape (..., n, 3)
        The same points [mm].

    Raises
    ------
    GeometryError
        When they are not numbers, not three to a point, fewer than two, or not finite.
    """
    try:
        array = np.asarray(points, dtype=np.float64)
    except (TypeError, ValueError) as error:
        msg = f"points: expected numbers of shape (n, 3), got something else ({error})"
        raise GeometryError(msg) from error
    if array.ndim < 2 or array.shape[-1] != 3:
        msg = f"points: expected x, y, z for each, shape (n, 3), got shape {array.shape}"
        raise GeometryError(msg)
    if array.shape[-2] < 2:
        msg = f"points: expected at least two, got {array.shape[-2]}"
        raise GeometryError(msg)
    if not np.isfinite(array).all():
        row = np.argwhere(~np.isfinite(array))[0]
        msg = f"point {row[-2] + 1}: expected finite numbers, got {array[tuple(row[:-1])].tolist()}"
        raise GeometryError(msg)
    return array


def check_radii(radii: ArrayLike, *, corners: int) -> Array:
    """Return bend radii as a float64 array, or say what is wrong with them.

    Parameters
    ----------
    radii : array-like
        One radius, or one a corner on the last axis [mm].
    corners : int
        Number of interior points [-].

    Returns
    -------
    ndarray
        The same radii [mm].

    Raises
    ------
    GeometryError
        When one is not a finite number above zero, or their number is wrong.
    """
    try:
        array = np.asarray(radii, dtype=np.float64)
    except (TypeError, ValueError) as error:
        msg = f"bend radius: expected a number or one per corner, got {radii!r}"
        raise GeometryError(msg) from error
    if array.ndim and array.shape[-1] != corners:
        msg = f"bend radius: expected one for each of {corners} corners, got {array.shape[-1]}"
        raise GeometryError(msg)
    if not (np.isfinite(array) & (array > 0.0)).all():
        msg = f"bend radius: expected numbers above 0 mm, got {radii!r}"
        raise GeometryError(msg)
    return array


def _distinct(points: Array) -> tuple[Array, NDArray[np.intp], Array, Array]:
    """Drop points that lie on the one before; return points, their indices, steps and legs."""
    kept = np.arange(points.shape[-2])
    steps = np.diff(points, axis=-2)
    legs = _norm(steps)
    same = legs <= COINCIDENT
    if not same.any():
        return points, kept, steps, legs
    column = same.reshape(-1, same.shape[-1])
    if not (column.all(0) | ~column.any(0)).all():
        route, leg = np.argwhere(column)[0]
        msg = (
            f"route {route} of the batch: points {leg + 1} and {leg + 2} coincide,"
            " but not in every route"
        )
        raise GeometryError(msg)
    kept = np.concatenate(([0], 1 + np.flatnonzero(~column.any(0))))
    if len(kept) < 2:
        msg = f"points: expected at least two distinct ones, got {points.shape[-2]} at one place"
        raise GeometryError(msg)
    if kept[-1] != points.shape[-2] - 1:
        kept[-1] = points.shape[-2] - 1  # the far end stays itself; its twin goes
    points = points[..., kept, :]
    steps = np.diff(points, axis=-2)
    return points, kept, steps, _norm(steps)


def _half_turn_tangents(directions: Array, kept: NDArray[np.intp]) -> Array:
    """``tan(turn / 2)`` at each corner."""
    chords = np.diff(directions, axis=-2)
    q = np.einsum("...i,...i->...", chords, chords)
    back = q >= 4.0 * (1.0 - (0.5 * REVERSAL) ** 2)
    if back.any():
        corner = np.argwhere(back)[0][-1]
        msg = (
            f"point {kept[corner + 1] + 1}: the route turns straight back on itself (180 degrees);"
            " expected less than that: add a point where the loop goes round"
        )
        raise GeometryError(msg)
    half: Array = np.sqrt(q / (4.0 - q))
    return half


def _fair_share(tangents: Array, legs: Array) -> Array:
    """Share of its wanted tangent that each corner gets, so that every leg has room.

    Water filling: all shares rise together; where a leg is full its two corners stop, the others
    go on rising. No corner could have more without one that has less or equal losing some.

    Parameters
    ----------
    tangents : ndarray, shape (k, m - 2)
        Wanted tangent lengths [mm].
    legs : ndarray, shape (k, m - 1)
        Leg lengths [mm].
    """
    share = np.ones_like(tangents)
    is_open = tangents > 0.0
    while is_open.any():
        room = legs - at_both_ends(np.where(is_open, 0.0, share * tangents))
        demand = at_both_ends(np.where(is_open, tangents, 0.0))
        level = np.minimum(1.0, np.divide(room, demand, out=np.ones_like(room), where=demand > 0.0))
        reach = np.where(is_open, np.minimum(level[..., :-1], level[..., 1:]), np.inf)
        lowest = reach.copy()  # of the corner and its neighbours
        np.minimum(lowest[..., 1:], reach[..., :-1], out=lowest[..., 1:])
        np.minimum(lowest[..., :-1], reach[..., 1:], out=lowest[..., :-1])
        settle = is_open & (reach <= lowest)
        share[settle] = reach[settle]
        is_open &= ~settle
    return share


def _norm(vectors: Array) -> Array:
    norm: Array = np.sqrt(np.einsum("...i,...i->...", vectors, vectors))
    return norm
