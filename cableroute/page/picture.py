"""The scene of the page: that of the report, with what the page draws besides."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import Assessment, CableAssessment
from cableroute.output.pictures.charts import joints
from cableroute.output.pictures.projection import piece_points
from cableroute.output.plain import JsonObject, number
from cableroute.output.report.space import scene
from cableroute.route.pieces import STRAIGHT
from cableroute.route.segments import Arc
from cableroute.shown import one_line


def picture(
    found: Assessment,
    cables: tuple[int, ...],
    *,
    known: Mapping[CableAssessment, JsonObject] | None = None,
) -> JsonObject:
    """Return everything to be seen in space, and the forces along each run.

    `known` is what was returned of cables before.
    """
    known = known or {}
    shown = scene(found, known=known)
    shown["nodes"] = [
        {"name": one_line(name), "at": _places(at)} for name, at in found.job.nodes.items()
    ]
    for told, cable, place in zip(shown["cables"], found.cables, cables, strict=True):
        told["number"] = place % 6
        if cable in known:
            continue
        clips = [clip for clip in cable.holding.clips if clip.kind == "suggested"]
        told |= {
            "clips": [{"at": _places(np.asarray(clip.point))} for clip in clips],
            "nearest": _nearest(cable),
            "forces": _forces(cable),
        }
        for spot, row in zip(told["points"], cable.figures.route.kept.tolist(), strict=True):
            spot["row"] = row
    return shown


def _nearest(cable: CableAssessment) -> JsonObject | None:
    """Find the bend that is nearest to its least radius, or furthest past it."""
    route = cable.figures.route
    bent = route.turns > STRAIGHT
    if not bent.any():
        return None
    radii, wanted = route.radii[bent], route.wanted_radii[bent]
    place = int(np.argmin(radii / wanted))
    arcs = [piece for piece in route.pieces if isinstance(piece, Arc)]
    return {
        "radius_mm": float(radii[place]),
        "least_mm": float(wanted[place]),
        "line": _places(piece_points(arcs[place])),
    }


def _forces(cable: CableAssessment) -> JsonObject | None:
    """Force at every joint of line and arc, from low to high friction; of a pair they are no such two."""
    figures = cable.figures
    if cable.pair is not None:
        return None
    drag = figures.pull.drag
    bands = {"pull_n": figures.pulls, "push_n": figures.pushes}
    return {"along_mm": [float(s) for s in joints(figures.route)]} | {
        key: None if band is None else [[number(f + drag) for f in row] for row in band.tolist()]
        for key, band in bands.items()
    }


def _places(points: Array) -> Any:
    return np.round(points, 1).tolist()
