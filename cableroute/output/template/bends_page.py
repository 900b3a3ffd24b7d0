"""A page of several bends: arcs at full size, each with the dial of its rotation."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array
from cableroute.output.pictures.labels import place_labels
from cableroute.output.pictures.style import BLUE, GREY, INK, LETTERS, SMALL
from cableroute.output.template.cells import DIAL, Cell
from cableroute.output.template.page import (
    bare_page,
    draw_marks,
    label_of,
    window,
    write,
    write_head,
)
from cableroute.output.template.shapes import filled

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Ticks round a dial: every so many degrees, of which every third is longer [deg].
_TICKS = 10.0
_HOW = (
    "Dial: seen along the wire towards the far end; turn the wire from the dashed line to the solid"
)


def bends_page(cells: Sequence[Cell], *, size: Array, title: str) -> Figure:
    """Return a page of bends."""
    figure, sheet = bare_page(size)
    first, last = cells[0], cells[-1]
    which = f"bend {first.bend}" if first is last else f"bends {first.bend} to {last.bend}"
    write_head(sheet, (f"{first.cable}: {which}", title, _HOW), top=size[1])
    ax = window(figure, np.zeros(2), size)
    busy = [draw_cell(ax, cell) for cell in cells]
    labels = [label_of(mark) for cell in cells for mark in cell.marks]
    place_labels(ax, labels, avoid=np.concatenate(busy))
    return figure


def draw_cell(ax: Axes, cell: Cell) -> Array:
    """Draw the wire of a bend and its dial; return the places to keep words off."""
    if len(cell.line):
        ax.plot(*cell.line.T, color=INK, lw=1.2, solid_joinstyle="round")
    draw_marks(ax, cell.marks)
    top = cell.corner + np.array([1.0, cell.size[1] - 1.0])
    write(ax, top, cell.name, LETTERS, va="top", weight="bold")
    write(ax, top - np.array([0.0, 5.0]), cell.told, SMALL, va="top")
    lines = [cell.line, *(mark.tick for mark in cell.marks)]
    if cell.rotation is not None:
        lines.append(draw_dial(ax, cell.dial, rotation=cell.rotation, bend=cell.bend))
    return np.concatenate([filled(line, 0.5) for line in lines if len(line)])


def draw_dial(ax: Axes, centre: Array, *, rotation: float, bend: int) -> Array:
    """Draw a protractor round the wire: the way the bend before went, and the way this one goes."""
    round_it = centre + DIAL * _ways(np.arange(0.0, 361.0, 5.0))
    ax.plot(*round_it.T, color=GREY, lw=0.6)
    for number, way in enumerate(_ways(np.arange(0.0, 360.0, _TICKS))):
        inner = DIAL - (1.2 if number % 3 else 2.6)
        ax.plot(*(centre + np.outer((inner, DIAL), way)).T, color=GREY, lw=0.5)
    before, after = _ways(np.array([0.0, rotation]))
    ax.plot(*np.stack((centre, centre + DIAL * before)).T, color=INK, lw=1.0, ls=(0, (4, 3)))
    ax.plot(*np.stack((centre, centre + DIAL * after)).T, color=BLUE, lw=1.6)
    if abs(rotation) >= _TICKS:
        swept = centre + 0.5 * DIAL * _ways(np.linspace(0.0, rotation, 40))
        ax.plot(*swept.T, color=BLUE, lw=0.8)
        ax.annotate(
            "", swept[-1], swept[-4], arrowprops={"arrowstyle": "->", "color": BLUE, "lw": 0.8}
        )
    told = f"dashed: the way bend {bend - 1} went\nsolid: bend {bend}, {rotation:+z.1f}°"
    write(ax, centre - np.array([0.0, DIAL + 1.5]), told, SMALL, va="top", ha="center")
    return round_it


def _ways(clockwise: Array) -> Array:
    """Return the directions at some angles clockwise from upwards [deg]."""
    turns = np.radians(clockwise)
    return np.column_stack((np.sin(turns), np.cos(turns)))
