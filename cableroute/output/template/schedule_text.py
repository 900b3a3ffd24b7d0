"""The bend schedule of a wire template, as text for 80 columns and as plain data."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from math import degrees
from typing import Any

from cableroute.assess import Assessment, CableAssessment
from cableroute.output.columns import WIDTH
from cableroute.output.exports import bend_rows
from cableroute.output.pictures.style import plain
from cableroute.output.template.holes import rows_told, sleeve_patterns
from cableroute.output.template.shapes import bends_of
from cableroute.route.planar import flat_runs
from cableroute.route.schedule import Schedule, bend_schedule, wire_frame
from cableroute.units import format_inches

#: Letters of a point's name that a row shows.
_NAME = 18
#: What has to be known to bend by the schedule.
HOW_TO = (
    "Mark the wire from the hand end: each bend begins at its mark.",
    "The rotation is that of the bend's plane about the wire, from the plane of the bend before; "
    "looking along the wire towards the far end, clockwise is plus.",
    "The angle is how far the wire turns from straight on. Allow for spring-back.",
)


def template_text(assessment: Assessment) -> str:
    """Return the bend schedule of a wire template for each cable of a job, as text."""
    job = assessment.job
    lines = template_lines(
        assessment.cables, title=job.title, unit=job.unit, tolerance=job.tape_tolerance
    )
    return "\n".join(lines)


def template_lines(
    cables: Sequence[CableAssessment], *, title: str, unit: str, tolerance: float
) -> Iterator[str]:
    """Yield the bend schedules line by line."""
    yield from textwrap.wrap(title or "Wire templates", WIDTH)
    for cable in cables:
        yield ""
        schedule = bend_schedule(cable.figures.route)
        yield from _schedule(cable, schedule, inches=unit in ("in", "ft"))
        for run in flat_runs(schedule, tolerance=tolerance):  # can be laid on a bench together
            yield f"{bends_of(run)} lie in one plane, to within {degrees(run.off):.1f} deg"
        for name, rows in sleeve_patterns(cable):
            yield f"{name}: rows of holes"
            for line in rows_told(rows):
                yield from textwrap.wrap(line, WIDTH, initial_indent="  ", subsequent_indent="    ")
    yield ""
    for line in HOW_TO:
        yield from textwrap.wrap(line, WIDTH)


def _schedule(cable: CableAssessment, schedule: Schedule, *, inches: bool) -> Iterator[str]:
    figures = cable.figures
    rows = bend_rows(figures, schedule)
    count = f"{len(rows)} bend{'' if len(rows) == 1 else 's'}"
    length, tail = schedule.length, float(schedule.straights[-1])
    also = f" ({format_inches(length)})" if inches else ""
    yield f"{plain(figures.cable.name)}: {length:.1f} mm{also} of wire, {count}"
    if rows:
        yield _line("bend", "at", "straight", "mark at", "rotation", "angle", "radius")
        yield _line("", "", "mm", "mm", "deg", "deg", "mm")
    for row in rows:
        yield _metric(row)
        if inches:
            yield _imperial(row)
    yield _line("", "far end", f"{tail:.1f}", f"{length:.1f}", "", "", "")
    if figures.order.cut:
        told = figures.words.length
        order = figures.order
        yield f"cut the conduit at {told(order.advised)}, the core at {told(order.core)}"
    if inches:
        yield _line("", "", format_inches(tail), format_inches(length), "", "", "")


def _line(*cells: str) -> str:
    bend, at, straight, mark, rotation, angle, radius = cells
    line = f"{bend:>4}  {at:{_NAME}}{straight:>12}{mark:>13}{rotation:>10}{angle:>8}{radius:>12}"
    return line.rstrip()


def _metric(row: Mapping[str, Any]) -> str:
    name = plain(row["at"])
    at = name if len(name) <= _NAME else name[: _NAME - 1] + "…"
    numbers = (f"{row[key]:z.1f}" for key in ("straight_mm", "mark_mm", "rotation_deg"))
    return _line(
        str(row["bend"]), at, *numbers, f"{row['angle_deg']:.1f}", f"{row['radius_mm']:.1f}"
    )


def _imperial(row: Mapping[str, Any]) -> str:
    straight, mark, radius = (
        format_inches(row[key]) for key in ("straight_mm", "mark_mm", "radius_mm")
    )
    return _line("", "", straight, mark, "", "", radius)


def template_dict(
    cables: Sequence[CableAssessment], *, title: str, tolerance: float
) -> dict[str, Any]:
    """Return the bend schedules as plain data."""
    found = [_cable(cable, tolerance=tolerance) for cable in cables]
    return {"schema": 1, "title": title, "cables": found}


def _cable(cable: CableAssessment, *, tolerance: float) -> dict[str, Any]:
    figures = cable.figures
    schedule = bend_schedule(figures.route)
    start, direction, normal = (vector.tolist() for vector in wire_frame(figures.route))
    bends = [
        {key: row[key] for key in row if key != "cable"} for row in bend_rows(figures, schedule)
    ]
    return {
        "name": figures.cable.name,
        "length_mm": schedule.length,
        "start_mm": start,
        "direction": direction,
        "first_bend_towards": normal,
        "bends": bends,
        "last_straight_mm": float(schedule.straights[-1]),
        "flat": [
            {"first": run.first + 1, "last": run.last + 1, "off_deg": degrees(run.off)}
            for run in flat_runs(schedule, tolerance=tolerance)
        ],
    }
