"""Options in one picture: their routes laid over each other, their forces side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from textwrap import shorten
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.comparison.line_up import Comparison
from cableroute.comparison.options import Option
from cableroute.output.cautions import IN_SHORT
from cableroute.output.compare_text import broken, hand_text
from cableroute.output.pictures.labels import Label, place_labels
from cableroute.output.pictures.projection import PLAN, SIDE, View, piece_points
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
    new_figure,
    plain,
    shown_unit,
)
from cableroute.output.pictures.views import set_limits
from cableroute.route.pieces import Array
from cableroute.verdict.figures import Transmission

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

#: Most options that one picture can tell apart.
MOST = 8
#: Colour and dashes of each route, so that none is told by its colour alone.
_COLOURS = (BLUE, RED, GREEN, PURPLE, ORANGE, INK, BLUE, RED)
_DASHES: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (1.5, 1.2)), (0, (6, 2, 1.5, 2)))
#: Left and right margin, and the space above, between and below the drawings [in].
_LEFT, _RIGHT, _ABOVE, _GAP, _FOOT = 0.72, 0.15, 0.45, 0.85, 0.85
#: Least and greatest height of a view; height of an option's two bars, and their left margin [in].
_LEAST, _MOST, _BARS, _NAMES = 1.3, 3.0, 0.52, 2.1
#: Room for labels round the routes, and height of a line of the key [in].
_ROOM, _KEY = 1.0, 0.21
#: Longest line of the key, and of an option's name beside its bars [letters].
_LONG, _SHORT = 92, 26
_FORCE = "force [N]; a black stroke marks the load at the far end"


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """One route, and the options that take it."""

    names: str
    points: Array
    curve: Array


def draw_comparison(comparison: Comparison, *, unit: str = "mm") -> Figure:
    """Draw the routes over each other in plan and side view, and the hand forces side by side.

    Parameters
    ----------
    comparison : Comparison
        What was compared; of more than :data:`MOST` options the first are drawn.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.

    Returns
    -------
    Figure
        As wide as a printed page.
    """
    options = comparison.options[:MOST]
    ways = _ways(options)
    width = WIDTH - _LEFT - _RIGHT
    plan, side = (_height(view, ways, width) for view in (PLAN, SIDE))
    keys = _KEY * len(ways) + 0.4
    bars = _BARS * len(options) + 0.1
    total = _ABOVE + keys + plan + 2.0 * _GAP + side + bars + _FOOT
    figure = new_figure(total)

    def place(left: float, bottom: float, high: float) -> Axes:
        across = (WIDTH - left - _RIGHT) / WIDTH
        return figure.add_axes((left / WIDTH, bottom / total, across, high / total))

    above = place(_LEFT, total - _ABOVE - keys - plan, plan)
    beside = place(_LEFT, _FOOT + bars + _GAP, side)
    chart = place(_NAMES, _FOOT, bars)
    _draw_ways(above, ways, PLAN, unit=unit)
    _draw_ways(beside, ways, SIDE, unit=unit)
    _draw_bars(chart, options)
    _write_words(figure, comparison, ways, total)
    return figure


def _ways(options: Sequence[Option]) -> list[_Way]:
    """Return every route once; a pair takes the route of the cable that it stands for."""
    found: list[tuple[list[str], Option]] = []
    for option in options:
        alike = next((names for names, first in found if _same(first, option)), None)
        if alike is None:
            found.append(([option.name], option))
        else:
            alike.append(option.name)
    return [
        _Way(
            _key_words(names, everything=len(found) == 1),
            first.figures.route.points,
            np.vstack([piece_points(piece) for piece in first.figures.route.pieces]),
        )
        for names, first in found
    ]


def _same(one: Option, other: Option) -> bool:
    here, there = one.figures.route, other.figures.route
    return (
        here.points.shape == there.points.shape
        and np.allclose(here.points, there.points, atol=0.5)
        and np.allclose(here.radii, there.radii, atol=0.5)
    )


def _height(view: View, ways: Sequence[_Way], width: float) -> float:
    """Height of a view that is to fill the width [in]."""
    span = np.ptp(np.vstack([view.project(way.points) for way in ways]), axis=0)
    across = (width - _ROOM) * float(span[1] / max(span[0], 1e-9))
    return min(max(across + _ROOM, _LEAST), _MOST)


def _draw_ways(ax: Axes, ways: Sequence[_Way], view: View, *, unit: str) -> None:
    scale, name = shown_unit(unit)
    x, y = (f"{axis} [{name}]" for axis in (view.x, view.y))
    dress(ax, heading=view.heading, x=x, y=y, keyed=False)
    seen = [view.project(way.curve) / scale for way in ways]
    for i, curve in enumerate(seen):
        # the first lies widest and lowest, so that routes in one place are all seen
        wide = 1.8 + 1.1 * (len(ways) - 1 - i)
        ax.plot(*curve.T, color=_COLOURS[i], linestyle=_DASHES[i % len(_DASHES)], linewidth=wide)
        corners = view.project(ways[i].points) / scale
        ax.plot(*corners[1:-1].T, "o", markersize=3.5, mfc="white", mec=_COLOURS[i], mew=1.0)
        ax.plot(*corners[[0, -1]].T, "s", markersize=6.0, mfc=INK, mec=INK)
    drawn = np.vstack(seen)
    set_limits(ax, drawn.min(axis=0), drawn.max(axis=0))
    place_labels(ax, _end_labels(seen), avoid=np.vstack([_evenly(curve) for curve in seen]))


def _evenly(curve: Array) -> Array:
    """Return points evenly along a curve, for labels to keep off."""
    steps = np.linalg.norm(np.diff(curve, axis=0), axis=1)
    along = np.concatenate(([0.0], np.cumsum(steps)))
    places = np.linspace(0.0, along[-1], 120)
    return np.column_stack([np.interp(places, along, axis) for axis in curve.T])


def _end_labels(seen: Sequence[Array]) -> list[Label]:
    """Name the ends, each place once."""
    labels: list[Label] = []
    for end, word in ((0, "hand end"), (-1, "far end")):
        for x, y in {tuple(curve[end].round(3).tolist()): None for curve in seen}:
            labels.append(Label(x, y, word))
    return labels


def _draw_bars(ax: Axes, options: Sequence[Option]) -> None:
    """Draw a bar for each way of each option, its end hatched from low to high friction."""
    dress(ax, heading="Force at the hand, low to high friction", x=_FORCE, y="", keyed=False)
    ways = [_both_ways(option) for option in options]
    finite = [x for pair in ways for way in pair for x in way[1].inputs if isfinite(x)]
    top = max([*finite, *(way[1].load for pair in ways for way in pair), 1.0])
    ax.set_xlim(0.0, 1.45 * top)
    ax.set_ylim(len(options) - 0.4, -0.6)
    ax.set_yticks(range(len(options)), [_title(option) for option in options], parse_math=False)
    for name in ax.get_yticklabels():
        _fit(name, _NAMES - 0.2)
    ax.grid(visible=False, axis="y")
    for row, pair in enumerate(ways):
        for i, (word, through, colour) in enumerate(pair):
            at = row + 0.4 * i - 0.2 * (len(pair) - 1)
            _draw_bar(ax, at, through, colour=colour, top=1.1 * top)
            reach, text = min(through.inputs[1], 1.1 * top), f" {word} {hand_text(through)}"
            ax.text(reach, at, text, fontsize=SMALL, color=INK, va="center")


def _title(option: Option) -> str:
    return "\n".join(plain(line) for line in broken(option.name, _SHORT)[:2])


def _key_words(names: Sequence[str], *, everything: bool) -> str:
    if everything:
        return "one route for all"
    listed = "".join(letter if letter.isprintable() else " " for letter in "; ".join(names))
    return shorten(listed, _LONG, placeholder=" …") if " " in listed[:_LONG] else listed[:_LONG]


def _fit(text: Text, room: float) -> None:
    """Let the letters of a text shrink until it is no wider than the room [in]."""
    figure = text.get_figure(root=True)
    assert figure is not None
    with any_letters():
        width = text.get_window_extent().width / figure.dpi
    text.set_fontsize(float(text.get_fontsize()) * min(1.0, room / max(width, 1e-9)))


def _both_ways(option: Option) -> list[tuple[str, Transmission, str]]:
    ways = [("pull", option.figures.pull, BLUE)]
    if option.back:
        ways.append(("back" if option.pair else "push", option.back, RED))
    return ways


def _draw_bar(ax: Axes, at: float, through: Transmission, *, colour: str, top: float) -> None:
    low, high = (min(hand, top) for hand in through.inputs)
    ax.barh(at, low, height=0.34, color=colour, alpha=0.85)
    ax.barh(
        at,
        high - low,
        left=low,
        height=0.34,
        facecolor="white",
        edgecolor=colour,
        hatch="////",
        linewidth=0.8,
    )
    ax.plot([through.load] * 2, [at - 0.17, at + 0.17], color=INK, linewidth=1.6)


def _write_words(
    figure: Figure, comparison: Comparison, ways: Sequence[_Way], total: float
) -> None:
    head, count = f"{plain(comparison.name)}: " if comparison.name else "", len(comparison.options)
    more = f", {MOST} of them drawn" if count > MOST else ""
    title = figure.text(
        0.02,
        (total - 0.12) / total,
        f"{head}{count} options compared{more}",
        va="top",
        fontsize=15.0,
        fontweight="bold",
        color=INK,
    )
    title.set_parse_math(False)
    _fit(title, 0.96 * WIDTH)
    for i, way in enumerate(ways):
        height = (total - _ABOVE - 0.1 - _KEY * i) / total
        figure.add_artist(_sample(i, height))
        words = figure.text(0.09, height, way.names, va="center", fontsize=LETTERS, color=INK)
        words.set_parse_math(False)
        _fit(words, 0.87 * WIDTH)
    figure.text(0.02, 0.1 / total, IN_SHORT, fontsize=SMALL, color=GREY, va="bottom")


def _sample(i: int, height: float) -> Line2D:
    from matplotlib.lines import Line2D

    return Line2D(
        [0.02, 0.075],
        [height, height],
        color=_COLOURS[i],
        linestyle=_DASHES[i % len(_DASHES)],
        linewidth=2.4,
    )
