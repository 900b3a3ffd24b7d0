"""Routes as tables for other programs. All lengths in mm."""

from __future__ import annotations

from math import acos, ceil, degrees, isfinite
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.route.pieces import Route
from cableroute.route.sampled import ENOUGH
from cableroute.route.schedule import Schedule, bend_schedule

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


def stations(route: Route, *, spacing: float = float("inf"), least: int = 1) -> Array:
    """Return lengths along a route at which to take its points, `least` steps an arc or more."""
    begin, found = 0.0, [np.zeros(1)]
    for piece in route.pieces:
        turn = piece.length * piece.curvature
        few = least if piece.curvature else 1
        steps = max(ceil(piece.length / spacing), ceil(turn / step_of(piece.curvature)), few)
        found.append(begin + piece.length * np.arange(1, steps + 1) / steps)
        begin += piece.length
    return np.minimum(np.concatenate(found), float(route.length))


def step_of(curvature: float) -> float:
    """Return the angle of an arc whose chord keeps within the error, if not too coarse to look at [rad]."""
    if CHORD_ERROR * curvature < 1e-12:
        return _COARSEST
    return min(2.0 * acos(max(1.0 - CHORD_ERROR * curvature, 0.0)), _COARSEST)


def across(direction: Array) -> Array:
    """Return any direction across another."""
    side = np.cross(direction, np.eye(3)[np.argmin(np.abs(direction))])
    return np.asarray(side / np.linalg.norm(side))


def point_rows(figures: Figures) -> list[dict[str, Any]]:
    """Return points along the run, at most :data:`SPACING` apart; its arcs are known by them again."""
    route = figures.route
    along = stations(route, spacing=SPACING, least=ENOUGH - 1)
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


def bend_rows(figures: Figures, schedule: Schedule | None = None) -> list[dict[str, Any]]:
    """Return the bend schedule of a wire template, as it is built already or to be built."""
    schedule = schedule or bend_schedule(figures.route)
    starts, ends = schedule.starts.tolist(), schedule.ends.tolist()
    return [
        {
            "cable": figures.cable.name,
            "bend": i + 1,
            "at": figures.corner_name(int(corner)),
            "straight_mm": float(schedule.straights[i]),
            "mark_mm": starts[i],
            "end_mm": ends[i],
            "rotation_deg": degrees(schedule.rotations[i]),
            "angle_deg": degrees(schedule.angles[i]),
            "radius_mm": float(schedule.radii[i]),
        }
        for i, corner in enumerate(schedule.corners)
    ]


def clip_rows(cable: CableAssessment) -> list[dict[str, Any]]:
    """Return where the conduit is held, and where it should be."""
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
