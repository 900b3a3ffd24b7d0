"""Hole patterns at full size: rows of set-screw holes round a sleeve, holes of levers and arms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import pi

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment, LinkageAssessment
from cableroute.figures.drill_list import drill_list
from cableroute.hardware.hole_rows import HoleRows
from cableroute.linkage.arms import Arm
from cableroute.output.pictures.style import plain
from cableroute.output.template.shapes import Mark, Shape, laid_out

#: Half of the cross at a hole, and how far a plate goes on beyond its last one [mm].
_CROSS, _BEYOND = 1.5, 12.0


def sleeve_patterns(cable: CableAssessment) -> Iterator[tuple[str, HoleRows]]:
    """Yield the rows of holes at the ends of a cable, each with the words for its end."""
    anchors = cable.figures.cable.anchors
    for end in ("hand", "far"):
        entry = getattr(anchors, end) if anchors else None
        if entry is not None and entry.rows is not None:
            yield f"{plain(cable.figures.cable.name)}, {end} anchor", entry.rows.pattern()


def rows_told(rows: HoleRows) -> tuple[str, ...]:
    """Return what to drill, line by line."""
    screws = "1 screw bears" if rows.share == 1 else f"{rows.share} screws share the load"
    anywhere = (
        "a screw finds the groove wherever the end stands"
        if rows.everywhere
        else "between two settings no screw finds the groove"
    )
    return (
        f"{rows.rows * rows.share} rows round the sleeve, {rows.pitch:.2f} mm from hole to hole in a "
        f"row, each row {rows.step:.2f} mm further on: {rows.settings} settings; {anywhere}",
        f"{screws} at each setting; holes {rows.closest:.1f} mm apart from row to row",
        f"sleeve {rows.outside:.1f} mm outside ({rows.least_outside:.1f} at least), {rows.length:.1f} "
        f"mm long, wall {rows.wall:.1f} mm at least; first hole {rows.edge:.1f} mm from the end",
    )


def sleeve_shape(name: str, rows: HoleRows, *, area: Array) -> Shape:
    """Unroll the sleeve: the sheet is wrapped round it, and every hole punched through."""
    around = pi * rows.outside
    count = rows.rows * rows.share
    corners = np.array([[0, 0], [rows.length, 0], [rows.length, around], [0, around], [0, 0]])
    heights = around * (np.arange(count) + 0.5) / count
    snake = [
        [(rows.length if k % 2 else 0.0, y), (0.0 if k % 2 else rows.length, y)]
        for k, y in enumerate(heights)
    ]
    line = np.concatenate([corners, *(np.array(pair) for pair in snake)])
    named: set[int] = set()
    marks: list[Mark] = []
    for hole in rows.holes:
        at = np.array([rows.edge + hole.along, heights[hole.row]])
        text = "" if hole.row in named else f"row {hole.row + 1}"
        named.add(hole.row)
        marks += _cross(at, text)
    told = (
        f"Wrap round a sleeve of {rows.outside:.1f} mm outside; {len(rows.holes)} holes, "
        f"{rows.pitch:.2f} mm apart in a row, {rows.step:.2f} mm from row to row"
    )
    return laid_out(f"{name}: rows of holes", told, line, marks, area=area)


def arm_shapes(linkage: LinkageAssessment, *, area: Array) -> Iterator[Shape]:
    """Yield the holes of the lever and of the arm, from their pivots outwards."""
    figures = linkage.figures
    drilled = drill_list(figures)
    bodies, at = figures.built.chain.bodies, figures.built.chain.cable_at
    for body, member in ((bodies[at], bodies[at].out), (bodies[at + 1], bodies[at + 1].incoming)):
        if not isinstance(member, Arm):
            continue
        radii = {member.radius: "as it is"}
        if body.name == drilled.member:
            radii |= {hole.radius: f"travel {hole.travel:.1f} mm" for hole in drilled.holes}
        name = f"{plain(figures.name)}: holes of {plain(body.name)}"
        yield arm_shape(name, sorted(radii.items()), area=area)


def arm_shape(name: str, radii: Sequence[tuple[float, str]], *, area: Array) -> Shape:
    """Lay the holes of one arm along a line from its pivot."""
    line = np.array([[0.0, 0.0], [radii[-1][0] + _BEYOND, 0.0]])
    marks = list(_cross(np.zeros(2), "pivot", half=2.0 * _CROSS))
    for radius, words in radii:
        marks += _cross(np.array([radius, 0.0]), f"{radius:.0f} mm: {words}")
    told = f"{len(radii)} holes on one line from the pivot, of which one is used"
    told = told if len(radii) > 1 else "One hole, from the pivot"
    return laid_out(name, told, line, marks, area=area)


def _cross(at: Array, text: str, *, half: float = _CROSS) -> tuple[Mark, Mark]:
    along, across = half * np.eye(2)
    return Mark(np.stack((at - across, at + across)), text), Mark(
        np.stack((at - along, at + along)), ""
    )
