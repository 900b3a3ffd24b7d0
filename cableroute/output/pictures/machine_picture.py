"""All cables of a machine in one picture: from above, from the right and from ahead."""

from __future__ import annotations

from dataclasses import replace
from textwrap import shorten
from typing import TYPE_CHECKING

from cableroute.assess import Assessment, CableAssessment
from cableroute.output.pictures.overlaid import (
    FOOT,
    GAP,
    LEFT,
    MOST,
    RIGHT,
    Way,
    draw_ways,
    head_height,
    way_height,
    way_of,
    write_head,
)
from cableroute.output.pictures.projection import FRONT, PLAN, SIDE
from cableroute.output.pictures.style import WIDTH, new_figure, plain
from cableroute.shown import one_line

if TYPE_CHECKING:
    from matplotlib.figure import Figure

#: Letters in a cable's line of the key, its name besides.
_LONG = 90


def draw_machine(found: Assessment, *, unit: str = "mm") -> Figure:
    """Draw every cable of a job in its machine, in plan, side and front view."""
    ways = [_way(each) for each in found.cables[:MOST]]
    width = WIDTH - LEFT - RIGHT
    views = {view: way_height(view, ways, width) for view in (PLAN, SIDE, FRONT)}
    head = head_height(ways)
    total = head + sum(views.values()) + GAP * (len(views) - 1) + FOOT
    figure = new_figure(total)
    top = total - head
    for view, height in views.items():
        box = (LEFT / WIDTH, (top - height) / total, width / WIDTH, height / total)
        draw_ways(figure.add_axes(box), ways, view, unit=unit, job=found.job)
        top -= height + GAP
    write_head(figure, _heading(found), ways, total)
    return figure


def _way(result: CableAssessment) -> Way:
    figures = result.figures
    last = len(figures.route.points) - 1
    ends = plain(figures.point_name(0)), plain(figures.point_name(last))
    gravest = next((each for each in result.findings if each.level != "note"), None)
    told = f"{gravest.where}: {one_line(gravest.message).split('. ')[0]}" if gravest else ""
    names = shorten(f"{result.verdict.upper()} {told}", _LONG, placeholder=" …")
    names = f"{plain(figures.cable.name)}: {names}"
    return replace(way_of(figures, names), ends=ends)


def _heading(found: Assessment) -> str:
    count = len(found.cables)
    more = f", {MOST} of {count} cables drawn" if count > MOST else ""
    return f"{one_line(found.job.title) or 'Machine'}: {found.verdict.upper()}{more}"
