"""What the tape leaves in doubt: the length of a run, and the wrap of one read corner by corner.

A tolerance t is a 95 % half-width of each coordinate, :data:`~cableroute.units.TOLERANCE_SDS`
standard deviations, and readings are independent.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.route.pieces import STRAIGHT, Route
from cableroute.units import TOLERANCE_SDS

#: Step of the differences [mm].
_NUDGE = 1e-2
#: Vertices beyond a leg's own whose reading is taken to change its room: a run that goes through its
#: points passes a change on, but less and less.
_REACH = 3


@frozen(eq=False)
class Doubt:
    """How far a figure may be off by the tape.

    Parameters
    ----------
    half : ndarray
        95 % half-width about the figure [mm], [rad].
    bias : ndarray
        What noise adds to it on the average: the truth is the lower by that [mm], [rad].
    """

    half: Array
    bias: Array

    @property
    def below(self) -> Array:
        """How far the truth may lie below the figure [mm], [rad]."""
        return self.half + self.bias

    @property
    def above(self) -> Array:
        """How far it may lie above [mm], [rad]."""
        return self.half


def length_doubt(route: Route, *, tolerance: ArrayLike) -> Doubt:
    r"""Return the doubt of a run's length.

    Of :math:`L = \sum h_i - \sum R_j (2\tan\tfrac{\theta_j}2 - \theta_j)` the half-width is
    :math:`t\,|\nabla L|` over all coordinates: a moved point changes its two legs by the change of
    direction there, and turns them, the more the shorter they are, which lengthens or shortens
    what three arcs cut off. Noise across a leg can only lengthen it, by :math:`t^2/2h` on average.

    Parameters
    ----------
    route : Route
        Route, or a batch of them.
    tolerance : array-like
        What a coordinate is good to [mm].

    Returns
    -------
    Doubt
        Of the shape of the batch [mm].

    Raises
    ------
    CableRouteError
        For a tolerance that is negative or not finite.

    Notes
    -----
    To first order, besides the bias: for legs long against the tolerance. Arcs of a fixed radius;
    one that a short leg makes smaller is taken at the radius it has. A smoothed survey is less in
    doubt than its points, so this is a safe end for it.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> bend = fit_arcs([[0, 0, 0], [500, 0, 0], [500, 500, 0]], min_bend_radius=60)
    >>> doubt = length_doubt(bend, tolerance=3.0)
    >>> float(doubt.half.round(2)), float(doubt.bias.round(3))
    (5.67, 0.018)
    """
    t = _checked(tolerance)
    u = route.directions
    slope = np.zeros(route.vertices.shape)
    slope[..., :-1, :] -= u
    slope[..., 1:, :] += u
    weights = -route.radii * np.tan(0.5 * route.turns) ** 2
    slope += _turn_slope(route, weights=weights)
    half = t * _size(route, slope)
    return Doubt(half, t**2 * (0.5 * _over_legs(route)).sum(axis=-1))


def wrap_doubt(route: Route, *, tolerance: ArrayLike) -> Doubt:
    r"""Return the doubt of the wrap of a run read corner by corner.

    The half-width is :math:`t\,|\nabla \sum\theta|`: a corner between legs :math:`h_1, h_2` turns by
    the move across them over their lengths. Across the plane of a bend noise can only add to a
    turn, :math:`\sigma^2/2\tan\theta` on average with :math:`\sigma` the noise of the turn, and no
    more than :math:`\sigma` itself.

    Parameters
    ----------
    route : Route
        Route, or a batch of them, as read.
    tolerance : array-like
        What a coordinate is good to [mm].

    Returns
    -------
    Doubt
        Of the shape of the batch [rad].

    Raises
    ------
    CableRouteError
        For a tolerance that is negative or not finite.

    Notes
    -----
    For corners turning well beyond what noise makes up between their legs. A survey of close points
    is smoothed, and its wrap ranges as in :func:`~cableroute.route.wrap_range.wrap_range`.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> bend = fit_arcs([[0, 0, 0], [500, 0, 0], [500, 500, 0]], min_bend_radius=60)
    >>> float(np.degrees(wrap_doubt(bend, tolerance=3.0).half).round(2))
    0.69
    """
    t = _checked(tolerance)
    slope = _turn_slope(route, weights=np.ones(route.turns.shape))
    half = t * _size(route, slope)
    over = _over_legs(route)
    near, far = over[..., :-1], over[..., 1:]
    sd = t[..., None] / TOLERANCE_SDS * np.sqrt(near**2 + far**2 + (near + far) ** 2)
    bend = np.tan(np.minimum(route.turns, 1.5))
    share = np.divide(0.5 * sd, bend, out=np.ones_like(sd), where=bend > 0.0)
    return Doubt(half, (sd * np.minimum(share, 1.0)).sum(axis=-1))


def room_doubt(route: Route, *, tolerance: float, legs: BoolArray | None = None) -> Array:
    r"""Return the doubt of the room that each leg has beyond what its bends need.

    The half-width is :math:`t\,|\nabla (L - T_1 - T_2)|` over all coordinates, by differences: a
    reading changes its legs, and by turning them the tangents too.

    Parameters
    ----------
    route : Route
        One route.
    tolerance : float
        What a coordinate is good to [mm].
    legs : ndarray, shape (legs,), optional
        Which legs are asked for; all of them if not given [-].

    Returns
    -------
    ndarray, shape (legs,)
        95 % half-width of each of ``route.slacks``; 0 of a leg along a heading, or not asked for
        [mm].

    Raises
    ------
    CableRouteError
        For a tolerance that is negative or not finite.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> bend = fit_arcs([[0, 0, 0], [500, 0, 0], [500, 500, 0]], min_bend_radius=60)
    >>> room_doubt(bend, tolerance=3.0).round(2)
    array([4.04, 4.04])
    """
    from cableroute.route.fillet import refit  # needs what stands above

    t = float(_checked(tolerance))
    asked = ~route.held if legs is None else legs & ~route.held
    at = np.flatnonzero(asked)
    ends = at[:, None] + np.arange(-_REACH, _REACH + 2)
    near = np.unique(route.owners[np.clip(ends, 0, len(route.owners) - 1)])
    nudges = np.zeros((len(near), 3, *route.points.shape))
    nudges[np.arange(len(near))[:, None], np.arange(3), near[:, None], np.arange(3)] = _NUDGE
    nudges = nudges.reshape(-1, *route.points.shape)
    rooms = (refit(route, route.points + way * nudges).slacks for way in (1.0, -1.0))
    ahead, back = (np.where(asked, each, 0.0) for each in rooms)
    doubt: Array = t * np.sqrt((((ahead - back) / (2.0 * _NUDGE)) ** 2).sum(axis=0))
    return doubt


def _turn_slope(route: Route, *, weights: Array) -> Array:
    """Slope of the weighted sum of turns with every coordinate, shape (..., n, 3)."""
    u, turns = route.directions, route.turns
    slope = np.zeros(route.vertices.shape)
    before, after = u[..., :-1, :], u[..., 1:, :]
    bent = turns > STRAIGHT
    sine = np.where(bent, np.sin(turns), 1.0)[..., None]
    cosine = np.cos(turns)[..., None]
    factor = np.where(bent, weights, 0.0)[..., None]
    # unit vectors across each leg, in the plane of the bend
    over = _over_legs(route)[..., None]
    near = factor * (after - cosine * before) / sine * over[..., :-1, :]
    far = factor * (before - cosine * after) / sine * over[..., 1:, :]
    slope[..., :-2, :] += near
    slope[..., 1:-1, :] += far - near
    slope[..., 2:, :] -= far
    return slope


def _over_legs(route: Route) -> Array:
    """One over each leg; none of one along a heading, which no noise turns [1/mm]."""
    return np.divide(1.0, route.legs, out=np.zeros_like(route.legs), where=~route.held)


def _size(route: Route, slope: Array) -> Array:
    """Length of a slope with the coordinates of the points; the vertices of one move together."""
    first = np.searchsorted(route.owners, np.arange(route.points.shape[-2]))
    size: Array = np.sqrt((np.add.reduceat(slope, first, axis=-2) ** 2).sum(axis=(-2, -1)))
    return size


def _checked(tolerance: ArrayLike) -> Array:
    t = np.asarray(tolerance, dtype=np.float64)
    if not ((t >= 0.0) & np.isfinite(t)).all():
        raise CableRouteError(f"tolerance: expected mm of 0 or more, got {tolerance!r}")
    return t
