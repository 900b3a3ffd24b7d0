"""Bends side by side on a page: each with its heading, its arc at full size and its dial.

A cell is the room of one bend. Cells fill a page row by row, in the order in which a wire is bent.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.output.pictures.style import plain
from cableroute.output.template.shapes import (
    Mark,
    bend_line,
    bend_name,
    bend_told,
    filled,
    turning,
)

#: Straight drawn on both sides of a bend that shares its page [mm].
STRAIGHT_SHOWN = 25.0
#: Room for a heading, round a wire for its words, and for a dial with the words under it [mm].
HEADING, ROOM = 12.0, 9.0
_HEAD = np.array([0.0, HEADING])
DIAL_ROOM = np.array([46.0, 46.0])
#: Radius of a dial, and its centre in its room [mm].
DIAL, DIAL_CENTRE = 14.0, np.array([23.0, 30.0])
#: Steps in which a place for the dial is looked for beside the wire [mm].
_STEP = 4.0


@frozen(eq=False)
class Cell:
    """The room of one bend on a page.

    Parameters
    ----------
    cable : str
        Whose it is.
    bend : int
        Its number, the first being 1 [-].
    name, told : str
        Its heading, and the line of figures under it.
    size : ndarray, shape (2,)
        Width and height of the room [mm].
    line : ndarray, shape (n, 2)
        The wire; nothing of a bend that has sheets of its own [mm].
    marks : tuple of Mark
        Begin and end of the bend.
    rotation : float or None
        From the bend before, clockwise seen towards the far end; None for the first [deg].
    dial : ndarray, shape (2,)
        Centre of the dial that shows it [mm].
    corner : ndarray, shape (2,)
        Lower left corner of the room on its page [mm].
    """

    cable: str
    bend: int
    name: str
    told: str
    size: Array
    line: Array
    marks: tuple[Mark, ...]
    rotation: float | None
    dial: Array
    corner: Array

    def at(self, corner: Array) -> Cell:
        """Return the cell moved to a place on its page."""
        by = corner - self.corner
        return replace(
            self,
            line=self.line + by,
            marks=tuple(mark.moved(np.eye(2), by) for mark in self.marks),
            dial=self.dial + by,
            corner=corner,
        )


def bend_cell(row: Mapping[str, Any], *, area: Array, inches: bool) -> Cell | None:
    """Return the lowest cell that holds a bend and its dial; None if no page does."""
    line, marks = bend_line(row, straight=STRAIGHT_SHOWN, inches=inches)
    has_dial = row["bend"] > 1
    best: Cell | None = None
    for matrix in turning(np.arange(0.0, 360.0, 5.0)):
        turned = line @ matrix
        low = turned.min(0) - ROOM
        wire = turned - low
        box = wire.max(0) + ROOM
        if (box + _HEAD > area).any():
            continue
        corner, size = _beside(wire, box, area) if has_dial else (np.zeros(2), box)
        size = size + _HEAD
        if (size > area).any() or (best is not None and size[1] >= best.size[1]):
            continue
        moved = tuple(mark.moved(matrix, -low) for mark in marks)
        best = _cell(row, size, wire, moved, corner, inches=inches)
    return best


def dial_cell(row: Mapping[str, Any], *, inches: bool) -> Cell:
    """Return the cell of a bend whose arc has sheets of its own: its dial alone."""
    size = DIAL_ROOM + _HEAD + np.array([20.0, 0.0])
    return _cell(row, size, np.zeros((0, 2)), (), np.zeros(2), inches=inches)


def _cell(
    row: Mapping[str, Any],
    size: Array,
    line: Array,
    marks: tuple[Mark, ...],
    corner: Array,
    *,
    inches: bool,
) -> Cell:
    return Cell(
        cable=plain(row["cable"]),
        bend=row["bend"],
        name=bend_name(row),
        told=bend_told(row, inches=inches),
        size=size,
        line=line,
        marks=marks,
        rotation=row["rotation_deg"] if row["bend"] > 1 else None,
        dial=corner + DIAL_CENTRE,
        corner=np.zeros(2),
    )


def _beside(wire: Array, box: Array, area: Array) -> tuple[Array, Array]:
    """Return where the dial's room is: in a corner that the wire leaves, right of it, or above."""
    inside = _inside(filled(wire, 2.0), box)
    if inside is not None:
        return inside, box
    right = box + DIAL_ROOM * [1.0, 0.0]
    if right[0] <= area[0]:
        return np.array([box[0], 0.0]), np.maximum(right, DIAL_ROOM)
    return np.array([0.0, box[1]]), np.array([max(box[0], DIAL_ROOM[0]), box[1] + DIAL_ROOM[1]])


def _inside(wire: Array, box: Array) -> Array | None:
    """Return a place in the wire's own room that is free for a dial, its words kept off the wire."""
    spare = box - DIAL_ROOM
    if (spare < 0.0).any():
        return None
    sides = [np.append(np.arange(0.0, room, _STEP), room) for room in spare]
    places = np.stack(np.meshgrid(*sides), axis=-1).reshape(-1, 1, 2)
    off = np.maximum(places - wire, wire - places - DIAL_ROOM).max(-1).min(-1)
    best = int(np.argmax(off))
    return np.asarray(places[best, 0]) if off[best] >= 0.5 * ROOM else None


def on_pages(cells: Iterable[Cell], *, area: Array) -> Iterator[tuple[Cell, ...]]:
    """Yield the cells of each page, filled row by row from the top left."""
    page: list[Cell] = []
    left = below = 0.0  # of the row that is being filled; how far its foot is from the top
    top = 0.0
    for cell in cells:
        wide, high = cell.size
        if left + wide > area[0]:
            left, top = 0.0, below
        if top + high > area[1] and page:
            yield tuple(page)
            page, left, top, below = [], 0.0, 0.0, 0.0
        page.append(cell.at(np.array([left, area[1] - top - high])))
        left, below = left + wide, max(below, top + high)
    if page:
        yield tuple(page)
