"""Nodes tied up from taped distances between them, fitted together.

::

    distances -> a start, node by node -> least squares -> flips -> odd reading? -> Network

With nothing known the frame is the first node at the origin, the second on +x, the next one off
their line in the xy plane with y > 0, and the next one off that plane with z > 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import chain, combinations, permutations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cableroute.errors import GeometryError
from cableroute.measure.locate import (
    IN_LINE,
    ODD,
    TELL_APART,
    WEAK,
    Blunder,
    Floats,
    Mask,
    _check_place,
    _check_tape,
    _find_blunder,
    _sphere_twins,
    _Tapes,
    _upward,
)

OFF = 0.01
"""A node counts as off a line or plane from this part of the network's size on [-]."""

GROSS = 0.05
"""A turned node whose misfits spread over more than this part of the longest tape does not fit [-]."""

Pair = tuple[str, str]
Places = Mapping[str, ArrayLike]


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """Where the nodes are, and how well that is known.

    Parameters
    ----------
    points : mapping of str to ndarray, shape (3,)
        The nodes, known ones included [mm].
    covariance : mapping of str to ndarray, shape (3, 3)
        Covariance of each, from the tape's sigma alone; 0 for what the frame holds [mm^2].
    residuals : mapping of (str, str) to float
        Measured minus computed distance [mm].
    spare : int
        Degrees of freedom: readings beyond those that fix the shape [-].
    blunder : Blunder or None
        The odd reading, if there is one; its `node` is the pair of names [-].
    mirror : mapping of str to ndarray, shape (3,), or None
        The mirror image of the whole, where the readings fit it as well [mm].
    flips : tuple of str
        Nodes that could stand on the other side of those they are taped to, unnoticed [-].
    sigma : float
        Largest standard deviation of a reading [mm].
    """

    points: Mapping[str, Floats]
    covariance: Mapping[str, Floats]
    residuals: Mapping[Pair, float]
    spare: int
    blunder: Blunder | None
    mirror: Mapping[str, Floats] | None
    flips: tuple[str, ...]
    sigma: float

    @property
    def doubts(self) -> dict[str, float]:
        """Largest semi-axis of each node's one-sigma ellipsoid [mm]."""
        variance = {name: np.linalg.eigvalsh(block)[-1] for name, block in self.covariance.items()}
        return {name: float(np.sqrt(max(value, 0.0))) for name, value in variance.items()}

    @property
    def weak(self) -> tuple[str, ...]:
        """Nodes whose doubt is more than ten times the tape's [-]."""
        return tuple(name for name, doubt in self.doubts.items() if doubt > WEAK * self.sigma)


