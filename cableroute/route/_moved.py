"""How much room the legs of a run through its points have when those are moved."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.route._passing import Asked
from cableroute.route._tangents import FAR, PARALLEL, Corners, turned
from cableroute.route.pieces import Route, at_both_ends

#: Step of the differences [mm].
_NUDGE = 1e-4
#: Shares of a guess that are tried first for the largest radius that fits [-].
_FIRST, _FIRST_OF_LONG = (0.6, 0.9, 0.95, 0.98, 1.0, 1.1), (0.9, 1.0)
#: Rounds of tries; corners in the tries of a round, of which there are at least and at most so many [-].
_ROUNDS, _CORNERS, _TRIES = 4, 400, (2, 8)
#: Rounds for a run of which no radius is found yet; corners in all tries of a very long one [-].
_MOST_ROUNDS, _MOST_CORNERS = 12, 400_000


def radii_of_points(route: Route) -> Array:
    """Radius wanted at each point, shape (..., n); an end that has no bend takes its neighbour's."""
    radii = np.empty(route.points.shape[:-1])
    radii[..., route.owners[1:-1]] = route.wanted_radii
    if not route.held[0]:
        radii[..., 0] = route.wanted_radii[..., 0] if route.turns.shape[-1] else np.inf
    if not route.held[-1]:
        radii[..., -1] = route.wanted_radii[..., -1] if route.turns.shape[-1] else np.inf
    return radii


def common_radius(route: Route, guess: Array) -> Array:
    """Largest radius that fits in every corner of runs through their points.

    The turns grow with the radius, so that it is tried for: some at once, and closer and closer.
    Round a point where the run all but doubles back it may come out some per cent too small.
    Within a per cent of it a run may be found at one radius and missed at the next; itself it fits.
    """
    through = np.broadcast_to(route.through, route.points.shape[:-1])
    found = np.array(guess)
    for i in np.ndindex(found.shape):
        if np.isfinite(guess[i]):
            asked = Asked(
                points=route.points[i],
                kept=route.kept,
                radii=np.ones(through.shape[-1]),
                through=through[i],
                headings=route.headings[i],
            )
            found[i] = _largest(asked.corners(), float(guess[i]))
    return found


def _largest(corners: Corners, guess: float) -> float:
    """Return a radius that fits in every corner of one run, near the largest."""
    low, high = 0.0, np.inf
    size = corners.wanted.shape[1]
    count = int(np.clip(_CORNERS // size, *_TRIES))
    tried = guess * np.array(_FIRST if count > _TRIES[0] else _FIRST_OF_LONG)
    for done in range(1, 1 + min(_MOST_ROUNDS, 1 + _MOST_CORNERS // (count * size))):
        fitting = int(np.logical_and.accumulate(_fit(corners, tried)).sum())
        low = tried[fitting - 1] if fitting else low
        high = tried[fitting] if fitting < len(tried) else high
        if low > 0.0 and done >= _ROUNDS:
            break
        ends = low or 0.1 * high, min(high, 4.0 * low or high)
        tried = np.linspace(*ends, count + 2)[1:-1]
    return float(low)


def _fit(corners: Corners, radii: Array) -> BoolArray:
    """Return whether one run is found at each of some radii, and every leg has room for them."""
    asked = corners.of(np.zeros(len(radii), dtype=np.intp))
    asked = replace(asked, wanted=np.broadcast_to(radii[:, None], asked.wanted.shape))
    found, settled = asked.settle(far=None)
    directions, legs = asked.legs(found)
    half = turned(directions)[1]
    room = (at_both_ends(asked.wanted * half) <= legs).all(-1)
    return settled & room & (half <= PARALLEL).all(-1)


class MovedRun:
    """A run through its points, or along headings there, for moves of some of them.

    ``reach`` holds the moves of all points for each freedom, shape (k, n, 3). ``rounding`` is added
    to ``tan^2(turn / 2)``, so that going straight on is no kink.
    """

    def __init__(self, route: Route, reach: Array) -> None:
        self.route = route
        self.radii = radii_of_points(route)
        self.free = ~route.held
        self.reach = reach[:, route.owners]
        self.last = b""
        self.found: tuple[Corners, Array, Array]

    def rooms(self, steps: Array, *, rounding: float) -> Array:
        """Leg less tangents wanted for steps of shape (..., k); no legs along headings [mm]."""
        corners, found, _ = self._solved(steps.reshape(-1, steps.shape[-1]))
        return self._rooms(corners, found, rounding).reshape(*steps.shape[:-1], -1)

    def slopes(self, steps: Array, *, rounding: float) -> Array:
        """Change of each room with each step, shape (legs, k), the corners going along.

        The corners ``v`` are where ``g(v, p)`` leaves them, so that
        ``(1 - dg/dv) dv = dg/dp dp``.
        """
        corners, found, factors = self._solved(steps[None])
        far = FAR[0] if (factors < 1.0).any() else None
        unknowns, freedoms = found.size, len(self.reach)
        ways = np.concatenate((np.eye(unknowns), np.zeros((freedoms, unknowns))))
        ways = ways.reshape(-1, *found.shape[1:])
        moves = np.concatenate((np.zeros((unknowns, *self.reach.shape[1:])), self.reach))

        def back(sign: float) -> Array:
            near = _nudged(corners, sign * _NUDGE * moves)
            return near.put_back(found + sign * _NUDGE * ways, far=far)

        change = (back(1.0) - back(-1.0)).reshape(len(ways), -1).T / (2.0 * _NUDGE)
        own, due = change[:, :unknowns], change[:, unknowns:]
        follow = np.linalg.lstsq(np.eye(unknowns) - own, due, rcond=None)[0].T.reshape(
            -1, *found.shape[1:]
        )

        def room(sign: float) -> Array:
            near = _nudged(corners, sign * _NUDGE * self.reach)
            return self._rooms(near, found + sign * _NUDGE * follow, rounding)

        slopes: Array = (room(1.0) - room(-1.0)).T / (2.0 * _NUDGE)
        return slopes

    def _solved(self, steps: Array) -> tuple[Corners, Array, Array]:
        """Solve for the corners; what was asked for last is asked for again at once."""
        if steps.tobytes() != self.last:
            corners = self._asked(steps)
            self.found, self.last = (corners, *corners.solve()), steps.tobytes()
        return self.found

    def _asked(self, steps: Array) -> Corners:
        """Ask the same of the corners for steps of shape (r, k)."""
        points = np.broadcast_to(self.route.points, (len(steps), *self.route.points.shape))
        asked = Asked(
            points=points,
            kept=self.route.kept,
            radii=np.broadcast_to(self.radii, points.shape[:-1]),
            through=np.broadcast_to(self.route.through, points.shape[:-1]),
            headings=np.broadcast_to(self.route.headings, points.shape),
        )
        corners = asked.corners()
        return replace(corners, points=corners.points + np.tensordot(steps, self.reach, 1))

    def _rooms(self, corners: Corners, found: Array, rounding: float) -> Array:
        directions, legs = corners.legs(found)
        half = np.sqrt(turned(directions)[1] ** 2 + rounding)
        rooms: Array = legs - at_both_ends(corners.wanted * half)
        return rooms[:, self.free]


def _nudged(corners: Corners, moves: Array) -> Corners:
    """One run's corners asked for many times, its points moved each time."""
    many = corners.of(np.zeros(len(moves), dtype=np.intp))
    return replace(many, points=many.points + moves)
