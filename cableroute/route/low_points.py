"""Where water collects in a run, and which of its ends let it in."""

from __future__ import annotations

from math import sin

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.route.pieces import Route

#: Samples along a run; a low place is found to a two-thousandth of its length [-].
_SAMPLES = 4001

#: A dip shallower than this lies within what a tape reads; our own choice [mm].
LEAST_RISE = 3.0

#: An end is open upwards whose run leaves it downwards by more than this [rad]; our own choice.
UPWARDS = 0.05


@frozen(eq=False)
class LowPoint:
    """A place of the run from which it rises both ways: water stays there.

    Parameters
    ----------
    along : float
        Where, along the run from the hand end; of a level stretch, its middle [mm].
    point : ndarray, shape (3,)
        The same place [mm].
    depth : float
        How far the run rises from it to the lower of the crests beside it: the most that can stand
        there [mm].
    """

    along: float
    point: Array
    depth: float


def low_points(route: Route, *, least_rise: float = LEAST_RISE) -> tuple[LowPoint, ...]:
    """Return the places of a run in which water collects, hand end first.

    Parameters
    ----------
    route : Route
        One route, z up.
    least_rise : float
        A dip shallower than this is left out [mm].

    Returns
    -------
    tuple of LowPoint
        Each local low point between the ends; an end is none, for water runs out there.

    Raises
    ------
    CableRouteError
        For a least rise that is not above zero.

    Notes
    -----
    Of a machine that stands level. A boat or a hillside tilts it: turn the points first.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> sag = fit_arcs([[0, 0, 300], [300, 0, 0], [600, 0, 100]], min_bend_radius=60)
    >>> [(round(each.along), round(each.depth)) for each in low_points(sag)]
    [(434, 91)]
    """
    if not least_rise > 0.0:
        raise CableRouteError(f"least rise: expected mm above 0, got {least_rise!r}")
    along = np.linspace(0.0, float(route.length), _SAMPLES)
    points = route.point(along)
    height = np.round(points[:, 2], 6)  # so that a level stretch is one
    lowest = [i for i in _dips(height) if _rise(height, i) >= least_rise]
    between = zip((0, *lowest), (*lowest, _SAMPLES), strict=True)
    crests = [float(height[one : other + 1].max()) for one, other in between]
    return tuple(
        LowPoint(float(along[i]), points[i], min(crests[j : j + 2]) - float(height[i]))
        for j, i in enumerate(lowest)
    )


def _dips(height: Array) -> list[int]:
    """Return the places lower than what is beside them; of a level stretch, its middle."""
    steps = np.flatnonzero(np.diff(height))
    first, last = np.append(0, steps + 1), np.append(steps, len(height) - 1)
    falls = np.diff(height[first])
    low = 1 + np.flatnonzero((falls[:-1] < 0.0) & (falls[1:] > 0.0))
    return [int(i) for i in (first[low] + last[low]) // 2]


def _rise(height: Array, i: int) -> float:
    """Return how far the run rises from a dip, on the lower side, before it falls below it."""
    crests = []
    for side in (height[i::-1], height[i:]):
        below = np.flatnonzero(side < height[i])
        crests.append(float(side[: below[0] if below.size else None].max()))
    return min(crests) - float(height[i])


def open_upwards(route: Route) -> tuple[bool, bool]:
    """Say whether the hand end and the far end of a run let water in: they want a boot or a seal.

    Parameters
    ----------
    route : Route
        One route, z up.

    Returns
    -------
    tuple of bool
        Of the hand end, of the far end: whether the run leads down from it by more than
        :data:`UPWARDS`.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> open_upwards(fit_arcs([[0, 0, 300], [300, 0, 0], [600, 0, 0]], min_bend_radius=60))
    (True, False)
    """
    hand, far = route.directions[0], route.directions[-1]
    steep = sin(UPWARDS)
    return bool(hand[2] < -steep), bool(far[2] > steep)
