"""A cable's route as it is drawn: its lines and bends, its points, and what is written there."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import degrees
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.cable import Figures
from cableroute.output.pictures.labels import MOST, Label
from cableroute.output.pictures.projection import View, points_by_piece
from cableroute.output.pictures.style import BLUE, GREEN, GREY, INK, RED, plain
from cableroute.route.pieces import STRAIGHT

if TYPE_CHECKING:
    from matplotlib.axes import Axes


#: Places along a natural lay that are drawn at most: more than any paper shows.
_MOST_PLACES = 8001
#: Lines of fewer points than this are drawn as they are.
_LONG = 2000


def point_labels(
    figures: Figures, places: Array, scale: float, *, names: bool, bends: bool
) -> list[Label]:
    """Return what to write at the points, ends first, then the sharper bends."""
    route = figures.route
    last = len(route.points) - 1
    first = np.searchsorted(route.owners[1:-1], np.arange(last + 2)).tolist()
    corners = [range(*each) for each in pairwise(first)]
    turns = [float(sum(route.turns[each.start : each.stop])) for each in corners]
    turns[0] = turns[last] = np.inf
    labels: list[Label] = []
    bent, fits = route.turns > STRAIGHT, route.corner_fits
    for i in np.argsort(-np.array(turns), kind="stable").tolist():
        own = [corner for corner in corners[i] if bends and bent[corner]]
        if not (names or own):
            continue
        lines: list[str] = []
        if len(labels) < MOST:  # those after are counted only
            lines = [plain(figures.point_name(i))] if names else []
            lines += [_bend_words(figures, corner, scale, fits=fits[corner]) for corner in own]
        x, y = places[i].tolist()
        labels.append(Label(x, y, "\n".join(lines)))
    return labels


def _bend_words(figures: Figures, corner: int, scale: float, *, fits: bool) -> str:
    route = figures.route
    digits, mark = (0, "") if scale == 1.0 else (1, '"')  # a bare radius is one in mm
    radius = f"R {route.radii[corner] / scale:.{digits}f}{mark}"
    if not fits:
        radius += f" of {route.wanted_radii[corner] / scale:.{digits}f}{mark}"
    return f"{degrees(float(route.turns[corner])):.0f}° {radius}"


def draw_route(ax: Axes, figures: Figures, view: View, scale: float) -> None:
    """Draw straights and bends, dashed the corners that they cut off, thin how it lies by itself."""
    pixel = _pixel(ax)
    lies = _seen(view.project(lay_points(figures)) / scale, pixel)
    ax.plot(*lies.T, color=GREEN, linewidth=0.9, label="left to itself")
    corners = _seen(view.project(figures.route.vertices) / scale, pixel)
    ax.plot(*corners.T, color=GREY, linewidth=0.8, linestyle=(0, (5, 3)), label="_")
    strokes = _strokes(*_pieces(figures, view, scale), pixel)
    for look, style in _LOOKS.items():
        own = [_seen(np.vstack(stroke), pixel) for name, stroke in strokes if name == look]
        if own:
            apart = [np.vstack((each, np.full((1, 2), np.nan))) for each in own]
            ax.plot(*np.vstack(apart)[:-1].T, label=look, **style)


#: How each kind of piece is drawn, the less grave before the graver.
_LOOKS: dict[str, dict[str, Any]] = {
    "straight": {"color": INK, "linewidth": 1.8},
    "bend": {"color": BLUE, "linewidth": 4.0, "solid_capstyle": "butt"},
    "bend too tight": {"color": RED, "linewidth": 4.0, "linestyle": (0, (1.2, 0.6))},
}


def _pixel(ax: Axes) -> float:
    """Return how long a pixel is in what is drawn."""
    ends = ax.transData.transform([(0, 0), (1, 0)])
    return 1.0 / float(np.hypot(*(ends[1] - ends[0])))


def _pieces(figures: Figures, view: View, scale: float) -> tuple[list[str], list[Array]]:
    """Return how each piece looks, and where it is seen."""
    route, places = figures.route, points_by_piece(figures.route)
    numbers, _ = route.piece_lengths
    bends = np.where(np.append(route.corner_fits, True), "bend", "bend too tight")
    looks = np.where(numbers % 2 == 1, bends[numbers // 2], "straight").tolist()
    seen = view.project(np.vstack(places)) / scale
    return looks, np.split(seen, np.cumsum([len(each) for each in places])[:-1])


def _strokes(
    looks: Sequence[str], places: Sequence[Array], pixel: float
) -> list[tuple[str, list[Array]]]:
    """Join what looks alike, and what is too short to be seen with a graver piece before it."""
    graver = {look: i for i, look in enumerate(_LOOKS)}
    begins = np.cumsum([0, *(len(each) for each in places[:-1])])
    every = np.vstack(places)
    sizes = np.maximum.reduceat(every, begins) - np.minimum.reduceat(every, begins)
    strokes: list[tuple[str, list[Array]]] = []
    for look, seen, short in zip(looks, places, (sizes.max(1) < pixel).tolist(), strict=True):
        last = strokes[-1][0] if strokes else None
        if look == last or (short and last is not None and graver[look] < graver[last]):
            strokes[-1][1].append(seen)
        else:
            strokes.append((look, [seen]))
    return strokes


def _seen(places: Array, pixel: float) -> Array:
    """Leave out of a long line the points on the same half of a pixel as the one before."""
    if len(places) < _LONG:
        return places
    cells = np.floor(2.0 * places / pixel)
    kept = np.ones(len(places), dtype=bool)
    kept[1:-1] = (cells[1:-1] != cells[:-2]).any(1)
    return np.asarray(places[kept])


def lay_points(figures: Figures) -> Array:
    """Return points along the natural lay, close enough together to draw it."""
    run = figures.lay.run
    places = 40 * (len(figures.route.points) - 1) + 1
    return run.point(np.linspace(0.0, float(run.length), min(places, _MOST_PLACES)))


def _apart(places: Array, pixel: float) -> Array:
    """Leave out of very many marks those on a pixel that has one."""
    if len(places) < _LONG:
        return places
    _, first = np.unique(np.floor(places / pixel), axis=0, return_index=True)
    return np.asarray(places[np.sort(first)])


def mark_points(ax: Axes, figures: Figures, corners: Array) -> None:
    """Mark anchors, clips and bare points apart by shape."""
    marks = {"anchor": ("s", INK, 7.0), "clip": ("o", "white", 6.0), None: ("x", INK, 4.5)}
    kept = figures.route.kept.tolist()
    fixes = [figures.cable.fixes[i] if i < len(figures.cable.fixes) else None for i in kept]
    for fix, (marker, face, size) in marks.items():
        chosen = _apart(corners[[other == fix for other in fixes]], _pixel(ax))
        if len(chosen):
            ax.plot(
                *chosen.T,
                linestyle="",
                marker=marker,
                markersize=size,
                markerfacecolor=face,
                markeredgecolor=INK,
                markeredgewidth=1.1,
                zorder=4,
                label=fix or "point",
            )
