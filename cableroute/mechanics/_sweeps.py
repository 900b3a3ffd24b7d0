"""The bends of a route as a stiff core meets them: what it cannot tell apart is one sweep."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.frozen import frozen
from cableroute.route.pieces import STRAIGHT, Route


@frozen(eq=False)
class Sweeps:
    """Sweeps of routes, hand end first, as many places as a route has corners; those left over turn 0.

    ``length`` is along the run [mm], ``before`` the wrap between a sweep and the hand [rad], ``gap``
    the straight between it and the next, infinite where there is none [mm], ``onward`` whether that
    one goes on turning the same way.
    """

    turn: Array
    length: Array
    before: Array
    gap: Array
    onward: BoolArray

    @property
    def curvature(self) -> Array:
        """Mean curvature [1/mm]."""
        return np.divide(
            self.turn, self.length, out=np.zeros_like(self.turn), where=self.length > 0.0
        )


def find_sweeps(route: Route, *, clearance: Array) -> Sweeps:
    r"""Join bends of one sense that are short, and close: less than a bridge, :math:`2\sqrt{6Rc}`."""
    shape = np.broadcast_shapes(route.turns.shape, (*clearance.shape, 1))
    bend = np.broadcast_to(route.turns > STRAIGHT, shape)
    ends = np.cumsum(route.straights[..., :-1] + route.arc_lengths, axis=-1)
    starts = ends - route.arc_lengths
    alike, near = _to_last(route, bend, starts, ends, clearance[..., None])
    first = bend & ~(alike & near)
    place = np.maximum(np.cumsum(first, axis=-1) - 1, 0)
    turn = _gather(np.add, place, np.where(bend, route.turns, 0.0))
    start = _gather(np.maximum, place, np.where(first, starts, 0.0))
    end = _gather(np.maximum, place, np.where(bend, ends, 0.0))
    same = _gather(np.maximum, place, np.where(first & alike, 1.0, 0.0))
    gap, onward = np.full(shape, np.inf), np.zeros(shape, dtype=bool)
    gap[..., :-1] = np.where(turn[..., 1:] > 0.0, start[..., 1:] - end[..., :-1], np.inf)
    onward[..., :-1] = same[..., 1:] > 0.0
    return Sweeps(turn, end - start, np.cumsum(turn, axis=-1) - turn, gap, onward)


def _to_last(
    route: Route, bend: BoolArray, starts: Array, ends: Array, clearance: Array
) -> tuple[BoolArray, BoolArray]:
    """Which corners turn the way of the bend before them, and which are close to it and short."""
    corner = np.where(bend, np.arange(bend.shape[-1]), -1)
    last = np.full(bend.shape, -1)
    last[..., 1:] = np.maximum.accumulate(corner, axis=-1)[..., :-1]
    at = np.maximum(last, 0)

    def of_last(value: Array) -> Array:
        return np.take_along_axis(np.broadcast_to(value, bend.shape), at, -1)

    axes = np.cross(route.directions[..., :-1, :], route.directions[..., 1:, :])
    dot = np.stack([axes[..., i] * of_last(axes[..., i]) for i in range(3)]).sum(0)
    bridge = 2.0 * np.sqrt(6.0 * np.maximum(route.radii, of_last(route.radii)) * clearance)
    arc = np.minimum(route.arc_lengths, of_last(route.arc_lengths))
    return (last >= 0) & (dot > 0.0), (starts - of_last(ends) <= bridge) & (arc <= bridge)


def _gather(how: np.ufunc, place: IntArray, value: Array) -> Array:
    """Add, or keep the greatest of, the values that go to each place along the last axis."""
    into = np.zeros(value.shape)
    rows = np.arange(value[..., :1].size)[:, None]
    flat = (rows.size, value.shape[-1])
    how.at(into.reshape(flat), (rows, place.reshape(flat)), value.reshape(flat))
    return into
