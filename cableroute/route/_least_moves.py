"""The search for the least moves of some points that leave every leg room for its bends."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import inf

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.frozen import frozen
from cableroute.route._moved import MovedRun
from cableroute.route.fillet import COINCIDENT, refit
from cableroute.route.pieces import Route, at_both_ends

#: With more freedoms than this only two starts are made, for time's sake.
MANY = 30
#: Added to tan^2(turn / 2), less and less, so that a corner straight on is no kink to stick at [-].
_ROUNDING = (1e-3, 1e-5, 1e-8)
#: What a millimetre of lacking room weighs against a millimetre of move [-].
_WEIGHT = 1e3
#: Linearised problems solved from one start at most.
_ROUNDS = 100
#: Problems times freedoms squared that one search may take, from all starts; fewer problems than
#: the second are never allowed.
_MOST_WORK, _LEAST_ROUNDS = 500_000, 30
#: Problems of a run through its points, which has to be solved several times for each; our own choice.
_MOST_RUNS = 600
#: Starts of the search, the first from the points as they are.
_STARTS = 6


@frozen(eq=False)
class Freedom:
    """One direction in which one point may be moved.

    Parameters
    ----------
    point : int
        Which point, the first being 0 [-].
    direction : ndarray, shape (3,)
        Unit vector [-].
    value : float
        What the tape reads there now: a coordinate, or the distance along a tube [mm].
    low : float
        How far it may go back, zero or below [mm].
    high : float
        How far it may go on [mm].
    """

    point: int
    direction: Array
    value: float
    low: float = -inf
    high: float = inf


def legs_near(route: Route, points: Collection[int]) -> BoolArray:
    """Which legs have a room that hangs on some points: at an end of the leg, or one vertex on."""
    at = np.isin(route.kept[route.owners], list(points))
    padded = np.pad(at, 1)
    near: BoolArray = padded[:-3] | padded[1:-2] | padded[2:-1] | padded[3:]
    return near


class LeastMoves:
    """The search for one route: steps along the freedoms, and the room they leave on each leg."""

    def __init__(
        self, route: Route, freedoms: Sequence[Freedom], farthest: float, *, spare: Array
    ) -> None:
        self.route = route
        vertex = {int(point): i for i, point in enumerate(route.kept)}
        self.reach = np.zeros((len(freedoms), *route.points.shape))
        for j, freedom in enumerate(freedoms):
            self.reach[j, vertex[freedom.point]] = freedom.direction
        self.low = np.maximum([freedom.low for freedom in freedoms], -farthest)
        self.high = np.minimum([freedom.high for freedom in freedoms], farthest)
        owners = np.array([freedom.point for freedom in freedoms])
        self.groups = (owners == np.unique(owners)[:, None]).astype(float)
        self.farthest = farthest
        goes_through = route.through[1:-1].any() or route.held.any()
        self.run = MovedRun(route, self.reach) if goes_through else None
        self.rounding = _ROUNDING[-1]
        self.left = max(_MOST_WORK // len(freedoms) ** 2, _LEAST_ROUNDS)
        if self.run:
            self.left = min(self.left, _MOST_RUNS)
        # a leg out of reach keeps what it has
        far = ~legs_near(route, {freedom.point for freedom in freedoms})[~route.held]
        own = spare[~route.held]
        self.spare = np.where(far, np.minimum(own, np.maximum(route.slacks[~route.held], 0)), own)
        self.scale = max(-float((route.slacks - spare).min()), 1.0)

    @property
    def is_spent(self) -> bool:
        """Whether all the work was done that the search may take."""
        return self.left <= 0

    def moves(self, steps: Array) -> Array:
        """Return the moves of all points, shape (n, 3) [mm]; a coincident twin stays."""
        moves = np.zeros((int(self.route.kept[-1]) + 1, 3))
        moves[self.route.kept] = np.tensordot(steps, self.reach, 1)
        return moves

    def holds(self, moves: Array) -> bool:
        """Whether the moved points fit."""
        points = self.route.points + moves[self.route.kept]
        return bool(refit(self.route, points).fits)

    def rooms(self, steps: Array) -> Array:
        """Leg less tangents for steps of shape (..., k): shape (..., m - 1) [mm]."""
        if self.run:
            return self.run.rooms(steps, rounding=self.rounding)
        points = self.route.points + np.tensordot(steps, self.reach, 1)
        ways = np.diff(points, axis=-2)
        legs = np.sqrt((ways**2).sum(-1) + COINCIDENT**2)
        chords = np.diff(ways / legs[..., None], axis=-2)
        q = (chords**2).sum(-1)
        half = np.sqrt(q / np.maximum(4.0 - q, 1e-6) + self.rounding)
        room: Array = legs - at_both_ends(self.route.wanted_radii * half)
        return room

    def shortfall(self, steps: Array) -> float:
        """Return what the shortest leg lacks; under a thousandth of a millimetre is nothing [mm]."""
        short = -float((self.rooms(steps) - self.spare).min())
        return short if short > 1e-3 else 0.0

    def solve(self, *, room: float) -> Array:
        """Return the smallest steps over all starts, or those that leave the least shortfall."""
        rng = np.random.default_rng(0)
        spread = min(2.0 * self.scale, self.farthest)
        best, rank = np.zeros(len(self.low)), (inf, inf)
        roundings = _ROUNDING[-1:] if self.run else _ROUNDING
        for start in range(_STARTS if len(best) <= MANY else 2):
            begin = spread * rng.standard_normal(len(self.low)) if start else 0.0 * self.low
            steps: Array = np.clip(begin, self.low, self.high)
            for self.rounding in roundings:
                steps = self._from_start(steps, room)
            score = (self.shortfall(steps), float(steps @ steps))
            if score < rank:
                best, rank = steps, score
            if self.is_spent or (self.run and not rank[0]):
                break  # where the run is solved for each time, the first that fits will do
        return best

    def _from_start(self, begin: Array, room: float) -> Array:
        """Go from one least-distance problem to the next, as far as each can be trusted."""
        steps, trust = begin, 4.0 * self.scale
        merit = self._merit(steps, room)
        for _ in range(min(_ROUNDS, self.left)):
            self.left -= 1
            aim = self._linearised(steps, room, trust)
            if aim is None or np.abs(aim - steps).max() < 1e-7 * self.scale:
                break
            tried = self._merit(aim, room)
            if tried < merit:
                steps, merit, trust = aim, tried, 1.5 * trust
            else:
                trust = 0.4 * min(trust, float(np.abs(aim - steps).max()))
            if trust < 1e-8 * self.scale:
                break
        return steps

    def _limits(self, steps: Array, room: float) -> Array:
        """Room to spare on each leg, then for each point up to the farthest [mm]."""
        moved = (self.groups @ np.square(steps).T).T
        reach = 0.5 * (self.farthest - moved / self.farthest)
        return np.concatenate((self.rooms(steps) - self.spare - room, reach), axis=-1)

    def _slopes(self, steps: Array, room: float) -> Array:
        """Change of each limit with each step [-]."""
        if self.run:
            reach = -self.groups * steps / self.farthest
            return np.concatenate((self.run.slopes(steps, rounding=self.rounding), reach))
        nudge = 1e-4 * np.eye(len(steps))
        ahead, back = (self._limits(steps + sign * nudge, room) for sign in (1.0, -1.0))
        slopes: Array = (ahead - back).T / 2e-4
        return slopes

    def _merit(self, steps: Array, room: float) -> float:
        lacking = max(-float(self._limits(steps, room).min()), 0.0)
        return float(steps @ steps) + (_WEIGHT * lacking) ** 2

    def _linearised(self, steps: Array, room: float, trust: float) -> Array | None:
        """Solve the problem with straight limits, lacking room charged for in the sum.

        Least distance from a polyhedron, as one non-negative least-squares problem (Lawson and
        Hanson, Solving Least Squares Problems, 1974, chapter 23, from memory).
        """
        from scipy.optimize import nnls

        count = len(steps)
        slopes = self._slopes(steps, room)
        limits = self._limits(steps, room)
        low, high = np.maximum(self.low, steps - trust), np.minimum(self.high, steps + trust)
        rows = np.vstack((slopes, np.eye(count), -np.eye(count)))
        lacking = np.concatenate((np.full(len(limits), 1.0 / _WEIGHT), np.zeros(2 * count)))
        least = np.concatenate((slopes @ steps - limits, low, -high)) / self.scale
        problem = np.vstack((rows.T, lacking, least))
        goal = np.zeros(count + 2)
        goal[-1] = 1.0
        try:
            weights, _ = nnls(problem, goal)
        except RuntimeError:  # it cycles now and then; the steps so far stand
            return None
        rest = goal - problem @ weights
        if rest[-1] <= 0.0:
            return None
        aim: Array = np.clip(-self.scale * rest[:count] / rest[-1], low, high)
        return aim
