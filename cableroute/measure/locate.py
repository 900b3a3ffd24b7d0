"""A point from tape distances to known nodes, with its doubt, its twin and its odd reading.

::

    readings -> closed-form twins -> least squares -> odd reading? -> Located
                                                                       └─ choose_side

`_Tapes` is the adjustment underneath, shared with :mod:`cableroute.measure.network`: straight
lengths between points that move linearly with the unknowns.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cableroute.errors import GeometryError, SolverError

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

ODD = 3.29
"""Normalised residual above which a reading is suspect: 1 honest reading in 1000 [-]."""

TELL_APART = 9.0
"""Two solutions, or two suspects, are told apart by this much chi-square (3 sigma) [-]."""

WEAK = 10.0
"""The geometry is weak when it multiplies the tape's sigma by more than this [-]."""

IN_LINE = 1e-6
"""Nodes are in one line when their spread across it is below this part of their spread [-]."""

NO_GAIN = 1e-20
"""A step that promises no more than this of chi-square is the last: 1e-10 of the doubt [-]."""

NOTHING = 1e-8
"""Part of the best-known direction's gain below which a direction is not measured [-]."""

LEVEL = 0.01
"""A unit vector is level when it rises by no more than this, about half a degree [-]."""

SIDES: dict[str, Floats] = {
    word: sign * np.eye(3)[axis]
    for axis, sign, word in (
        (2, 1.0, "up"),
        (2, -1.0, "down"),
        (1, 1.0, "left"),
        (1, -1.0, "right"),
        (0, 1.0, "fore"),
        (0, -1.0, "aft"),
    )
}
"""The words a side may be, each with its direction (x forward, y left, z up) [-]."""


@dataclass(frozen=True, slots=True)
class Blunder:
    """A reading the others contradict.

    Parameters
    ----------
    node : hashable
        Name (or index) of the node whose reading is odd; a pair of names in a network [-].
    measured : float
        What the tape said [mm].
    expected : float
        What it should have said, from the other readings alone [mm].
    rivals : tuple of hashable
        Other readings that, left out instead, would explain the misfit as well [-].
    certain : bool
        The others agree without it, and it has no rival. Only then is it left out [-].
    """

    node: Hashable
    measured: float
    expected: float
    rivals: tuple[Hashable, ...]
    certain: bool


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """What the tape said, checked.

    Parameters
    ----------
    names : tuple of hashable
        Node names, or indices [-].
    nodes : ndarray, shape (k, 3)
        Where the nodes are [mm].
    distances : ndarray, shape (k,)
        Tape distances [mm].
    sigma : ndarray, shape (k,)
        Standard deviation of each [mm].
    """

    names: tuple[Hashable, ...]
    nodes: Floats
    distances: Floats
    sigma: Floats


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

    point: Floats
    covariance: Floats
    residuals: Floats
    mirror: Floats | None
    blunder: Blunder | None
    readings: Readings

    @cached_property
    def _axes(self) -> tuple[Floats, Floats]:
        variance, directions = np.linalg.eigh(self.covariance)
        return variance, directions

    @property
    def doubt(self) -> float:
        """Largest semi-axis of the one-sigma ellipsoid [mm]."""
        return float(np.sqrt(self._axes[0][-1]))

    @property
    def weak_direction(self) -> Floats:
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
    side : {"left", "right", "up", "down", "fore", "aft"}, optional
        Which of the two possible points is meant: the one further that way [-].

    Returns
    -------
    Located
        Point, covariance, residuals, mirror and blunder. Without `side`, and with two possible
        points, the point is the one further up; where they are level within the doubt, the one
        further left; else the one further fore. The other is its `mirror`.

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
    readings = _check_readings(nodes, distances, sigma)
    tapes = _Tapes.to_point(readings)
    keep = np.ones(len(readings.names), dtype=bool)
    twins = _twins(readings, tapes, keep)
    blunder = _find_blunder(
        tapes, twins[0], readings.names, refit=lambda kept: _twins(readings, tapes, kept)[0]
    )
    if blunder and blunder.certain:
        keep[readings.names.index(blunder.node)] = False
        twins = _twins(readings, tapes, keep)
    elif blunder or len(keep) == 3:
        _check_meeting(readings, tapes.residuals(twins[0]))
    located = _describe(readings, blunder, twins)
    if side is None:
        telling = telling_sides(located)
        side = next((word for word in ("up", "left", "fore") if word in telling), None)
    return located if side is None else choose_side(located, side)


