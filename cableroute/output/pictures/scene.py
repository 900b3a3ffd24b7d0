"""The machine round a cable, as seen in a view: tubes, known points, solids to keep out of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array
from cableroute.measure.job import Job
from cableroute.measure.keepout import Box, Capsule, KeepOut, Shape
from cableroute.measure.tubes import Tube, clock_frame
from cableroute.output.pictures.labels import Label, place_labels
from cableroute.output.pictures.projection import View, densely
from cableroute.output.pictures.style import GREY, PALE, SMALL, plain

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: How far beyond the route the machine is shown, as a share of the route's greater span [-].
MARGIN = 0.15
#: Tubes, solids and known points drawn, of each: more hide the run.
MOST_ROUND = 40
#: Points round a circle, which they go round outside, so that nothing solid is left out.
_SIDES = 120
_ANGLES = np.linspace(0.0, 2.0 * np.pi, _SIDES, endpoint=False)
RING = np.column_stack((np.cos(_ANGLES), np.sin(_ANGLES))) / np.cos(np.pi / _SIDES)


def hull(points: Array) -> Array:
    """Return the convex outline of points.

    Examples
    --------
    >>> hull(np.array([[0.0, 0], [2, 0], [1, 1], [2, 2], [0, 2]])).tolist()
    [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]
    """
    ordered = np.unique(points, axis=0)
    if len(ordered) < 3:
        return ordered
    return np.array([*_chain(ordered)[:-1], *_chain(ordered[::-1])[:-1]])


def _chain(ordered: Array) -> list[list[float]]:
    """Return the side of a convex outline that lies to the right of a walk along the points."""
    side: list[list[float]] = []
    for x, y in ordered.tolist():
        while len(side) > 1:
            (ax, ay), (bx, by) = side[-2:]
            if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0.0:
                break
            side.pop()
        side.append([x, y])
    return side


def solid_outline(view: View, shape: Shape, *, off: float = 0.0) -> Array:
    """Return the outline of a solid, or of all that is within a distance of it, as seen."""
    if isinstance(shape, Box):
        corners, radius = np.array(list(product(*zip(shape.low, shape.high, strict=True)))), 0.0
    else:
        assert isinstance(shape, Capsule)  # there are no others
        corners, radius = np.stack((shape.start, shape.end)), shape.radius
    seen = hull(view.project(corners))
    round_it = (radius + off) * view.enlargement * RING
    return hull((seen[:, None] + round_it).reshape(-1, 2)) if radius + off else seen


def tube_outline(view: View, tube: Tube) -> Array:
    """Return the outline of a tube cut square at its ends, as seen."""
    ring = 0.5 * tube.diameter * RING @ np.stack(clock_frame(tube))
    return hull(view.project(np.concatenate((tube.start + ring, tube.end + ring))))


def clipped(outline: Array, low: Array, high: Array) -> Array:
    """Cut a convex outline to a rectangle."""
    for axis, sign, bound in ((0, 1, low[0]), (0, -1, -high[0]), (1, 1, low[1]), (1, -1, -high[1])):
        depth = sign * outline[:, axis] - bound
        after, deeper = np.roll(outline, -1, axis=0), np.roll(depth, -1)
        kept = []
        for here, there, d, e in zip(outline, after, depth.tolist(), deeper.tolist(), strict=True):
            if d >= 0.0:
                kept.append(here)
            if d * e < 0.0:
                kept.append(here + d / (d - e) * (there - here))
        outline = np.reshape(kept, (-1, 2))
    return outline


def nearest(job: Job | None, places: Array) -> tuple[Job | None, str]:
    """Return a machine with what is nearest to some places alone, and words for what it then lacks."""
    if job is None:
        return None, ""
    tubes = [Capsule(each.start, each.end, 0.5 * each.diameter) for each in job.tubes]
    nodes = [Capsule(at, at, 0.0) for at in job.nodes.values()]
    every: list[list[Shape]] = [[*tubes], [*nodes], [zone.shape for zone in job.keepouts]]
    near = [_nearest(shapes, places) for shapes in every]
    far_off = sum(map(len, every)) - sum(map(len, near))
    if not far_off:
        return job, ""
    named = list(job.nodes.items())
    shown = replace(
        job,
        tubes=tuple(job.tubes[i] for i in near[0]),
        nodes=dict(named[i] for i in near[1]),
        keepouts=tuple(job.keepouts[i] for i in near[2]),
    )
    return shown, f"{far_off} far off not drawn"


def _nearest(shapes: Sequence[Shape], places: Array) -> list[int]:
    """Return which of the shapes are nearest to places, in their order."""
    if len(shapes) <= MOST_ROUND:
        return list(range(len(shapes)))
    apart = [float(each.distance(places).min()) for each in shapes]
    return sorted(np.argsort(apart, kind="stable")[:MOST_ROUND].tolist())


def say_left_out(ax: Axes, *words: str) -> None:
    """Say below a drawing what it does not show."""
    if any(words):
        ax.set_xlabel("; ".join(filter(None, (ax.get_xlabel(), *words))))


def framed(view: View, seen: Array, job: Job | None) -> tuple[Array, Array]:
    """Return the rectangle to show: the route, and what of the machine is near it."""
    low, high = seen.min(axis=0), seen.max(axis=0)
    room = MARGIN * float(np.max(high - low))
    parts = [clipped(each, low - room, high + room) for each in _outlines(view, job)]
    every = np.concatenate((np.stack((low, high)), *parts))
    return every.min(axis=0), every.max(axis=0)


def _outlines(view: View, job: Job | None) -> Iterator[Array]:
    if job is not None:
        yield from (tube_outline(view, tube) for tube in job.tubes)
        yield from (solid_outline(view, zone.shape, off=zone.distance) for zone in job.keepouts)


def draw_scene(ax: Axes, view: View, job: Job, scale: float) -> None:
    """Draw tubes, known points and solids to keep out of, pale and behind the route."""
    for tube in job.tubes:
        ax.fill(*(tube_outline(view, tube) / scale).T, fc="#f1f1f1", ec=GREY, lw=0.7, zorder=1.0)
        axis = view.project(np.stack((tube.start, tube.end))) / scale
        ax.plot(*axis.T, color=GREY, lw=0.5, ls=(0, (8, 2, 1, 2)), zorder=1.1, label="_")
    for zone, outline in zip(job.keepouts, solids(view, job), strict=True):
        solid = outline / scale
        ax.fill(*solid.T, fc="white", ec="#b5b5b5", lw=0.0, hatch="xxx", zorder=1.2)
        ax.fill(*solid.T, fc="none", ec=GREY, lw=0.9, zorder=1.3)
        if zone.distance > 0.0:
            near = solid_outline(view, zone.shape, off=zone.distance) / scale
            ax.fill(*near.T, fc="none", ec=GREY, lw=0.8, ls=(0, (4, 3)), zorder=1.3)
    if job.nodes:
        nodes = view.project(np.stack(list(job.nodes.values()))) / scale
        ax.plot(*nodes.T, ls="", marker="P", ms=5.0, mfc=PALE, mec=GREY, mew=0.8, zorder=1.4)


def label_in_scene(
    ax: Axes, labels: list[Label], *, avoid: Array, view: View, job: Job | None, scale: float
) -> int:
    """Place the labels of routes and of the machine round them; return how many found no room."""
    hatched: list[Array] = []
    if job is not None:
        low, high = np.transpose((ax.get_xlim(), ax.get_ylim()))
        labels = labels + scene_labels(view, job, scale, low=low, high=high)
        avoid = np.vstack((avoid, busy_points(view, job, scale)))
        hatched = [outline / scale for outline in solids(view, job)]
    return place_labels(ax, labels, avoid=avoid, solids=hatched)


def scene_labels(view: View, job: Job, scale: float, *, low: Array, high: Array) -> list[Label]:
    """Return the names of what is seen of the machine."""
    warnings = [_warning(zone, scale) for zone in job.keepouts]
    shapes = list(zip(warnings, solids(view, job), strict=True))
    shapes += [(plain(tube.name), tube_outline(view, tube)) for tube in job.tubes]
    shapes += [(plain(name), view.project(node)[None]) for name, node in job.nodes.items()]
    labels = []
    for i, (words, outline) in enumerate(shapes):
        shown = clipped(outline / scale, low, high)
        if len(shown):
            x, y = shown.mean(axis=0).tolist()
            own = i if i < len(job.keepouts) else None
            labels.append(Label(x, y, words, SMALL, aside=True, solid=own))
    return labels


def solids(view: View, job: Job) -> list[Array]:
    """Return the outlines of the solids to keep out of, as seen, in the order of the job [mm]."""
    return [solid_outline(view, zone.shape) for zone in job.keepouts]


def _warning(zone: KeepOut, scale: float) -> str:
    if not zone.distance:
        return plain(zone.name)
    unit = "mm" if scale == 1.0 else "in"
    return f"{plain(zone.name)}\nkeep {zone.distance / scale:.3g} {unit} off"


def busy_points(view: View, job: Job, scale: float) -> Array:
    """Return points spread over the solids to keep out of, which labels had better not cover."""
    spread = [np.empty((0, 2))]
    for solid in solids(view, job):
        outline = solid / scale
        middle = outline.mean(axis=0)
        edge = densely(np.concatenate((outline, outline[:1])))[::12]
        spread += [middle + share * (edge - middle) for share in (0.25, 0.5, 0.75, 1.0)]
    return np.concatenate(spread)
