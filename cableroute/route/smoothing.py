"""Noise is not bends: the least-turn route within the tape's tolerance of every reading.

A hand that wanders by a millimetre over legs of 50 mm adds a degree or two of turn at every
point, always positive, and sixty points later the wrap is out by half. This module asks instead
for the straightest route the readings allow.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.route.fillet import COINCIDENT
from cableroute.route.given import check_points, check_radii

if TYPE_CHECKING:
    from cableroute.route._least_total_bend import BendProblem

#: A radian of turn that has no room for its fillet costs a second one.
_CROWDING_PRICE = 1.0

#: Room is asked for a fillet a quarter larger than needed: legs shrink as the noise goes.
_ROOM_MARGIN = 1.25


@frozen
class SmoothedPoints:
    """The least-turn points, and the proof that there are none better.

    Attributes
    ----------
    points : ndarray, shape (n, 3)
        The smoothed points [mm].
    moves : ndarray, shape (n,)
        How far each point was moved [mm].
    turn_before, turn_after : float
        Sum of the unsigned turns of the polyline as measured and as smoothed [rad].
    objective : float
        What was minimised: total bend, and the price of crowding if a radius was given [rad].
    lower_bound : float
        No points within the tolerance have a smaller objective than this [rad].
    crowding : float
        Bend for which the legs lack room at 1.25 times the radius given; 0 without one [rad].
    iterations : int
        Newton steps taken [-].
    """

    points: Array
    moves: Array
    turn_before: float
    turn_after: float
    objective: float
    lower_bound: float
    crowding: float
    iterations: int


def smooth_points(
    points: ArrayLike,
    *,
    tolerance: ArrayLike,
    min_bend_radius: ArrayLike | None = None,
    fixed: ArrayLike | None = None,
    gap: float = 1e-3,
) -> Array:
    """Return the points of least total turn, each moved no further than the tolerance.

    :func:`least_turn` has the formula, the parameters and the limits, and also returns the proof.

    Parameters
    ----------
    points : array-like, shape (n, 3)
        Measured points from the hand end to the far end [mm].
    tolerance : float or array-like, shape (n,)
        How far each point may move; 0 keeps it [mm].
    min_bend_radius : float or array-like, shape (n - 2,), optional
        Spread the turn so that fillets of this radius have room, where they can [mm].
    fixed : array-like, optional
        Points to keep besides the two ends: n booleans, or indices from 0 [-].
    gap : float
        Proved distance from the least, as a fraction [-].

    Returns
    -------
    ndarray, shape (n, 3)
        The smoothed points [mm].

    Raises
    ------
    GeometryError
        If an argument has the wrong shape or sign, or neighbouring points coincide.
    SolverError
        If the gap was not reached.

    Examples
    --------
    >>> wavy = [[0, 0, 0], [100, 1, 0], [200, -1, 0], [300, 1, 0], [400, 0, 0]]
    >>> bool(abs(smooth_points(wavy, tolerance=2.0)[:, 1]).max() < 0.01)
    True
    >>> smooth_points(wavy, tolerance=0.0)[1]
    array([100.,   1.,   0.])
    """
    return least_turn(
        points, tolerance=tolerance, min_bend_radius=min_bend_radius, fixed=fixed, gap=gap
    ).points


def least_turn(
    points: ArrayLike,
    *,
    tolerance: ArrayLike,
    min_bend_radius: ArrayLike | None = None,
    fixed: ArrayLike | None = None,
    gap: float = 1e-3,
) -> SmoothedPoints:
    """Find the points of least total turn within the tolerance, and prove that they are.

    ``minimise sum_i |d_i|  with  d_i = (p_(i+1) - p_i)/h_i - (p_i - p_(i-1))/h_(i-1)`` and
    ``|p_i - m_i| <= tolerance_i``, where ``m`` are the readings and ``h`` the measured legs.
    With a bend radius, ``sum_l max(0, T_l)`` is added, ``T_l = |d_l| + |d_(l+1)| -
    2 h_l/(1.25 R)`` being the bend for which leg l lacks room.

    Parameters
    ----------
    points : array-like, shape (n, 3)
        Measured points from the hand end to the far end, no two neighbours alike [mm].
    tolerance : float or array-like, shape (n,)
        How far each point may move; 0 keeps it. The two ends never move [mm].
    min_bend_radius : float or array-like, shape (n - 2,), optional
        Radius of the fillets to make room for, one for all or one per inner point [mm].
    fixed : array-like, optional
        Points to keep besides the two ends: n booleans, or indices from 0 [-].
    gap : float
        Objective less lower bound, as a fraction of the objective, or of 0.1 rad if that is more;
        from 1e-9 to 1 [-].

    Returns
    -------
    SmoothedPoints
        Points, moves, turns before and after, objective and its lower bound.

    Raises
    ------
    GeometryError
        If an argument has the wrong shape or sign, or neighbouring points coincide.
    SolverError
        If the gap was not reached.

    Notes
    -----
    ``|d_i| = 2 sin(turn_i/2)`` as long as the legs keep their measured length. Holding ``h`` is
    what makes the problem convex; it also charges for stretching one leg against the next. So
    ``turn_after`` is the turn of the points found, not the least of all turns: the proof is for
    the objective. The sum favours few sharp turns a little (``2 sin`` is concave), and
    where the readings leave a choice, turn gathers at some points and leaves others straight.

    That is what the radius is for. On a run measured at points closer than the tangents of its
    fillets, gathered turn leaves no room for the arcs: a leg has room for tangents
    ``R tan(turn/2) ~ R |d|/2`` from both ends. The added term stays convex, moves no point
    further, and never asks for the impossible: what cannot be made to fit stays crowded, and is
    left to the fit of the arcs to report. At the least, it has raised the total bend by no more
    than it lowered the crowding. Points far apart are not touched by it.

    The tolerance must cover the noise. Errors larger than it stay in the route as turn: at
    points 48 mm apart with 1 mm of noise in each coordinate, one point in seven is more than
    2 mm off the line (``exp(-2)``), and about a degree of turn per metre of straight remains.

    One route at a time: routes of one batch would need different numbers of steps.

    Examples
    --------
    >>> wavy = [[0, 0, 0], [100, 1, 0], [200, -1, 0], [300, 1, 0], [400, 0, 0]]
    >>> found = least_turn(wavy, tolerance=2.0)
    >>> bool(found.turn_before > 0.05), bool(found.turn_after < 1e-3)
    (True, True)
    """
    measured = _check_one_route(points)
    tol = _check_tolerance(tolerance, fixed, len(measured))
    if not 1e-9 <= gap < 1.0:
        msg = f"gap: expected a fraction from 1e-9 to 1, got {gap}"
        raise GeometryError(msg)
    from cableroute.route._least_total_bend import minimise

    problem = _bend_problem(measured, tol, min_bend_radius)
    best = minimise(problem, gap=gap)
    smoothed = measured + tol[:, None] * best.x
    return SmoothedPoints(
        points=smoothed,
        moves=np.linalg.norm(smoothed - measured, axis=1),
        turn_before=total_turn(measured),
        turn_after=total_turn(smoothed),
        objective=best.objective,
        lower_bound=best.lower_bound,
        crowding=problem.totals(best.x)[1],
        iterations=best.steps,
    )


def _bend_problem(measured: Array, tol: Array, radius: ArrayLike | None) -> BendProblem:
    from cableroute.route._least_total_bend import BendProblem

    steps = np.diff(measured, axis=0)
    legs = _check_legs(np.linalg.norm(steps, axis=1))
    before, after = 1.0 / legs[:-1], 1.0 / legs[1:]
    coef = np.stack([before * tol[:-2], -(before + after) * tol[1:-1], after * tol[2:]], axis=1)
    share, room = _room(legs, radius)
    base = np.diff(steps / legs[:, None], axis=0)
    return BendProblem(base, coef, share, room, _CROWDING_PRICE)


def _room(legs: Array, radius: ArrayLike | None) -> tuple[Array, Array]:
    """Return each bend's claim on its legs, and what the legs have, in units of bend."""
    corners = len(legs) - 1
    if radius is None or not corners:
        return np.zeros(corners), np.zeros(0)
    radii = np.broadcast_to(check_radii(radius, corners=corners), (corners,))
    typical = radii.mean()
    return radii / typical, 2.0 * legs / (_ROOM_MARGIN * typical)


