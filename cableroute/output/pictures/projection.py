"""Where a route is looked at from, and its lines as they are seen."""

from __future__ import annotations

from math import ceil

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.route.pieces import Route
from cableroute.route.segments import Arc, Line

#: Greatest turn between two points of a drawn arc [rad]; the chord is then within R/26000.
_STEP = np.radians(1.0)
#: A run of more pieces has each drawn by its ends and middle: they are smaller than can be seen.
MANY_PIECES = 2000
#: Points that a polyline is filled to at most, of any but a long one 25 a leg [-].
_FILLED = 500_000


@frozen(eq=False)
class View:
    """A direction to look from.

    Parameters
    ----------
    heading : str
        What it is called.
    across, up : tuple of float
        Coordinates x, y, z as they go into the drawing's two [-].
    x, y : str
        Names of the drawing's axes.
    """

    heading: str
    across: tuple[float, float, float]
    up: tuple[float, float, float]
    x: str
    y: str

    def project(self, points: Array) -> Array:
        """Return points as seen."""
        seen: Array = points @ np.array([self.across, self.up]).T
        return seen

    @property
    def enlargement(self) -> float:
        """How much larger than life lengths across the line of sight are drawn [-]."""
        return float(np.linalg.norm(self.across))


PLAN = View("Plan, from above", (1, 0, 0), (0, 1, 0), "x, forward", "y, left")
SIDE = View("Side, from the right", (1, 0, 0), (0, 0, 1), "x, forward", "z, up")
FRONT = View("Front, from ahead", (0, 1, 0), (0, 0, 1), "y, left of the machine", "z, up")
#: All three axes keep their lengths, as isometric drawings are drawn.
ISOMETRIC = View(
    "Isometric, from ahead, right and above", (0.75**0.5, 0.75**0.5, 0), (-0.5, 0.5, 1), "", ""
)


def piece_points(piece: Line | Arc) -> Array:
    """Return points along a piece, close enough together to draw it."""
    if isinstance(piece, Line):
        return np.stack((piece.start, piece.end))
    angle = np.linspace(0.0, piece.turn, 1 + ceil(piece.turn / _STEP))[:, None]
    rise = 2.0 * np.sin(0.5 * angle) ** 2
    along: Array = piece.radius * (np.sin(angle) * piece.direction + rise * piece.normal)
    return piece.start + along


def points_by_piece(route: Route, *, in_all: int = 0) -> list[Array]:
    """Return points along each piece of a route; three of each where there are very many pieces.

    So they are where it is shown with other routes that have so many pieces in all.
    """
    _, lengths = route.piece_lengths
    if max(len(lengths), in_all) <= MANY_PIECES:
        return [piece_points(piece) for piece in route.pieces]
    share = np.array([0.0, 0.5, 1.0])
    places = route.point(
        ((np.cumsum(lengths) - lengths)[:, None] + lengths[:, None] * share).ravel()
    )
    return list(places.reshape(-1, len(share), 3))


def level_shadow(view: View, curve: Array) -> Array:
    """Return a route laid on the level of its lowest point, for the isometric view only."""
    if view is not ISOMETRIC:
        return np.empty((0, 2))
    level = np.column_stack((curve[:, :2], np.full(len(curve), curve[:, 2].min())))
    return view.project(level)


def densely(points: Array) -> Array:
    """Fill a polyline with points, so that labels see where its lines run."""
    count = min(max(_FILLED // max(len(points), 1), 2), 25)
    share = np.linspace(0.0, 1.0, count)[:, None, None]
    return np.asarray((points[:-1] + share * np.diff(points, axis=0)).reshape(-1, 2))


def evenly(curve: Array) -> Array:
    """Return points evenly along a polyline in the plane or in space."""
    steps = np.linalg.norm(np.diff(curve, axis=0), axis=1)
    along = np.concatenate(([0.0], np.cumsum(steps)))
    places = np.linspace(0.0, along[-1], 120)
    return np.column_stack([np.interp(places, along, axis) for axis in curve.T])
