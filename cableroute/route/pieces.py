"""A fitted route: straight legs and tangent arcs, and what can be asked of it.

A :class:`Route` holds arrays, one row a corner or a leg, with any leading batch axes.
:attr:`Route.pieces` is the same thing told piece by piece, for one route.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.route._meeting import lacking, misses, stations
from cableroute.route.segments import STRAIGHT, Arc, Line, at_both_ends, bend_normals

__all__ = ["FIT_TOLERANCE", "STRAIGHT", "Array", "Route", "at_both_ends"]

#: A leg may be short of its tangents by this share of the leg before it counts as a misfit: a tenth
#: of a micrometre in a metre, what a run loses on its way through a drawing and back.
FIT_TOLERANCE = 1e-7


@frozen(eq=False)
class Route:
    """Straight legs joined by tangent arcs; a batch of such routes where arrays have leading axes.

    Points run from the hand end to the far end. ``n`` distinct points were given. The straights
    meet in ``m`` vertices: the two ends and ``m - 2`` corners, with ``m - 1`` legs between them.
    Without headings each point has one vertex, so that ``m`` is ``n``: the point itself where the
    run passes inside of it, the corner outside of it where the run goes through. A point held along
    a heading has two, on the heading's line: a bend ends on the point and the next begins there.

    Parameters
    ----------
    points : ndarray, shape (..., n, 3)
        The points as given, coincident ones dropped [mm].
    kept : ndarray of int, shape (n,)
        Which of the points given these are [-].
    through : ndarray of bool, shape (n,) or (..., n)
        Whether the run goes through each of them; the ends it always does [-].
    vertices : ndarray, shape (..., m, 3)
        The ends, and the corners in which the straights meet [mm].
    owners : ndarray of int, shape (m,)
        Which of ``points`` each vertex belongs to [-].
    directions : ndarray, shape (..., m - 1, 3)
        Unit vectors of the legs [-].
    legs : ndarray, shape (..., m - 1)
        Leg lengths from vertex to vertex [mm].
    turns : ndarray, shape (..., m - 2)
        Deflection from straight on at each corner, 0..pi [rad].
    wanted_radii : ndarray, shape (..., m - 2)
        Least bend radius asked for at each corner, to the conduit's centreline [mm].
    radii : ndarray, shape (..., m - 2)
        Bend radius that fits: as wanted, or smaller where the legs are too short [mm].
    """

    points: Array
    kept: IntArray
    through: BoolArray
    vertices: Array
    owners: IntArray
    directions: Array
    legs: Array
    turns: Array
    wanted_radii: Array
    radii: Array

    # -- per corner and per leg ------------------------------------------------------------

    @property
    def tangents(self) -> Array:
        """Distance from each corner to where its arc begins, shape (..., m - 2) [mm]."""
        return self.radii * np.tan(0.5 * self.turns)

    @property
    def arc_lengths(self) -> Array:
        """Length of each arc, shape (..., m - 2) [mm]."""
        return self.radii * self.turns

    @property
    def straights(self) -> Array:
        """Straight left over on each leg, shape (..., m - 1) [mm]."""
        return self.legs - at_both_ends(self.tangents)

    @property
    def held(self) -> BoolArray:
        """Legs along a heading, shape (m - 1,): as long as the bends at their ends need."""
        held: BoolArray = self.owners[1:] == self.owners[:-1]
        return held

    @property
    def headings(self) -> Array:
        """Unit vectors along which the points are held, nan where free, shape (..., n, 3) [-]."""
        headings = np.full(self.points.shape, np.nan)
        legs = np.flatnonzero(self.held)
        headings[..., self.owners[legs], :] = self.directions[..., legs, :]
        return headings

    @property
    def slacks(self) -> Array:
        """Leg less the tangents of the wanted radii: negative is the shortfall [mm].

        Infinite for a leg along a heading. Where a bend of half a turn or more was asked for, what
        the radius lacks.
        """
        slacks = self.legs - at_both_ends(self.wanted_radii * np.tan(0.5 * self.turns))
        slacks = np.where(self.held, np.inf, slacks)
        return lacking(slacks, self.radii, self.wanted_radii)

    @property
    def misfits(self) -> BoolArray:
        """Legs too short for the wanted radii, shape (..., m - 1)."""
        return self.slacks < -FIT_TOLERANCE * self.legs

    @property
    def corner_fits(self) -> BoolArray:
        """Corners that have the radius wanted, shape (..., m - 2)."""
        return self.radii >= self.wanted_radii * (1.0 - FIT_TOLERANCE)

    @property
    def fitting_scale(self) -> Array:
        """Factor on all wanted radii at which each leg just fits, its turns as they are [-]."""
        return self._over(at_both_ends(self.wanted_radii * np.tan(0.5 * self.turns)))

    @property
    def common_radius(self) -> float | Array:
        """Largest radius that fits in every corner alike; infinite for a straight route [mm]."""
        radius = self.room_for_all
        if self.through[..., 1:-1].any() or self.held.any():
            from cableroute.route._moved import common_radius  # it makes routes of its own

            radius = common_radius(self, radius)
        return _plain(radius)

    @property
    def room_for_all(self) -> Array:
        """Largest radius for which every leg has room, its turns as they are, shape (...) [mm]."""
        room: Array = self._over(at_both_ends(np.tan(0.5 * self.turns))).min(-1)
        return room

    def _over(self, needed: Array) -> Array:
        """Legs over what is needed of them; one along a heading is never short."""
        free = ~self.held & (needed > 0.0)
        return np.divide(self.legs, needed, out=np.full_like(self.legs, np.inf), where=free)

    # -- at the points given ---------------------------------------------------------------

    @property
    def stations(self) -> Array:
        """How far along the run each point is met, shape (..., n) [mm].

        Of a point passed inside, the middle of its arc.
        """
        return stations(self.owners, self.straights, self.arc_lengths)

    @property
    def off(self) -> Array:
        """How far the run misses each point there, shape (..., n) [mm]."""
        return misses(self.points, self.owners, self.vertices, self.directions, self.radii)

    # -- of the whole route ----------------------------------------------------------------

    @property
    def length(self) -> float | Array:
        """Length along the route [mm]."""
        return _plain(self.straights.sum(-1) + self.arc_lengths.sum(-1))

    @property
    def wrap(self) -> float | Array:
        """Sum of the unsigned turns [rad]."""
        return _plain(self.turns.sum(-1))

    @property
    def fits(self) -> bool | BoolArray:
        """Whether every corner has the radius asked for."""
        fits = np.asarray(~self.misfits.any(-1))
        return bool(fits) if fits.ndim == 0 else fits

    @property
    def min_radius(self) -> float | Array:
        """Smallest bend radius; infinite for a straight route [mm]."""
        bent = np.where(self.turns > STRAIGHT, self.radii, np.inf)
        return _plain(bent.min(-1, initial=np.inf))

    @property
    def piece_lengths(self) -> tuple[IntArray, Array]:
        """Which of line, arc, line, ... have a length, an arc being odd, and it; one route only [mm]."""
        self._check_single()
        lengths, _ = self._ladder()
        has = np.empty(len(lengths), dtype=bool)
        has[0::2] = lengths[0::2] > FIT_TOLERANCE * self.legs
        has[1::2] = self.turns > STRAIGHT
        return np.flatnonzero(has), lengths[has]

    @property
    def pieces(self) -> tuple[Line | Arc, ...]:
        """Lines and arcs in order, those of no length left out; one route only."""
        numbers, lengths = (each.tolist() for each in self.piece_lengths)
        begin = np.concatenate(([0.0], self.tangents))
        line_starts = self.vertices[:-1] + begin[:, None] * self.directions
        arc_starts = self.vertices[1:-1] - begin[1:, None] * self.directions[:-1]
        normals = bend_normals(self.directions, self.turns)
        pieces: list[Line | Arc] = []
        for j, length in zip(numbers, lengths, strict=True):
            i = j // 2
            if j % 2 == 0:
                pieces.append(Line(line_starts[i], self.directions[i], length))
            else:
                radius, turn = float(self.radii[i]), float(self.turns[i])
                pieces.append(Arc(arc_starts[i], self.directions[i], normals[i], radius, turn))
        return tuple(pieces)

    # -- at an arc length -------------------------------------------------------------------

    def point(self, s: ArrayLike) -> Array:
        """Return points at arc lengths ``s`` from the hand end.

        Parameters
        ----------
        s : array-like
            Arc lengths, any shape [mm].

        Returns
        -------
        ndarray, shape (..., 3)
            Points on the conduit's centreline [mm].

        Raises
        ------
        GeometryError
            For an arc length outside the route.
        """
        offset, frame = self._locate(s)
        start, direction, normal, curvature = frame
        angle = offset * curvature
        # sinc forms hold for lines (curvature 0) and arcs alike
        along = offset * np.sinc(angle / np.pi)
        across = 0.5 * offset * angle * np.sinc(0.5 * angle / np.pi) ** 2
        return start + along[..., None] * direction + across[..., None] * normal

    def tangent(self, s: ArrayLike) -> Array:
        """Return unit tangents, towards the far end, at arc lengths ``s``.

        Parameters
        ----------
        s : array-like
            Arc lengths, any shape [mm].

        Returns
        -------
        ndarray, shape (..., 3)
            Unit vectors [-].
        """
        offset, (_, direction, normal, curvature) = self._locate(s)
        angle = (offset * curvature)[..., None]
        return np.cos(angle) * direction + np.sin(angle) * normal

    def curvature(self, s: ArrayLike) -> Array:
        """Return curvatures at arc lengths ``s``; at a joint, that of the piece after it.

        Parameters
        ----------
        s : array-like
            Arc lengths, any shape [mm].

        Returns
        -------
        ndarray
            Curvatures [1/mm].
        """
        _, (_, _, _, curvature) = self._locate(s)
        return curvature

    def _check_single(self) -> None:
        if self.legs.ndim != 1:
            msg = (
                f"expected one route, points of shape (n, 3), got a batch of {self.legs.shape[:-1]}"
            )
            raise GeometryError(msg)

    def _ladder(self) -> tuple[Array, Array]:
        """Lengths of line, arc, line, ... and the arc length at which each begins."""
        lengths = np.empty(2 * self.legs.shape[-1] - 1)
        lengths[0::2] = np.maximum(self.straights, 0.0)
        lengths[1::2] = self.arc_lengths
        begins = np.concatenate(([0.0], np.cumsum(lengths)))
        # a running sum gathers rounding: over many pieces it must still end where `length` does
        if begins[-1] > 0.0:
            begins *= lengths.sum() / begins[-1]
        return lengths, begins

    def _locate(self, s: ArrayLike) -> tuple[Array, tuple[Array, Array, Array, Array]]:
        """Offset into the piece under each ``s``, and that piece's start, frame and curvature."""
        self._check_single()
        where = np.asarray(s, dtype=np.float64)
        _, begins = self._ladder()
        total = begins[-1]
        if not np.all((where >= -1e-6) & (where <= total + 1e-6)):
            msg = f"arc length outside the route: expected 0 to {total:.3f} mm, got {s!r}"
            raise GeometryError(msg)
        where = np.clip(where, 0.0, total)
        piece = np.clip(np.searchsorted(begins, where, side="right") - 1, 0, len(begins) - 2)
        leg, is_arc = piece // 2, piece % 2 == 1
        reach = np.concatenate(([0.0], self.tangents, [0.0]))
        from_corner = np.where(is_arc, self.legs[leg] - reach[leg + 1], reach[leg])
        direction = self.directions[leg]
        start = self.vertices[leg] + from_corner[..., None] * direction
        corner = np.minimum(leg, max(len(self.turns) - 1, 0))
        if len(self.turns) == 0:
            return where, (start, direction, np.zeros_like(start), np.zeros_like(where))
        normal = bend_normals(self.directions, self.turns)[corner]
        curvature = np.where(is_arc, 1.0 / self.radii[corner], 0.0)
        return where - begins[piece], (start, direction, normal, curvature)


def _plain(value: Array) -> float | Array:
    """One route gives a float, a batch an array."""
    return float(value) if value.ndim == 0 else value
