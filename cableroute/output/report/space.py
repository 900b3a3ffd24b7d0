"""The runs in space as plain data, for the page's own script to draw and turn."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import Assessment, CableAssessment
from cableroute.figures.cable import Figures
from cableroute.measure.keepout import Box, Capsule, Shape
from cableroute.output.pictures.projection import points_by_piece
from cableroute.output.pictures.route_lines import lay_points
from cableroute.output.pictures.style import plain, shown_unit
from cableroute.output.plain import JsonObject

#: Colours of the cables in turn, from the Okabe-Ito set, dark enough on white.
COLOURS = ("#0072b2", "#a04000", "#007a5a", "#8c4a78", "#5a5a00", "#222222")
#: Conduit drawn where its diameter is not known [mm].
_THIN = 6.0


def scene(
    assessment: Assessment, *, known: Mapping[CableAssessment, JsonObject] | None = None
) -> JsonObject:
    """Return everything to be seen in space; `known` is what was returned of cables before."""
    known = known or {}
    job = assessment.job
    scale, unit = shown_unit(job.unit)
    in_all = sum(len(each.figures.route.piece_lengths[1]) for each in assessment.cables)
    return {
        "unit": unit,
        "mm_per_unit": scale,
        "cables": [
            {**(known.get(each) or _cable(each, in_all)), "colour": COLOURS[number % len(COLOURS)]}
            for number, each in enumerate(assessment.cables)
        ],
        "tubes": [
            {
                "name": plain(tube.name),
                "start": _place(tube.start),
                "end": _place(tube.end),
                "diameter": tube.diameter,
            }
            for tube in job.tubes
        ],
        "zones": [{"name": plain(zone.name), **_solid(zone.shape)} for zone in job.keepouts],
    }


def _cable(cable: CableAssessment, in_all: int) -> JsonObject:
    figures = cable.figures
    route = figures.route
    family = figures.cable.family
    by_piece = points_by_piece(route, in_all=in_all)
    curve = np.vstack(by_piece)
    numbers, _ = route.piece_lengths
    misfits = (numbers % 2 == 1) & ~np.append(route.corner_fits, True)[numbers // 2]
    tight = [by_piece[piece] for piece in np.flatnonzero(misfits).tolist()]
    turns = np.zeros(len(route.points))
    np.add.at(turns, route.owners[1:-1], route.turns)
    return {
        "name": plain(figures.cable.name),
        "diameter": family.conduit_od if family else _THIN,
        "line": _places(curve),
        "lay": _places(lay_points(figures)),
        "tight": [_places(arc) for arc in tight],
        "points": [_point(figures, point, turn) for point, turn in enumerate(turns.tolist())],
    }


def _point(figures: Figures, point: int, turn: float) -> dict[str, Any]:
    """One point; ends and sharp bends keep their label where there is little room."""
    route, given = figures.route, int(figures.route.kept[point])
    fixes = figures.cable.fixes
    is_end = point in (0, len(route.points) - 1)
    return {
        "name": plain(figures.point_name(point)),
        "at": _place(route.points[point]),
        "fix": (fixes[given] if given < len(fixes) else None) or ("anchor" if is_end else "none"),
        "weight": 10.0 if is_end else round(turn, 3),
    }


def _solid(shape: Shape) -> dict[str, Any]:
    if isinstance(shape, Box):
        return {"kind": "box", "low": _place(shape.low), "high": _place(shape.high)}
    assert isinstance(shape, Capsule)
    ends = {"start": _place(shape.start), "end": _place(shape.end)}
    return {"kind": "bar", **ends, "diameter": 2.0 * shape.radius}


def _place(point: Array) -> list[float]:
    return [round(float(value), 1) for value in point]


def _places(points: Array) -> list[list[float]]:
    return [[round(value, 1) for value in point] for point in points.tolist()]