def fit_network(
    distances: Mapping[Pair, float],
    *,
    known: Places | None = None,
    guess: Places | None = None,
    up: str | None = None,
    sigma: ArrayLike = 1.0,
    planar: bool = False,
) -> Network:
    """Fit nodes to the taped distances between them.

    ``minimise sum(((d_ij - |P_i - P_j|)/sigma_ij)^2)`` over the unknown coordinates.

    Parameters
    ----------
    distances : mapping of (str, str) to float
        Tape distance of each pair of names [mm].
    known : mapping of str to array_like (3,), optional
        Nodes with known coordinates: none, or three not in line (planar: two) [mm].
    guess : mapping of str to array_like (3,), optional
        Rough coordinates, to start from and to tell a shape from its mirror image; of every
        node where nothing is known, in any frame [mm].
    up : str, optional
        Of the whole and its mirror image, the one with this node further up is meant (level:
        further left, else fore). By default this is the first node off the plane [-].
    sigma : array_like, scalar or shape (m,)
        Standard deviation of a reading, in the order of `distances` [mm].
    planar : bool
        All nodes are in one plane: z = 0, or the z the known nodes share [-].

    Returns
    -------
    Network
        Coordinates, covariance, residuals, blunder, and what the readings leave open.

    Raises
    ------
    GeometryError
        If a node has too few distances, the nodes can move without any distance changing, a
        triangle does not close, the start cannot be found without a guess, or the input is
        not what it should be.

    Notes
    -----
    A braced quadrilateral (4 nodes, 6 distances) has one spare reading when planar: it shows
    that a reading is wrong, not which. In space it has none. A flat network fitted in space
    has heights in great doubt (`weak`): use `planar`. A start is found node by node from
    three (planar: two) placed neighbours each, or from all distances at once (classical
    scaling); a network rigid without that needs a guess.

    References
    ----------
    Classical scaling: W. S. Torgerson, Psychometrika 17 (1952) 401-419 (from memory).

    Examples
    --------
    >>> square = {("A", "B"): 300, ("B", "C"): 400, ("C", "D"): 300, ("D", "A"): 400,
    ...           ("A", "C"): 500, ("B", "D"): 500}
    >>> net = fit_network(square, planar=True)
    >>> {name: (point.round(6) + 0.0).tolist() for name, point in net.points.items()}["C"]
    [300.0, 400.0, 0.0]
    >>> net.spare
    1
    """
    net = _checked(
        distances, known=known or {}, guess=guess or {}, up=up, sigma=sigma, planar=planar
    )
    points = net.start()
    net = net.framed_on(points)
    tapes = net.tapes()
    points, flips = net.unflipped(tapes, net.solved(tapes, net.framed(points)))
    blunder = _find_blunder(
        tapes,
        points[net.free],
        net.pairs,
        refit=lambda keep: net.solved(tapes.only(keep), points)[net.free],
    )
    used = tapes
    if blunder and blunder.certain:
        used = tapes.only([pair != blunder.node for pair in net.pairs])
        points = net.solved(used, points)
    else:
        net.check_triangles()
    points, mirror = net.mirrored(used, points)
    names, free = net.names, net.free
    off = tapes.residuals(points[free])
    return Network(
        points=dict(zip(names, points, strict=True)),
        covariance=dict(zip(names, net.blocks(used, points), strict=True)),
        residuals={pair: float(value) for pair, value in zip(net.pairs, off, strict=True)},
        spare=len(used.distances) - int(free.sum()),
        blunder=blunder,
        mirror=None if mirror is None else dict(zip(names, mirror, strict=True)),
        flips=flips,
        sigma=float(net.sigma.max()),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Net:
    """The checked input by index; coordinates not given are nan."""

    names: tuple[str, ...]
    pairs: tuple[Pair, ...]
    ends: NDArray[np.intp]  # (m, 2)
    tape: Floats  # (m,)
    sigma: Floats  # (m,)
    known: Floats  # (n, 3)
    guess: Floats  # (n, 3)
    up: int | None
    dim: int
    base: tuple[int, ...] = ()  # the nodes that carry the frame where nothing is known

    @property
    def floating(self) -> bool:
        """Whether nothing is known, so that the frame is the convention's."""
        return bool(np.isnan(self.known).all())

    @property
    def free(self) -> Mask:
        """Which coordinates are unknown, shape (n, 3)."""
        free = np.isnan(self.known)
        free[:, self.dim :] = False
        for row, node in enumerate(self.base):
            free[node, row:] = False
        return free

    @property
    def held(self) -> Floats:
        """Known coordinates, 0 for the free ones, shape (n, 3) [mm]."""
        held = np.nan_to_num(self.known)
        if self.dim == 2 and not self.floating:
            held[:, 2] = np.nanmax(self.known[:, 2])
        return held

    def table(self) -> Floats:
        """Tabulate the distances measured or known, nan elsewhere, shape (n, n) [mm]."""
        out = _between(self.known)
        i, j = self.ends.T
        out[i, j] = out[j, i] = self.tape
        return out

    def start(self) -> Floats:
        """Find rough places for all nodes, shape (n, 3) [mm]."""
        table = self.table()
        points = np.where(np.isnan(self.known), self.guess, self.known)
        if np.isnan(points).all():
            apart = ~np.eye(len(points), dtype=bool)
            complete = not np.isnan(table[apart]).any()
            points = self._scaled(table) if complete else _largest_triangle(table)
        points[:, self.dim :] = self.held[:, self.dim :]
        while np.isnan(points[:, 0]).any():
            self._place_next(points, table)
        return points

    def _scaled(self, table: Floats) -> Floats:
        """Place all nodes at once by classical scaling."""
        n = len(table)
        np.fill_diagonal(table, 0.0)
        centring = np.eye(n) - 1.0 / n
        size, axes = np.linalg.eigh(-0.5 * centring @ table**2 @ centring)
        hidden = self.sigma.max() * table.max()  # a flat start would be a saddle: never leave it so
        points = np.zeros((n, 3))
        points[:, : self.dim] = (axes * np.sqrt(np.maximum(size, hidden)))[:, : -self.dim - 1 : -1]
        return points

    def _place_next(self, points: Floats, table: Floats) -> None:
        """Place the node with most placed neighbours, in place."""
        placed = ~np.isnan(points[:, 0])
        near = ~np.isnan(table) & placed & ~placed[:, None]
        for node in np.argsort(-near.sum(axis=1), kind="stable"):
            others = points[near[node], : self.dim]
            if not _spans(others):
                continue
            tape, sigma = table[node, near[node]], np.full(len(others), self.sigma.max())
            twins = _sphere_twins(others, tape, sigma)
            loss = [((np.linalg.norm(others - p, axis=1) - tape) ** 2).sum() for p in twins]
            better = int(loss[1] < loss[0] - sigma[0] ** 2)
            points[node, : self.dim] = twins[better]
            return
        waiting = ", ".join(self.names[node] for node in np.flatnonzero(~placed))
        raise GeometryError(
            f"nodes {waiting} cannot be placed one by one, each from {self.dim} placed nodes not "
            "in line: give one of them a guess (all of them, where nothing is known)"
        )

    def framed_on(self, points: Floats) -> _Net:
        """Choose the nodes that carry the frame: the first, and those off it and off their line."""
        if not self.floating:
            return self
        away = points - points[0]
        second = _first_off(np.linalg.norm(away, axis=1), points)
        if self.dim == 2:
            return replace(self, base=(0, second))
        off_line = np.linalg.norm(np.cross(away, away[second]), axis=1)
        off_line /= np.linalg.norm(away[second])
        if off_line.max() <= IN_LINE * np.linalg.norm(away[second]):
            raise GeometryError(f"nodes {', '.join(self.names)} are all in one line")
        return replace(self, base=(0, second, _first_off(off_line, points)))

    def framed(self, points: Floats) -> Floats:
        """Move the whole so that its base nodes are where the frame wants them."""
        if not self.base:
            return points
        away = points - points[0]
        x = away[self.base[1]]
        z = np.cross(x, away[self.base[2]]) if self.dim == 3 else np.array([0.0, 0.0, 1.0])
        axes = np.stack([x, np.cross(z, x), z])
        out: Floats = away @ (axes / np.linalg.norm(axes, axis=1, keepdims=True)).T
        return out

    def tapes(self) -> _Tapes:
        """Give the tapes as functions of the free coordinates."""
        node, axis = np.nonzero(self.free)
        i, j = self.ends.T
        sign = (j[:, None] == node) * 1.0 - (i[:, None] == node)
        motion = sign[:, None, :] * (np.arange(3)[:, None] == axis)
        return _Tapes(motion, self.held[j] - self.held[i], self.tape, self.sigma)

    def solved(self, tapes: _Tapes, points: Floats) -> Floats:
        """Solve from these points."""
        free = self.free
        out = np.where(free, points, self.held)
        out[free] = tapes.solve(points[free])
        return out

    def blocks(self, tapes: _Tapes, points: Floats) -> Floats:
        """Give each node's covariance, shape (n, 3, 3) [mm^2]; refuse nodes nothing holds."""
        free = self.free
        doubts, axes = tapes.doubts(points[free])
        if np.isinf(doubts).any():
            loose = np.zeros_like(points)
            loose[free] = axes[np.isinf(doubts).argmax()]
            name = self.names[np.linalg.norm(loose, axis=1).argmax()]
            raise GeometryError(
                f"node {name} can still move without any distance changing: "
                "it needs at least 1 more distance"
            )
        n = len(points)
        full = np.zeros((3 * n, 3 * n))
        full[np.ix_(free.ravel(), free.ravel())] = tapes.covariance(points[free])
        every = np.arange(n)
        return full.reshape(n, 3, n, 3)[every, :, every, :]

    def unflipped(self, tapes: _Tapes, points: Floats) -> tuple[Floats, tuple[str, ...]]:
        """Turn nodes over, one or two at a time, while that fits better; name what still may be."""
        movable = np.flatnonzero(np.isnan(self.known[:, 0])).tolist()
        groups = [group for size in (1, 2) for group in combinations(movable, size)]
        while True:
            trials = self._trials(tapes, points, groups)
            chi2 = {group: tapes.chi2(trial[self.free]) for group, trial in trials.items()}
            limit = tapes.chi2(points[self.free])
            best = min(chi2, key=lambda group: chi2[group], default=None)
            if best is None or chi2[best] >= limit - TELL_APART:
                break
            points = trials[best]
        doubt = _largest(self.blocks(tapes, points)).max()
        loose: set[int] = set()
        for group, trial in trials.items():
            as_good = chi2[group] < limit + TELL_APART and self._differ(trial, points) > doubt
            if as_good and loose.isdisjoint(group):
                loose.update(group)
        return points, tuple(self.names[node] for node in sorted(loose))

    def _trials(
        self, tapes: _Tapes, points: Floats, groups: list[tuple[int, ...]]
    ) -> dict[tuple[int, ...], Floats]:
        """Solve with each group turned; once the fit is good, only where the turn nearly fits."""
        bad = np.abs(tapes.normalised(points[self.free])).max() > ODD
        gross = np.inf if bad else GROSS * self.tape.max()
        starts = {group: self._turned(points, group) for group in groups}
        return {
            group: self.solved(tapes, start)
            for group, start in starts.items()
            if np.std(tapes.residuals(start[self.free])) <= gross
        }

    def _differ(self, one: Floats, other: Floats) -> float:
        """Tell how far two solutions are apart, other than by a mirror image of the whole [mm]."""
        if self.floating:
            return float(np.abs(_between(one) - _between(other)).max())
        images = (one, self._reflected(one))
        return min(float(np.linalg.norm(image - other, axis=1).max()) for image in images)

    def _turned(self, points: Floats, nodes: tuple[int, ...]) -> Floats:
        """Reflect nodes, each through the plane (planar: line) nearest to those it is taped to."""
        out = points.copy()
        for node in nodes:
            here = (self.ends == node).any(axis=1)
            others = np.setdiff1d(self.ends[here], node)
            centre, normal = _plane(out[others, : self.dim])
            out[node, : self.dim] -= 2.0 * ((out[node, : self.dim] - centre) @ normal) * normal
        return self.framed(out)

    def _sides(self, points: Floats) -> tuple[Floats, Floats]:
        """Heights over the plane (planar: line) nearest to the fixed nodes, and its normal."""
        if self.floating:
            centre, normal = np.zeros(self.dim), np.eye(self.dim)[-1]
        else:
            centre, normal = _plane(self.known[~np.isnan(self.known[:, 0]), : self.dim])
        return (points[:, : self.dim] - centre) @ _upward(normal), _upward(normal)

    def _reflected(self, points: Floats) -> Floats:
        """Reflect all but the known nodes through that plane."""
        height, normal = self._sides(points)
        out = points.copy()
        out[:, : self.dim] -= 2.0 * height[:, None] * normal
        return np.where(self.free, out, points)

    def mirrored(self, tapes: _Tapes, points: Floats) -> tuple[Floats, Floats | None]:
        """Give the solution and its mirror image where that fits as well, the meant one first."""
        other = self.solved(tapes, self._reflected(points))
        worse = tapes.chi2(other[self.free]) - tapes.chi2(points[self.free])
        if abs(worse) >= TELL_APART:
            return (points, None) if worse > 0 else (other, None)
        height = self._sides(points)[0] - self._sides(other)[0]
        clear = np.abs(height) > _largest(self.blocks(tapes, points))
        if not clear.any():
            return points, None
        sure = self.up if self.up is not None else _first_off(np.abs(height) * clear, points)
        if not clear[sure]:
            raise GeometryError(
                f"up: node {self.names[sure]} is in the plane of the mirror and does not tell "
                "the two images apart: name a node off it"
            )
        wanted = height[sure]
        if self.up is None and not np.isnan(self.guess[sure]).any():  # a guess keeps its own hand
            rough = self._sides(self.guess)[0][sure]
            wanted = 1.0 if self.floating else height[sure] * rough
        return (points, other) if wanted > 0 else (other, points)

    def check_triangles(self) -> None:
        """Refuse three distances that close no triangle."""
        table, variance = self.table(), np.zeros((len(self.names),) * 2)
        i, j = self.ends.T
        variance[i, j] = variance[j, i] = self.sigma**2
        for a, b, c in permutations(range(len(self.names)), 3):
            gap = table[a, b] - table[a, c] - table[c, b]
            doubt = np.sqrt(variance[a, b] + variance[a, c] + variance[c, b])
            if gap > 3.0 * doubt:
                one, two, apex = self.names[a], self.names[b], self.names[c]
                raise GeometryError(
                    f"{one}-{two} {table[a, b]:.1f} mm is {gap:.1f} mm longer than "
                    f"{one}-{apex} {table[a, c]:.1f} mm and {apex}-{two} {table[c, b]:.1f} mm "
                    "together: no triangle closes"
                )


def _between(points: Floats) -> Floats:
    """Distances between all points, shape (n, n) [mm]."""
    out: Floats = np.linalg.norm(points[:, None] - points, axis=-1)
    return out


def _plane(points: Floats) -> tuple[Floats, Floats]:
    """Centre and unit normal of the plane (in 2D, the line) nearest to points."""
    centre = points.mean(axis=0)
    return centre, np.linalg.svd(points - centre)[2][-1]


def _spans(points: Floats) -> bool:
    """Whether points place another: as many as there are dimensions, and not in line in 3D."""
    dim = points.shape[1]
    if len(points) < dim:
        return False
    size = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    return bool(size[dim - 2] > IN_LINE * size[0])


def _first_off(heights: Floats, points: Floats) -> int:
    """Give the first node clearly off, the farthest where none is."""
    clear = heights > OFF * _between(points).max()
    return int(np.argmax(clear if clear.any() else heights))


def _largest(blocks: Floats) -> Floats:
    """Largest one-sigma semi-axis of each covariance, shape (n,) [mm]."""
    out: Floats = np.sqrt(np.maximum(np.linalg.eigvalsh(blocks)[:, -1], 0.0))
    return out


def _largest_triangle(table: Floats) -> Floats:
    """Place the largest fully measured triangle in the xy plane, the other nodes nan."""
    corners = np.array(list(combinations(range(len(table)), 3)))
    i, j, k = corners.T
    c, b, a = table[i, j], table[i, k], table[j, k]
    half = 0.5 * (a + b + c)
    area2 = half * (half - a) * (half - b) * (half - c)  # Heron; nan where a side is missing
    if not (area2 > 0).any():
        raise GeometryError(
            "expected three nodes with all three distances between them to start from: "
            "give a guess of every node"
        )
    best = int(np.nanargmax(area2))
    points = np.full((len(table), 3), np.nan)
    x = (b[best] ** 2 + c[best] ** 2 - a[best] ** 2) / (2.0 * c[best])
    y = 2.0 * np.sqrt(area2[best]) / c[best]
    points[corners[best]] = [[0.0, 0.0, 0.0], [c[best], 0.0, 0.0], [x, y, 0.0]]
    return points


def _checked(
    distances: Mapping[Pair, float],
    *,
    known: Places,
    guess: Places,
    up: str | None,
    sigma: ArrayLike,
    planar: bool,
) -> _Net:
    """Check what was given, and number the nodes in order of appearance."""
    for pair in distances:
        if not isinstance(pair, tuple) or len(set(pair)) != 2 or len(pair) != 2:
            raise GeometryError(f"distances: expected pairs of two different nodes (got {pair!r})")
    names = tuple(dict.fromkeys(chain(*distances, known)))
    index = {name: row for row, name in enumerate(names)}
    for word, given in (("guess", guess), ("up", () if up is None else (up,))):
        for name in given:
            if name not in index:
                raise GeometryError(f'{word}: expected one of {", ".join(names)} (got "{name}")')
    tape = np.array(list(distances.values()), dtype=float)
    net = _Net(
        names=names,
        pairs=tuple(distances),
        ends=np.array([[index[a], index[b]] for a, b in distances]).reshape(-1, 2),
        tape=tape,
        sigma=_check_tape(["-".join(pair) for pair in distances], tape, sigma),
        known=_placed(known, names),
        guess=_placed(guess, names),
        up=None if up is None else index[up],
        dim=2 if planar else 3,
    )
    _check_frame(net)
    _check_counts(net)
    return net


def _placed(places: Places, names: tuple[str, ...]) -> Floats:
    out = np.full((len(names), 3), np.nan)
    for name, place in places.items():
        out[names.index(name)] = _check_place(name, place)
    return out


def _check_frame(net: _Net) -> None:
    """Refuse nodes that fix the frame by half."""
    known, rough = (places[~np.isnan(places[:, 0])] for places in (net.known, net.guess))
    if net.floating:
        if 0 < len(rough) < len(net.names):
            raise GeometryError("guess: with nothing known, expected a guess of every node")
        return
    if not _spans(known[:, : net.dim]):
        needed = "two nodes" if net.dim == 2 else "three nodes not in line"
        raise GeometryError(f"known: expected none or at least {needed} (got {len(known)})")
    if net.dim == 2 and np.ptp(known[:, 2]) > 1e-6:
        raise GeometryError("known: in a planar network all must have the same z")


def _check_counts(net: _Net) -> None:
    """Refuse nodes with too few distances, naming them."""
    n = len(net.names)
    if n < 3:
        raise GeometryError(f"expected at least 3 nodes (got {n})")
    needed = min(net.dim, n - 1)
    count = np.bincount(net.ends.ravel(), minlength=n)
    short = [
        f"node {name} has {have} and needs {needed - have} more"
        for name, have, place in zip(net.names, count, net.known[:, 0], strict=True)
        if np.isnan(place) and have < needed
    ]
    if short:
        raise GeometryError("too few distances: " + "; ".join(short))
    unknown = n * net.dim - net.dim * (net.dim + 1) // 2 if net.floating else int(net.free.sum())
    telling = int(np.isnan(net.known[net.ends, 0]).any(axis=1).sum())
    if telling < unknown:
        raise GeometryError(
            f"too few distances: the {n} nodes need {unknown} in all, got {telling}; "
            f"node {net.names[np.argmin(np.where(np.isnan(net.known[:, 0]), count, n))]} "
            f"has fewest, and {unknown - telling} more are needed"
        )
