"""How much a smoothed survey may turn: the least its readings allow, and the most they hint at."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.route._closure import unit
from cableroute.route.smoothing import least_turn, total_turn

#: Tolerances that hold a point in space: 4 standard deviations, all but 1 in 1000.
WIDE = 2.0
#: What a first tolerance takes off, over what a second does, by our trials.
ERASED = 2.6
#: What corners hide, over what their neighbours show, by our trials.
HIDDEN = 1.25
#: Share of its noise that a smoothed straight may still turn, by our trials.
RESIDUE = 0.2


@frozen
class WrapRange:
    """The wrap of a surveyed run, in doubt.

    Parameters
    ----------
    low, high : float
        The ends between which the true wrap lies in at least 95 of 100 surveys [rad].
    smoothed : float
        Wrap of the smoothed points, between the two [rad].
    """

    low: float
    high: float
    smoothed: float


def wrap_range(
    measured: ArrayLike,
    *,
    tolerance: float,
    min_bend_radius: ArrayLike | None = None,
    fixed: ArrayLike | None = None,
    smoothed: ArrayLike | None = None,
) -> WrapRange:
    r"""Return the range of wraps that a survey of close points leaves open.

    With :math:`W_t` the least turn of points within t of the readings:
    low is :math:`W_{2t}`; high is :math:`W_t + w (2.6 (W_t - W_{2t}) + 1.25 H)`. What a second
    tolerance takes off shows what the first has taken off, which is more (the least turn is
    convex in the tolerance). H is what corners hide: where the run bends one
    way before a point and another way after it, the point sees only the sum,
    :math:`\tfrac12(|a| + |b| - |a + b|)` being lost; and half the next corner at each end. The
    weight w is 0 for a run that turns no more than noise makes a straight turn, 1 at twice that.

    Parameters
    ----------
    measured : array-like, shape (n, 3)
        Points as read, no two neighbours alike [mm].
    tolerance : float
        What a coordinate is good to: a 95 % half-width, twice its standard deviation [mm].
    min_bend_radius : float or array-like, shape (n - 2,), optional
        As in :func:`cableroute.route.smoothing.least_turn` [mm].
    fixed : array-like, optional
        Points known exactly, besides the two ends [-].
    smoothed : array-like, shape (n, 3), optional
        The least-turn points at this tolerance, if they are at hand [mm].

    Returns
    -------
    WrapRange
        Low, high and smoothed wrap.

    Raises
    ------
    GeometryError
        As smoothing does.
    SolverError
        If the least turn was not reached.

    Notes
    -----
    Low is a bound: the true points lie within 2t of their readings, and no points there turn less.
    High is not one, as no survey sees a bend that comes and goes between two points; its coverage
    over thirteen invented shapes, two spacings and two tolerances is in the tests, with the mean
    width. For surveys dense enough to be smoothed; corners read one by one have no such doubt.

    Examples
    --------
    >>> wavy = [[0, 0, 0], [100, 1, 0], [200, -1, 0], [300, 1, 0], [400, 0, 0]]
    >>> found = wrap_range(wavy, tolerance=2.0)
    >>> round(found.low, 2), round(found.high, 2)
    (0.0, 0.0)
    """
    read = np.asarray(measured, dtype=np.float64)
    near = smoothed
    if near is None:
        near = _smooth(read, tolerance, min_bend_radius, fixed)
    near = np.asarray(near, dtype=np.float64)
    wrap = total_turn(near)
    low = min(total_turn(_smooth(read, WIDE * tolerance, min_bend_radius, fixed)), wrap)
    hidden = HIDDEN * _hidden(near)
    legs = np.linalg.norm(np.diff(read, axis=0), axis=1)
    residue = RESIDUE * tolerance * float((0.5 / legs[:-1] + 0.5 / legs[1:]).sum())
    weight = float(np.clip(wrap / residue - 1.0, 0.0, 1.0)) if residue > 0.0 else 1.0
    high = wrap + weight * (ERASED * (wrap - low) + hidden)
    low = max(low - 0.05 * residue, 0.0) if weight > 0.0 else 0.0
    return WrapRange(low, high, wrap)


def _smooth(
    read: Array, tolerance: float, radius: ArrayLike | None, fixed: ArrayLike | None
) -> Array:
    return least_turn(read, tolerance=tolerance, min_bend_radius=radius, fixed=fixed).points


def _hidden(points: Array) -> float:
    """Return the turn that corners may hide between them and at the ends [rad]."""
    ways = unit(np.diff(points, axis=0))
    half = 0.5 * np.linalg.norm(np.diff(ways, axis=0), axis=1)
    axes = unit(np.cross(ways[:-1], ways[1:]))  # the way a bend goes, the same all along a circle
    turns = axes * (2.0 * np.arcsin(np.minimum(half, 1.0)))[:, None]
    size = np.linalg.norm(turns, axis=1)
    if len(size) < 2:
        return 0.0
    across = np.linalg.norm(turns[:-2] + turns[2:], axis=1)
    between = 0.5 * np.maximum(size[:-2] + size[2:] - across, 0.0)
    return float(between.sum() + 0.5 * (size[0] + size[-1]))
