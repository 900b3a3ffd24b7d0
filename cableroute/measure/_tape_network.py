"""A network of taped nodes: its frame, its adjustment, its flips and its mirror image."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.measure._adjust import Tapes
from cableroute.measure._blunder import ODD, TELL_APART
from cableroute.measure._checks import IN_LINE
from cableroute.measure._first_guess import largest_triangle, place_next, scaled, upward

#: A node counts as off a line or plane from this part of the network's size on [-].
OFF = 0.01

#: A turned node whose misfits spread over more than this part of the longest tape does not fit [-].
GROSS = 0.05

#: With more nodes to turn than this, two are turned together only where a tape joins them [-].
FEW = 12

Pair = tuple[str, str]


@frozen(eq=False)
class TapeNetwork:
    """The checked input by index; coordinates not given are nan."""

    names: tuple[str, ...]
    pairs: tuple[Pair, ...]
    ends: IntArray  # (m, 2)
    tape: Array  # (m,)
    sigma: Array  # (m,)
    known: Array  # (n, 3)
    guess: Array  # (n, 3)
    up: int | None
    dim: int
    base: tuple[int, ...] = ()  # the nodes that carry the frame where nothing is known

    @property
    def floating(self) -> bool:
        """Whether nothing is known, so that the frame is the convention's."""
        return bool(np.isnan(self.known).all())

    @property
    def free(self) -> BoolArray:
        """Which coordinates are unknown, shape (n, 3)."""
        free = np.isnan(self.known)
        free[:, self.dim :] = False
        for row, node in enumerate(self.base):
            free[node, row:] = False
        return free

    @property
    def held(self) -> Array:
        """Known coordinates, 0 for the free ones, shape (n, 3) [mm]."""
        held = np.nan_to_num(self.known)
        if self.dim == 2 and not self.floating:
            held[:, 2] = np.nanmax(self.known[:, 2])
        return held

    def table(self) -> Array:
        """Tabulate the distances measured or known, nan elsewhere, shape (n, n) [mm]."""
        out = between(self.known)
        i, j = self.ends.T
        out[i, j] = out[j, i] = self.tape
        return out

    def start(self) -> Array:
        """Find rough places for all nodes, shape (n, 3) [mm]."""
        table, sigma = self.table(), float(self.sigma.max())
        points = np.where(np.isnan(self.known), self.guess, self.known)
        if np.isnan(points).all():
            apart = ~np.eye(len(points), dtype=bool)
            complete = not np.isnan(table[apart]).any()
            points = (
                scaled(table, dim=self.dim, sigma=sigma) if complete else largest_triangle(table)
            )
        points[:, self.dim :] = self.held[:, self.dim :]
        while np.isnan(points[:, 0]).any():
            place_next(points, table, names=self.names, dim=self.dim, sigma=sigma)
        return points

    def framed_on(self, points: Array) -> TapeNetwork:
        """Choose the nodes that carry the frame: the first, and those off it and off their line."""
        if not self.floating:
            return self
        away = points - points[0]
        second = first_off(np.linalg.norm(away, axis=1), points)
        if self.dim == 2:
            return replace(self, base=(0, second))
        off_line = np.linalg.norm(np.cross(away, away[second]), axis=1)
        off_line /= np.linalg.norm(away[second])
        if off_line.max() <= IN_LINE * np.linalg.norm(away[second]):
            raise GeometryError(f"nodes {', '.join(self.names)} are all in one line")
        return replace(self, base=(0, second, first_off(off_line, points)))

    def framed(self, points: Array) -> Array:
        """Move the whole so that its base nodes are where the frame wants them."""
        if not self.base:
            return points
        away = points - points[0]
        x = away[self.base[1]]
        z = np.cross(x, away[self.base[2]]) if self.dim == 3 else np.array([0.0, 0.0, 1.0])
        axes = np.stack([x, np.cross(z, x), z])
        out: Array = away @ (axes / np.linalg.norm(axes, axis=1, keepdims=True)).T
        return out

    def tapes(self) -> Tapes:
        """Give the tapes as functions of the free coordinates."""
        node, axis = np.nonzero(self.free)
        i, j = self.ends.T
        sign = (j[:, None] == node) * 1.0 - (i[:, None] == node)
        motion = sign[:, None, :] * (np.arange(3)[:, None] == axis)
        return Tapes(motion, self.held[j] - self.held[i], self.tape, self.sigma)

    def solved(self, tapes: Tapes, points: Array) -> Array:
        """Solve from these points."""
        free = self.free
        out = np.where(free, points, self.held)
        out[free] = tapes.solve(points[free])
        return out

    def blocks(self, tapes: Tapes, points: Array) -> Array:
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

    def unflipped(self, tapes: Tapes, points: Array) -> tuple[Array, tuple[str, ...]]:
        """Turn nodes over, one or two at a time, while that fits better; name what still may be."""
        movable = np.flatnonzero(np.isnan(self.known[:, 0])).tolist()
        groups = [*combinations(movable, 1), *self._pairs(movable)]
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

    def _pairs(self, movable: list[int]) -> list[tuple[int, ...]]:
        """Which two nodes are turned together: of few any two, of many those that a tape joins."""
        every = combinations(movable, 2)
        if len(movable) <= FEW:
            return list(every)
        joined = {frozenset(pair) for pair in self.ends.tolist()}
        return [pair for pair in every if frozenset(pair) in joined]

    def _trials(
        self, tapes: Tapes, points: Array, groups: list[tuple[int, ...]]
    ) -> dict[tuple[int, ...], Array]:
        """Solve with each group turned; once the fit is good, only where the turn nearly fits."""
        bad = np.abs(tapes.normalised(points[self.free])).max() > ODD
        gross = np.inf if bad else GROSS * self.tape.max()
        starts = {group: self._turned(points, group) for group in groups}
        return {
            group: self.solved(tapes, start)
            for group, start in starts.items()
            if np.std(tapes.residuals(start[self.free])) <= gross
        }

    def _differ(self, one: Array, other: Array) -> float:
        """Tell how far two solutions are apart, other than by a mirror image of the whole [mm]."""
        if self.floating:
            return float(np.abs(between(one) - between(other)).max())
        images = (one, self._reflected(one))
        return min(float(np.linalg.norm(image - other, axis=1).max()) for image in images)

    def _turned(self, points: Array, nodes: tuple[int, ...]) -> Array:
        """Reflect nodes, each through the plane (planar: line) nearest to those it is taped to."""
        out = points.copy()
        for node in nodes:
            here = (self.ends == node).any(axis=1)
            others = np.setdiff1d(self.ends[here], node)
            centre, normal = plane(out[others, : self.dim])
            out[node, : self.dim] -= 2.0 * ((out[node, : self.dim] - centre) @ normal) * normal
        return self.framed(out)

    def _sides(self, points: Array) -> tuple[Array, Array]:
        """Heights over the plane (planar: line) nearest to the fixed nodes, and its normal."""
        if self.floating:
            centre, normal = np.zeros(self.dim), np.eye(self.dim)[-1]
        else:
            centre, normal = plane(self.known[~np.isnan(self.known[:, 0]), : self.dim])
        return (points[:, : self.dim] - centre) @ upward(normal), upward(normal)

    def _reflected(self, points: Array) -> Array:
        """Reflect all but the known nodes through that plane."""
        height, normal = self._sides(points)
        out = points.copy()
        out[:, : self.dim] -= 2.0 * height[:, None] * normal
        return np.where(self.free, out, points)

    def mirrored(self, tapes: Tapes, points: Array) -> tuple[Array, Array | None]:
        """Give the solution and its mirror image where that fits as well, the meant one first."""
        other = self.solved(tapes, self._reflected(points))
        worse = tapes.chi2(other[self.free]) - tapes.chi2(points[self.free])
        if abs(worse) >= TELL_APART:
            return (points, None) if worse > 0 else (other, None)
        height = self._sides(points)[0] - self._sides(other)[0]
        clear = np.abs(height) > _largest(self.blocks(tapes, points))
        if not clear.any():
            return points, None
        sure = self.up if self.up is not None else first_off(np.abs(height) * clear, points)
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


def between(points: Array) -> Array:
    """Distances between all points, shape (n, n) [mm]."""
    out: Array = np.linalg.norm(points[:, None] - points, axis=-1)
    return out


def plane(points: Array) -> tuple[Array, Array]:
    """Centre and unit normal of the plane (in 2D, the line) nearest to points."""
    centre = points.mean(axis=0)
    return centre, np.linalg.svd(points - centre)[2][-1]


def first_off(heights: Array, points: Array) -> int:
    """Give the first node clearly off, the farthest where none is."""
    clear = heights > OFF * between(points).max()
    return int(np.argmax(clear if clear.any() else heights))


def _largest(blocks: Array) -> Array:
    """Largest one-sigma semi-axis of each covariance, shape (n,) [mm]."""
    out: Array = np.sqrt(np.maximum(np.linalg.eigvalsh(blocks)[:, -1], 0.0))
    return out
