"""The straights that a run through its points is tangent to.

A bend of radius R and turn t has its middle ``R (sec(t / 2) - 1)`` inside of the corner of its two
straights. Where the middle is given, the corner is not: as it goes outwards the turn grows, and
with it the distance. Put back into itself this settles: a round leaves of a change about the share
of its legs that the bends take up, below one as long as all of them fit.

A heading puts a bend's end on the point instead, its corner ``R tan(t / 2)`` along the heading.
"""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.route._fixed_point import fixed_point
from cableroute.route.pieces import FIT_TOLERANCE, at_both_ends
from cableroute.route.segments import norm

#: A turn within this [rad] of a half turn is a reversal: its tangents would be endless.
REVERSAL = 1e-6
#: The square of the chord between two unit vectors that far apart [-].
MOST_CHORD = 4.0 * (1.0 - (0.5 * REVERSAL) ** 2)
#: Above this the tangent of half a turn is that of a reversal, rounding let off [-].
HALF_REVERSED = 0.99 * 2.0 / REVERSAL
#: Straights that meet at a sharper corner are as good as parallel: tangent of half of the turn [-].
PARALLEL = 100.0
#: The tangent of an arc made smaller is no longer than this many times the way to the next point.
#: Where straights are all but parallel their corner is far out, and the bend that was asked for
#: goes round by more than half a turn. The second is for what does not settle with the first [-].
FAR = (3.0, 1.5)
#: A corner has settled when a round moves it by no more than this share of the run's length [-].
SETTLED = 1e-12


@frozen(eq=False)
class Corners:
    """What is asked of each corner of ``k`` runs; the two ends are vertices but no corners.

    Parameters
    ----------
    points : ndarray, shape (k, v, 3)
        The point given for each vertex [mm].
    middle : ndarray of bool, shape (k, v - 2)
        Whether the bend's middle lies on the point.
    lead : ndarray, shape (k, v - 2, 3)
        Unit vector from the point to the corner where the bend begins or ends on the point, along
        its heading; zero elsewhere [-].
    held : ndarray of bool, shape (v - 1,)
        Legs that lie along a heading.
    ways : ndarray, shape (k, v - 1, 3)
        The heading along which such a leg lies [-].
    wanted : ndarray, shape (k, v - 2)
        Bend radii [mm].
    """

    points: Array
    middle: BoolArray
    lead: Array
    held: BoolArray
    ways: Array
    wanted: Array

    def of(self, rows: IntArray | BoolArray) -> Corners:
        """Return some of the runs."""
        own = {f.name: getattr(self, f.name)[rows] for f in fields(self) if f.name != "held"}
        return replace(self, **own)

    def legs(self, corners: Array) -> tuple[Array, Array]:
        """Return unit vectors and lengths of the legs; one along a heading is as long as needed."""
        vertices = np.concatenate((self.points[:, :1], corners, self.points[:, -1:]), axis=-2)
        steps = vertices[:, 1:] - vertices[:, :-1]
        legs = norm(steps)
        if self.held.any():
            legs = np.where(self.held, np.inf, legs)
            return np.where(self.held[:, None], self.ways, _unit(steps, legs)), legs
        return _unit(steps, legs), legs

    def put_back(self, corners: Array, *, far: float | None) -> Array:
        """Return where the corners belong with the turns that they make where they are.

        With ``far`` the arcs are made as small as they have to be.
        """
        directions, legs = self.legs(corners)
        chords, half, secant = turned(directions)
        tangents = self.wanted * half
        if far is not None:
            tangents *= self.share(tangents, legs, far)
        # times the chord, 2 sin(turn / 2) long, this is R (sec(turn / 2) - 1)
        depth = np.where(self.middle, tangents * secant / (2.0 * (1.0 + secant)), 0.0)
        back: Array = self.points[:, 1:-1] - depth[..., None] * chords
        return back + tangents[..., None] * self.lead if self.held.any() else back

    def share(self, tangents: Array, legs: Array, far: float) -> Array:
        """Share of its wanted tangent that each corner gets."""
        share = shares(tangents, legs)
        near = np.where(self.held, np.inf, norm(np.diff(self.points, axis=-2)))
        most = far * np.minimum(near[:, 1:], near[:, :-1])
        outside = (share * tangents > most) & (self.middle | self.lead.any(-1))
        return np.divide(most, tangents, out=share, where=outside)

    def settle(self, *, far: float | None) -> tuple[Array, BoolArray]:
        """Return the corners, shape (k, v - 2, 3) [mm], and which of the runs settled."""
        count, corners, _ = (start := self.points[:, 1:-1]).shape

        def step(flat: Array, rows: IntArray) -> Array:
            task = self if len(rows) == count else self.of(rows)
            return task.put_back(flat.reshape(len(flat), corners, 3), far=far).reshape(flat.shape)

        near = SETTLED * norm(np.diff(self.points, axis=-2)).sum(-1)
        found, settled = fixed_point(step, start.reshape(count, -1), near=near)
        return found.reshape(start.shape), settled

    def solve(self) -> tuple[Array, Array]:
        """Return the corners [mm] and the factors on their wanted radii, 1 where all fit."""
        corners, settled = self.settle(far=None)
        factors = np.ones_like(self.wanted)
        room, tangents = self._demand(corners)
        misfit = ~settled | (tangents > PARALLEL * self.wanted).any(-1)
        misfit |= (at_both_ends(tangents) > room * (1.0 + FIT_TOLERANCE)).any(-1)
        rows = np.flatnonzero(misfit)
        for far in FAR:
            if not len(rows):
                break
            tight = self.of(rows)
            corners[rows], settled = tight.settle(far=far)
            room, tangents = tight._demand(corners[rows])
            factors[rows] = tight.share(tangents, room, far)
            rows = rows[~settled]
        return corners, factors

    def _demand(self, corners: Array) -> tuple[Array, Array]:
        """Room on each leg and the tangents wanted."""
        directions, legs = self.legs(corners)
        return legs, self.wanted * turned(directions)[1]


