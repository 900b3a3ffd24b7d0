"""A run as a DXF drawing (R12), which any CAD reads: lines and arcs, a layer for each cable.

A DXF says little of its unit: what there is (``$INSUNITS``) is written though R12 does not ask for
it, and once more as a comment.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import count, product
from math import atan2, ceil, degrees, pi
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment
from cableroute.measure.dxf_points import CABLE_LAYER
from cableroute.measure.keepout import Box, Capsule, KeepOut
from cableroute.output.exports import across, stations, step_of
from cableroute.route.pieces import Route
from cableroute.route.segments import Arc
from cableroute.shown import one_line

#: Other layers and their colour numbers: green, blue, red. A cable's is black or white.
_LAYERS, _CABLE_COLOUR = {"LAY": 3, "CLIPS": 5, "KEEP-OUT": 1}, 7
#: Letters of a layer's name in R12 (DXF reference, R12; from memory).
_LONGEST_LAYER = 31
#: What $INSUNITS calls millimetres.
_MILLIMETRES = 4
#: An arc that is nearer to its chord than this is drawn as one [mm].
_FLAT = 1e-4

Groups = Iterator[tuple[int, Any]]


def dxf_text(cables: Sequence[CableAssessment], keepouts: Sequence[KeepOut] = ()) -> str:
    """Return routes, how they lie by themselves, clips and keep-out space as an R12 DXF in mm."""
    layers = layer_names([cable.figures.cable.name for cable in cables])
    colours = dict.fromkeys(layers, _CABLE_COLOUR) | _LAYERS
    groups: list[tuple[int, Any]] = [(999, "units: millimetres; x forward, y left, z up")]
    groups += [(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009")]
    groups += [(9, "$INSUNITS"), (70, _MILLIMETRES), (0, "ENDSEC")]
    groups += [(0, "SECTION"), (2, "TABLES"), (0, "TABLE"), (2, "LAYER"), (70, len(colours))]
    for name, colour in colours.items():
        groups += [(0, "LAYER"), (2, name), (70, 0), (62, colour), (6, "CONTINUOUS")]
    groups += [(0, "ENDTAB"), (0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")]
    for cable, layer in zip(cables, layers, strict=True):
        groups += _route(layer, cable.figures.route)
        groups += _polyline("LAY", _lay(cable.figures.lay.run))
        groups += _clips(cable)
    for zone in keepouts:
        for line in _frame(zone.shape):
            groups += _polyline("KEEP-OUT", line)
    groups += [(0, "ENDSEC"), (0, "EOF")]
    return "".join(f"{code}\n{value}\n" for code, value in groups)


def layer_names(names: Sequence[str]) -> list[str]:
    """Name a layer for each cable, in the letters that R12 has, no two alike."""
    layers: list[str] = []
    for name in names:
        stem = CABLE_LAYER + (re.sub(r"[^A-Za-z0-9$_-]+", "_", name).strip("_") or "cable")
        tries = (stem[: _LONGEST_LAYER - len(end)] + end for end in map(_ending, count(1)))
        taken = {layer.upper() for layer in layers}
        layers.append(next(layer for layer in tries if layer.upper() not in taken))
    return layers


def _ending(number: int) -> str:
    return f"-{number}" if number > 1 else ""


def _route(layer: str, route: Route) -> Groups:
    for piece in route.pieces:
        if isinstance(piece, Arc) and piece.length * piece.turn / 8.0 > _FLAT:
            yield from _arc(layer, piece)
        elif piece.length > 0.0:
            yield from _line(layer, piece.start, piece.end)


def _lay(run: Route) -> Array:
    """Return the natural lay as a polyline."""
    return run.point(stations(run))


def _line(layer: str, start: Array, end: Array) -> Groups:
    yield from [(0, "LINE"), (8, layer), *_place(start)]
    yield from [(code + 1, value) for code, value in _place(end)]


def _arc(layer: str, arc: Arc) -> Groups:
    """Draw an arc in the system of its own plane, as DXF has it: counter-clockwise about its axis.

    The system follows from the axis by DXF's rule of the arbitrary axis, so the axis goes first
    through the digits that are written.
    """
    axis = np.cross(arc.direction, arc.normal)
    aside = np.array([0.0, 1.0, 0.0] if abs(axis[:2]).max() < 1.0 / 64.0 else [0.0, 0.0, 1.0])
    x = np.cross(aside, axis)
    x /= np.linalg.norm(x)
    frame = np.array([x, np.cross(axis, x), axis])
    begin = atan2(*(frame[[1, 0]] @ -arc.normal))
    yield from [(0, "ARC"), (8, layer), *_place(frame @ (arc.start + arc.radius * arc.normal))]
    yield 40, f"{arc.radius:.9f}"
    yield from [(50, _angle(begin)), (51, _angle(begin + arc.turn))]
    yield from [(code, f"{value:.16g}") for code, value in zip((210, 220, 230), axis, strict=True)]


def _angle(radians: float) -> str:
    return f"{degrees(radians % (2.0 * pi)):.12f}"


def _place(point: Array) -> list[tuple[int, Any]]:
    return [(code, f"{value:z.6f}") for code, value in zip((10, 20, 30), point, strict=True)]


def _polyline(layer: str, points: Array) -> Groups:
    """Draw a line between two points, else a 3D polyline."""
    if len(points) == 2:
        yield from _line(layer, *points)
        return
    yield from [(0, "POLYLINE"), (8, layer), (66, 1), (70, 8), *_place(np.zeros(3))]
    for point in points:
        yield from [(0, "VERTEX"), (8, layer), *_place(point), (70, 32)]
    yield from [(0, "SEQEND"), (8, layer)]


def _clips(cable: CableAssessment) -> Groups:
    for clip in cable.holding.clips:
        name = _ascii(f"{clip.kind}: {clip.name}" if clip.name else clip.kind)
        yield from [(0, "POINT"), (8, "CLIPS"), *_place(clip.point)]
        yield from [(0, "TEXT"), (8, "CLIPS"), *_place(clip.point), (40, "10.0"), (1, name)]


def _ascii(text: str) -> str:
    """One line of ASCII, in DXF's own notation for others; ``%%`` would format it."""
    line = one_line(text).replace("%", "% ")[:200]
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
    steps = 2 * ceil(pi / step_of(1.0 / bar.radius))
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