def total_turn(points: Array) -> float:
    """Return the sum of the unsigned turns of a polyline.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Distinct points [mm].

    Returns
    -------
    float
        Sum of the turns [rad].
    """
    legs = np.diff(points, axis=0)
    across = np.linalg.norm(np.cross(legs[:-1], legs[1:]), axis=1)
    along = np.einsum("ij,ij->i", legs[:-1], legs[1:])
    return float(np.arctan2(across, along).sum())  # unlike a tangent, at ease with reversals


def _check_one_route(points: ArrayLike) -> Array:
    measured = check_points(points)
    if measured.ndim != 2:
        msg = f"points: expected one route, shape (n, 3), got shape {measured.shape}"
        raise GeometryError(msg)
    return measured


def _check_legs(legs: Array) -> Array:
    if (legs <= COINCIDENT).any():
        i = int(np.argmin(legs)) + 1
        msg = f"points {i} and {i + 1}: expected two places, got one; drop either before smoothing"
        raise GeometryError(msg)
    return legs


def _check_tolerance(tolerance: ArrayLike, fixed: ArrayLike | None, n: int) -> Array:
    """Return how far each point may move, 0 for the ends and the fixed ones."""
    given = np.asarray(tolerance, dtype=np.float64)
    if given.shape not in ((), (n,)) or not (np.isfinite(given) & (given >= 0.0)).all():
        msg = f"tolerance: expected 0 mm or more, one or {n} of them, got {given.tolist()}"
        raise GeometryError(msg)
    tol = np.array(np.broadcast_to(given, (n,)))
    tol[[0, -1]] = 0.0
    if fixed is not None:
        tol[_check_fixed(np.asarray(fixed), n)] = 0.0
    return tol


def _check_fixed(fixed: BoolArray | IntArray, n: int) -> BoolArray | IntArray:
    if fixed.dtype == np.bool_ and fixed.shape == (n,):
        return fixed.astype(np.bool_)
    indices = fixed.astype(np.intp) if fixed.dtype.kind in "iu" or not fixed.size else None
    if indices is None or ((indices < -n) | (indices >= n)).any():
        msg = f"fixed: expected {n} booleans, or indices below {n}, got {fixed.tolist()}"
        raise GeometryError(msg)
    return indices