def turned(directions: Array) -> tuple[Array, Array, Array]:
    """Chords between the unit vectors, and tangent and secant of half of each turn."""
    chords = directions[..., 1:, :] - directions[..., :-1, :]
    q = np.minimum(np.einsum("...i,...i->...", chords, chords), MOST_CHORD)
    secant = 2.0 / np.sqrt(4.0 - q)
    return chords, 0.5 * np.sqrt(q) * secant, secant


def _unit(steps: Array, legs: Array) -> Array:
    unit: Array = steps / np.maximum(legs, 1e-300)[..., None]
    return unit


def half_turn_tangents(directions: Array, numbers: IntArray) -> Array:
    """``tan(turn / 2)`` at each corner; ``numbers`` are those of their points, from 0."""
    chords = np.diff(directions, axis=-2)
    q = np.einsum("...i,...i->...", chords, chords)
    back = q >= MOST_CHORD
    if back.any():
        corner = np.argwhere(back)[0][-1]
        msg = (
            "the route turns straight back on itself (180 degrees);"
            " expected less than that: add a point where the loop goes round"
        )
        raise GeometryError(msg, point=int(numbers[corner]))
    half: Array = np.sqrt(q / (4.0 - q))
    return half


def shares(tangents: Array, legs: Array) -> Array:
    """Share of its wanted tangent that each corner gets, shape (..., v - 2); 1 where all fit."""
    share = np.ones_like(tangents)
    crowded = (at_both_ends(tangents) > legs).any(-1)
    if crowded.any():
        share[crowded] = _fair_share(tangents[crowded], legs[crowded])
    return share


def _fair_share(tangents: Array, legs: Array) -> Array:
    """Share of its wanted tangent that each corner gets, so that every leg has room.

    Water filling: all shares rise together; where a leg is full its two corners stop, the others
    go on rising. No corner could have more without one that has less or equal losing some.
    """
    share = np.ones_like(tangents)
    is_open = tangents > 0.0
    while is_open.any():
        room = legs - at_both_ends(np.where(is_open, 0.0, share * tangents))
        demand = at_both_ends(np.where(is_open, tangents, 0.0))
        level = np.minimum(1.0, np.divide(room, demand, out=np.ones_like(room), where=demand > 0.0))
        reach = np.where(is_open, np.minimum(level[..., :-1], level[..., 1:]), np.inf)
        lowest = reach.copy()  # of the corner and its neighbours
        np.minimum(lowest[..., 1:], reach[..., :-1], out=lowest[..., 1:])
        np.minimum(lowest[..., :-1], reach[..., 1:], out=lowest[..., :-1])
        settle = is_open & (reach <= lowest)
        share[settle] = reach[settle]
        is_open &= ~settle
    return share
