"""What the sheets of a wire template show: bends and flat stretches at full size, cut into tiles.

A shape larger than a page goes over several. They overlap by :data:`OVERLAP`, and each has the
name of its place: A1 is the leftmost of the top row, A2 lies right of it, B1 below it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import ceil, degrees
from typing import Any

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.frozen import frozen
from cableroute.output.exports import stations
from cableroute.output.pictures.style import plain
from cableroute.route.pieces import Route
from cableroute.route.planar import FlatRun
from cableroute.units import MM_PER_UNIT, format_inches

INCH = float(MM_PER_UNIT["in"])
#: What two tiles of one shape have in common [mm].
OVERLAP = 15.0
#: A flat stretch that takes more tiles than this is left out: nobody glues so many together.
MOST_TILES = 12
#: Straight drawn on both sides of a bend, and at most on both sides of a flat stretch [mm].
TANGENT, LEAD = 40.0, 100.0
#: Half the tick of a bend's mark, and of a distance's [mm].
TICK, SMALL_TICK = 5.0, 2.0
#: Room round a shape for its words [mm].
_ROOM = 8.0
#: Ticks along a flat stretch, of which every second has its distance written [mm].
_STEP, _INCHES = 50.0, 2.0 * INCH


@frozen(eq=False)
class Mark:
    """A tick across the wire and what is written there.

    Parameters
    ----------
    tick : ndarray, shape (2, 2)
        From the outside of the bend to the inside [mm].
    text : str
        What it marks; nothing for a tick without words.
    of_bend : bool
        Whether it marks a bend or an end, and not just a distance.
    """

    tick: Array
    text: str
    of_bend: bool = True

    def moved(self, matrix: Array, by: Array | float = 0.0) -> Mark:
        """Return it turned by a matrix and then moved [mm]."""
        return replace(self, tick=self.tick @ matrix + by)


@frozen(eq=False)
class Shape:
    """A bend or a flat stretch on the drawing, turned to take as few pages as may be.

    Parameters
    ----------
    name, told : str
        Its heading, and the line of figures under it.
    line : ndarray, shape (n, 2)
        The centre of the wire, close enough together to draw [mm].
    marks : tuple of Mark
        The most important first.
    tiles : ndarray, shape (m, 2)
        Lower left corner of each page's drawing, from the top left on [mm].
    cells : ndarray of int, shape (m, 2)
        Row, from the top, and column of each tile, the first being 0 [-].
    """

    name: str
    told: str
    line: Array
    marks: tuple[Mark, ...]
    tiles: Array
    cells: Array

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the tiles."""
        return tuple(
            chr(ord("A") + row % 26) * (row // 26 + 1) + str(column + 1)
            for row, column in self.cells.tolist()
        )


def bend_shape(row: Mapping[str, Any], *, area: Array, inches: bool = False) -> Shape:
    """Lay one bend flat, with a bit of straight on both sides."""
    line, marks = bend_line(row, straight=TANGENT, inches=inches)
    return _turned(bend_name(row), bend_told(row, inches=inches), line, marks, area)


def bend_line(
    row: Mapping[str, Any], *, straight: float, inches: bool
) -> tuple[Array, tuple[Mark, ...]]:
    """Return the wire of one bend, along +x at first, and the marks of its begin and end."""
    radius, angle = row["radius_mm"], np.radians(row["angle_deg"])
    turns = np.linspace(0.0, angle, 2 + ceil(angle / 0.01))
    arc = radius * np.column_stack((np.sin(turns), 2.0 * np.sin(0.5 * turns) ** 2))
    ways = np.array([[1.0, 0.0], [np.cos(angle), np.sin(angle)]])
    line = np.concatenate(([arc[0] - straight * ways[0]], arc, [arc[-1] + straight * ways[1]]))
    begins, ends = (_length(row[key], inches=inches) for key in ("mark_mm", "end_mm"))
    words = (f"bend {row['bend']} begins: {begins}", f"bend {row['bend']} ends: {ends}")
    marks = tuple(
        Mark(_tick(place, way, outwards=1.0), text)
        for place, way, text in zip(arc[[0, -1]], ways, words, strict=True)
    )
    return line, marks


def bend_name(row: Mapping[str, Any]) -> str:
    """Return the heading of one bend."""
    return f"{plain(row['cable'])}: bend {row['bend']}, {plain(row['at'])}"


def bend_told(row: Mapping[str, Any], *, inches: bool) -> str:
    """Return the figures of one bend."""
    return f"{_turn(row, inches=inches)}, rotation {row['rotation_deg']:+z.1f}°"


def run_shape(
    run: FlatRun, rows: Sequence[Mapping[str, Any]], *, area: Array, inches: bool = False
) -> Shape | None:
    """Lay a flat stretch on the drawing, with its bends' marks and distances from the hand end."""
    route, begin = run.route(lead=LEAD)
    line = route.point(stations(route))[:, :2]
    if np.hypot(*np.ptp(line, axis=0)) > MOST_TILES * np.hypot(*area):
        return None
    bends = rows[run.first : run.last + 1]
    marks = [
        *_bend_marks(route, begin, bends, inches=inches),
        *_end_marks(route, begin, run, last=run.last + 1 == len(rows), inches=inches),
        *_distance_marks(route, begin, inches=inches),
    ]
    name = f"{plain(bends[0]['cable'])}: {bends_of(run)}, flat"
    span = f"{begin:.0f} to {begin + float(route.length):.0f} mm"
    told = f"The wire from {span}; flat to within {degrees(run.off):.1f}°"
    return _turned(name, told, line, marks, area)


def bends_of(run: FlatRun) -> str:
    """Return which bends lie flat together, in words."""
    joined = "and" if run.last - run.first == 1 else "to"
    return f"bends {run.first + 1} {joined} {run.last + 1}"


# -- marks -------------------------------------------------------------------------------------


def _bend_marks(
    route: Route, begin: float, bends: Sequence[Mapping[str, Any]], *, inches: bool
) -> Iterator[Mark]:
    """Mark where each bend begins, has its middle and ends; its angle stands at the middle."""
    for row in bends:
        begins, ends = (_length(row[key], inches=inches) for key in ("mark_mm", "end_mm"))
        about = f"bend {row['bend']}, {plain(row['at'])}\n{_turn(row, inches=inches)}"
        spots = np.array([row["mark_mm"], 0.5 * (row["mark_mm"] + row["end_mm"]), row["end_mm"]])
        spots = np.clip(spots - begin, 0.0, float(route.length))
        way, _, way_after = route.tangent(spots)[:, :2]
        outwards = 1.0 if way[0] * way_after[1] > way[1] * way_after[0] else -1.0
        yield _mark_at(
            route, spots[0], f"bend {row['bend']} from {begins}", half=TICK, outwards=outwards
        )
        yield _mark_at(
            route, spots[2], f"bend {row['bend']} to {ends}", half=TICK, outwards=outwards
        )
        yield _mark_at(route, spots[1], about, half=SMALL_TICK, outwards=outwards)


def _end_marks(
    route: Route, begin: float, run: FlatRun, *, last: bool, inches: bool
) -> Iterator[Mark]:
    """Mark the ends of the wire where they are on the drawing."""
    if begin < 1e-6:
        yield _mark_at(route, 0.0, "hand end", half=TICK)
    if last and run.schedule.straights[-1] <= LEAD:
        end = begin + float(route.length)
        text = f"far end: {_length(end, inches=inches)}"
        yield _mark_at(route, float(route.length), text, half=TICK)


def _distance_marks(route: Route, begin: float, *, inches: bool) -> Iterator[Mark]:
    """Mark round distances from the hand end, and write every second."""
    step = _INCHES if inches else _STEP
    end = begin + float(route.length)
    for number in range(ceil(begin / step + 1e-9), int(end / step) + 1):
        along = number * step
        text = format_inches(along) if inches else f"{along:.0f} mm"
        yield _mark_at(route, along - begin, "" if number % 2 else text, half=SMALL_TICK)


def _mark_at(route: Route, s: float, text: str, *, half: float, outwards: float = 1.0) -> Mark:
    place, way = route.point(s)[:2], route.tangent(s)[:2]
    return Mark(_tick(place, way, outwards=outwards, half=half), text, of_bend=half == TICK)


def _tick(place: Array, way: Array, *, outwards: float, half: float = TICK) -> Array:
    """Across the wire, from the outside of the bend to the inside."""
    across = half * outwards * np.array([-way[1], way[0]])
    return np.stack((place - across, place + across))


def _turn(row: Mapping[str, Any], *, inches: bool) -> str:
    return f"{row['angle_deg']:.1f}°, radius {_length(row['radius_mm'], inches=inches)}"


def _length(value: float, *, inches: bool) -> str:
    return f"{value:.1f} mm" + (f" ({format_inches(value)})" if inches else "")


def laid_out(name: str, told: str, line: Array, marks: Sequence[Mark], *, area: Array) -> Shape:
    """Lay any drawing at full size on as few pages as may be."""
    return _turned(name, told, line, marks, area)


# -- tiles -------------------------------------------------------------------------------------


def _turned(name: str, told: str, line: Array, marks: Sequence[Mark], area: Array) -> Shape:
    """Turn a shape, in steps of 5 degrees, to what takes the fewest tiles."""
    middle = np.arctan2(*(line[-1] - line[0])[::-1])
    choices = [
        (*_tiles(line @ matrix, area), matrix)
        for matrix in turning(np.arange(0.0, 180.0, 5.0) - np.degrees(middle))
    ]
    tiles, cells, matrix = min(choices, key=lambda choice: len(choice[0]))
    turned = tuple(mark.moved(matrix) for mark in marks)
    line = line @ matrix
    needed = _needed(filled(line, 2.0), tiles, area)
    return Shape(name, told, line, turned, tiles[needed], cells[needed])


def turning(degrees_: Array) -> Iterator[Array]:
    """Yield the matrix that turns rows of points by each of some angles."""
    for turn in np.radians(degrees_):
        cos, sin = np.cos(turn), np.sin(turn)
        yield np.array([[cos, sin], [-sin, cos]])


def _tiles(line: Array, area: Array) -> tuple[Array, Array]:
    """Tiles that the line runs through, the whole centred on them, with their rows and columns."""
    low, high = line.min(0) - _ROOM, line.max(0) + _ROOM
    step = area - OVERLAP
    counts = np.maximum(np.ceil((high - low - OVERLAP) / step), 1).astype(int)
    first = 0.5 * (low + high) - 0.5 * (counts * step + OVERLAP)
    found = np.clip((filled(line, 2.0) - first) // step, 0, counts - 1).astype(int)
    cells = np.unique(np.column_stack((counts[1] - 1 - found[:, 1], found[:, 0])), axis=0)
    return first + step * np.column_stack((cells[:, 1], counts[1] - 1 - cells[:, 0])), cells


def _needed(points: Array, tiles: Array, area: Array) -> IntArray:
    """Which tiles show something that is not on one of the others already."""
    off = points[:, None] - tiles
    shown = np.asarray(((off >= 0.0) & (off <= area)).all(-1)).T
    kept = list(range(len(tiles)))
    for tile in range(len(tiles)):
        if any(other != tile and not (shown[tile] & ~shown[other]).any() for other in kept):
            kept.remove(tile)
    return np.array(kept)


def filled(line: Array, apart: float) -> Array:
    """Return points closely spaced on a line."""
    lengths = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))))
    at = np.linspace(0.0, lengths[-1], 2 + ceil(lengths[-1] / apart))
    return np.column_stack([np.interp(at, lengths, column) for column in line.T])
