"""How much room the legs of a run through its points have when those are moved."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.route._passing import Asked, run_through
from cableroute.route._tangents import FAR, Corners, turned
from cableroute.route.pieces import Route, at_both_ends
from cableroute.route.segments import norm

#: Step of the differences [mm].
_NUDGE = 1e-4
#: Radii tried at a time; of a run of so many points in parts, up to the first that does not fit.
_TRIES, _IN_PARTS = 16, 32
#: A run of more points than this is tried at one radius after another, for as many points in all.
_MANY, _MOST_TRIED = 300, 12_000


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

    The turns grow with the radius, so that it is tried for: many at once, and closer and closer.
    Round a point where the run all but doubles back it may come out some per cent too small.
    Within a per cent of it a run may be found at one radius and missed at the next; itself it fits.
    """
    if not guess.ndim and len(route.points) > _MANY and np.isfinite(guess):
        return _radius_that_fits(route, float(guess))
    low, whole = np.zeros_like(guess), norm(np.diff(route.points, axis=-2)).sum(-1)
    high = np.maximum(4.0 * np.where(np.isfinite(guess), guess, 0.0), whole)
    tries = np.arange(1.0, _TRIES + 1.0).reshape(-1, *(1,) * guess.ndim) / _TRIES
    for _ in range(5):
        fitting = _fitting(route, low + tries * (high - low))
        step = (high - low) / _TRIES
        low = low + fitting * step
        high = low + step
    return np.where(np.isfinite(guess), low, np.inf)


def _fitting(route: Route, radii: Array) -> IntArray:
    """Return how many of some growing radii fit, up to the first that does not."""
    parts = 8 if radii.ndim == 1 and len(route.points) >= _IN_PARTS else 1
    count = np.zeros(radii.shape[1:], dtype=np.intp)
    for some in np.split(radii, parts):
        fits = np.logical_and.accumulate(_at_radii(route, some).fits, axis=0)
        count = count + fits.sum(0)
        if not fits.all():
            break
    return count


def _radius_that_fits(route: Route, guess: float) -> Array:
    """Return a radius that fits in every corner of a long run, near the largest if not that.

    Each try is what the turns of the one before would leave room for, within what is known.
    """
    low, high, radius = 0.0, np.inf, guess
    for _ in range(3 + _MOST_TRIED // len(route.points)):
        run = _at_radii(route, np.array([radius]))
        if np.all(run.fits):
            low = radius
        else:
            high = radius
        own = float(run.room_for_all[0])
        radius = own if low < own < high else 0.5 * (low + min(high, 4.0 * radius))
        if high - low < 1e-4 * high:
            break
    return np.asarray(low)


def _at_radii(route: Route, radii: Array) -> Route:
    """Return runs through the same points, each with one radius in every corner."""
    shape = (len(radii), *route.points.shape)
    return run_through(
        Asked(
            points=np.broadcast_to(route.points, shape),
            kept=route.kept,
            radii=np.broadcast_to(radii[..., None], shape[:-1]),
            through=np.broadcast_to(route.through, shape[:-1]),
            headings=np.broadcast_to(route.headings, shape),
        )
    )


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
