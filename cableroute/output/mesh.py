"""Conduits as closed tubes, for CAD and printing: binary STL, all lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from math import pi
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment
from cableroute.errors import CableRouteError
from cableroute.output.exports import across, stations
from cableroute.route.pieces import Route

#: Corners of a tube's cross-section; its area is then 0.3 % short of the circle's.
SIDES = 48
#: Triangles in a file: 100 MB, more than other programs are glad to read.
MOST_TRIANGLES = 2_000_000


def stl_bytes(cables: Sequence[CableAssessment], *, diameter: float | None = None) -> bytes:
    """Return conduits as closed tubes in a binary STL file."""
    triangles = sum(2 * SIDES * len(stations(each.figures.route)) for each in cables)
    if triangles > MOST_TRIANGLES:
        raise CableRouteError(
            f"the conduits take {triangles} triangles, and {MOST_TRIANGLES} at most are written; "
            "choose a cable, or one of fewer bends"
        )
    shells = []
    for cable in cables:
        family = cable.figures.cable.family
        outside = diameter or (family.conduit_od if family else None)
        if outside is None:
            raise CableRouteError(
                f'cable "{cable.figures.cable.name}": a tube needs the outside diameter of the '
                "conduit; give --diameter or --family"
            )
        shells.append(tube(cable.figures.route, radius=0.5 * outside))
    corners = np.concatenate(shells)
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normals, axis=1, keepdims=True)
    facets = np.zeros(
        len(corners), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("none", "<u2")]
    )
    facets["normal"] = normals / np.where(size > 0.0, size, 1.0)
    facets["corners"] = corners
    head = b"cableroute: conduit, millimetres".ljust(80)
    return b"".join((head, len(facets).to_bytes(4, "little"), facets.tobytes()))


def tube(route: Route, *, radius: float) -> Array:
    """Return a closed tube round a route as triangles."""
    along = stations(route)
    centres, tangents = route.point(along), route.tangent(along)
    carried: Iterator[Array] = accumulate(tangents, _carry, initial=across(tangents[0]))
    sides = np.stack(list(carried)[1:])
    ups = np.cross(tangents, sides)
    angle = 2.0 * pi * np.arange(SIDES) / SIDES
    spokes = np.cos(angle)[:, None] * sides[:, None] + np.sin(angle)[:, None] * ups[:, None]
    rings = centres[:, None] + radius * spokes
    here, ahead = rings[:-1], rings[1:]
    there, beyond = np.roll(here, -1, axis=1), np.roll(ahead, -1, axis=1)
    walls = np.stack((here, there, beyond, here, beyond, ahead), axis=2).reshape(-1, 3, 3)
    first = np.broadcast_to(centres[0], (SIDES, 3))
    last = np.broadcast_to(centres[-1], (SIDES, 3))
    start = np.stack((first, np.roll(rings[0], -1, axis=0), rings[0]), axis=1)
    end = np.stack((last, rings[-1], np.roll(rings[-1], -1, axis=0)), axis=1)
    return np.concatenate((walls, start, end))


def _carry(side: Any, tangent: Any) -> Any:
    """Carry a side vector along to the next tangent without twist (to first order in the step)."""
    square = side - (side @ tangent) * tangent
    return square / np.linalg.norm(square)
