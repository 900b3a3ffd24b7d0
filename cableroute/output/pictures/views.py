"""Views of a route in its machine, to true scale: plan, side, front and isometric."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment
from cableroute.measure.job import Job
from cableroute.output.pictures.labels import pixels_per_point
from cableroute.output.pictures.projection import (
    FRONT,
    ISOMETRIC,
    PLAN,
    SIDE,
    View,
    densely,
    evenly,
    level_shadow,
    points_by_piece,
)
from cableroute.output.pictures.route_lines import draw_route, lay_points, mark_points, point_labels
from cableroute.output.pictures.scene import (
    draw_scene,
    framed,
    label_in_scene,
    nearest,
    say_left_out,
)
from cableroute.output.pictures.style import GREY, SMALL, WIDTH, dress, key, new_axes, shown_unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Room for labels left and right of a route, and above and below it [pt].
_ROOM = (48.0, 34.0)


def draw_plan(
    result: CableAssessment, *, unit: str = "mm", job: Job | None = None, ax: Axes | None = None
) -> Axes:
    """Draw the route from above, x forward to the right."""
    return _alone_or_in(ax, result, PLAN, unit=unit, job=job)


def draw_side(
    result: CableAssessment, *, unit: str = "mm", job: Job | None = None, ax: Axes | None = None
) -> Axes:
    """Draw the route from the right, x forward to the right."""
    return _alone_or_in(ax, result, SIDE, unit=unit, job=job)


def draw_front(
    result: CableAssessment, *, unit: str = "mm", job: Job | None = None, ax: Axes | None = None
) -> Axes:
    """Draw the route from ahead, so that the machine's left is on the right."""
    return _alone_or_in(ax, result, FRONT, unit=unit, job=job)


def draw_isometric(
    result: CableAssessment, *, unit: str = "mm", job: Job | None = None, ax: Axes | None = None
) -> Axes:
    """Draw the route in isometric projection, with its shadow on the level of its lowest point."""
    return _alone_or_in(ax, result, ISOMETRIC, unit=unit, job=job)


def draw_view(
    ax: Axes,
    result: CableAssessment,
    view: View,
    *,
    unit: str = "mm",
    job: Job | None = None,
    names: bool = True,
    bends: bool = True,
    keyed: bool = True,
) -> None:
    """Draw the route as seen from one side."""
    figures = result.figures
    scale, name = shown_unit(unit)
    curve = np.vstack(points_by_piece(figures.route))
    places = view.project(figures.route.points) / scale
    lies = view.project(lay_points(figures)) / scale
    shadow = level_shadow(view, curve) / scale
    seen = np.vstack((view.project(curve) / scale, places, lies, shadow))
    x, y = (f"{axis} [{name}]" for axis in (view.x, view.y))
    dress(ax, heading=view.heading, x=x, y=y, keyed=keyed)
    ax.plot(*shadow.T, color=GREY, linewidth=1.0, linestyle=":", label="_")
    job, far_off = nearest(job, evenly(figures.route.points))
    low, high = framed(view, seen * scale, job)
    set_limits(ax, low / scale, high / scale)
    if job is not None:
        draw_scene(ax, view, job, scale)
    draw_route(ax, figures, view, scale)
    mark_points(ax, figures, places)
    if view is ISOMETRIC:
        _hide_axes(ax)
    if keyed:
        key(ax)
    labels = point_labels(figures, places, scale, names=names, bends=bends)
    busy = np.vstack((densely(seen[: len(curve)]), places, lies))
    missing = label_in_scene(ax, labels, avoid=busy, view=view, job=job, scale=scale)
    say_left_out(ax, far_off, f"{missing} labels found no room" if missing else "")


def view_height(
    result: CableAssessment, view: View, *, width: float, job: Job | None = None
) -> float:
    """Return how tall a drawing of this width has to be."""
    figures = result.figures
    seen = np.vstack((figures.route.points, lay_points(figures)))
    job, _ = nearest(job, evenly(figures.route.points))
    low, high = framed(view, view.project(seen), job)
    span = high - low
    across = width - 2.0 * _ROOM[0] / 72.0
    return across * float(span[1] / max(span[0], 1e-9)) + 2.0 * _ROOM[1] / 72.0


def set_limits(ax: Axes, low: Array, high: Array, *, room: tuple[float, float] = _ROOM) -> None:
    """Set equal scales that show a rectangle with room for labels round it."""
    box = ax.get_window_extent()
    size = np.array([box.width, box.height])
    inner = np.maximum(size - 2.0 * np.array(room) * pixels_per_point(ax), 0.3 * size)
    per_pixel = max(float(((high - low) / inner).max()), 1e-9)
    middle, half = 0.5 * (low + high), 0.5 * per_pixel * size
    ax.set_xlim(middle[0] - half[0], middle[0] + half[0])
    ax.set_ylim(middle[1] - half[1], middle[1] + half[1])
    ax.set_aspect("equal", adjustable="datalim")


def _alone_or_in(
    ax: Axes | None, result: CableAssessment, view: View, *, unit: str, job: Job | None
) -> Axes:
    if ax is None:
        height = min(max(view_height(result, view, width=0.87 * WIDTH, job=job), 1.6), 6.0)
        ax = new_axes(height + 1.28, owner=result.figures.cable.name)
    draw_view(ax, result, view, unit=unit, job=job)
    return ax


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
