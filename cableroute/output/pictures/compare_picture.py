"""Options in one picture: both shapes of their routes over each other, their forces side by side."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from textwrap import shorten
from typing import TYPE_CHECKING

import numpy as np

from cableroute.comparison.line_up import Comparison
from cableroute.comparison.options import Option
from cableroute.figures.transmission import Transmission
from cableroute.measure.wording import Words
from cableroute.output.compare_text import broken
from cableroute.output.pictures.overlaid import (
    FOOT,
    GAP,
    LEFT,
    MOST,
    RIGHT,
    Way,
    draw_ways,
    fit,
    head_height,
    way_height,
    way_of,
    write_head,
)
from cableroute.output.pictures.projection import PLAN, SIDE
from cableroute.output.pictures.style import (
    BLUE,
    INK,
    RED,
    SMALL,
    WIDTH,
    dress,
    new_figure,
    plain,
)
from cableroute.shown import one_line

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Height of an option's two bars, and their left margin [in].
_BARS, _NAMES = 0.52, 2.1
#: Longest line of the key, and of an option's name beside its bars [letters].
_LONG, _SHORT = 92, 26
_FORCE = "force [{}]; a black stroke marks the load at the far end"


def draw_comparison(comparison: Comparison, *, words: Words | None = None) -> Figure:
    """Draw the routes over each other in plan and side view, and the hand forces side by side."""
    options, words = comparison.options[:MOST], words or comparison.options[0].figures.words
    ways = _ways(options)
    width = WIDTH - LEFT - RIGHT
    plan, side = (way_height(view, ways, width) for view in (PLAN, SIDE))
    head = head_height(ways)
    bars = _BARS * len(options) + 0.1
    total = head + plan + 2.0 * GAP + side + bars + FOOT
    figure = new_figure(total)

    def place(left: float, bottom: float, high: float) -> Axes:
        across = (WIDTH - left - RIGHT) / WIDTH
        return figure.add_axes((left / WIDTH, bottom / total, across, high / total))

    above = place(LEFT, total - head - plan, plan)
    beside = place(LEFT, FOOT + bars + GAP, side)
    chart = place(_NAMES, FOOT, bars)
    draw_ways(above, ways, PLAN, unit=words.unit)
    draw_ways(beside, ways, SIDE, unit=words.unit)
    _draw_bars(chart, options, words)
    write_head(figure, _heading(comparison), ways, total)
    return figure


def _ways(options: Sequence[Option]) -> list[Way]:
    """Return every route once; a pair takes the route of the cable that it stands for."""
    found: list[tuple[list[str], Option]] = []
    for option in options:
        alike = next((names for names, first in found if _same(first, option)), None)
        if alike is None:
            found.append(([option.name], option))
        else:
            alike.append(option.name)
    return [
        way_of(first.figures, _key_words(names, everything=len(found) == 1))
        for names, first in found
    ]


def _same(one: Option, other: Option) -> bool:
    here, there = one.figures.route, other.figures.route
    return (
        here.vertices.shape == there.vertices.shape
        and np.allclose(here.vertices, there.vertices, atol=0.5)
        and np.allclose(here.radii, there.radii, atol=0.5)
    )


def _draw_bars(ax: Axes, options: Sequence[Option], words: Words) -> None:
    """Draw a bar for each way of each option, its end hatched from low to high friction."""
    axis, per = _FORCE.format(words.force_unit), words.newtons
    heading = "Force at the hand, low to high friction and shape"
    dress(ax, heading=heading, x=axis, y="", keyed=False)
    ways = [_both_ways(option) for option in options]
    finite = [x for pair in ways for way in pair for x in way[1].inputs if isfinite(x)]
    top = max([*finite, *(way[1].load for pair in ways for way in pair), 1.0]) / per
    ax.set_xlim(0.0, 1.45 * top)
    ax.set_ylim(len(options) - 0.4, -0.6)
    ax.set_yticks(range(len(options)), [_title(option) for option in options], parse_math=False)
    for name in ax.get_yticklabels():
        fit(name, _NAMES - 0.2)
    ax.grid(visible=False, axis="y")
    for row, pair in enumerate(ways):
        for i, (word, through, colour) in enumerate(pair):
            at = row + 0.4 * i - 0.2 * (len(pair) - 1)
            _draw_bar(ax, at, through, colour=colour, top=1.1 * top, per=per)
            hand = words.forces(*through.inputs).replace(", ", ",\n ")
            reach, text = min(through.inputs[1] / per, 1.1 * top), f" {word} {hand}"
            ax.text(reach, at, text, fontsize=SMALL, color=INK, va="center")


def _title(option: Option) -> str:
    return "\n".join(plain(line) for line in broken(option.name, _SHORT)[:2])


def _key_words(names: Sequence[str], *, everything: bool) -> str:
    if everything:
        return "one route for all"
    listed = one_line("; ".join(names))
    return shorten(listed, _LONG, placeholder=" …") if " " in listed[:_LONG] else listed[:_LONG]


def _both_ways(option: Option) -> list[tuple[str, Transmission, str]]:
    ways = [("pull", option.figures.pull, BLUE)]
    if option.back:
        ways.append(("back" if option.pair else "push", option.back, RED))
    return ways


def _draw_bar(
    ax: Axes, at: float, through: Transmission, *, colour: str, top: float, per: float
) -> None:
    low, high = (min(hand / per, top) for hand in through.inputs)
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
    ax.plot([through.load / per] * 2, [at - 0.17, at + 0.17], color=INK, linewidth=1.6)


def _heading(comparison: Comparison) -> str:
    head, count = f"{plain(comparison.name)}: " if comparison.name else "", len(comparison.options)
    more = f", {MOST} of them drawn" if count > MOST else ""
    return f"{head}{count} options compared{more}"
