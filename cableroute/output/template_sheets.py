"""Sheets to print at full size: the arc of each bend with its tangents, to bend a wire against.

A bend larger than the paper goes over several pages. They overlap by :data:`OVERLAP`, and crosses
in the overlap show how they lie on each other.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, degrees
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.assess import CableAssessment
from cableroute.errors import CableRouteError
from cableroute.output.exports import bend_rows
from cableroute.output.style import BLUE, GREY, INK, LETTERS, SMALL, any_letters, plain
from cableroute.route.segments import Array
from cableroute.units import MM_PER_UNIT, format_inches

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Width and height of the paper [mm].
PAPER: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
)
INCH = float(MM_PER_UNIT["in"])
#: White border that any printer needs, space for words above and for the check bars below [mm].
BORDER, HEAD, FOOT = 10.0, 24.0, 24.0
#: What two pages of one bend have in common [mm].
OVERLAP = 15.0
#: Straight drawn on both sides of an arc at most [mm].
TANGENT = 40.0
#: The check bars: distance from the paper's lower edge, and their lengths [mm].
BARS = ((26.0, 100.0, "100 mm"), (17.0, 4.0 * INCH, "4 in"))
#: More pages than this are a mistake, such as a scan or a bend of many metres.
MOST_PAGES = 200
#: Room round a bend for its words [mm].
_ROOM = 8.0
#: Width of a small letter, on the wide side [mm].
_LETTER = 1.9


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """One bend flat on the drawing, turned to take as few pages as may be.

    Parameters
    ----------
    row : mapping
        Its line of the bend schedule.
    line : ndarray, shape (n, 2)
        Tangent, arc, tangent, close enough together to draw [mm].
    marks : ndarray, shape (2, 2, 2)
        A tick across the wire where the bend begins, and one where it ends [mm].
    tiles : tuple of ndarray, shape (2,)
        Lower left corner of each page's drawing [mm].
    """

    row: Mapping[str, Any]
    line: Array
    marks: Array
    tiles: tuple[Array, ...]


def template_pdf(
    cables: Sequence[CableAssessment], *, title: str, unit: str, paper: str = "a4"
) -> bytes:
    """Return sheets with every bend of the cables at full size.

    Parameters
    ----------
    cables : sequence of CableAssessment
        The cables.
    title : str
        What the machine is.
    unit : str
        Unit of the tape; inches are added for inches and feet.
    paper : str
        A key of :data:`PAPER`.

    Returns
    -------
    bytes
        A PDF file.

    Raises
    ------
    CableRouteError
        If there is no bend to draw, or if that takes more than :data:`MOST_PAGES` pages.
    """
    from matplotlib.backends.backend_pdf import PdfPages

    size = np.array(PAPER[paper])
    rows = [row for cable in cables for row in bend_rows(cable.figures)]
    if not rows:
        raise CableRouteError("no sheets to print: no run has a bend")
    area = _area(size)
    # at least this many, and quick to tell for a scan of thousands of points
    pages = sum(ceil((row["end_mm"] - row["mark_mm"]) / (2.0 * np.hypot(*area))) for row in rows)
    bends = [flat(row, area=area) for row in rows] if pages <= MOST_PAGES else []
    pages = max(pages, sum(len(bend.tiles) for bend in bends))
    if pages > MOST_PAGES:
        raise CableRouteError(
            f"the bends at full size take {pages} pages or more, and {MOST_PAGES} at most are "
            "printed; choose one --cable, or bend by the schedule"
        )
    file = io.BytesIO()
    with any_letters(), PdfPages(file, metadata={"CreationDate": None}) as book:
        for bend in bends:
            for figure in _sheets(bend, size=size, title=title, inches=unit in ("in", "ft")):
                book.savefig(figure)
    return file.getvalue()


def flat(row: Mapping[str, Any], *, area: Array) -> Drawn:
    """Lay one bend flat and choose its pages.

    Parameters
    ----------
    row : mapping
        Its line of the bend schedule.
    area : ndarray, shape (2,)
        Width and height of a page's drawing [mm].

    Returns
    -------
    Drawn
        Turned by what takes the fewest pages, in steps of 5 degrees.
    """
    radius, angle = row["radius_mm"], np.radians(row["angle_deg"])
    turns = np.linspace(0.0, angle, 2 + ceil(angle / 0.01))
    arc = radius * np.column_stack((np.sin(turns), 2.0 * np.sin(0.5 * turns) ** 2))
    ends = np.array([[1.0, 0.0], [np.cos(angle), np.sin(angle)]])
    before, after = arc[0] - TANGENT * ends[0], arc[-1] + TANGENT * ends[1]
    line = np.concatenate(([before], arc, [after]))
    across = 6.0 * np.column_stack((-ends[:, 1], ends[:, 0]))
    marks = np.stack((arc[[0, -1]] - across, arc[[0, -1]] + across), axis=1)
    choices = []
    for turn in np.radians(np.arange(0.0, 180.0, 5.0)) - 0.5 * angle:
        cos, sin = np.cos(turn), np.sin(turn)
        turned = np.array([[cos, sin], [-sin, cos]])
        tiles = _tiles(line @ turned, area)
        choices.append((len(tiles), tiles, turned))
    _, tiles, turned = min(choices, key=lambda choice: choice[0])
    return Drawn(row, line @ turned, marks @ turned, tiles)


def _area(size: Array) -> Array:
    """Width and height of the drawing on a page [mm]."""
    return np.asarray(size - [2.0 * BORDER, 2.0 * BORDER + HEAD + FOOT])


def _tiles(line: Array, area: Array) -> tuple[Array, ...]:
    """Pages, from the top left on, that the line runs through, the whole centred on them."""
    low, high = line.min(0) - _ROOM, line.max(0) + _ROOM
    step = area - OVERLAP
    counts = np.maximum(np.ceil((high - low - OVERLAP) / step), 1).astype(int)
    first = 0.5 * (low + high) - 0.5 * (counts * step + OVERLAP)
    found = np.unique(np.clip((_filled(line) - first) // step, 0, counts - 1).astype(int), axis=0)
    order = np.lexsort((found[:, 0], -found[:, 1]))
    return tuple(first + step * found[order])


def _filled(line: Array) -> Array:
    """Return points at most about 2 mm apart on a line."""
    lengths = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))))
    at = np.linspace(0.0, lengths[-1], 2 + ceil(lengths[-1] / 2.0))
    return np.column_stack([np.interp(at, lengths, column) for column in line.T])


def _inside(point: Array, page: Array, area: Array) -> bool:
    return bool(((point >= page) & (point <= page + area)).all())


# -- a page --------------------------------------------------------------------------------------


def _sheets(bend: Drawn, *, size: Array, title: str, inches: bool) -> Iterator[Figure]:
    from matplotlib.figure import Figure

    for number, tile in enumerate(bend.tiles, 1):
        figure = Figure(figsize=tuple(size / INCH), facecolor="white")
        ax = figure.add_axes((0.0, 0.0, 1.0, 1.0), xlim=(0.0, size[0]), ylim=(0.0, size[1]))
        ax.set_axis_off()
        _draw_bend(ax, bend, tile=tile, area=_area(size), inches=inches)
        page = f"page {number} of {len(bend.tiles)} of this bend"
        _write_head(ax, bend, height=size[1], words=(title, page), inches=inches)
        _draw_bars(ax)
        yield figure


def _draw_bend(ax: Axes, bend: Drawn, *, tile: Array, area: Array, inches: bool) -> None:
    """Draw what falls on one page: the wire, its marks, the frame and the overlaps."""
    from matplotlib.patches import Rectangle

    corner = np.array([BORDER, BORDER + FOOT])
    frame = Rectangle((corner[0], corner[1]), area[0], area[1], fill=False, ec=GREY, lw=0.5)
    ax.add_patch(frame)
    moved = corner - tile
    lines = [ax.plot(*(bend.line + moved).T, color=INK, lw=1.2, solid_joinstyle="round")]
    lines += [ax.plot(*(mark + moved).T, color=BLUE, lw=1.0) for mark in bend.marks]
    for number, other in enumerate(bend.tiles, 1):
        lines += _draw_overlap(ax, number, tile=tile, other=other, area=area, moved=moved)
    for line in (one for drawn in lines for one in drawn):
        line.set_clip_path(frame)
    row = bend.row
    words = (f"bend {row['bend']} begins", row["mark_mm"]), ("ends", row["end_mm"])
    for mark, (word, along) in zip(bend.marks, words, strict=True):
        if _inside(mark.mean(0), tile, area):
            text = f"{word}: {_length(along, inches=inches)}"
            _write_mark(ax, mark + moved, text, low=corner, high=corner + area)


def _write_mark(ax: Axes, mark: Array, text: str, *, low: Array, high: Array) -> None:
    """Write along the tangent on the outside of the bend, where the wire never comes."""
    outward = (mark[0] - mark[1]) / np.linalg.norm(mark[0] - mark[1])
    along = np.array([-outward[1], outward[0]])
    slides = np.array(sorted(np.arange(-60.0, 61.0, 5.0), key=abs))
    places = mark[0] + 3.0 * outward + slides[:, None] * along
    half = 0.5 * _LETTER * len(text) * np.abs(along) + 2.0
    room = np.minimum(places - half - low, high - half - places).min(-1)
    place = places[np.argmax(np.minimum(room, 0.0))]  # the nearest of those wholly on the page
    tilt = (degrees(np.arctan2(along[1], along[0])) + 89.0) % 180.0 - 89.0
    style = {"ha": "center", "va": "center", "rotation_mode": "anchor", "rotation": tilt}
    _write(ax, place, text, SMALL, color=BLUE, **style)


def _draw_overlap(
    ax: Axes, number: int, *, tile: Array, other: Array, area: Array, moved: Array
) -> list[list[Any]]:
    """Draw crosses in what pages side by side share, at the same place on both."""
    low, high = np.maximum(tile, other), np.minimum(tile, other) + area
    shared = high - low
    if other is tile or shared.min() <= 0.0 or shared.max() < 2.0 * OVERLAP:
        return []
    middle, arm = 0.5 * (low + high), 0.4 * OVERLAP
    reach = np.where(shared > 2.0 * OVERLAP, 0.4 * shared, 0.0)
    places = {tuple(middle + side * reach + moved) for side in (-1.0, 0.0, 1.0)}
    ways = np.array([[arm, 0.0], [0.0, arm]])
    crosses = [np.array([place - way, place + way]) for place in sorted(places) for way in ways]
    drawn = [ax.plot(*cross.T, color=GREY, lw=0.6) for cross in crosses]
    edges = np.array([[low[0], low[1]], [high[0], low[1]], high, [low[0], high[1]], low]) + moved
    drawn.append(ax.plot(*edges.T, color=GREY, lw=0.5, ls=(0, (4, 3))))
    between = middle + 0.5 * reach + moved
    upright = 90.0 if shared[1] > shared[0] else 0.0
    style = {"ha": "center", "va": "center", "color": GREY, "rotation": upright}
    _write(ax, between, f"as on page {number}", SMALL, **style)
    return drawn


def _write_head(
    ax: Axes, bend: Drawn, *, height: float, words: tuple[str, str], inches: bool
) -> None:
    row, (title, page) = bend.row, words
    radius = _length(row["radius_mm"], inches=inches)
    name = f"{plain(row['cable'])}: bend {row['bend']}, {plain(row['at'])}"
    turn = f"{row['angle_deg']:.1f}°, radius {radius}, rotation {row['rotation_deg']:+z.1f}°"
    top = height - BORDER
    _write(ax, (BORDER, top), name, LETTERS + 3.0, va="top", weight="bold")
    told = "Print at 100 %, not fitted to the page; measure both bars below before use"
    for down, line in ((6.5, plain(title)), (11.5, f"{turn}; {page}"), (16.5, told)):
        _write(ax, (BORDER, top - down), line, LETTERS, va="top")


def _draw_bars(ax: Axes) -> None:
    for up, length, name in BARS:
        ax.plot((BORDER, BORDER + length), (up, up), color=INK, lw=0.8, solid_capstyle="butt")
        for end in (BORDER, BORDER + length):
            ax.plot((end, end), (up - 2.0, up + 2.0), color=INK, lw=0.3)
        told = f"{name}: this bar must measure {name} on the print"
        _write(ax, (BORDER + length + 4.0, up), told, SMALL, va="center")


def _write(ax: Axes, at: Any, text: str, size: float, **style: Any) -> None:
    style = {"color": INK, **style}
    back = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}
    ax.text(at[0], at[1], text, fontsize=size, parse_math=False, bbox=back, **style)


def _length(value: float, *, inches: bool) -> str:
    return f"{value:.1f} mm" + (f" ({format_inches(value)})" if inches else "")
