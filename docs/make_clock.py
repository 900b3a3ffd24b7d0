"""Draw the clock by which a point on a tube is given: ``python docs/make_clock.py``."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle
from PIL import Image

from cableroute.output.pictures.style import BLUE, GREY, HEADING, INK, LETTERS, PALE, RED

HERE = Path(__file__).resolve().parent
#: Conduit on a tube of radius 1; the tube runs into the picture along this step.
CONDUIT, INTO = 0.22, np.array([3.0, 1.25])
COLOURS = 32


def main() -> None:
    """Draw the three panels side by side."""
    figure = Figure(figsize=(8.0, 2.9), dpi=150, facecolor="white")
    along, level, upright = figure.subplots(1, 3, width_ratios=[1.35, 1.0, 1.0])
    figure.subplots_adjust(left=0.005, right=0.995, top=0.9, bottom=0.02, wspace=0.02)
    _tube(along)
    _face(level, twelve="up", three="right", title="Level or sloping tube")
    level.text(0, -1.4, "12 o'clock: the side nearest up", ha="center", size=LETTERS, color=INK)
    _face(upright, twelve="forward (x)", three="left (y)", title="Upright tube, from its foot")
    upright.text(0, -1.4, "12 o'clock: the forward side", ha="center", size=LETTERS, color=INK)
    _save(figure)


def _face(ax: Axes, *, twelve: str, three: str, title: str) -> None:
    """Draw what the eye sees: the tube's end, the hours, the conduit at 2 o'clock."""
    _prepare(ax, title, (-1.9, 1.9), (-2.0, 1.75))
    ax.add_patch(Circle((0, 0), 1.0, facecolor=PALE, edgecolor=INK, linewidth=1.4))
    for hour in range(12):
        way = _way(30.0 * hour)
        ax.plot(*np.outer(way, [0.86, 1.0]), color=INK, linewidth=1.4 if hour % 3 == 0 else 0.7)
    for hour, words in ((12, twelve), (3, three), (6, ""), (9, "")):
        way = _way(30.0 * hour)
        ax.text(*0.66 * way, str(hour), ha="center", va="center", size=HEADING, color=INK)
        ax.text(*_outside(way), words, ha="center", va="center", size=LETTERS, color=GREY)
    _conduit(ax, 60.0)
    turn = np.radians(np.linspace(90.0, 32.0, 40))
    ax.plot(0.4 * np.cos(turn), 0.4 * np.sin(turn), color=RED, linewidth=1.2)
    ax.annotate("", _way(64.0) * 0.4, _way(50.0) * 0.4, arrowprops=_arrow(RED))
    ax.plot(*np.outer(_way(60.0), [0.0, 1.0]), color=RED, linewidth=0.8, linestyle=":")
    ax.text(1.3, 0.98, "clock = 60", size=LETTERS, color=BLUE, ha="center", va="center")


def _outside(way: np.ndarray) -> np.ndarray:
    """Return a place for the words beside an hour: just over the tube, or clear of its side."""
    return way * np.array([1.45, 1.2])


def _tube(ax: Axes) -> None:
    """Draw the tube running away from the eye, a conduit lying along it, and the distance along."""
    _prepare(ax, "Look along it, from → to", (-2.0, 4.3), (-2.1, 2.7))
    side = np.array([INTO[1], -INTO[0]]) / np.linalg.norm(INTO)
    for edge in (side, -side):
        ax.plot(*np.transpose([edge, edge + INTO]), color=INK, linewidth=1.4)
    far = np.linspace(np.arctan2(side[1], side[0]), np.arctan2(-side[1], -side[0]), 60)
    ax.plot(INTO[0] + np.cos(far), INTO[1] + np.sin(far), color=INK, linewidth=1.4)
    ax.add_patch(Circle((0, 0), 1.0, facecolor=PALE, edgecolor=INK, linewidth=1.4, zorder=3))
    for hour in (12, 3, 6, 9):
        ax.text(
            *0.72 * _way(30.0 * hour), str(hour), ha="center", va="center", size=LETTERS, zorder=4
        )
    ax.plot(*np.transpose([[0, 0], INTO]), color=GREY, linewidth=0.9, linestyle="-.", zorder=4)
    _along(ax)
    ax.annotate("", (-0.05, -0.02), (-1.5, -0.62), arrowprops=_arrow(RED), zorder=5)
    ax.text(-1.25, -0.98, "you look\nthis way", size=LETTERS, color=RED, ha="center", va="top")
    ax.text(-0.1, -1.18, "from", size=LETTERS, color=INK, ha="left", va="top")
    ax.text(INTO[0] + 1.05, INTO[1] + 0.75, "to", size=LETTERS, color=INK, ha="center")


def _along(ax: Axes) -> None:
    """Draw the conduit lying on the tube's skin at 2 o'clock, and how far along a point of it is."""
    at = 0.6 * INTO
    start = (1.0 + CONDUIT) * _way(60.0)
    ax.plot(
        *np.transpose([start + 0.25 * INTO, start + 0.95 * INTO]),
        color=BLUE,
        linewidth=3.5,
        zorder=3,
    )
    ax.plot(*(start + at), marker="o", markersize=8, color="white", markeredgecolor=BLUE, zorder=5)
    ax.text(*(start + 0.25 * INTO + [-0.3, 0.3]), "conduit", size=LETTERS, color=BLUE, ha="center")
    low = np.array([0.62, -1.5])
    ax.annotate("", low + at, low, arrowprops=_arrow(INK, "<->"))
    ax.plot(
        *np.transpose([start + at, low + at]), color=GREY, linewidth=0.7, linestyle=":", zorder=4
    )
    ax.text(*(low + 0.5 * at + [0.25, -0.12]), "along", size=LETTERS, color=INK, va="top")


def _conduit(ax: Axes, degrees: float) -> None:
    centre = (1.0 + CONDUIT) * _way(degrees)
    ax.add_patch(Circle(centre, CONDUIT, facecolor="white", edgecolor=BLUE, linewidth=1.8))
    ax.plot(*centre, marker=".", color=BLUE)


def _way(degrees: float) -> np.ndarray:
    """Return the unit vector in the picture: clockwise from 12 o'clock."""
    return np.array([np.sin(np.radians(degrees)), np.cos(np.radians(degrees))])


def _arrow(colour: str, style: str = "-|>") -> dict[str, object]:
    return {"arrowstyle": style, "color": colour, "linewidth": 1.2, "shrinkA": 0, "shrinkB": 0}


def _prepare(ax: Axes, title: str, across: tuple[float, float], up: tuple[float, float]) -> None:
    ax.set(xlim=across, ylim=up, aspect="equal")
    middle = ax.get_position()
    ax.figure.text(
        0.5 * (middle.x0 + middle.x1),
        0.93,
        title,
        size=LETTERS + 1,
        color=INK,
        fontweight="bold",
        ha="center",
    )
    ax.axis("off")


def _save(figure: Figure) -> None:
    buffer = io.BytesIO()
    figure.savefig(buffer, format="png")
    image = Image.open(buffer).convert("RGB").quantize(COLOURS)
    image.save(HERE / "clock.png", optimize=True)


if __name__ == "__main__":
    main()
