"""Routes for other programs: DXF for CAD, CSV for a spreadsheet. All lengths in mm."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import product
from math import acos, ceil, degrees, isfinite, pi
from typing import Any

import numpy as np

from cableroute.assess import CableAssessment
from cableroute.measure.keepout import Box, Capsule, KeepOut
from cableroute.route.pieces import Array, Route
from cableroute.route.schedule import bend_schedule
from cableroute.verdict.figures import Figures

#: A chord is at most this far from its arc [mm].
CHORD_ERROR = 0.005
#: Greatest distance along the run between two points of the CSV [mm].
SPACING = 10.0
#: Greatest turn between two stations [rad].
_COARSEST = 0.2
#: Columns of the tables.
POINT_COLUMNS = ("cable", "along_mm", "x_mm", "y_mm", "z_mm", "radius_mm")
BEND_COLUMNS = (
    *("cable", "bend", "at", "straight_mm", "mark_mm", "end_mm"),
    *("rotation_deg", "angle_deg", "radius_mm"),
)
CLIP_COLUMNS = (
    *("cable", "at_mm", "x_mm", "y_mm", "z_mm", "kind", "label"),
    *("force_n", "spring_back_n", "towards_x", "towards_y", "towards_z"),
)


def stations(route: Route, *, spacing: float = float("inf")) -> Array:
    """Return lengths along a route at which to take its points.

    Parameters
    ----------
    route : Route
        One route.
    spacing : float
        Greatest distance between two of them [mm].

    Returns
    -------
    ndarray, shape (n,)
        Ends of every piece, and in between as many as keep chords within :data:`CHORD_ERROR` [mm].
    """
    begin, found = 0.0, [np.zeros(1)]
    for piece in route.pieces:
        turn = piece.length * piece.curvature
        steps = max(ceil(piece.length / spacing), ceil(turn / _step(piece.curvature)), 1)
        found.append(begin + piece.length * np.arange(1, steps + 1) / steps)
        begin += piece.length
    return np.minimum(np.concatenate(found), float(route.length))


def _step(curvature: float) -> float:
    """Angle of an arc whose chord keeps within the error, if not too coarse to look at [rad]."""
    if CHORD_ERROR * curvature < 1e-12:
        return _COARSEST
    return min(2.0 * acos(max(1.0 - CHORD_ERROR * curvature, 0.0)), _COARSEST)


def across(direction: Array) -> Array:
    """Return any direction across another.

    Parameters
    ----------
    direction : ndarray, shape (3,)
        Of length one [-].

    Returns
    -------
    ndarray, shape (3,)
        Of length one [-].
    """
    side = np.cross(direction, np.eye(3)[np.argmin(np.abs(direction))])
    return np.asarray(side / np.linalg.norm(side))


# -- CSV ---------------------------------------------------------------------------------------


def point_rows(figures: Figures) -> list[dict[str, Any]]:
    """Return points along the run, at most :data:`SPACING` apart.

    Parameters
    ----------
    figures : Figures
        One cable.

    Returns
    -------
    list of dict
        One for each point; the radius is None on a straight.
    """
    route = figures.route
    along = stations(route, spacing=SPACING)
    bends = route.curvature(along)
    return [
        {
            "cable": figures.cable.name,
            "along_mm": float(s),
            **_xyz(point),
            "radius_mm": 1.0 / float(bend) if bend else None,
        }
        for s, point, bend in zip(along, route.point(along), bends, strict=True)
    ]


def bend_rows(figures: Figures) -> list[dict[str, Any]]:
    """Return the bend schedule of a wire template.

    Parameters
    ----------
    figures : Figures
        One cable.

    Returns
    -------
    list of dict
        One for each bend, from the hand end on.
    """
    schedule = bend_schedule(figures.route)
    return [
        {
            "cable": figures.cable.name,
            "bend": i + 1,
            "at": figures.corner_name(int(corner)),
            "straight_mm": float(schedule.straights[i]),
            "mark_mm": float(schedule.starts[i]),
            "end_mm": float(schedule.ends[i]),
            "rotation_deg": degrees(schedule.rotations[i]),
            "angle_deg": degrees(schedule.angles[i]),
            "radius_mm": float(schedule.radii[i]),
        }
        for i, corner in enumerate(schedule.corners)
    ]


def clip_rows(cable: CableAssessment) -> list[dict[str, Any]]:
    """Return where the conduit is held, and where it should be.

    Parameters
    ----------
    cable : CableAssessment
        One cable.

    Returns
    -------
    list of dict
        Anchors, clips and suggested clips from the hand end on, each where the conduit passes: a
        clip at a bend holds the middle of its arc, not the corner point that was measured.
    """
    return [
        {
            "cable": cable.figures.cable.name,
            "at_mm": clip.at,
            **_xyz(clip.point),
            "kind": clip.kind,
            "label": clip.name,
            "force_n": clip.force if isfinite(clip.force) else "",
            "spring_back_n": "" if clip.spring_back is None else clip.spring_back,
            **{
                f"towards_{axis}": float(x) + 0.0
                for axis, x in zip("xyz", clip.direction, strict=True)
            },
        }
        for clip in cable.holding.clips
    ]


def _xyz(point: Array) -> dict[str, float]:
    return {f"{axis}_mm": float(value) for axis, value in zip("xyz", point, strict=True)}


# -- DXF ---------------------------------------------------------------------------------------

#: Layers and their colour numbers: black or white, blue, red.
_LAYERS = {"ROUTE": 7, "CLIPS": 5, "KEEP-OUT": 1}


def dxf_text(cables: Sequence[CableAssessment], keepouts: Sequence[KeepOut] = ()) -> str:
    """Return routes, their clips and anchors, and keep-out space as an R12 DXF drawing.

    Parameters
    ----------
    cables : sequence of CableAssessment
        The cables: each a 3D polyline on the layer ROUTE; clips and anchors as named points.
    keepouts : sequence of KeepOut
        Solids, as wire frames on the layer KEEP-OUT.

    Returns
    -------
    str
        ASCII text, in mm.
    """
    groups: list[tuple[int, Any]] = [(999, "units: millimetres; x forward, y left, z up")]
    groups += [(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009"), (0, "ENDSEC")]
    groups += [(0, "SECTION"), (2, "TABLES"), (0, "TABLE"), (2, "LAYER"), (70, len(_LAYERS))]
    for name, colour in _LAYERS.items():
        groups += [(0, "LAYER"), (2, name), (70, 0), (62, colour), (6, "CONTINUOUS")]
    groups += [(0, "ENDTAB"), (0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")]
    for cable in cables:
        route = cable.figures.route
        groups += _polyline("ROUTE", route.point(stations(route)))
        groups += _clips(cable)
    for zone in keepouts:
        for line in _frame(zone.shape):
            groups += _polyline("KEEP-OUT", line)
    groups += [(0, "ENDSEC"), (0, "EOF")]
    return "".join(f"{code}\n{value}\n" for code, value in groups)


def _place(point: Array) -> list[tuple[int, Any]]:
    return [(code, f"{value:z.6f}") for code, value in zip((10, 20, 30), point, strict=True)]


def _polyline(layer: str, points: Array) -> Iterator[tuple[int, Any]]:
    """Draw a line between two points, else a 3D polyline."""
    if len(points) == 2:
        yield from [(0, "LINE"), (8, layer), *_place(points[0])]
        yield from [(code + 1, value) for code, value in _place(points[1])]
        return
    yield from [(0, "POLYLINE"), (8, layer), (66, 1), (70, 8), *_place(np.zeros(3))]
    for point in points:
        yield from [(0, "VERTEX"), (8, layer), *_place(point), (70, 32)]
    yield from [(0, "SEQEND"), (8, layer)]


def _clips(cable: CableAssessment) -> Iterator[tuple[int, Any]]:
    for clip in cable.holding.clips:
        name = _ascii(f"{clip.kind}: {clip.name}" if clip.name else clip.kind)
        yield from [(0, "POINT"), (8, "CLIPS"), *_place(clip.point)]
        yield from [(0, "TEXT"), (8, "CLIPS"), *_place(clip.point), (40, "10.0"), (1, name)]


def _ascii(text: str) -> str:
    """One line of ASCII, in DXF's own notation for others; ``%%`` would format it."""
    line = "".join(c if c.isprintable() else " " for c in text).replace("%", "% ")[:200]
    codes = (c if ord(c) < 128 else f"\\U+{ord(c):04X}" for c in line)
    return "".join(code if len(code) < 8 else "?" for code in codes)


