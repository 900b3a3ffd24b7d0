"""Where the travel goes: a chart of lost motion, part by part, under the travel it is lost from."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment
from cableroute.output.pictures.labels import Label, place_labels
from cableroute.output.pictures.style import (
    BLUE,
    GREEN,
    GREY,
    INK,
    LETTERS,
    ORANGE,
    PURPLE,
    RED,
    dress,
    new_axes,
    shown_unit,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes


class Look(NamedTuple):
    """How a part of the lost motion is drawn."""

    colour: str
    hatch: str


#: By the names that `LostMotion.parts` gives them.
LOOKS: Mapping[str, Look] = MappingProxyType(
    {
        "clearance": Look(BLUE, ""),
        "core stretch": Look(ORANGE, "////"),
        "conduit": Look(GREEN, "||||"),
        "conduit curling": Look(GREEN, "++++"),
        "friction": Look(PURPLE, "xxxx"),
        "brackets": Look(RED, "----"),
        "stretch the other way": Look(INK, "\\\\\\\\"),
    }
)
#: Height of a bar, and where the middle of the lower and of the upper one lies [-].
_HIGH, _PARTS, _WHOLE = 0.5, 0.0, 1.1


def draw_lost(result: CableAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw what is lost of the travel, and of what parts that is made up."""
    figures = result.figures
    scale, name = shown_unit(unit)
    ax = ax or new_axes(3.7, owner=figures.cable.name, left=0.04)
    axis = f"lost along the core [{name}]"
    dress(ax, heading="Lost motion, at high friction", x=axis, y="", keyed=False)
    ax.set(yticks=[], ylim=(-1.75, 1.7))
    ax.grid(visible=False)
    ax.spines["left"].set_visible(False)
    if figures.lost is None:
        ax.text(0.0, 0.3, "without cable data it is not known", fontsize=LETTERS, color=INK)
        return ax
    parts = figures.lost.parts
    unknown = [name for name in ("conduit", "brackets") if name not in parts]
    if unknown:
        ax.set_xlabel(f"{axis}; not known: {', '.join(unknown)}")
    total = figures.lost.total / scale
    end = total or 1.0
    ax.set_xlim(0.0, 1.08 * end)  # room for the label of a last part that is small
    labels = _draw_parts(ax, {part: size / scale for part, size in parts.items()}, name)
    if figures.travel:
        _draw_travel(ax, total, end=end, travel=figures.travel / scale, unit=name)
    place_labels(ax, labels, avoid=_bars(end))
    return ax


def _draw_parts(ax: Axes, parts: Mapping[str, float], unit: str) -> list[Label]:
    start, labels = 0.0, {}
    for part, size in parts.items():
        colour, hatch = LOOKS[part]
        ax.barh(_PARTS, size, _HIGH, left=start, fc="white", ec=colour, hatch=hatch, lw=0.0)
        wash = None if hatch else colour
        ax.barh(_PARTS, size, _HIGH, left=start, fc=wash or "none", ec=INK, lw=0.8, label=part)
        text = f"{part}\n{_length(size, unit)}"
        if size > 0.0:
            below = _PARTS - 0.5 * _HIGH
            labels[part] = Label(start + 0.5 * size, below, text, towards=-0.5 * np.pi)
        start += size
    return [labels[part] for part in sorted(labels, key=lambda part: -parts[part])]


def _draw_travel(ax: Axes, total: float, *, end: float, travel: float, unit: str) -> None:
    """Draw the travel as long as the bar of the parts, to a scale of its own, and what is lost.

    Two lines from its lost part to the bar below say that it is the same thing enlarged.
    """
    share = min(total / travel, 1.0)
    lost = share * end
    ax.barh(_WHOLE, lost, _HIGH, fc="white", ec=GREY, hatch="xxxxxx", lw=0.0)
    ax.barh(_WHOLE, end, _HIGH, fc="none", ec=INK, lw=0.8)
    ax.plot([lost, lost], [_WHOLE - 0.5 * _HIGH, _WHOLE + 0.5 * _HIGH], color=INK, lw=0.8)
    for top, bottom in ((0.0, 0.0), (lost, total)):
        ends = [_WHOLE - 0.5 * _HIGH, _PARTS + 0.5 * _HIGH]
        ax.plot([top, bottom], ends, color=GREY, lw=0.7, ls=(0, (4, 3)))
    rest, whole = (_length(x, unit, fine=False) for x in (max(travel - total, 0.0), travel))
    arrives = f"{rest} of {whole} travel arrives"
    middle = 0.5 * (lost + end)
    ax.text(middle, _WHOLE, arrives, ha="center", va="center", fontsize=LETTERS, color=INK)
    text = f"{_length(total, unit)} lost, {100.0 * total / travel:.0f} %"
    above = _WHOLE + 0.5 * _HIGH
    ax.annotate(
        text,
        (0.0, above),
        xytext=(0.0, 4.0),
        textcoords="offset points",
        fontsize=LETTERS,
        color=INK,
    )


def _length(size: float, unit: str, *, fine: bool = True) -> str:
    digits = (1 if unit == "mm" else 2) + fine
    return f"{size:.{digits}f} {unit}"


def _bars(end: float) -> Array:
    """Points all over both bars and between them, for labels to keep off."""
    across = np.linspace(0.0, end, 60)
    up = np.linspace(_PARTS - 0.5 * _HIGH, _WHOLE + 0.5 * _HIGH, 15)
    return np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)
