"""A page of a wire template: one tile of a shape at full size, check bars, heading and map."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.arrays import Array
from cableroute.output.pictures.labels import Label, place_labels
from cableroute.output.pictures.style import BLUE, GREY, INK, LETTERS, PALE, SMALL, plain
from cableroute.output.template.shapes import INCH, OVERLAP, Mark, Shape, filled
from cableroute.shown import one_line

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: White border that any printer needs, space for words above and for the check bars below [mm].
BORDER, HEAD, FOOT = 10.0, 24.0, 24.0
#: The check bars: distance from the paper's lower edge, and their lengths [mm].
BARS = ((26.0, 100.0, "100 mm"), (17.0, 4.0 * INCH, "4 in"))
#: Room for the map of the tiles in a corner of the drawing, and its distance from the edges [mm].
_MAP, _MAP_OFF = (36.0, 45.0), OVERLAP + 4.0
#: Smaller letters are not written on the map [pt].
_LEGIBLE = 3.0
#: A longer title is cut as a label is, in letters.
LONGEST_TITLE = 80
_TELL = "Print at 100 %, not fitted to the page; measure both bars below before use"


def drawing_area(size: Array) -> Array:
    """Return how much of the paper a tile takes."""
    return np.asarray(size - [2.0 * BORDER, 2.0 * BORDER + HEAD + FOOT])


def pages(shape: Shape, *, size: Array, title: str) -> Iterator[Figure]:
    """Yield a page for each tile of a shape."""
    for number in range(len(shape.tiles)):
        figure, sheet = bare_page(size)
        count = len(shape.tiles)
        which = f"; sheet {shape.names[number]} of {count}" if count > 1 else ""
        write_head(sheet, (shape.name, title, shape.told + which), top=size[1])
        _draw_tile(window(figure, shape.tiles[number], size), shape, number)
        yield figure


def bare_page(size: Array) -> tuple[Figure, Axes]:
    """Return a page with its check bars, and axes over the whole of it in millimetres."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=tuple(size / INCH), facecolor="white")
    sheet = figure.add_axes((0.0, 0.0, 1.0, 1.0), xlim=(0.0, size[0]), ylim=(0.0, size[1]))
    sheet.set_axis_off()
    _draw_bars(sheet)
    return figure, sheet


def window(figure: Figure, tile: Array, size: Array) -> Axes:
    """Return axes that show one tile at full size, in the shape's own millimetres."""
    area = drawing_area(size)
    left, bottom, width, height = (*(np.array([BORDER, BORDER + FOOT]) / size), *(area / size))
    ax = figure.add_axes((left, bottom, width, height))
    ax.set(
        xlim=(tile[0], tile[0] + area[0]), ylim=(tile[1], tile[1] + area[1]), xticks=[], yticks=[]
    )
    for spine in ax.spines.values():
        spine.set(color=GREY, linewidth=0.5)
    return ax


def _draw_tile(ax: Axes, shape: Shape, number: int) -> None:
    low = shape.tiles[number]
    high = low + np.ptp([ax.get_xlim(), ax.get_ylim()], axis=1)
    ax.plot(*shape.line.T, color=INK, lw=1.2, solid_joinstyle="round")
    draw_marks(ax, shape.marks)
    ticks = [mark.tick for mark in shape.marks]
    busy = np.concatenate([filled(line, 0.5) for line in (shape.line, *ticks)])
    busy = busy[((busy >= low) & (busy <= high)).all(-1)]
    drawn = []
    for other in range(len(shape.tiles)):
        if other != number:
            drawn += _draw_overlap(ax, shape, number, other, area=high - low, busy=busy)
    if len(shape.tiles) > 1:
        drawn.append(_draw_map(ax, shape, number, area=high - low, busy=busy))
    busy = np.concatenate([busy, *(filled(line, 0.5) for line in drawn)])
    here = [mark for mark in shape.marks if ((mark.tick >= low) & (mark.tick <= high)).all()]
    place_labels(ax, [label_of(mark) for mark in here if mark.text], avoid=busy)


def draw_marks(ax: Axes, marks: Iterable[Mark]) -> None:
    """Draw the ticks across the wire."""
    for mark in marks:
        ax.plot(*mark.tick.T, color=BLUE if mark.of_bend else GREY, lw=1.0 if mark.of_bend else 0.8)


def label_of(mark: Mark) -> Label:
    """Return the words of a tick, to stand on the outside of its bend."""
    x, y = mark.tick[0]
    out = mark.tick[0] - mark.tick[1]
    return Label(x, y, mark.text, size=SMALL, towards=float(np.arctan2(out[1], out[0])))


