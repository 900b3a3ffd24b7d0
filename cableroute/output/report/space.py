"""The runs in space as plain data, for the page's own script to draw and turn."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from cableroute.assess import Assessment, CableAssessment
from cableroute.measure.keepout import Box, Capsule, Shape
from cableroute.output.pictures.projection import piece_points
from cableroute.output.pictures.style import plain, shown_unit
from cableroute.route.pieces import STRAIGHT
from cableroute.route.segments import Arc
from cableroute.verdict.figures import Figures

#: Colours of the cables in turn, from the Okabe-Ito set, dark enough on white.
COLOURS = ("#0072b2", "#a04000", "#007a5a", "#8c4a78", "#5a5a00", "#222222")
#: Conduit drawn where its diameter is not known [mm].
_THIN = 6.0


def scene(assessment: Assessment) -> dict[str, Any]:
    """Return everything to be seen in space.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    dict
        Numbers, strings and lists only, ready for JSON; lengths in mm.
    """
    job = assessment.job
    scale, unit = shown_unit(job.unit)
    return {
        "unit": unit,
        "mm_per_unit": scale,
        "cables": [_cable(each, number) for number, each in enumerate(assessment.cables)],
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


def _cable(cable: CableAssessment, number: int) -> dict[str, Any]:
    figures = cable.figures
    route = figures.route
    family = figures.cable.family
    curve = np.vstack([piece_points(piece) for piece in route.pieces])
    fits = iter(route.corner_fits[route.turns > STRAIGHT].tolist())
    arcs = [piece for piece in route.pieces if isinstance(piece, Arc)]
    tight = [piece_points(arc) for arc in arcs if not next(fits)]
    return {
        "name": plain(figures.cable.name),
        "colour": COLOURS[number % len(COLOURS)],
        "diameter": family.conduit_od if family else _THIN,
        "line": _places(curve),
        "tight": [_places(arc) for arc in tight],
        "points": [_point(figures, vertex) for vertex in range(len(route.points))],
    }


def _point(figures: Figures, vertex: int) -> dict[str, Any]:
    """One point; ends and sharp bends keep their label where there is little room."""
    route, given = figures.route, int(figures.route.kept[vertex])
    fixes = figures.cable.fixes
    is_end = vertex in (0, len(route.points) - 1)
    return {
        "name": plain(figures.vertex_name(vertex)),
        "at": _place(route.points[vertex]),
        "fix": (fixes[given] if given < len(fixes) else None) or ("anchor" if is_end else "none"),
        "weight": 10.0 if is_end else round(float(route.turns[vertex - 1]), 3),
    }


def _solid(shape: Shape) -> dict[str, Any]:
    if isinstance(shape, Box):
        return {"kind": "box", "low": _place(shape.low), "high": _place(shape.high)}
    assert isinstance(shape, Capsule)
    ends = {"start": _place(shape.start), "end": _place(shape.end)}
    return {"kind": "bar", **ends, "diameter": 2.0 * shape.radius}


def _place(point: np.ndarray[Any, np.dtype[np.float64]]) -> list[float]:
    return [round(float(value), 1) for value in point]


def _places(points: Sequence[Any] | np.ndarray[Any, np.dtype[np.float64]]) -> list[list[float]]:
    return [_place(point) for point in points]
