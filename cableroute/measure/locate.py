"""A point from tape distances to known nodes, with its doubt, its twin and its odd reading.

::

    readings -> closed-form twins -> least squares -> odd reading? -> Located
                                                                       └─ choose_side

What lies underneath is shared with :mod:`cableroute.measure.network`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray
from cableroute.errors import GeometryError
from cableroute.measure._adjust import Tapes
from cableroute.measure._blunder import TELL_APART, Blunder, find_blunder
from cableroute.measure._checks import Readings, check_meeting, check_readings
from cableroute.measure._first_guess import sphere_twins

__all__ = [
    "SIDES",
    "WEAK",
    "Blunder",
    "Located",
    "Readings",
    "choose_side",
    "locate",
    "telling_sides",
]

#: The geometry is weak when it multiplies the tape's sigma by more than this [-].
WEAK = 10.0

#: The words a side may be, each with its direction (x forward, y left, z up) [-].
SIDES: dict[str, Array] = {
    word: sign * np.eye(3)[axis]
    for axis, sign, word in (
        (2, 1.0, "up"),
        (2, -1.0, "down"),
        (1, 1.0, "left"),
        (1, -1.0, "right"),
        (0, 1.0, "forward"),
        (0, -1.0, "aft"),
    )
}


@dataclass(frozen=True, eq=False)
class Located:
    """Where a point is, and how well that is known.

    Parameters
    ----------
    point : ndarray, shape (3,)
        The point [mm].
    covariance : ndarray, shape (3, 3)
        Covariance of the point, from the tape's sigma alone [mm^2].
    residuals : ndarray, shape (k,)
        Measured minus computed distance, in the order of the readings [mm].
    mirror : ndarray, shape (3,), or None
        The twin that fits as well: for nodes in one plane, the reflection through it [mm].
    blunder : Blunder or None
        The odd reading, if there is one [-].
    readings : Readings
        What it was found from [-].
    """

    point: Array
    covariance: Array
    residuals: Array
    mirror: Array | None
    blunder: Blunder | None
    readings: Readings

    @cached_property
    def _axes(self) -> tuple[Array, Array]:
        variance, directions = np.linalg.eigh(self.covariance)
        return variance, directions

    @property
    def doubt(self) -> float:
        """Largest semi-axis of the one-sigma ellipsoid [mm]."""
        return float(np.sqrt(self._axes[0][-1]))

    @property
    def weak_direction(self) -> Array:
        """Unit vector along the largest semi-axis, shape (3,) [-]."""
        return self._axes[1][:, -1]

    @property
    def weak(self) -> bool:
        """Whether the doubt is more than ten times the tape's: add a node `weak_direction` off."""
        return bool(self.doubt > WEAK * self.readings.sigma.max())


def locate(
    nodes: Mapping[str, ArrayLike] | ArrayLike,
    distances: Mapping[str, float] | ArrayLike,
    *,
    sigma: ArrayLike = 1.0,
    side: str | None = None,
) -> Located:
    """Locate a point by tape distances from three or more known nodes.

    ``minimise sum(((d_i - |p - P_i|)/sigma_i)^2)``, started from the closed-form intersection
    of the spheres and solved by a damped Newton iteration.

    Parameters
    ----------
    nodes : mapping of str to array_like (3,), or array_like, shape (k, 3)
        Known points [mm].
    distances : mapping of str to float, or array_like, shape (k,)
        Tape distances, by node name or in the order of the nodes [mm].
    sigma : array_like, scalar or shape (k,)
        Standard deviation of a reading, in the order of `distances` [mm].
    side : {"left", "right", "up", "down", "forward", "aft"}, optional
        Which of the two possible points is meant: the one further that way [-].

    Returns
    -------
    Located
        Point, covariance, residuals, mirror and blunder. Without `side`, and with two possible
        points, the point is the one further up; where they are level within the doubt, the one
        further left; else the one further forward. The other is its `mirror`.

    Raises
    ------
    GeometryError
        If there are fewer than three nodes, nodes coincide or are all in one line, a distance is
        not positive, a name is unknown, the distances cannot meet, or `side` does not tell.

    Notes
    -----
    Three readings leave nothing to check. Four can show that one is wrong, seldom which: then
    `blunder.rivals` names the others. From five on, a lone odd reading is found and left out.
    The covariance is to first order, except that the doubt across the plane of the nodes is
    held to what the curvature of the spheres allows, so that it stays finite for a point in
    that plane. More than one odd reading is reported as a misfit, not sorted out.

    References
    ----------
    Data snooping by normalised residuals: W. Baarda, *A Testing Procedure for Use in Geodetic
    Networks*, Netherlands Geodetic Commission, Publications on Geodesy 2(5), Delft 1968
    (from memory).

    Examples
    --------
    >>> nodes = {"A": [0, 0, 0], "B": [700, 0, 0], "C": [0, 400, 0]}
    >>> found = locate(nodes, {"A": 350, "B": 650, "C": 450}, side="up")
    >>> found.point.round(2).tolist(), found.mirror.round(2).tolist(), round(found.doubt, 2)
    ([135.71, 100.0, 306.73], [135.71, 100.0, -306.73], 1.49)
    """
    readings = check_readings(nodes, distances, sigma)
    tapes = Tapes.to_point(readings)
    keep = np.ones(len(readings.names), dtype=bool)
    twins = _twins(readings, tapes, keep)
    blunder = find_blunder(
        tapes, twins[0], readings.names, refit=lambda kept: _twins(readings, tapes, kept)[0]
    )
    if blunder and blunder.certain:
        keep[readings.names.index(blunder.node)] = False
        twins = _twins(readings, tapes, keep)
    elif blunder or len(keep) == 3:
        check_meeting(readings, tapes.residuals(twins[0]))
    located = _describe(readings, blunder, twins)
    if side is None:
        telling = telling_sides(located)
        side = next((word for word in ("up", "left", "forward") if word in telling), None)
    return located if side is None else choose_side(located, side)


