"""The bends of a route as clips see them: a sweep measured at many corners is one."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.route.pieces import STRAIGHT, Route

#: A clip holds a bend from as far off as the bend's radius, within these [mm].
REACH = (50.0, 150.0)
#: Bends turning the same way with less than this between them are one [mm].
JOINED = 50.0
#: A bend that turns less wants no clip of its own [rad].
LEAST_TURN = np.radians(10.0)
# All three are our own judgement of common practice, no source.


@frozen(eq=False)
class Bends:
    """Bends of one route: the corners of each, its extent along the run, its turn and inside."""

    first: IntArray  # corner that each begins with, and so on
    last: IntArray
    start: Array  # along the run [mm]
    end: Array
    turn: Array
    inward: Array  # at the middle

    @property
    def middle(self) -> IntArray:
        """The middle corner of each."""
        return (self.first + self.last) // 2

    @property
    def radius(self) -> Array:
        """Mean radius of each [mm]."""
        return (self.end - self.start) / self.turn

    def clips_near(self, at: Array) -> tuple[IntArray, IntArray]:
        """Of clips in order along the run: the first on or near each bend, and past the last."""
        reach = np.clip(self.radius, *REACH)
        return (
            np.searchsorted(at, self.start - reach, side="left"),
            np.searchsorted(at, self.end + reach, side="right"),
        )


def greatest_over(first: IntArray, stop: IntArray, value: IntArray, *, size: int) -> IntArray:
    """Greatest value among the ranges [first, stop) that cover each of ``size`` places; or -1.

    A range is two blocks of a power of two, which may overlap; from the largest down, each block
    hands its value to its two halves. That is near-linear however much the ranges overlap or nest.
    """
    some = stop > first
    first, stop, value = first[some], stop[some], value[some]
    level = np.frexp(stop - first)[1] - 1
    blocks = np.full(size, -1)
    for k in range(level.max(initial=0), -1, -1):
        here = level == k
        for begin in (first[here], stop[here] - 2**k):
            np.maximum.at(blocks, begin, value[here])
        if half := 2**k // 2:
            blocks[half:] = np.maximum(blocks[half:], blocks[:-half])
    return blocks


def find_bends(route: Route) -> Bends:
    """Join corners that turn the same way close together; leave out what hardly turns."""
    if route.legs.ndim != 1:
        raise GeometryError(f"expected one route, got a batch of {route.legs.shape[:-1]}")
    corners = np.flatnonzero(route.turns > STRAIGHT)
    ends = np.cumsum(route.straights[:-1] + route.arc_lengths)[corners]
    starts = ends - route.arc_lengths[corners]
    axes = np.cross(route.directions[:-1], route.directions[1:])[corners]
    alike = np.einsum("ij,ij->i", axes[1:], axes[:-1]) > 0.0
    parted = ~alike | (starts[1:] - ends[:-1] > JOINED)
    first = np.flatnonzero(np.concatenate((np.ones(len(corners[:1]), dtype=bool), parted)))
    last = np.append(first[1:], len(corners))[: len(first)] - 1
    total = np.concatenate(([0.0], np.cumsum(route.turns[corners])))
    turn = total[last + 1] - total[first]
    first, last, turn = (each[turn >= LEAST_TURN] for each in (first, last, turn))
    start, end = starts[first], ends[last]
    inward = np.cross(axes[(first + last) // 2], route.tangent(0.5 * (start + end)))
    inward /= np.linalg.norm(inward, axis=-1, keepdims=True)
    return Bends(corners[first], corners[last], start, end, turn, inward)