def choose_side(located: Located, side: str) -> Located:
    """Take the one of two possible points that is further to a side.

    ``(p - m).e > doubt`` picks p over its mirror m, e pointing to the side.

    Parameters
    ----------
    located : Located
        A point and its mirror; without a mirror it is returned as it is [-].
    side : {"left", "right", "up", "down", "fore", "aft"}
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
    readings: Readings, blunder: Blunder | None, twins: tuple[Floats, Floats | None]
) -> Located:
    """Report on the first of two points, naming the second only where they can be told apart."""
    point, mirror = twins
    tapes = _Tapes.to_point(readings)
    left_out = blunder.node if blunder and blunder.certain else None
    covariance = tapes.only([name != left_out for name in readings.names]).covariance(point)
    located = Located(point, covariance, tapes.residuals(point), mirror, blunder, readings)
    merged = mirror is not None and np.linalg.norm(point - mirror) <= located.doubt
    return replace(located, mirror=None) if merged else located


def _twins(readings: Readings, tapes: _Tapes, keep: Mask) -> tuple[Floats, Floats | None]:
    """Solve from both closed-form points: the better fit, and the other if as good."""
    used = tapes.only(keep)
    starts = _sphere_twins(readings.nodes[keep], readings.distances[keep], readings.sigma[keep])
    one, two = (used.solve(start) for start in starts)
    # A reading left out still says which twin it meant, but no louder than TELL_APART.
    heard = np.where(keep, np.inf, TELL_APART)
    losses = [np.minimum(tapes.misfits(point) ** 2, heard).sum() for point in (one, two)]
    gap = losses[1] - losses[0]
    if abs(gap) >= TELL_APART:
        return (one, None) if gap > 0 else (two, None)
    return (one, two) if gap > -1e-6 else (two, one)


def _sphere_twins(nodes: Floats, distances: Floats, sigma: Floats) -> tuple[Floats, Floats]:
    """Give the two points at given distances from nodes in or near a plane (a line, in 2D).

    In the principal axes of the nodes the differences of the squared distances are linear in
    the point, and their mean gives its height over the plane. Exact for exact distances, to any
    number of nodes; where the spheres miss each other the height is what sigma could hide.

    Parameters
    ----------
    nodes : ndarray, shape (k, d)
        Places of the nodes, d of 2 or 3 [mm].
    distances, sigma : ndarray, shape (k,)
        What the tape said, and its standard deviation [mm].

    Returns
    -------
    tuple of ndarray, shape (d,)
        The two points, the upper (left, front) one first [mm].
    """
    centre = nodes.mean(axis=0)
    spread = nodes - centre
    u, size, axes = np.linalg.svd(spread, full_matrices=False)
    squares = distances**2 - (spread**2).sum(axis=-1)
    flat = -0.5 * (u.T @ squares)[:-1] / size[:-1]
    height2 = squares.mean() - flat @ flat
    hidden = float(np.mean(sigma * distances))
    foot = centre + flat @ axes[:-1]
    rise = np.sqrt(max(height2, hidden)) * _upward(axes[-1])
    return foot + rise, foot - rise


def _upward(normal: Floats) -> Floats:
    """Turn a unit vector up; where it is level, to the left; else forward.

    Parameters
    ----------
    normal : ndarray, shape (d,)
        A unit vector [-].

    Returns
    -------
    ndarray, shape (d,)
        The vector or its opposite [-].
    """
    tells = np.flatnonzero(np.abs(normal) > LEVEL)[-1]
    return normal if normal[tells] > 0 else -normal


def _find_blunder(
    tapes: _Tapes, fitted: Floats, keys: Sequence[Hashable], *, refit: Callable[[Mask], Floats]
) -> Blunder | None:
    """Find the reading the others contradict: snoop by normalised residual, then leave one out.

    Parameters
    ----------
    tapes : _Tapes
        All readings.
    fitted : ndarray, shape (p,)
        The unknowns as fitted to them all [mm].
    keys : sequence, shape (k,)
        What to call each reading.
    refit : callable
        Takes which readings to keep, returns the unknowns fitted to those [mm].

    Returns
    -------
    Blunder or None
        The reading at fault; None when nothing contradicts it.
    """
    odd = np.abs(tapes.normalised(fitted))
    if len(keys) < 4 or odd.max() <= ODD:
        return None
    every = np.arange(len(keys))
    trials = {int(i): refit(every != i) for i in np.flatnonzero(odd)}
    rest = {i: tapes.only(every != i) for i in trials}
    agree = {i for i, p in trials.items() if np.abs(rest[i].normalised(p)).max() <= ODD}
    chi2 = {i: rest[i].chi2(p) for i, p in trials.items() if i in agree or not agree}
    worst = min(chi2, key=lambda i: (round(chi2[i], 6), -round(float(odd[i]), 6)))
    rivals = tuple(keys[i] for i in chi2 if i != worst and chi2[i] - chi2[worst] < TELL_APART)
    return Blunder(
        node=keys[worst],
        measured=float(tapes.distances[worst]),
        expected=float(tapes.lengths(trials[worst])[worst]),
        rivals=rivals,
        certain=bool(agree) and not rivals,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Tapes:
    """Taped lengths ``|motion p + offset|`` of straight lines whose ends move with unknowns p.

    Parameters
    ----------
    motion : ndarray, shape (k, 3, p)
        How each line's end-to-end vector moves with the unknowns [-].
    offset : ndarray, shape (k, 3)
        That vector where all unknowns are 0 [mm].
    distances, sigma : ndarray, shape (k,)
        What the tape said, and its standard deviation [mm].
    """

    motion: Floats
    offset: Floats
    distances: Floats
    sigma: Floats

    @classmethod
    def to_point(cls, readings: Readings) -> _Tapes:
        """Give the tapes from known nodes to the one point sought."""
        motion = np.broadcast_to(np.eye(3), (len(readings.nodes), 3, 3))
        return cls(motion, -readings.nodes, readings.distances, readings.sigma)

    def only(self, keep: Mask | Sequence[bool]) -> _Tapes:
        """Give some of the tapes.

        Parameters
        ----------
        keep : sequence of bool, shape (k,)
            Which [-].

        Returns
        -------
        _Tapes
            Those.
        """
        parts = (self.motion, self.offset, self.distances, self.sigma)
        return _Tapes(*(part[np.asarray(keep)] for part in parts))

    def _lines(self, p: Floats) -> tuple[Floats, Floats]:
        """Lengths, shape (k,) [mm], and unit vectors, shape (k, 3) [-]."""
        vectors = self.motion @ p + self.offset
        lengths = np.maximum(np.sqrt((vectors**2).sum(axis=-1)), 1e-9)
        return lengths, vectors / lengths[:, None]

    def lengths(self, p: Floats) -> Floats:
        """Compute the lengths, shape (k,) [mm].

        Parameters
        ----------
        p : ndarray, shape (p,)
            The unknowns [mm].
        """
        return self._lines(p)[0]

    def residuals(self, p: Floats) -> Floats:
        """Measured minus computed, shape (k,) [mm].

        Parameters
        ----------
        p : ndarray, shape (p,)
            The unknowns [mm].
        """
        return self.distances - self.lengths(p)

    def misfits(self, p: Floats) -> Floats:
        """Residuals in units of sigma, shape (k,) [-].

        Parameters
        ----------
        p : ndarray, shape (p,)
            The unknowns [mm].
        """
        return self.residuals(p) / self.sigma

    def chi2(self, p: Floats) -> float:
        """Sum of the squared misfits [-].

        Parameters
        ----------
        p : ndarray, shape (p,)
            The unknowns [mm].
        """
        return float((self.misfits(p) ** 2).sum())

    def _landscape(self, p: Floats) -> tuple[float, Floats, Floats]:
        """Half of chi-square, its gradient and its exact Hessian."""
        lengths, unit = self._lines(p)
        stretch = lengths - self.distances
        weight = self.sigma**-2
        pull = (weight * stretch)[:, None] * unit
        along = (weight * self.distances / lengths)[:, None, None]
        across = (weight * stretch / lengths)[:, None, None]
        stiffness = along * unit[:, :, None] * unit[:, None, :] + across * np.eye(3)
        turned = self.motion.transpose(0, 2, 1)
        gradient: Floats = (turned @ pull[:, :, None]).sum(axis=0)[:, 0]
        hessian: Floats = (turned @ stiffness @ self.motion).sum(axis=0)
        return 0.5 * float(weight @ stretch**2), gradient, hessian

    def solve(self, start: Floats, *, steps: int = 2000) -> Floats:
        """Go down to the nearest least-squares solution.

        Newton steps in the eigenvectors of the Hessian, uphill curvatures taken as downhill
        ones, each step halved until it does not climb.

        Parameters
        ----------
        start : ndarray, shape (p,)
            Where to begin [mm].
        steps : int
            Most steps to take [-].

        Returns
        -------
        ndarray, shape (p,)
            The unknowns there [mm].
        """
        close = 1e-9 * float(self.distances.max())
        p = start
        here = self._landscape(p)
        for _ in range(steps):
            curvature, axes = np.linalg.eigh(here[2])
            curvature = np.abs(curvature)
            curvature = np.maximum(curvature, 1e-12 * curvature.max())
            step: Floats = -axes @ ((axes.T @ here[1]) / curvature)
            promised = -float(here[1] @ step)
            there = self._landscape(p + step)
            while there[0] > here[0] and np.abs(step).max() > close:
                step = 0.5 * step
                there = self._landscape(p + step)
            p, here = p + step, there
            if np.abs(step).max() <= close or promised <= NO_GAIN:
                return p
        raise SolverError(
            f"the distances do not settle: after {steps} steps the point still moves "
            f"{np.abs(step).max():.2g} mm (wanted {close:.2g} mm)"
        )

    def _svd(self, p: Floats) -> tuple[Floats, Floats, Floats]:
        """Decompose the Jacobian of the misfits; readings that say nothing new are zeroed."""
        unit = self._lines(p)[1]
        jacobian = (unit[:, None, :] @ self.motion)[:, 0] / self.sigma[:, None]
        u, gain, axes = np.linalg.svd(jacobian, full_matrices=False)
        return u * (gain > NOTHING * gain[0]), gain, axes

    def normalised(self, p: Floats) -> Floats:
        """Divide misfits by their own standard deviation; 0 where nothing checks them [-].

        Parameters
        ----------
        p : ndarray, shape (p,)
            The unknowns [mm].
        """
        spare = 1.0 - (self._svd(p)[0] ** 2).sum(axis=-1)
        checked = spare > 1e-6
        return np.where(checked, self.misfits(p), 0.0) / np.sqrt(np.where(checked, spare, 1.0))

    def doubts(self, p: Floats) -> tuple[Floats, Floats]:
        """Give the principal semi-axes, shape (p,) [mm], and directions, shape (p, p) [-].

        Along each direction (a row) the smaller of the first-order doubt and of the move that
        costs one sigma through the curvature of the spheres alone, after the better-known
        directions have given way. Infinite where neither holds the point.

        Parameters
        ----------
        p : ndarray, shape (p,)
            The unknowns [mm].
        """
        u, gain, axes = self._svd(p)
        lengths, unit = self._lines(p)
        moved = self.motion @ axes.T
        bent = (moved**2).sum(axis=1) - (unit[:, :, None] * moved).sum(axis=1) ** 2
        bent /= 2.0 * (lengths * self.sigma)[:, None]
        taken = np.triu(u.T @ bent, k=1)
        total = (bent**2).sum(axis=0)
        held = np.maximum(total - (taken**2).sum(axis=0), 0.0)
        with np.errstate(divide="ignore"):
            curved = np.where(held > 1e-9 * total, held, 0.0) ** -0.25
            straight = 1.0 / np.where(gain > NOTHING * gain[0], gain, 0.0)
        return np.minimum(straight, curved), axes

    def covariance(self, p: Floats) -> Floats:
        """Give the covariance of the unknowns from their finite `doubts`, shape (p, p) [mm^2].

        Parameters
        ----------
        p : ndarray, shape (p,)
            The unknowns [mm].
        """
        doubts, axes = self.doubts(p)
        out: Floats = (axes.T * doubts**2) @ axes
        return out


def _check_readings(
    nodes: Mapping[str, ArrayLike] | ArrayLike,
    distances: Mapping[str, float] | ArrayLike,
    sigma: ArrayLike,
) -> Readings:
    """Check what was given, and line up nodes and distances."""
    names, places, tape = _line_up(nodes, distances)
    points = np.array([_check_place(*named) for named in zip(names, places, strict=True)])
    if len(names) < 3:
        raise GeometryError(f"expected distances from at least 3 nodes (got {len(names)})")
    deviations = _check_tape(names, tape, sigma)
    between, (i, j) = _gaps(points)
    if between.min() < 1e-6:
        same = int(between.argmin())
        raise GeometryError(f"nodes {names[i[same]]} and {names[j[same]]} are the same point")
    spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if spread[1] <= IN_LINE * spread[0]:
        listed = ", ".join(map(str, names))
        raise GeometryError(
            f"nodes {listed} are in one line, which leaves a whole circle of points: "
            "add a distance from a node off that line"
        )
    return Readings(names, points, np.asarray(tape, dtype=float), deviations)


def _line_up(
    nodes: Mapping[str, ArrayLike] | ArrayLike, distances: Mapping[str, float] | ArrayLike
) -> tuple[tuple[Hashable, ...], Sequence[ArrayLike], ArrayLike]:
    if isinstance(nodes, Mapping) and isinstance(distances, Mapping):
        for name in distances:
            if name not in nodes:
                known = ", ".join(map(str, nodes))
                raise GeometryError(f'distance to "{name}": expected one of {known}')
        return tuple(distances), [nodes[name] for name in distances], list(distances.values())
    if isinstance(nodes, Mapping) or isinstance(distances, Mapping):
        raise GeometryError("expected both nodes and distances by name, or neither")
    places, tape = list(np.asarray(nodes, dtype=float)), np.atleast_1d(distances)
    if tape.shape != (len(places),):
        raise GeometryError(
            f"expected {len(places)} distances, one for each node, got shape {tape.shape}"
        )
    return tuple(range(len(places))), places, tape


def _check_place(name: Hashable, place: ArrayLike) -> Floats:
    """Check the coordinates of a node, shape (3,) [mm].

    Parameters
    ----------
    name : hashable
        What to call it in the message.
    place : array-like, shape (3,)
        Its coordinates [mm].
    """
    point = np.asarray(place, dtype=float)
    if point.shape != (3,) or not np.isfinite(point).all():
        raise GeometryError(f"node {name}: expected finite x, y, z (got {point.tolist()})")
    return point


def _check_tape(names: Sequence[Hashable], tape: ArrayLike, sigma: ArrayLike) -> Floats:
    """Check distances, and give one sigma for each, shape (k,) [mm].

    Parameters
    ----------
    names : sequence, shape (k,)
        What to call each in messages.
    tape : array-like, shape (k,)
        The distances [mm].
    sigma : array-like
        Standard deviation, one or k [mm].
    """
    for name, distance in zip(names, np.asarray(tape, dtype=float), strict=True):
        if not (np.isfinite(distance) and distance > 0):
            raise GeometryError(f"distance {name}: must be greater than 0 mm (got {distance})")
    deviations = np.asarray(sigma, dtype=float)
    if deviations.shape not in {(), (len(names),)}:
        raise GeometryError(
            f"sigma: expected one number or {len(names)}, got shape {deviations.shape}"
        )
    if not (np.isfinite(deviations) & (deviations > 0)).all():
        raise GeometryError(f"sigma: must be greater than 0 mm (got {deviations.min()})")
    return np.broadcast_to(deviations, (len(names),)).copy()


def _gaps(points: Floats) -> tuple[Floats, tuple[NDArray[np.intp], NDArray[np.intp]]]:
    i, j = np.triu_indices(len(points), k=1)
    return np.linalg.norm(points[i] - points[j], axis=-1), (i, j)


def _check_meeting(readings: Readings, residuals: Floats) -> None:
    """Refuse distances that meet nowhere, naming the pair at fault where there is one."""
    between, (i, j) = _gaps(readings.nodes)
    one, two = readings.distances[i], readings.distances[j]
    allowed = 3.0 * np.hypot(readings.sigma[i], readings.sigma[j])
    short, over = between - (one + two), np.abs(one - two) - between
    worst = int(np.argmax(np.maximum(short, over) - allowed))
    a, b = readings.names[i[worst]], readings.names[j[worst]]
    tape = f"{one[worst]:.1f} mm from {a} and {two[worst]:.1f} mm from {b}"
    apart = f"{a} and {b} are {between[worst]:.1f} mm apart"
    if short[worst] > allowed[worst]:
        raise GeometryError(f"{tape} cannot meet: {apart}, {short[worst]:.1f} mm too far")
    if over[worst] > allowed[worst]:
        raise GeometryError(
            f"{tape} cannot meet: they differ by {over[worst]:.1f} mm more than {apart}"
        )
    if len(residuals) == 3 and (np.abs(residuals) > 3.0 * readings.sigma).any():
        listed = ", ".join(
            f"{name} {off:+.1f}" for name, off in zip(readings.names, residuals, strict=True)
        )
        raise GeometryError(
            f"the three distances do not meet: even the nearest point misses them by {listed} mm"
        )
