"""A study as a picture: how figures are spread over their limits, and which input decides them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from cableroute.output.pictures.style import (
    BLUE,
    GREEN,
    GREY,
    HEADING,
    INK,
    LETTERS,
    ORANGE,
    RED,
    SMALL,
    WIDTH,
    dress,
    new_axes,
    new_figure,
    panels,
    plain,
)
from cableroute.study.rules import stock_taken
from cableroute.study.run import Study
from cableroute.verdict.limits import Limits

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Figures whose spread is shown, in the order of the panels: key, heading, unit.
_SPREAD = (
    ("pull", "Pull at the hand", "N"),
    ("push", "Push at the hand", "N"),
    ("least", "Length needed, drawn tight", "mm"),
    ("lost", "Lost motion", "mm"),
)
#: Figures of which is shown what decides them, with colour and hatch.
_DECIDED = (
    ("pull", "pull", BLUE, ""),
    ("length", "length to order", ORANGE, "///"),
    ("lost", "lost motion", GREEN, "..."),
)
#: Inputs shown, bins of a spread, and a limit no further off than this many spreads is drawn.
_INPUTS, _BINS, _NEAR = 8, 50, 3.0
#: Most steps of an axis: more, and numbers as long as 224.25 run into each other.
_STEPS = 6
#: Heights of a panel, of a bar, and margins [in].
_PANEL, _BAR, _ABOVE, _BETWEEN, _FOOT = 1.45, 0.36, 0.5, 0.75, 0.6
#: Height of the numbers and names below a panel, and of the heading above the bars [in].
_NAMES, _HEAD = 0.45, 0.55


def draw_study(found: Study, *, limits: Limits | None = None) -> Figure:
    """Draw the spread of forces, length and lost motion, and a bar for each input."""
    spreads, bars = _spreads_height(found), _bars_height(found)
    height = _ABOVE + spreads + _HEAD + bars + _FOOT
    figure = new_figure(height)
    own = spreads - _NAMES
    top = (0.2 / WIDTH, (height - _ABOVE - own) / height, 7.1 / WIDTH, own / height)
    draw_spreads(found, ax=figure.add_axes(top), limits=limits)
    below = (2.3 / WIDTH, _FOOT / height, 4.9 / WIDTH, bars / height)
    draw_deciders(found, ax=figure.add_axes(below))
    figure.text(
        1.0 - 0.3 / WIDTH,
        1.0 - 0.1 / height,
        plain(found.name),
        ha="right",
        va="top",
        fontsize=HEADING,
        color=INK,
        parse_math=False,
    )
    return figure


def draw_spreads(
    found: Study, *, ax: Axes | None = None, limits: Limits | None = None, **_shown: object
) -> Axes:
    """Draw how each figure is spread over its limit, a panel for each."""
    if ax is None:
        ax = new_axes(_spreads_height(found) + 1.0, owner=found.name)
    shown = [each for each in _SPREAD if each[0] in found.samples]
    for panel, (key, heading, unit) in zip(
        panels(ax, len(shown), below=_NAMES), shown, strict=True
    ):
        _draw_spread(panel, found, key, heading, unit, limits or Limits())
    return ax


def draw_deciders(found: Study, *, ax: Axes | None = None, **_shown: object) -> Axes:
    """Draw a bar for each input that decides a figure, the most deciding first."""
    if ax is None:
        ax = new_axes(_bars_height(found) + 1.3, owner=found.name, left=0.3)
    _draw_bars(ax, found, _ranked(found))
    return ax


def _spreads_height(found: Study) -> float:
    """Height of the panels [in]."""
    count = sum(key in found.samples for key, *_ in _SPREAD)
    return (count + 1) // 2 * (_PANEL + _BETWEEN)


def _bars_height(found: Study) -> float:
    """Height of the bars [in]."""
    return _BAR * max(len(_ranked(found)), 1) + 0.2


def _draw_spread(ax: Axes, found: Study, key: str, heading: str, unit: str, limits: Limits) -> None:
    words = found.figures.words
    per, unit = (words.newtons, words.force_unit) if unit == "N" else words.scale[:2]
    values = found.samples[key][np.isfinite(found.samples[key])] / per
    dress(ax, heading=heading, x=unit, y="", keyed=False)
    ax.set_yticks([])
    ax.spines["left"].set_visible(False)
    if not len(values):
        return
    if np.ptp(values) > 0.0:
        ax.hist(values, bins=_BINS, color=BLUE, alpha=0.45)
    ax.locator_params(axis="x", nbins=_STEPS)
    for share in np.percentile(values, (5, 50, 95)):
        ax.axvline(share, color=INK, linewidth=0.9, linestyle=(0, (1.5, 1.2)))
    limit, word = _limit(found, key, limits)
    if limit is None:
        return
    limit /= per
    spread = max(float(np.ptp(values)), 1e-9)
    seen = values.min() - _NEAR * spread <= limit <= values.max() + _NEAR * spread
    if seen:
        ax.axvline(limit, color=RED, linewidth=1.6)
    ax.set_xlabel(
        f"{unit}; {word} {limit:.4g}{'' if seen else ' (off the drawing)'}",
        fontsize=LETTERS,
        color=INK,
    )


def _limit(found: Study, key: str, limits: Limits) -> tuple[float | None, str]:
    """Return the limit at which a figure fails, and what to call it."""
    figures = found.figures
    family = figures.cable.family
    if key == "least":
        return stock_taken(figures), "stock"
    if key == "lost":
        return (limits.lost_motion[1] * figures.travel if figures.travel else None), "fails above"
    allowed = family and (family.max_pull if key == "pull" else family.max_push)
    return (limits.working_load[1] * allowed if allowed else None), "fails above"


def _ranked(found: Study) -> list[int]:
    """Return the inputs that decide any of the figures shown, the most deciding first."""
    told = [found.indices[key].total[:, 0] for key, *_ in _DECIDED if key in found.indices]
    if not told:
        return []
    most = np.max(told, axis=0)
    return [int(i) for i in np.argsort(-most)[:_INPUTS]]


def _draw_bars(ax: Axes, found: Study, ranked: list[int]) -> None:
    dress(ax, heading="Total share of the variance", x="share, with its 95 % interval", y="")
    shown = [each for each in _DECIDED if each[0] in found.indices]
    thick = 0.8 / max(len(shown), 1)
    for j, (key, name, colour, hatch) in enumerate(shown):
        total = found.indices[key].total[ranked]
        places = np.arange(len(ranked)) + (j - 0.5 * (len(shown) - 1)) * thick
        ends = np.abs(total[:, 1:] - total[:, :1]).T
        ax.barh(
            places,
            total[:, 0],
            thick,
            color=colour,
            alpha=0.7,
            hatch=hatch,
            edgecolor="white",
            label=name,
            xerr=ends,
            error_kw={"ecolor": GREY, "elinewidth": 0.9},
        )
    names = [plain(found.inputs[i].name) for i in ranked]
    ax.set_yticks(range(len(ranked)), names, fontsize=LETTERS, parse_math=False)
    ax.set_ylim(len(ranked) - 0.5, -0.5)
    ax.set_xlim(0.0, 1.05)
    ax.legend(loc="lower right", fontsize=SMALL, frameon=True, edgecolor="none", labelcolor=INK)
