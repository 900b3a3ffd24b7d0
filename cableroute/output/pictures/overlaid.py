"""Routes laid over each other, each in its two shapes, with a key to tell them apart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.cable import Figures
from cableroute.frozen import frozen
from cableroute.measure.job import Job
from cableroute.output.cautions import IN_SHORT
from cableroute.output.pictures.labels import Label
from cableroute.output.pictures.projection import View, evenly, points_by_piece
from cableroute.output.pictures.route_lines import lay_points
from cableroute.output.pictures.scene import (
    draw_scene,
    framed,
    label_in_scene,
    nearest,
    say_left_out,
)
from cableroute.output.pictures.style import (
    BLUE,
    GREEN,
    GREY,
    INK,
    LETTERS,
    ORANGE,
    PURPLE,
    RED,
    SMALL,
    WIDTH,
    any_letters,
    dress,
    shown_unit,
)
from cableroute.output.pictures.views import set_limits

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

#: Left and right margin of views over each other, and the space between and below them [in].
LEFT, RIGHT, GAP, FOOT = 0.72, 0.15, 0.85, 0.85
#: Most routes that one picture can tell apart.
MOST = 8
#: Colour and dashes of each route, so that none is told by its colour alone.
_COLOURS = (BLUE, RED, GREEN, PURPLE, ORANGE, INK, BLUE, RED)
_DASHES: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (1.5, 1.2)), (0, (6, 2, 1.5, 2)))
#: Least and greatest height of a view, and room for labels round the routes in it [in].
_LEAST, _MOST, _ROOM = 1.3, 3.0, 1.0
#: Space above the key, height of a line of it, and what it takes besides [in].
_ABOVE, _KEY, _BESIDES = 0.45, 0.21, 0.4


@frozen(eq=False)
class Way:
    """One route in its two shapes, and what takes it."""

    names: str
    points: Array
    curve: Array
    lies: Array
    ends: tuple[str, str] = ("hand end", "far end")


def way_of(figures: Figures, names: str) -> Way:
    """Return the route of a cable, to be drawn over others."""
    curve = np.vstack(points_by_piece(figures.route))
    return Way(names, figures.route.points, curve, lay_points(figures))


def head_height(ways: Sequence[Way]) -> float:
    """Return what a title and the key of these routes take above the drawings [in]."""
    return _ABOVE + _KEY * len(ways) + _BESIDES


def way_height(view: View, ways: Sequence[Way], width: float) -> float:
    """Return the height of a view that is to fill the width [in]."""
    span = np.ptp(np.vstack([view.project(np.vstack([w.points, w.lies])) for w in ways]), axis=0)
    across = (width - _ROOM) * float(span[1] / max(span[0], 1e-9))
    return min(max(across + _ROOM, _LEAST), _MOST)


def draw_ways(
    ax: Axes, ways: Sequence[Way], view: View, *, unit: str, job: Job | None = None
) -> None:
    """Draw routes over each other as seen from one side, in their machine if it is given."""
    scale, name = shown_unit(unit)
    x, y = (f"{axis} [{name}]" for axis in (view.x, view.y))
    dress(ax, heading=view.heading, x=x, y=y, keyed=False)
    seen = [view.project(way.curve) / scale for way in ways]
    lies = [view.project(way.lies) / scale for way in ways]
    for i, curve in enumerate(seen):
        ax.plot(*lies[i].T, color=_COLOURS[i], linewidth=0.9)
        # of options the first lies widest and lowest, so that routes in one place are all seen
        wide = 1.8 + 1.1 * (len(ways) - 1 - i) if job is None else 2.4
        ax.plot(*curve.T, color=_COLOURS[i], linestyle=_DASHES[i % len(_DASHES)], linewidth=wide)
        corners = view.project(ways[i].points) / scale
        ax.plot(*corners[1:-1].T, "o", markersize=3.5, mfc="white", mec=_COLOURS[i], mew=1.0)
        ax.plot(*corners[[0, -1]].T, "s", markersize=6.0, mfc=INK, mec=INK)
    job, far_off = nearest(job, np.vstack([evenly(way.points) for way in ways]))
    low, high = framed(view, np.vstack(seen + lies) * scale, job)
    set_limits(ax, low / scale, high / scale)
    if job is not None:
        draw_scene(ax, view, job, scale)
    busy = np.vstack([evenly(curve) for curve in seen + lies])
    label_in_scene(ax, _end_labels(ways, seen), avoid=busy, view=view, job=job, scale=scale)
    say_left_out(ax, far_off)


def _end_labels(ways: Sequence[Way], seen: Sequence[Array]) -> list[Label]:
    """Name the ends, each place once."""
    named = {
        tuple(curve[end].round(3).tolist()): way.ends[end]
        for end in (0, -1)
        for way, curve in zip(ways, seen, strict=True)
    }
    return [Label(x, y, words) for (x, y), words in named.items()]


def fit(text: Text, room: float) -> None:
    """Let the letters of a text shrink until it is no wider than the room [in]."""
    figure = text.get_figure(root=True)
    assert figure is not None
    with any_letters():
        width = text.get_window_extent().width / figure.dpi
    text.set_fontsize(float(text.get_fontsize()) * min(1.0, room / max(width, 1e-9)))


def write_head(figure: Figure, title: str, ways: Sequence[Way], total: float) -> None:
    """Write a title over the key of the routes, and what is said at the foot."""
    head = figure.text(0.02, (total - 0.12) / total, title, va="top", fontsize=15.0)
    head.set(color=INK, fontweight="bold", parse_math=False)
    fit(head, 0.96 * WIDTH)
    for i, way in enumerate(ways):
        height = (total - _ABOVE - 0.1 - _KEY * i) / total
        figure.add_artist(_sample(i, height))
        words = figure.text(0.09, height, way.names, va="center", fontsize=LETTERS, color=INK)
        words.set_parse_math(False)
        fit(words, 0.87 * WIDTH)
    told = f"thick: drawn tight; thin: left to itself.  {IN_SHORT}"
    figure.text(0.02, 0.1 / total, told, fontsize=SMALL, color=GREY, va="bottom")


def _sample(i: int, height: float) -> Line2D:
    from matplotlib.lines import Line2D

    return Line2D(
        [0.02, 0.075],
        [height, height],
        color=_COLOURS[i],
        linestyle=_DASHES[i % len(_DASHES)],
        linewidth=2.4,
    )
