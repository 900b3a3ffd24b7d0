"""From what is asked of each point to the run that does it."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.route._tangents import (
    HALF_REVERSED,
    Corners,
    half_turn_tangents,
    shares,
    turned,
)
from cableroute.route.pieces import FIT_TOLERANCE, Route, at_both_ends
from cableroute.route.segments import norm

#: A bend onto a heading that does not fit and turns more than this is one against the run [rad].
MOST_TURN = np.radians(150.0)


@frozen(eq=False)
class Asked:
    """What is asked of each of the m distinct points.

    Parameters
    ----------
    points : ndarray, shape (..., m, 3)
        Where they are [mm].
    kept : ndarray of int, shape (m,)
        Which of the points given they are.
    radii : ndarray, shape (..., m)
        Bend radii wanted there [mm].
    through : ndarray of bool, shape (..., m)
        Whether the run goes through them.
    headings : ndarray, shape (..., m, 3)
        Unit vectors along which it does; nan where it is free [-].
    """

    points: Array
    kept: IntArray
    radii: Array
    through: BoolArray
    headings: Array

    @property
    def owners(self) -> IntArray:
        """The point of each vertex: a held point has two, at an end itself and one corner."""
        held = ~np.isnan(self.headings[..., 0]).reshape(-1, len(self.kept))[0]
        return np.repeat(np.arange(len(self.kept)), 1 + held)

    def corners(self) -> Corners:
        """Return what is asked of each corner, batch axes made one, the first point the origin."""
        owners = self.owners
        held = owners[1:] == owners[:-1]
        runs = int(np.prod(self.points.shape[:-2]))
        ways = np.nan_to_num(self.headings).reshape(runs, -1, 3)[:, owners]
        points = (self.points - self.points[..., :1, :]).reshape(runs, -1, 3)[:, owners]
        onto = held[:-1].astype(float) - held[1:]  # the bend begins, or ends, on the point
        middle = self.through.reshape(runs, -1)[:, owners[1:-1]] & (onto == 0.0)
        radii = self.radii.reshape(runs, -1)[:, owners[1:-1]]
        return Corners(
            points, middle, ways[:, 1:-1] * onto[:, None], held, ways[:, 1:] * held[:, None], radii
        )


def run_through(asked: Asked) -> Route:
    """Return the run that does what is asked, its arcs as large as fit."""
    batch, owners = asked.points.shape[:-2], asked.owners
    corners = asked.corners()
    _refuse_reversals(asked, corners)
    found, factors = corners.solve()
    directions, legs = corners.legs(found)
    half = turned(directions)[1]
    factors = factors * shares(factors * corners.wanted * half, legs)
    if not batch:  # of many runs one that does not fit must not stop the others
        _refuse_headings(asked, corners, half, factors < 1.0 - FIT_TOLERANCE)
    radii = corners.wanted * factors
    legs = np.where(corners.held, at_both_ends(radii * half), legs)
    vertices = asked.points[..., owners, :].copy()
    vertices[..., 1:-1, :] = found.reshape(*batch, -1, 3) + asked.points[..., :1, :]
    return Route(
        points=asked.points,
        kept=asked.kept,
        through=asked.through,
        vertices=vertices,
        owners=owners,
        directions=directions.reshape(*batch, -1, 3),
        legs=legs.reshape(*batch, -1),
        turns=2.0 * np.arctan(half).reshape(*batch, -1),
        wanted_radii=corners.wanted.reshape(*batch, -1),
        radii=radii.reshape(*batch, -1),
    )


def _refuse_reversals(asked: Asked, corners: Corners) -> None:
    """Raise where the run turns straight back on itself: nothing says in which plane."""
    directions, _ = corners.legs(corners.points[:, 1:-1])
    half = turned(directions)[1]
    _refuse_headings(asked, corners, half, half >= HALF_REVERSED)
    half_turn_tangents(directions, asked.kept[asked.owners[1:-1]])


def _refuse_headings(asked: Asked, corners: Corners, half: Array, doubtful: BoolArray) -> None:
    """Raise where a doubtful bend onto a heading turns by more than it may."""
    against = corners.lead.any(-1) & (2.0 * np.arctan(half) > MOST_TURN) & doubtful
    for run, corner in np.argwhere(against):
        lead, radius = corners.lead[run, corner], corners.wanted[run, corner]
        beyond = corner + 2 if corners.held[corner] else corner
        way = corners.points[run, beyond] - corners.points[run, corner + 1]
        ahead = float(way @ lead)
        back = _needed(float(norm(way - ahead * lead)), radius) - ahead
        if back <= 0.0:  # there is room for it: what is short is a leg, and that is told of the leg
            continue
        turn = np.degrees(2.0 * np.arctan(half[run, corner]))
        msg = (
            "its heading points against the run,"
            f" which would have to turn by {turn:.0f} degrees there; expected at most"
            f" {np.degrees(MOST_TURN):.0f}: turn the heading round, or move the point"
            f" at least {back:.0f} mm {'back' if corners.held[corner] else 'on'} along it"
        )
        raise GeometryError(msg, point=int(asked.kept[asked.owners[corner + 1]]))


def _needed(aside: float, radius: float) -> float:
    """How far ahead a point so far aside must be for a bend of no more than MOST_TURN [mm]."""
    deep = radius * (1.0 - np.cos(MOST_TURN))
    if aside < deep:
        return float(np.sqrt(aside * (2.0 * radius - aside)))
    return float(radius * np.sin(MOST_TURN) + (aside - deep) / np.tan(MOST_TURN))
