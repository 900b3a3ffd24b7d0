"""What it costs a cable when a mend of its linkage moves one of its ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.figures.cable import Figures
from cableroute.figures.forces import Run, pull_through
from cableroute.figures.shape import fixed_points, shaping, tight_run, tight_runs, wanted_radii
from cableroute.frozen import frozen
from cableroute.linkage.ends import Swivel
from cableroute.linkage.joints import Cable as Core
from cableroute.linkage.mends import Mend
from cableroute.measure.job import Cable
from cableroute.route.lays_together import alone
from cableroute.route.pieces import Route
from cableroute.route.survey import Survey, steady_points

#: Room of a corner led back, over the bend radius: a little more than just fits [-].
ROOM = 1.05
#: Such radii between the run out and the run back: two would do if it came back square [-].
WIDTH = 3.0
#: What a cable has for each point, or for none.
_BY_POINT = ("fixes", "point_radii", "headings", "tube_axes", "tube_rooms", "tubes")


@frozen
class MovedRun:
    """A cable's run with an end moved and turned; each pair is before and after.

    Parameters
    ----------
    length : tuple of float
        Conduit drawn tight [mm].
    wrap : tuple of float
        The most that it may turn [rad].
    pull : tuple of float
        Pull at the hand at high friction; infinite where it locks up [N].
    fits : bool
        Whether every bend has its radius then.
    turns_back : bool
        Whether it had to be led out of its end and back beside it.
    """

    length: tuple[float, float]
    wrap: tuple[float, float]
    pull: tuple[float, float]
    fits: bool
    turns_back: bool = False


def moved_run(figures: Figures, mend: Mend, *, core: Core) -> MovedRun | None:
    """Fit the run anew from where a mend puts the cable's ends; None where it moves neither.

    A run that would have to turn straight back is led out of its end and back beside it, three
    radii off, on the side on which it turns least drawn tight; None too where not even that is a run.
    """
    if mend.moved <= 0.0:
        return None
    led = _led(_moved(figures.cable, core, mend.chain.cable), tolerance=figures.tolerance)
    if led is None:
        return None
    cable, survey, tight = led
    asking = shaping(
        cable,
        survey,
        tolerance=figures.tolerance,
        in_feet=figures.words.inches,
        tight=tight,
        with_surplus=False,
    )
    shapes = alone(asking)
    run = Run(cable, shapes, figures.core, figures.friction)
    through = pull_through(run, load=figures.pull.load).through
    return MovedRun(
        length=(float(figures.route.length), float(shapes.tight.length)),
        wrap=(figures.wraps[1], shapes.wraps[1]),
        pull=(figures.pull.inputs[1], through.inputs[1]),
        fits=bool(shapes.tight.fits),
        turns_back=len(cable.points) > len(figures.cable.points),
    )


def _led(cable: Cable, *, tolerance: float) -> tuple[Cable, Survey, Route] | None:
    """Return a run so moved, drawn tight, or the best of those that are led back; None without any."""
    straight = _drawn(cable, tolerance=tolerance)
    if straight is not None:
        return straight
    ways = list(_turned_back(cable))
    ranks = _ranks(ways, [_steady(each, tolerance).points for each in ways])
    best_first = [ways[i] for _, i in sorted((rank, i) for i, rank in enumerate(ranks) if rank)]
    drawn = (_drawn(each, tolerance=tolerance) for each in best_first)
    return next((each for each in drawn if each is not None), None)


def _drawn(cable: Cable, *, tolerance: float) -> tuple[Cable, Survey, Route] | None:
    """Draw a run tight; None where it would have to turn straight back."""
    try:
        survey = _steady(cable, tolerance)
        return cable, survey, tight_run(cable, survey.points)
    except GeometryError:
        return None


def _steady(cable: Cable, tolerance: float) -> Survey:
    return steady_points(
        cable.points,
        tolerance=tolerance,
        min_bend_radius=wanted_radii(cable),
        fixed=fixed_points(cable),
    )


def _ranks(cables: list[Cable], points: list[Array]) -> list[tuple[bool, float] | None]:
    """Say whether each run drawn tight does not fit, and how far it turns; None of one that is none.

    They are drawn in one batch; if one of them turns straight back, or they are held at other points,
    each half is asked by itself.
    """
    if not cables:
        return []
    try:
        runs = tight_runs(cables, points)
    except GeometryError:
        if len(cables) == 1:
            return [None]
        half = len(cables) // 2
        return _ranks(cables[:half], points[:half]) + _ranks(cables[half:], points[half:])
    misfits, wraps = ~np.asarray(runs.fits), np.asarray(runs.wrap)
    return list(zip(misfits.tolist(), wraps.tolist(), strict=True))


def _turned_back(cable: Cable) -> Iterator[Cable]:
    """Yield the cable led out of its end and back beside it, by two corners, on each side."""
    last = len(cable.points) - 1
    radius = ROOM * cable.bend_radius
    for end, at, sense in ((0, 1, 1.0), (last, last, -1.0)):
        way = cable.headings[end] if cable.headings else None
        if way is None:
            continue
        out = cable.points[end] + sense * radius * way
        for aside in _across(way):
            corners = [out, out + WIDTH * radius * aside][:: int(sense)]
            yield _with_corners(cable, np.array(corners), at=at)


def _across(way: Array) -> Iterator[Array]:
    """Yield four unit vectors across a direction."""
    other = np.eye(3)[int(np.argmin(np.abs(way)))]
    first = np.cross(way, other)
    first /= np.linalg.norm(first)
    second = np.cross(way, first)
    yield from (first, -first, second, -second)


def _with_corners(cable: Cable, corners: Array, *, at: int) -> Cable:
    """Return a cable with corners put in before a point; what single points have stays with them."""
    count = len(corners)

    def put(values: Sequence[Any], what: Any) -> tuple[Any, ...]:
        return (*values[:at], *(what,) * count, *values[at:]) if values else ()

    passes = (cable.passes,) * len(cable.points) if isinstance(cable.passes, str) else cable.passes
    own: dict[str, Any] = {name: put(getattr(cable, name), None) for name in _BY_POINT}
    return replace(
        cable,
        points=np.insert(cable.points, at, corners, axis=0),
        passes=put(passes, "inside"),
        labels=put(cable.labels, ""),
        places=put(cable.places, ""),
        **own,
        moves=(),
    )


def _moved(cable: Cable, before: Core, after: Core) -> Cable:
    """Return the cable with its ends moved and turned as the swivels are."""
    points = cable.points.copy()
    ways = list(cable.headings) or [None] * len(points)
    for end, old, new, sense in (
        (0, before.hand, after.hand, -1.0),  # a swivel's line points out of the conduit
        (-1, before.far, after.far, 1.0),
    ):
        if old is not None and new is not None and _differ(old, new):
            points[end] += new.point - old.point
            ways[end] = _way(ways[end], old, new, sense * new.axis)
    return replace(cable, points=points, headings=tuple(ways), checks=(), remarks=())


def _way(held: Array | None, old: Swivel, new: Swivel, line: Array) -> Array:
    """Return the heading of a moved end: its own turned along with the swivel, or the swivel's line."""
    if held is None:
        return line
    turned: Array = held if float(np.dot(old.axis, new.axis)) > 0.0 else -held
    return turned


def _differ(old: Swivel, new: Swivel) -> bool:
    return not (np.array_equal(old.point, new.point) and np.array_equal(old.axis, new.axis))