def _frame(shape: Any) -> list[Array]:
    """Wire frame of a solid, as polylines."""
    draw: dict[type, Callable[[Any], list[Array]]] = {Box: _box, Capsule: _capsule}
    return draw[type(shape)](shape)


def _box(box: Box) -> list[Array]:
    """Return the twelve edges."""
    low, high = np.array(list(product((0, 1), repeat=3))), np.eye(3, dtype=int)
    edges = [(c, c + e) for c in low for e in high if (c + e).max() <= 1]
    return [box.low + np.array(edge) * (box.high - box.low) for edge in edges]


def _capsule(bar: Capsule) -> list[Array]:
    """Return a ring at each end and two outlines along the axis; three rings for a sphere."""
    axis = bar.end - bar.start
    length = float(np.linalg.norm(axis))
    along = axis / length if length else np.array([1.0, 0.0, 0.0])
    side = across(along)
    steps = 2 * ceil(pi / _step(1.0 / bar.radius))
    angle = np.linspace(0.0, 2.0 * pi, steps + 1)[:, None]
    cos, sin = bar.radius * np.cos(angle), bar.radius * np.sin(angle)
    up = np.cross(along, side)
    ring = bar.start + cos * side + sin * up
    half = steps // 2 + 1  # the first half of each outline lies round the far end
    outlines = []
    for way in (side, up):
        bent = cos * way + sin * along
        loop = np.concatenate((bar.end + bent[:half], bar.start + bent[half - 1 :]))
        outlines.append(np.concatenate((loop, loop[:1])) if length else bar.start + bent)
    return [ring, *([ring + axis] if length else []), *outlines]
