"""The lines and circles that the points of a close polyline lie on, found from one end on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen

#: A run of more pieces is no cable.
MOST = 1000
#: Pieces looked at before a polyline is given up.
PATIENCE = 20
#: A long circle that turns less is a straight [rad].
LEAST_TURN = 1e-3


@frozen
class Straight:
    """Points `first` to `last` on a line through `middle` along `direction`."""

    first: int
    last: int
    middle: Array
    direction: Array
    off: float


@frozen
class Circle:
    """Points `first` to `last` on a circle; `across` is its axis, the run going round it."""

    first: int
    last: int
    centre: Array
    across: Array
    radius: float
    off: float
    turn: float

    def tangent(self, points: Array) -> Array:
        """Return the direction of the run where it passes nearest to points `(..., 3)`."""
        along = np.cross(self.across, points - self.centre)
        direction: Array = along / np.linalg.norm(along, axis=-1, keepdims=True)
        return direction

    def ahead(self, point: Array, turn: Array | float) -> Array:
        """Return the places that are turns `(...)` further round than a point on the circle."""
        by = np.asarray(turn)[..., None]
        out, along = point - self.centre, np.cross(self.across, point - self.centre)
        places: Array = self.centre + np.cos(by) * out + np.sin(by) * along
        return places


Fit = TypeVar("Fit", Straight, Circle)


def pieces_of(points: Array, tolerance: float, *, few: int) -> list[Straight | Circle]:
    """Return lines and circles in order, each as long as its points stay within the tolerance.

    Neighbours share a point, or there is one chord between them. The length of a piece is found by doubling and halving, so the work
    is n log n. Given up, with nothing, once there are more than `MOST` pieces or they hold
    fewer than `few` points on average.
    """
    pieces: list[Straight | Circle] = []
    at, end = 0, len(points) - 1
    while at < end:
        piece = _piece(points, at, tolerance)
        if 0 < at < end - 1:  # a chord over the joint of two pieces belongs to neither
            other = _piece(points, at + 1, tolerance)
            if other.last > piece.last + 1 and _is_short(points, at, other):
                piece = other
        pieces.append(piece)
        at = piece.last
        if len(pieces) > MOST or (len(pieces) > PATIENCE and at < few * len(pieces)):
            return []
    return pieces


def _piece(points: Array, at: int, tolerance: float) -> Straight | Circle:
    """Return the line or circle from `at` on, whichever shows more."""
    line = _longest(points, at, tolerance, _line)
    if len(points) - 1 - at <= 3:
        return line
    # a circle through three points shows nothing, one that gains little is a line's end
    circle = _longest(points, at, tolerance, _circle)
    if circle.last >= max(line.last + 3, at + 4) and circle.turn > LEAST_TURN:
        return _trimmed(points, circle)
    return line


def _is_short(points: Array, at: int, piece: Straight | Circle) -> bool:
    """Whether the chord from `at` is no longer than those around it, and no straight by itself."""
    around = points[max(at - 2, 0) : piece.first + 3]
    chords = np.linalg.norm(np.diff(around, axis=0), axis=1)
    return bool(chords[at - max(at - 2, 0)] <= 1.5 * np.median(chords))


def _longest(
    points: Array, at: int, tolerance: float, fit: Callable[[Array, int, int], Fit]
) -> Fit:
    """Return the fit of the most points from `at` on that lie within the tolerance."""
    room = len(points) - 1 - at
    reach = 1 if fit is _line else 2
    best, failed, tried = fit(points, at, at + reach), room + 1, min(2 * reach, room)
    while reach < tried < failed:
        found = fit(points, at, at + tried)
        if found.off > tolerance:
            failed = tried
        else:
            best, reach = found, tried
        tried = min(2 * reach, room) if failed > room else (reach + failed) // 2
    return best


def _trimmed(points: Array, circle: Circle) -> Circle:
    """Fit a circle again without its outermost points, which may be its neighbours'."""
    spare = (circle.last - circle.first) // 8
    middle = _circle(points, circle.first + spare, circle.last - spare)
    return replace(middle, first=circle.first, last=circle.last, turn=circle.turn)


def _line(points: Array, first: int, last: int) -> Straight:
    some = points[first : last + 1]
    middle = some.mean(axis=0)
    _, axes = np.linalg.eigh((some - middle).T @ (some - middle))
    direction = axes[:, -1] * np.copysign(1.0, axes[:, -1] @ (some[-1] - some[0]))
    out = (some - middle) - np.outer((some - middle) @ direction, direction)
    return Straight(first, last, middle, direction, float(np.linalg.norm(out, axis=1).max()))


def _circle(points: Array, first: int, last: int) -> Circle:
    """Fit a plane and in it the circle of least squared powers."""
    some = points[first : last + 1]
    middle = some.mean(axis=0)
    moved = some - middle
    size = float(np.abs(moved).max())
    _, axes = np.linalg.eigh(moved.T @ moved)
    flat = moved @ axes[:, 1:] / size
    sums = np.column_stack([2.0 * flat, np.ones(len(flat))])
    # bordered so little that three points in line, which have no circle, do no harm
    normal = sums.T @ sums + 1e-13 * np.eye(3)
    found = np.linalg.solve(normal, sums.T @ (flat**2).sum(axis=1))
    radius = size * float(np.sqrt(max(found[2] + found[:2] @ found[:2], 0.0)))
    centre = middle + size * axes[:, 1:] @ found[:2]
    out = some - centre
    across, turn = _round(out, axes[:, 0])
    above = out @ across
    off = np.hypot(np.linalg.norm(out - np.outer(above, across), axis=1) - radius, above).max()
    return Circle(first, last, centre, across, radius, float(off), turn)


def _round(out: Array, axis: Array) -> tuple[Array, float]:
    """Return the axis that the points go round forwards, and how far round they go [rad]."""
    steps = np.arctan2(np.cross(out[:-1], out[1:]) @ axis, np.einsum("ij,ij->i", out[:-1], out[1:]))
    turn = float(steps.sum())
    return axis * np.copysign(1.0, turn), abs(turn)