def choose_side(located: Located, side: str) -> Located:
    """Take the one of two possible points that is further to a side.

    ``(p - m).e > doubt`` picks p over its mirror m, e pointing to the side.

    Parameters
    ----------
    located : Located
        A point and its mirror; without a mirror it is returned as it is [-].
    side : {"left", "right", "up", "down", "forward", "aft"}
        Further that way [-].

    Returns
    -------
    Located
        The chosen point; `mirror` is the other one.

    Raises
    ------
    GeometryError
        If the word is unknown, or the two points do not differ that way by more than the doubt.

    Examples
    --------
    >>> nodes = {"A": [0, 0, 0], "B": [700, 0, 0], "C": [0, 400, 0]}
    >>> found = locate(nodes, {"A": 350, "B": 650, "C": 450})
    >>> choose_side(found, "down").point.round(2).tolist()
    [135.71, 100.0, -306.73]
    """
    if side not in SIDES:
        raise GeometryError(f'side: expected one of {", ".join(SIDES)} (got "{side}")')
    if located.mirror is None:
        return located
    further = float((located.point - located.mirror) @ SIDES[side])
    if abs(further) <= located.doubt:
        words = telling_sides(located)
        hint = f"use {' or '.join(words)}" if words else "tape from a node off the others' plane"
        raise GeometryError(
            f'side "{side}" does not tell the two possible points apart: they differ by '
            f"{abs(further):.1f} mm that way, with a doubt of {located.doubt:.1f} mm; {hint}"
        )
    if further > 0:
        return located
    return _describe(located.readings, located.blunder, (located.mirror, located.point))


def telling_sides(located: Located) -> tuple[str, ...]:
    """Give the words that tell a point from its mirror.

    ``|(p - m).e| > doubt``, the most telling pair of words first.

    Parameters
    ----------
    located : Located
        A point and its mirror [-].

    Returns
    -------
    tuple of str
        Words for `choose_side`; empty when there is no mirror.

    Examples
    --------
    >>> nodes = {"A": [0, 0, 0], "B": [700, 0, 0], "C": [0, 400, 0]}
    >>> telling_sides(locate(nodes, {"A": 350, "B": 650, "C": 450}))
    ('up', 'down')
    """
    if located.mirror is None:
        return ()
    apart = located.point - located.mirror
    telling = [word for word, way in SIDES.items() if abs(apart @ way) > located.doubt]
    return tuple(sorted(telling, key=lambda word: -abs(apart @ SIDES[word])))


def _describe(
    readings: Readings, blunder: Blunder | None, twins: tuple[Array, Array | None]
) -> Located:
    """Report on the first of two points, naming the second only where they can be told apart."""
    point, mirror = twins
    tapes = Tapes.to_point(readings)
    left_out = blunder.node if blunder and blunder.certain else None
    covariance = tapes.only([name != left_out for name in readings.names]).covariance(point)
    located = Located(point, covariance, tapes.residuals(point), mirror, blunder, readings)
    merged = mirror is not None and np.linalg.norm(point - mirror) <= located.doubt
    return replace(located, mirror=None) if merged else located


def _twins(readings: Readings, tapes: Tapes, keep: BoolArray) -> tuple[Array, Array | None]:
    """Solve from both closed-form points: the better fit, and the other if as good."""
    used = tapes.only(keep)
    starts = sphere_twins(readings.nodes[keep], readings.distances[keep], readings.sigma[keep])
    one, two = (used.solve(start) for start in starts)
    # A reading left out still says which twin it meant, but no louder than TELL_APART.
    heard = np.where(keep, np.inf, TELL_APART)
    losses = [np.minimum(tapes.misfits(point) ** 2, heard).sum() for point in (one, two)]
    gap = losses[1] - losses[0]
    if abs(gap) >= TELL_APART:
        return (one, None) if gap > 0 else (two, None)
    if abs(gap) <= 1e-6:  # both as far out as is heard: the nearer to what it said
        gap = tapes.chi2(two) - tapes.chi2(one)
    return (one, two) if gap > -1e-6 else (two, one)
