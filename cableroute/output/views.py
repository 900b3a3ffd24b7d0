"""Views of a route to true scale: plan, side, front and isometric."""

from __future__ import annotations

from math import degrees
from typing import TYPE_CHECKING

import numpy as np

from cableroute.assess import CableAssessment
from cableroute.output.labels import Label, pixels_per_point, place_labels
from cableroute.output.projection import (
    FRONT,
    ISOMETRIC,
    PLAN,
    SIDE,
    View,
    densely,
    level_shadow,
    piece_points,
)
from cableroute.output.style import (
    BLUE,
    GREY,
    INK,
    RED,
    SMALL,
    WIDTH,
    dress,
    key,
    new_axes,
    plain,
    shown_unit,
)
from cableroute.route.pieces import STRAIGHT, Array
from cableroute.route.segments import Line
from cableroute.verdict.figures import Figures

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Room for labels left and right of a route, and above and below it [pt].
_ROOM = (48.0, 34.0)


def draw_plan(result: CableAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw the route from above, x forward to the right.

    Parameters
    ----------
    result : CableAssessment
        The cable.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.
    ax : Axes, optional
        Where to draw; a new figure if not given.

    Returns
    -------
    Axes
        With equal scales.
    """
    return _alone_or_in(ax, result, PLAN, unit=unit)


def draw_side(result: CableAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw the route from the right, x forward to the right.

    Parameters
    ----------
    result : CableAssessment
        The cable.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.
    ax : Axes, optional
        Where to draw; a new figure if not given.

    Returns
    -------
    Axes
        With equal scales.
    """
    return _alone_or_in(ax, result, SIDE, unit=unit)


def draw_front(result: CableAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw the route from ahead, so that the machine's left is on the right.

    Parameters
    ----------
    result : CableAssessment
        The cable.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.
    ax : Axes, optional
        Where to draw; a new figure if not given.

    Returns
    -------
    Axes
        With equal scales.
    """
    return _alone_or_in(ax, result, FRONT, unit=unit)


def draw_isometric(result: CableAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw the route in isometric projection, with its shadow on the level of its lowest point.

    Parameters
    ----------
    result : CableAssessment
        The cable.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.
    ax : Axes, optional
        Where to draw; a new figure if not given.

    Returns
    -------
    Axes
        With equal scales.
    """
    return _alone_or_in(ax, result, ISOMETRIC, unit=unit)


def draw_view(
    ax: Axes,
    result: CableAssessment,
    view: View,
    *,
    unit: str = "mm",
    names: bool = True,
    bends: bool = True,
    keyed: bool = True,
) -> None:
    """Draw the route as seen from one side.

    Parameters
    ----------
    ax : Axes
        Where to draw.
    result : CableAssessment
        The cable.
    view : View
        Where to look from.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.
    names : bool
        Whether to name the points.
    bends : bool
        Whether to write turn and radius at the bends.
    keyed : bool
        Whether to explain the marks in a key.
    """
    figures = result.figures
    scale, name = shown_unit(unit)
    curve = np.vstack([piece_points(piece) for piece in figures.route.pieces])
    corners = view.project(figures.route.points) / scale
    shadow = level_shadow(view, curve) / scale
    seen = np.vstack((view.project(curve) / scale, corners, shadow))
    x, y = (f"{axis} [{name}]" for axis in (view.x, view.y))
    dress(ax, heading=view.heading, x=x, y=y, keyed=keyed)
    ax.plot(*shadow.T, color=GREY, linewidth=1.0, linestyle=":", label="_")
    _draw_route(ax, figures, view, scale)
    _mark_points(ax, figures, corners)
    set_limits(ax, seen.min(axis=0), seen.max(axis=0))
    if view is ISOMETRIC:
        _hide_axes(ax)
    if keyed:
        key(ax)
    labels = point_labels(figures, corners, scale, names=names, bends=bends)
    missing = place_labels(ax, labels, avoid=np.vstack((densely(seen[: len(curve)]), corners)))
    if missing:
        ax.set_xlabel(f"{ax.get_xlabel()}; {missing} more labels found no room".lstrip("; "))


def view_height(result: CableAssessment, view: View, *, width: float) -> float:
    """Return how tall a drawing of this width has to be.

    Parameters
    ----------
    result : CableAssessment
        The cable.
    view : View
        Where to look from.
    width : float
        Width of the axes [in].

    Returns
    -------
    float
        Height of the axes, room for labels included [in].
    """
    span = np.ptp(view.project(result.figures.route.points), axis=0)
    across = width - 2.0 * _ROOM[0] / 72.0
    return across * float(span[1] / max(span[0], 1e-9)) + 2.0 * _ROOM[1] / 72.0


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


def set_limits(ax: Axes, low: Array, high: Array) -> None:
    """Set equal scales that show a rectangle with room for labels round it.

    Parameters
    ----------
    ax : Axes
        What to set.
    low, high : ndarray, shape (2,)
        Corners of the rectangle, in data units [-].
    """
    box = ax.get_window_extent()
    size = np.array([box.width, box.height])
    inner = np.maximum(size - 2.0 * np.array(_ROOM) * pixels_per_point(ax), 0.3 * size)
    per_pixel = max(float(((high - low) / inner).max()), 1e-9)
    middle, half = 0.5 * (low + high), 0.5 * per_pixel * size
    ax.set_xlim(middle[0] - half[0], middle[0] + half[0])
    ax.set_ylim(middle[1] - half[1], middle[1] + half[1])
    ax.set_aspect("equal", adjustable="datalim")


def _alone_or_in(ax: Axes | None, result: CableAssessment, view: View, *, unit: str) -> Axes:
    if ax is None:
        height = min(max(view_height(result, view, width=0.87 * WIDTH), 1.6), 6.0)
        ax = new_axes(height + 1.28, owner=result.figures.cable.name)
    draw_view(ax, result, view, unit=unit)
    return ax


def _bend_words(figures: Figures, corner: int, scale: float) -> str:
    route = figures.route
    digits = 0 if scale == 1.0 else 1
    radius = f"R {route.radii[corner] / scale:.{digits}f}"
    if not route.corner_fits[corner]:
        radius += f" of {route.wanted_radii[corner] / scale:.{digits}f}"
    return f"{degrees(float(route.turns[corner])):.0f}° {radius}"


def _draw_route(ax: Axes, figures: Figures, view: View, scale: float) -> None:
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


def _mark_points(ax: Axes, figures: Figures, corners: Array) -> None:
    """Mark anchors, clips and bare points apart by shape."""
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


def _hide_axes(ax: Axes) -> None:
    """Swap the axes of a slanted view for three arrows that show where x, y and z run."""
    ax.set(xticks=[], yticks=[], xlabel="", ylabel="")
    ax.grid(visible=False)
    ax.spines[["left", "bottom"]].set_visible(False)
    arrow = {"arrowstyle": "-|>", "color": GREY, "linewidth": 0.9, "shrinkA": 0, "shrinkB": 0}
    here = np.array([8.0, 20.0])
    for letter, way in zip("xyz", ISOMETRIC.project(np.eye(3)), strict=True):
        tip, beyond = (tuple((here + length * way).tolist()) for length in (20.0, 27.0))
        ax.annotate("", tip, xytext=tuple(here.tolist()), xycoords="axes points", arrowprops=arrow)
        ax.annotate(
            letter, beyond, xycoords="axes points", ha="center", va="center", fontsize=SMALL
        )
