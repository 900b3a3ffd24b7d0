"""A cable's route as it is drawn: its lines and bends, its points, and what is written there."""

from __future__ import annotations

from math import degrees
from typing import TYPE_CHECKING

import numpy as np

from cableroute.output.pictures.labels import Label
from cableroute.output.pictures.projection import View, piece_points
from cableroute.output.pictures.style import BLUE, GREY, INK, RED, plain
from cableroute.route.pieces import STRAIGHT, Array
from cableroute.route.segments import Line
from cableroute.verdict.figures import Figures

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def point_labels(
    figures: Figures, corners: Array, scale: float, *, names: bool, bends: bool
) -> list[Label]:
    """Return what to write at the points, ends first, then the sharper bends.

    Parameters
    ----------
    figures : Figures
        The cable's figures.
    corners : ndarray, shape (m, 2)
        Its points in the drawing [-].
    scale : float
        Millimetres in the drawing's unit [mm].
    names : bool
        Whether to name the points.
    bends : bool
        Whether to write turn and radius at the bends.

    Returns
    -------
    list of Label
        In order of importance.
    """
    route = figures.route
    turns = np.concatenate(([np.inf], route.turns, [np.inf]))
    labels = []
    for i in np.argsort(-turns, kind="stable").tolist():
        lines = [plain(figures.vertex_name(i))] if names else []
        if bends and STRAIGHT < turns[i] < np.inf:
            lines.append(_bend_words(figures, i - 1, scale))
        if lines:
            x, y = corners[i].tolist()
            labels.append(Label(x, y, "\n".join(lines)))
    return labels


def _bend_words(figures: Figures, corner: int, scale: float) -> str:
    route = figures.route
    digits, mark = (0, "") if scale == 1.0 else (1, '"')  # a bare radius is one in mm
    radius = f"R {route.radii[corner] / scale:.{digits}f}{mark}"
    if not route.corner_fits[corner]:
        radius += f" of {route.wanted_radii[corner] / scale:.{digits}f}{mark}"
    return f"{degrees(float(route.turns[corner])):.0f}° {radius}"


def draw_route(ax: Axes, figures: Figures, view: View, scale: float) -> None:
    """Draw straights and bends, and dashed the corners that the bends cut off.

    Parameters
    ----------
    ax : Axes
        Where to draw.
    figures : Figures
        The cable's figures.
    view : View
        Where to look from.
    scale : float
        Millimetres in the drawing's unit [mm].
    """
    corners = view.project(figures.route.points) / scale
    ax.plot(*corners.T, color=GREY, linewidth=0.8, linestyle=(0, (5, 3)), label="_")
    fits = iter(figures.route.corner_fits[figures.route.turns > STRAIGHT].tolist())
    for piece in figures.route.pieces:
        seen = view.project(piece_points(piece)) / scale
        if isinstance(piece, Line):
            ax.plot(*seen.T, color=INK, linewidth=1.8, label="straight")
        elif next(fits):
            ax.plot(*seen.T, color=BLUE, linewidth=4.0, solid_capstyle="butt", label="bend")
        else:
            short = "bend too tight"
            ax.plot(*seen.T, color=RED, linewidth=4.0, linestyle=(0, (1.2, 0.6)), label=short)


def mark_points(ax: Axes, figures: Figures, corners: Array) -> None:
    """Mark anchors, clips and bare points apart by shape.

    Parameters
    ----------
    ax : Axes
        Where to draw.
    figures : Figures
        The cable's figures.
    corners : ndarray, shape (m, 2)
        Its points in the drawing [-].
    """
    marks = {"anchor": ("s", INK, 7.0), "clip": ("o", "white", 6.0), None: ("x", INK, 4.5)}
    kept = figures.route.kept.tolist()
    fixes = [figures.cable.fixes[i] if i < len(figures.cable.fixes) else None for i in kept]
    for fix, (marker, face, size) in marks.items():
        chosen = corners[[other == fix for other in fixes]]
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
                label=fix or "corner point",
            )
