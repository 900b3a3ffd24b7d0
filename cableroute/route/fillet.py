"""Tangent arcs: inside the corners of a measured polyline, through its points, along headings."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.errors import GeometryError
from cableroute.route._moved import radii_of_points
from cableroute.route._passing import Asked, run_through
from cableroute.route._tangents import half_turn_tangents, shares
from cableroute.route.given import check_headings, check_points, check_radii, check_through
from cableroute.route.pieces import Route, at_both_ends
from cableroute.route.segments import norm

#: Points closer than this [mm] are one point.
COINCIDENT = 1e-6


def fit_arcs(
    points: ArrayLike,
    *,
    min_bend_radius: ArrayLike,
    through: ArrayLike | None = None,
    headings: ArrayLike | None = None,
) -> Route:
    r"""Join the points by straights and arcs: around the points, through them, or along headings.

    A point is met in one of three ways.

    * *Inside* (the default): it is the corner of two straights, and an arc of the bend radius
      :math:`R` in their plane cuts it off. With :math:`\theta` the turn (deflection from straight
      on), the arc begins and ends at :math:`T = R \tan(\theta/2)` from the corner, is
      :math:`R\theta` long and passes :math:`R(\sec(\theta/2) - 1)` inside of the point.
    * *Through*: the middle of the arc lies on the point. The corners of the straights are solved
      for. Where the legs leave room this is the shortest run through the points that nowhere bends
      tighter than :math:`R`: such a run is made of arcs of least radius and straights [1]_, and
      it is shortest when each point parts its arc in two equal halves of one plane.
    * *Along a heading*: an arc ends on the point and the next begins there, both tangent to the
      heading; an end point has one of the two.

    An arc fits when the tangents at both ends of every leg leave room:
    :math:`T_i + T_{i+1} \le L_i`. Where they do not, the arcs shrink to the largest radii that fit
    (all corners held by one leg by the same factor), still through their points, and the route
    says so; that is a finding, not an error.

    Parameters
    ----------
    points : array-like, shape (..., n, 3)
        Points from the hand end to the far end [mm]; any leading axes are a batch of routes.
    min_bend_radius : array-like
        Least bend radius to the conduit's centreline [mm]: one number, or one for each of the
        ``n - 2`` interior points; with headings also one for each of the ``n`` points, else an end
        held along a heading takes that of its neighbour.
    through : array-like of bool, shape (n,) or (..., n), optional
        Which points the run goes through; True for all. An end is always on the run [-].
    headings : array-like, shape (n, 3) or (..., n, 3), optional
        Direction in which the run meets a point, towards the far end; nan where it is free. Such a
        point is gone through. In a batch the same points are held in all routes [-].

    Returns
    -------
    Route
        The fitted route; coincident points are dropped (``kept`` tells which stayed).

    Raises
    ------
    GeometryError
        For fewer than two distinct points, a value that is not finite, a radius that is not
        above zero, a reversal (a turn of 180 degrees), an end that is not gone through, a heading
        of no length, one so far against the run that no bend fits (in a batch a misfit), or a
        batch in which points coincide in some routes only.

    Notes
    -----
    The turn comes from :math:`\tan^2(\theta/2) = q / (4 - q)` with
    :math:`q = |u_2 - u_1|^2` for the unit vectors of the legs, which keeps its relative accuracy
    down to tiny turns, where the arccos of a dot product has lost all its digits. [2]_

    A bend of half a turn or more around one point is not made: its straights have no corner. It
    shows as a misfit; another point where the loop goes round mends it.

    References
    ----------
    .. [1] L. E. Dubins, "On curves of minimal length with a constraint on average curvature, and
       with prescribed initial and terminal positions and tangents", American Journal of
       Mathematics 79 (1957), 497-516 (from memory).
    .. [2] W. Kahan, "How Futile are Mindless Assessments of Roundoff in Floating-Point
       Computation?", 2006, section 12 (from memory).

    Examples
    --------
    >>> elbow = [[0, 0, 0], [400, 0, 0], [400, 300, 0]]
    >>> route = fit_arcs(elbow, min_bend_radius=100)
    >>> round(route.length, 4), bool(route.fits), route.off.round(1)
    (657.0796, True, array([ 0. , 41.4,  0. ]))
    >>> route = fit_arcs(elbow, min_bend_radius=100, through=True)
    >>> round(route.length, 4), bool(route.fits), bool((route.off < 1e-6).all())
    (718.844, True, True)
    """
    given = check_points(points)
    held = None if headings is None else check_headings(headings, points=given.shape[:-1])
    wanted = check_radii(min_bend_radius, corners=given.shape[-2] - 2, ends=held is not None)
    passes = None if through is None else check_through(through, points=given.shape[:-1])
    distinct, kept, groups, steps, legs = _distinct(given)
    if passes is None and held is None:
        if wanted.ndim and len(kept) < given.shape[-2]:
            wanted = wanted[..., kept[1:-1] - 1]
        return _round_corners(distinct, kept, steps, legs, wanted)
    free = np.isnan(headings := _headings(held, groups, distinct.shape))[..., 0]
    asked = Asked(
        points=distinct,
        kept=kept,
        radii=_radii(wanted, given.shape[-2], kept, distinct.shape[:-1]),
        through=_through(passes, groups, ~free),
        headings=headings,
    )
    return run_through(asked)


def refit(route: Route, points: ArrayLike) -> Route:
    """Fit a run anew that meets its points as another does, with the radii that one was asked for.

    Parameters
    ----------
    route : Route
        The run as it was.
    points : array-like, shape (..., n, 3)
        Its distinct points, moved [mm].

    Returns
    -------
    Route
        The run through the moved points; ``kept`` counts from them.

    Raises
    ------
    GeometryError
        As for :func:`fit_arcs`.

    Examples
    --------
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 70, 0]], min_bend_radius=100, through=True)
    >>> bool(route.fits), bool(refit(route, route.points + [[0, 0, 0], [0, 0, 0], [0, 90, 0]]).fits)
    (False, True)
    """
    radii = radii_of_points(route)
    held = route.held.any()
    return fit_arcs(
        points,
        min_bend_radius=radii if held else radii[..., 1:-1],
        through=route.through,
        headings=route.headings if held else None,
    )


def _round_corners(
    points: Array, kept: IntArray, steps: Array, legs: Array, wanted: Array
) -> Route:
    """Put an arc inside of every corner."""
    directions = np.divide(steps, legs[..., None], out=steps)
    half_tangent = half_turn_tangents(directions, kept[1:-1])
    turns = 2.0 * np.arctan(half_tangent)
    radii = wanted_radii = np.broadcast_to(wanted, turns.shape)
    tangents = wanted_radii * half_tangent
    crowded = (at_both_ends(tangents) > legs).any(-1)
    if crowded.any():
        radii = wanted_radii.copy()
        radii[crowded] *= shares(tangents[crowded], legs[crowded])
    vertex = np.arange(len(kept))
    return Route(
        points=points,
        kept=kept,
        through=np.isin(vertex, (0, len(kept) - 1)),
        vertices=points,
        owners=vertex,
        directions=directions,
        legs=legs,
        turns=turns,
        wanted_radii=wanted_radii,
        radii=radii,
    )


def _radii(wanted: Array, count: int, kept: IntArray, shape: tuple[int, ...]) -> Array:
    """One radius for each distinct point; an end without has that of its neighbour."""
    if wanted.ndim and wanted.shape[-1] == count - 2:
        if count == 2:
            msg = "bend radius: expected one number, or one for each of the 2 points, got none"
            raise GeometryError(msg)
        wanted = np.concatenate((wanted[..., :1], wanted, wanted[..., -1:]), axis=-1)
    return np.broadcast_to(wanted[..., kept] if wanted.ndim else wanted, shape)


def _headings(held: Array | None, groups: IntArray, shape: tuple[int, ...]) -> Array:
    """One heading for each distinct point, nan where free; twins share theirs."""
    if held is None:
        return np.full(shape, np.nan)
    total = np.add.reduceat(np.nan_to_num(held), groups, axis=-2)
    size = norm(total)[..., None]
    return np.where(size > 0.0, total / np.where(size > 0.0, size, 1.0), np.nan)


def _through(passes: BoolArray | None, groups: IntArray, held: BoolArray) -> BoolArray:
    """Whether the run goes through each distinct point: an end, one with a heading, one so asked."""
    ends = np.isin(np.arange(len(groups)), (0, len(groups) - 1))
    if passes is None:
        return held | ends
    asked = np.logical_or.reduceat(passes, groups, axis=-1)
    if (held & ~asked).any():
        point = groups[np.argwhere(held & ~asked)[0][-1]]
        msg = f"point {point + 1}: a heading is that of a run through the point, got inside"
        raise GeometryError(msg)
    return asked


def _distinct(
    points: Array,
) -> tuple[Array, IntArray, IntArray, Array, Array]:
    """Drop points that lie on the one before.

    Returns the points left, which they are, where the group of each begins, steps and legs.
    """
    kept = np.arange(points.shape[-2])
    steps = np.diff(points, axis=-2)
    legs = norm(steps)
    same = legs <= COINCIDENT
    if not same.any():
        return points, kept, kept, steps, legs
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
    groups = kept.copy()
    kept[-1] = points.shape[-2] - 1  # the far end stays itself; its twin goes
    points = points[..., kept, :]
    steps = np.diff(points, axis=-2)
    return points, kept, groups, steps, norm(steps)
