"""Curves sampled closely from lines and arcs, as CAD and our own export write them.

Taken as corners, the points of a sampled arc make a run of tiny bends in which no bend radius
fits. Here the lines and arcs are found again.
"""

from __future__ import annotations

from itertools import pairwise
from math import ceil, inf, nan, radians

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.route._pieces_of import Circle, Straight, pieces_of
from cableroute.route.fillet import COINCIDENT, fit_arcs
from cableroute.route.given import check_points
from cableroute.route.pieces import Route

#: How far a sample may lie from its line or arc [mm]: rounding to 0.01 mm with room to spare, and
#: far less than any tape or hand reads.
SAMPLED = 0.025
#: Parts of that, tried in turn: exact samples show their short arcs.
FINER = (2500.0, 25.0, 1.0)
#: Points on one arc that are no accident.
ENOUGH = 6
#: Tolerances by which a point may lie off the run, at joints above all.
ROUGH = 10.0
#: Share of the points that must lie on lines and such arcs.
SHARE = 0.8
#: Points a piece, on average, below which it is no sampled curve.
FEW = 3
#: A longer arc is told as several corners.
WIDEST = radians(100.0)

Leg = tuple[Array, Array]  # a place on it and its direction


@frozen(eq=False)
class Sampled:
    """The lines and arcs of a sampled curve, told as corners.

    ``fit_arcs(points, min_bend_radius=radii)`` is the run.

    Parameters
    ----------
    points : ndarray, shape (m, 3)
        Both ends, and the corners of the straights between which the arcs lie [mm].
    radii : ndarray, shape (m - 2,)
        Radius of the arc in each corner; nan for a corner that was sharp [mm].
    deviation : float
        The most by which a sample lies off the run, sharp corners aside [mm].
    arcs : int
        Number of arcs found [-].
    """

    points: Array
    radii: Array
    deviation: float
    arcs: int

    def route(self, *, min_bend_radius: float) -> Route:
        """Return the run.

        Parameters
        ----------
        min_bend_radius : float
            For the corners that were sharp [mm].

        Returns
        -------
        Route
            Lines and arcs as they were sampled.
        """
        radii = np.where(np.isnan(self.radii), min_bend_radius, self.radii)
        return fit_arcs(self.points, min_bend_radius=radii)


def widest_within(corners: Array, radii: Array, tolerance: float = ROUGH * SAMPLED) -> Array:
    """Return the widest arc in each corner that misses it by no more than a sample may lie off the run.

    An arc of radius R in a corner of turn t misses it by R (1 / cos(t/2) - 1), and takes R tan(t/2) of
    either leg: of these, half of what arcs that are known leave.

    Parameters
    ----------
    corners : ndarray, shape (m, 3)
        Both ends, and the corners between them [mm].
    radii : ndarray, shape (m - 2,)
        Radius of the arc that is known in each corner, nan for none [mm].
    tolerance : float, default 0.25
        How far it may miss a corner [mm].

    Returns
    -------
    ndarray, shape (m - 2,)
        Radii, inf where the run goes straight on [mm].
    """
    steps = np.diff(corners, axis=0)
    legs = np.linalg.norm(steps, axis=1)
    ways = steps / np.where(legs > 0.0, legs, 1.0)[:, None]
    half = np.arcsin(np.clip(np.linalg.norm(np.diff(ways, axis=0), axis=1) / 2.0, 0.0, 1.0))
    taken = np.concatenate(([0.0], np.nan_to_num(radii) * np.tan(half), [0.0]))
    free = np.maximum(legs - taken[:-1] - taken[1:], 0.0) / 2.0
    with np.errstate(divide="ignore"):
        by_legs = np.minimum(free[:-1], free[1:]) / np.tan(half)
        by_miss = tolerance / (1.0 / np.cos(half) - 1.0)
    return np.where(half > 0.0, np.minimum(by_legs, by_miss), inf)


def recognise(points: ArrayLike, *, tolerance: float = SAMPLED) -> Sampled | None:
    """Return the lines and arcs a polyline was sampled from, or None where there are none.

    Each piece is the longest line or circle from where the last one ended, in any plane, whose
    points lie within the tolerance. It is taken for a sampled curve if an arc holds at least
    :data:`ENOUGH` points, lines and such arcs at least :data:`SHARE` of them, and a piece at least
    :data:`FEW` points on average. Readings by hand, a millimetre out, never come near that.

    Parameters
    ----------
    points : array-like, shape (n, 3)
        The polyline, evenly spaced or not [mm].
    tolerance : float, default 0.025
        How far a point may lie off its line or arc [mm].

    Returns
    -------
    Sampled or None
        Corners and radii of the run.

    Raises
    ------
    GeometryError
        For points that are not finite numbers of shape (n, 3), or fewer than two.

    Notes
    -----
    An arc of fewer than five points cannot be told from corners. Curves other than lines and
    arcs, such as splines, come out as None or as arcs within the tolerance. Time grows as n log n.

    Examples
    --------
    >>> import numpy as np
    >>> turn = np.radians(np.arange(0, 90.1, 1.5))
    >>> quarter = 200 * np.stack([np.sin(turn), 1 - np.cos(turn), 0 * turn], axis=1)
    >>> found = recognise(np.vstack([[-300, 0, 0], quarter, [200, 500, 0]]))
    >>> found.radii.round(3), found.points.round(3).tolist()[1]
    (array([200.]), [200.0, 0.0, 0.0])
    """
    given = check_points(points)
    apart = np.append(True, np.linalg.norm(np.diff(given, axis=0), axis=1) > COINCIDENT)
    given = given[apart]
    if len(given) < ENOUGH:
        return None
    tried = (_recognised(given, tolerance / part) for part in FINER)
    return next((found for found in tried if found is not None), None)


