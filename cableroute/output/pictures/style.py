"""How our pictures look: one restrained hand, readable in print, in grey and by every eye.

Colours are from the Okabe-Ito set, which colour-blind readers tell apart; each comes with its own
line style, hatch or marker, so that nothing is said by colour alone.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from math import ceil
from textwrap import shorten
from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array
from cableroute.shown import one_line
from cableroute.units import MM_PER_UNIT, Unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


INK = "#222222"
GREY = "#8a8a8a"
PALE = "#e4e4e4"
BLUE = "#0072b2"
RED = "#d55e00"
GREEN = "#007a5a"
ORANGE = "#e69f00"
GREEN = "#009e73"
PURPLE = "#cc79a7"

#: Letter sizes [pt]: of a heading, of labels and of the figures along an axis.
HEADING, LETTERS, SMALL = 11.0, 9.0, 8.0
#: Width of a figure [in]: the printable width of A4 and of Letter paper.
WIDTH = 7.5
#: Space between a heading and its axes that holds a key [pt].
KEY_ROOM = 22.0
#: Longest label that a picture takes, in letters.
LONGEST = 30


def new_figure(height: float) -> Figure:
    """Return an empty figure that needs no display."""
    from matplotlib.figure import Figure

    return Figure(figsize=(WIDTH, height), dpi=160, facecolor="white")


def new_axes(height: float, *, owner: str, left: float = 0.1) -> Axes:
    """Return axes alone on a new figure."""
    figure = new_figure(height)
    ax = figure.add_axes((left, 0.58 / height, 0.97 - left, 1.0 - 1.28 / height))
    ax.set_title(
        plain(owner), loc="right", fontsize=HEADING, color=INK, pad=KEY_ROOM, parse_math=False
    )
    return ax


def dress(ax: Axes, *, heading: str, x: str, y: str, keyed: bool = True) -> None:
    """Give axes our frame, ticks, heading and names."""
    ax.set_title(heading, loc="left", fontsize=HEADING, color=INK, pad=KEY_ROOM if keyed else 6)
    ax.set_xlabel(x, fontsize=LETTERS, color=INK)
    ax.set_ylabel(y, fontsize=LETTERS, color=INK)
    ax.tick_params(labelsize=SMALL, colors=INK, length=3)
    ax.grid(visible=True, color=PALE, linewidth=0.6)
    ax.set_axisbelow(True)
    ax.spines[["top", "right"]].set_visible(False)
    ax.spines[["left", "bottom"]].set_color(GREY)


def key(ax: Axes) -> None:
    """Put the key in one row between heading and drawing, where it covers nothing."""
    handles, names = ax.get_legend_handles_labels()
    first = {name: handle for handle, name in reversed(list(zip(handles, names, strict=True)))}
    order = sorted(first, key=names.index)
    ax.legend(
        [first[name] for name in order],
        order,
        loc="lower left",
        bbox_to_anchor=(0.0, 1.0),
        borderaxespad=0.2,
        borderpad=0.2,
        ncols=len(order) or 1,
        frameon=False,
        fontsize=SMALL,
        labelcolor=INK,
        handlelength=1.8,
        handletextpad=0.5,
        columnspacing=1.2,
    )


def panels(ax: Axes, count: int, *, left: float = 0.18, below: float = 0.3) -> list[Axes]:
    """Put axes of their own, two side by side, in place of axes that keep heading and key only."""
    figure, box = ax.get_figure(root=True), ax.get_position()
    assert figure is not None
    width, height = figure.get_size_inches()
    rows = ceil(count / 2)
    left, right, above, below = left / width, 0.06 / width, 0.3 / height, below / height
    foot = box.y0 - below  # the names of the last row go where that of the axes given was to go
    cell = box.width / 2, (box.y1 - foot) / rows
    ax.set_axis_off()
    return [
        figure.add_axes(
            (
                box.x0 + i % 2 * cell[0] + left,
                box.y1 - (i // 2 + 1) * cell[1] + below,
                cell[0] - left - right,
                cell[1] - above - below,
            )
        )
        for i in range(count)
    ]


def arrow(ax: Axes, start: Array, end: Array, *, colour: str, width: float = 1.4) -> None:
    """Draw an arrow between two points."""
    from matplotlib.patches import FancyArrowPatch

    ends: list[tuple[float, float]] = [(float(x), float(y)) for x, y in (start, end)]
    ax.add_patch(
        FancyArrowPatch(
            *ends,
            arrowstyle="-|>",
            mutation_scale=9.0,
            shrinkA=0.0,
            shrinkB=0.0,
            color=colour,
            linewidth=width,
            zorder=3.0,
        )
    )


def scale_bar(ax: Axes, unit: str) -> Array:
    """Draw a length to measure by in the lower right corner of axes that have no ticks; return its ends."""
    (x0, x1), (y0, y1) = ax.get_xlim(), ax.get_ylim()
    most = 0.3 * (x1 - x0)
    lengths = (step * 10.0**power for power in range(-3, 6) for step in (1, 2, 5))
    length = max((each for each in lengths if each <= most), default=most)
    right, level = x1 - 0.04 * (x1 - x0), y0 + 0.04 * (y1 - y0)
    ax.plot([right - length, right], [level, level], color=INK, lw=2.0, solid_capstyle="butt")
    words = f"{length:g} {unit}"
    ax.annotate(
        words,
        (right - 0.5 * length, level),
        xytext=(0.0, 2.5),
        textcoords="offset points",
        ha="center",
        va="bottom",
        fontsize=SMALL,
        color=INK,
    )
    return np.array([[right - length, level], [right, level]])


def plain(text: str) -> str:
    """Return the user's words fit for a label: one line, no control characters, not too long."""
    line = one_line(text)
    shown = shorten(line, LONGEST, placeholder=" …")
    return shown if len(shown) > 2 else line.strip()[: LONGEST - 1] + "…" * (len(line) > LONGEST)


def shown_unit(unit: str) -> tuple[float, str]:
    """Return the unit that a drawing shows and how many mm it has."""
    shown: Unit = "in" if unit in ("in", "ft") else "mm"
    return float(MM_PER_UNIT[shown]), shown


@contextmanager
def any_letters() -> Iterator[None]:
    """Let letters that the font lacks pass as boxes, without a warning on the user's screen."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message=r"Glyph .* missing from")
        yield
