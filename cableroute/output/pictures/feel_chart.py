"""The feel of a lever as a drawing: the loop of force against travel at the hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from cableroute.figures.feel import CableFeel
from cableroute.measure.wording import Words
from cableroute.mechanics.felt import FeelLoop
from cableroute.output.pictures.labels import Label, place_labels
from cableroute.output.pictures.projection import densely
from cableroute.output.pictures.style import (
    BLUE,
    GREY,
    INK,
    PALE,
    RED,
    SMALL,
    dress,
    key,
    new_axes,
    shown_unit,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_feel(feel: CableFeel, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw the force at the hand against its travel, out and back, at low and at high friction."""
    scale, name = shown_unit(unit)
    words = feel.figures.words
    ax = ax or new_axes(4.4, owner=feel.figures.cable.name)
    low, high = feel.figures.friction
    heading = "Feel of the lever" if low == high else "Feel of the lever; thin: low friction"
    axis = f"travel of the hand, pulling to the right [{name}]"
    axis += f"\n{feel.stiffness_words}" if feel.stiffness_words else ""
    dress(ax, heading=heading, x=axis, y=f"force of the hand [{words.force_unit}]")
    hand, force = feel.high.hand_travel / scale, feel.high.hand_force / words.newtons
    ax.fill(hand, force, facecolor=PALE, linewidth=0.0, label="work lost")
    if low != high:
        _draw_loop(ax, feel.low, scale, words, width=0.9, keyed=False)
    _draw_loop(ax, feel.high, scale, words, width=2.2)
    _draw_load(ax, feel, scale)
    lines = np.vstack([densely(np.asarray(line.get_xydata())) for line in ax.lines])
    ax.axhline(0.0, color=GREY, linewidth=0.8)
    ax.set_xlim(hand.min(), hand.max() + 0.02 * np.ptp(hand))
    ax.margins(y=0.15)
    key(ax)
    place_labels(ax, _labels(feel, scale, name), avoid=lines)
    return ax


def _draw_loop(
    ax: Axes, loop: FeelLoop, scale: float, words: Words, *, width: float, keyed: bool = True
) -> None:
    """Draw both ways, each from where the hand turns, with an arrow past the middle."""
    ways = (("pulling", BLUE, "-"), ("letting back" if loop.pull_only else "pushing", RED, "--"))
    felt = (loop.hand_travel / scale, loop.hand_force / words.newtons)
    hands, forces = (np.split(values, 2) for values in felt)
    for i, (way, colour, line) in enumerate(ways):
        x = np.append(hands[1 - i][-1], hands[i])
        y = np.append(forces[1 - i][-1], forces[i])
        ax.plot(x, y, line, color=colour, linewidth=width, label=way if keyed else None)
        start = 7 * len(x) // 10
        ax.annotate(
            "",
            xy=(x[start + 1], y[start + 1]),
            xytext=(x[start], y[start]),
            arrowprops={"arrowstyle": "-|>", "color": colour, "linewidth": width},
        )


def _draw_load(ax: Axes, feel: CableFeel, scale: float) -> None:
    """Draw what the far end resists with over its own travel, its friction added either way."""
    far = feel.load.places(*feel.high.far_reach)
    for friction in dict.fromkeys((feel.load.friction, -feel.load.friction)):
        force = (feel.load.force(far) + friction) / feel.figures.words.newtons
        ax.plot(far / scale, force, ":", color=INK, linewidth=1.2, label="far end, its own travel")


def _labels(feel: CableFeel, scale: float, name: str) -> list[Label]:
    """Name what is lost in turning back, and each detent where it holds most."""
    loop, words = feel.high, feel.figures.words
    middle = len(loop.hand_force) // 2
    turning = (
        float(loop.hand_travel[middle] / scale),
        float(loop.hand_force[middle] / words.newtons),
    )
    digits = 2 if name == "mm" else 3
    labels = [
        Label(*turning, f"{loop.lost[0] / scale:.{digits}f} {name} lost in turning", towards=-np.pi)
    ]
    half = slice(0, middle)
    for detent in loop.detents:
        place = detent.hand / scale
        force = float(np.interp(detent.hand, loop.hand_travel[half], loop.hand_force[half]))
        told = f"detent: {words.force(detent.rise)}, {words.force(detent.far_rise)} at the far end"
        labels.append(Label(place, force / words.newtons, told, size=SMALL, towards=0.5 * np.pi))
    return labels