def _draw_overlap(
    ax: Axes, shape: Shape, number: int, other: int, *, area: Array, busy: Array
) -> list[Array]:
    """Draw crosses in what tiles side by side share, at the same place on both."""
    corners = shape.tiles[[number, other]]
    low, high = corners.max(0), corners.min(0) + area
    shared = high - low
    if shared.min() <= 0.0 or shared.max() < 2.0 * OVERLAP:
        return []
    middle, arm = 0.5 * (low + high), 0.4 * OVERLAP
    reach = np.where(shared > 2.0 * OVERLAP, 0.4 * shared, 0.0)
    crosses = [
        np.stack((place - way, place + way))
        for place in (middle - reach, middle, middle + reach)
        for way in np.array([[arm, 0.0], [0.0, arm]])
    ]
    for cross in crosses:
        ax.plot(*cross.T, color=GREY, lw=0.6)
    edges = np.array([low, [high[0], low[1]], high, [low[0], high[1]], low])
    ax.plot(*edges.T, color=GREY, lw=0.5, ls=(0, (4, 3)))
    upright = 90.0 if shared[1] > shared[0] else 0.0
    style = {"ha": "center", "va": "center", "color": GREY, "rotation": upright}
    free = max((-0.5, 0.5), key=lambda side: _away(busy, middle + side * reach))
    write(ax, middle + free * reach, f"as on {shape.names[other]}", SMALL, **style)
    return [edges, *crosses]


def _away(busy: Array, place: Array) -> float:
    """Distance from a place to the nearest point of the drawing [mm]."""
    return float(np.hypot(*(busy - place).T).min())


def _draw_map(ax: Axes, shape: Shape, number: int, *, area: Array, busy: Array) -> Array:
    """Draw how the tiles lie beside each other, this one grey, in the freest corner; its edge."""
    from matplotlib.collections import PolyCollection

    cell = area - OVERLAP
    low = shape.tiles.min(0)
    spread = shape.tiles.max(0) + cell - low
    scale = float((_MAP / spread).min())
    half = 0.5 * scale * spread
    sides = np.array([[1.0, -1.0], [1.0, 1.0], [-1.0, -1.0], [-1.0, 1.0]])
    corners = shape.tiles[number] + 0.5 * area + sides * (0.5 * area - _MAP_OFF - half)
    origin = max(corners, key=lambda corner: _away(busy, corner)) - half
    letters = min(SMALL, 0.45 * scale * float(cell.min()) / INCH * 72.0)
    square = scale * cell * [[0, 0], [1, 0], [1, 1], [0, 1]]
    boxes = origin + scale * (shape.tiles - low)[:, None] + square
    faces = [PALE if other == number else "white" for other in range(len(boxes))]
    cells = PolyCollection(list(boxes), facecolors=faces, edgecolors=GREY, linewidths=0.5)
    ax.add_collection(cells, autolim=False)
    if letters >= _LEGIBLE:
        for name, (x, y) in zip(shape.names, boxes.mean(1), strict=True):
            ax.text(x, y, name, fontsize=letters, color=INK, ha="center", va="center", zorder=4)
    few = shape.line[:: max(len(shape.line) // 50, 1)]
    ax.plot(*(origin + scale * (few - low)).T, color=BLUE, lw=0.6, alpha=0.5)
    return np.asarray(origin + 2.0 * half * [[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]])


# -- round the drawing -------------------------------------------------------------------------


def write_head(ax: Axes, lines: tuple[str, str, str], *, top: float) -> None:
    """Write what a page shows, of which machine, and how to print it."""
    name, title, told = lines
    write(ax, (BORDER, top - BORDER), name, LETTERS + 3.0, va="top", weight="bold")
    for down, line in ((6.5, _one_line(title)), (11.5, told), (16.5, _TELL)):
        write(ax, (BORDER, top - BORDER - down), line, LETTERS, va="top")


def _one_line(title: str) -> str:
    """Give a title more room than a label has."""
    line = one_line(title)
    return line if len(line) <= LONGEST_TITLE else plain(line)


def _draw_bars(ax: Axes) -> None:
    for up, length, name in BARS:
        ax.plot((BORDER, BORDER + length), (up, up), color=INK, lw=0.8, solid_capstyle="butt")
        for end in (BORDER, BORDER + length):
            ax.plot((end, end), (up - 2.0, up + 2.0), color=INK, lw=0.3)
        told = f"must measure {name}"
        write(ax, (BORDER + length + 4.0, up), told, SMALL, va="center")


def write(ax: Axes, at: Any, text: str, size: float, **style: Any) -> None:
    """Write words on white."""
    style = {"color": INK, **style}
    back = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}
    ax.text(at[0], at[1], text, fontsize=size, parse_math=False, bbox=back, **style)