def _recognised(given: Array, tolerance: float) -> Sampled | None:
    """Return the lines and arcs within one tolerance."""
    pieces = pieces_of(given, tolerance, few=FEW)
    if not _is_sampled(pieces, len(given)):
        return None
    corners, radii = _corners(given, pieces)
    try:
        route = fit_arcs(corners, min_bend_radius=np.where(np.isnan(radii), 1e-3, radii))
    except ValueError:
        return None
    told = np.where(np.isnan(radii), nan, route.radii)  # neighbours that touch fit to rounding
    off = _deviation(given, route)
    arcs = sum(isinstance(piece, Circle) for piece in pieces)
    return Sampled(corners, told, off, arcs) if off < ROUGH * tolerance else None


def _is_sampled(pieces: list[Straight | Circle], count: int) -> bool:
    """Whether enough points lie on lines and long arcs."""
    sizes = [piece.last - piece.first + 1 for piece in pieces]
    bent = [isinstance(piece, Circle) for piece in pieces]
    if not any(arc and size >= ENOUGH for arc, size in zip(bent, sizes, strict=True)):
        return False
    # a line of two points shows nothing, unless an arc that does stands beside it
    shown = [
        size - 1 if arc or size > 3 or True in bent[max(i - 1, 0) : i + 2] else 0
        for i, (arc, size) in enumerate(zip(bent, sizes, strict=True))
    ]
    return sum(shown) >= SHARE * (count - 1) and count >= FEW * len(pieces)


def _corners(points: Array, pieces: list[Straight | Circle]) -> tuple[Array, Array]:
    """Return both ends and the corners between them, with their radii."""
    legs: list[Leg] = []
    radii: list[float] = []
    for before, piece in pairwise([None, *pieces]):
        if isinstance(piece, Straight):
            if isinstance(before, Straight):
                radii.append(nan)
            legs.append((piece.middle, piece.direction))
            continue
        assert isinstance(piece, Circle)
        begin = points[piece.first]
        if not isinstance(before, Straight):
            step = float(np.linalg.norm(begin - points[max(piece.first - 1, 0)]))
            legs.append(_joint(before, piece, begin, step))
        parts = ceil(piece.turn / WIDEST)
        for i in range(1, parts):
            place = piece.ahead(begin, piece.turn * i / parts)
            legs.append((place, piece.tangent(place)))
        radii += [piece.radius] * parts
    last = pieces[-1]
    if isinstance(last, Circle):
        legs.append((points[-1], last.tangent(points[-1])))
    places = np.array([place for place, _ in legs])
    ways = np.array([way for _, way in legs])
    inner, keep = _meet(places, ways)
    corners = np.vstack([points[:1], inner[keep], points[-1:]])
    return corners, np.array(radii)[keep]


def _joint(before: Circle | Straight | None, piece: Circle, begin: Array, step: float) -> Leg:
    """Return the place and direction between two arcs, or at the start of one.

    The first arc may have taken points of the second: where both run alike is looked for around.
    """
    if not isinstance(before, Circle):
        return begin, piece.tangent(begin)
    places = before.ahead(begin, np.linspace(-3.0, 1.0, 401) * step / before.radius)
    ways = before.tangent(places), piece.tangent(places)
    best = int(np.argmin(np.linalg.norm(ways[1] - ways[0], axis=1)))
    direction = ways[0][best] + ways[1][best]
    return places[best], direction / np.linalg.norm(direction)


def _meet(places: Array, ways: Array) -> tuple[Array, Array]:
    """Return where neighbouring lines come nearest to each other, and which do turn."""
    apart, first, second = np.diff(places, axis=0), ways[:-1], ways[1:]
    cosine = np.einsum("ij,ij->i", first, second)
    size = 1.0 - cosine**2
    turns = size > 1e-12
    size = np.where(turns, size, inf)
    along = np.einsum("ij,ij->i", apart, first), np.einsum("ij,ij->i", apart, second)
    ahead = (along[0] - cosine * along[1]) / size
    back = (cosine * along[0] - along[1]) / size
    meeting = 0.5 * (places[:-1] + ahead[:, None] * first + places[1:] + back[:, None] * second)
    return meeting, turns


def _deviation(points: Array, route: Route) -> float:
    """Return the most by which a point lies off the run, each looked for near where it should be."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    total = float(route.length)
    at = np.append(0.0, np.cumsum(steps))
    at *= total / at[-1]
    for _ in range(6):
        gap = np.einsum("ij,ij->i", points - route.point(at), route.tangent(at))
        at = np.clip(at + gap, 0.0, total)
    return float(np.linalg.norm(points - route.point(at), axis=1).max())
