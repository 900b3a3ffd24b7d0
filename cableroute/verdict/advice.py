"""What would make a run better: bends by what they cost, points to leave out, wider sweeps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import exp

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.errors import GeometryError
from cableroute.figures.cable import Figures
from cableroute.figures.lay import lay_of
from cableroute.figures.shape import clearances_to
from cableroute.figures.tubes import tubes_crossed
from cableroute.frozen import frozen
from cableroute.measure.tubes import Tube
from cableroute.route._moved import radii_of_points
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import STRAIGHT, Route
from cableroute.verdict.limits import Limits

#: A sweep is worth proposing from this much less wrap on [rad]; our own choice.
WORTHWHILE = 0.05
#: Points of all runs that are tried without one of theirs, or with a sweep: the work there is in it.
#: Of a run of more than some fifty points the sharpest bends are tried.
MOST_POINTS = 3000
#: Radii of a sweep tried at a time, and how often closer and closer.
_TRIES, _NARROWINGS = 16, 6


@frozen
class BendCost:
    """What one bend costs at high friction.

    Parameters
    ----------
    at : str
        Its point.
    turn : float
        Its turn [rad].
    cost : float
        Share that it adds to the force passing through it, ``exp(mu * turn) - 1`` [-].
    force : float
        Pull at the hand that would be saved were it not there [N].
    """

    at: str
    turn: float
    cost: float
    force: float


@frozen
class Change:
    """What another run through fewer points would gain.

    Parameters
    ----------
    at : str
        The point left out, or the two that a sweep replaces.
    wrap : float
        Wrap saved; negative where it grows [rad].
    force : float
        Pull at the hand saved at high friction [N].
    fits : bool
        Whether every bend still has its radius.
    blocked : tuple of str
        Solids that it would come too near to.
    point : tuple of float
        Where a sweep has its corner point; empty when a point is left out [mm].
    radius : float
        Widest radius that fits at that corner; 0 when a point is left out [mm].
    gone : tuple of int
        Which points of the cable it does without, the first being 0 [-].
    """

    at: str
    wrap: float
    force: float
    fits: bool
    blocked: tuple[str, ...]
    point: tuple[float, ...] = ()
    radius: float = 0.0
    gone: tuple[int, ...] = ()

    @property
    def is_good(self) -> bool:
        """Whether it saves wrap, fits, and keeps clear."""
        return self.wrap > STRAIGHT and self.fits and not self.blocked


@frozen
class Advice:
    """What would make a run easier to pull through.

    Parameters
    ----------
    friction : float
        The high friction that all is worked out at [-].
    bends : tuple of BendCost
        Every bend, the dearest first.
    omissions : tuple of Change
        Every point between that may be left out, the greatest saving first; of a run of many points
        those where it turns the most.
    sweeps : tuple of Change
        Pairs of bends to replace by one wider; only where force is the trouble and the wrap falls.
    force_is_trouble : bool
        Whether too little of the force arrives.
    tried : int or None
        How many points were tried, of more; None where all were [-].
    """

    friction: float
    bends: tuple[BendCost, ...]
    omissions: tuple[Change, ...]
    sweeps: tuple[Change, ...]
    force_is_trouble: bool
    tried: int | None = None


def advise(figures: Figures, *, tubes: Sequence[Tube] = (), limits: Limits | None = None) -> Advice:
    r"""Rank the bends of a run by their cost, and try it through fewer points.

    A bend of turn :math:`\theta` multiplies the force by :math:`e^{\mu\theta}`, wherever it is and
    whatever its radius: less wrap is the only cure. Of a run of many points so many are tried as
    :data:`MOST_POINTS` allows, those where it turns the most. Forces saved are those of the capstan law, on
    the tight run. Other runs keep to the points that are left and their headings, and are looked at
    drawn tight and left to themselves.
    """
    held = limits or Limits()
    # as the rule has it: a measured drag is no matter of bends
    trouble = figures.pull.passed[0] < held.efficiency[0]
    omissions = [_looked_at(figures, tubes, found) for found in _omissions(figures)]
    sweeps = [_looked_at(figures, tubes, found) for found in _sweeps(figures)] if trouble else []
    return Advice(
        friction=figures.friction[1],
        bends=tuple(sorted(_bends(figures), key=lambda bend: -bend.turn)),
        omissions=tuple(sorted(omissions, key=lambda change: -change.wrap)),
        sweeps=tuple(
            sorted((each for each in sweeps if each.is_good), key=lambda change: -change.wrap)
        ),
        force_is_trouble=trouble,
        tried=most
        if (most := _most_tried(figures.route)) < len(figures.route.points) - 2
        else None,
    )


def _most_tried(route: Route) -> int:
    return MOST_POINTS // len(route.points)


def _sharpest(route: Route, count: int) -> list[int]:
    """Return from which points on so many bends in a row are tried: where they turn the most."""
    turns = np.zeros(len(route.points))
    np.add.at(turns, route.owners[1:-1], route.turns)
    sums = np.convolve(turns[1:-1], np.ones(count), "valid")
    found: list[int] = np.sort(np.argsort(-sums, kind="stable")[: _most_tried(route)] + 1).tolist()
    return found


def _saved(figures: Figures, wrap: float) -> float:
    """Pull at the hand saved by a wrap saved, at high friction [N]."""
    return figures.pull.inputs[1] * -float(np.expm1(-figures.friction[1] * wrap))


def _bends(figures: Figures) -> Iterator[BendCost]:
    for corner, turn in enumerate(figures.route.turns.tolist()):
        if turn > STRAIGHT:
            cost = exp(figures.friction[1] * turn) - 1.0
            yield BendCost(figures.corner_name(corner), turn, cost, _saved(figures, turn))


def _omissions(figures: Figures) -> Iterator[tuple[Route, Change]]:
    route, fixes = figures.route, figures.cable.fixes
    for at in _sharpest(route, 1) if len(route.points) > 2 else ():
        point = int(route.kept[at])
        if fixes and fixes[point] == "anchor":
            continue
        other = _without(route, at, at + 1)
        if other is not None:
            yield other, _change(figures, other, at=figures.cable.point_name(point), gone=(point,))


def _sweeps(figures: Figures) -> Iterator[tuple[Route, Change]]:
    """Yield two bends made one, midway between their points, where that saves wrap."""
    route, cable = figures.route, figures.cable
    for at in _sharpest(route, 2) if len(route.points) > 3 else ():
        pair = route.kept[at : at + 2].tolist()
        if any(cable.fixes and cable.fixes[i] == "anchor" for i in pair):
            continue
        middle = route.points[at : at + 2].mean(0)
        other = _without(route, at, at + 2, instead=middle)
        if other is None or float(route.wrap) - float(other.wrap) < WORTHWHILE:
            continue
        names = " and ".join(cable.point_name(i) for i in pair)
        place = tuple(middle.tolist())
        widest = _widest(other, at)
        yield widest, _change(figures, widest, at=names, gone=tuple(pair), point=place, new=at)


def _without(route: Route, first: int, end: int, *, instead: Array | None = None) -> Route | None:
    """Return the run without some points; None where it would turn straight back.

    A point put in their place is gone through, unless all were passed inside.
    """
    radii, through = radii_of_points(route), route.through
    new = 0 if instead is None else 1
    points, widths, passes, ways = (
        np.concatenate((each[:first], np.broadcast_to(one, (new, *each.shape[1:])), each[end:]))
        for each, one in (
            (route.points, np.nan if instead is None else instead),
            (radii, radii[first:end].max()),
            (through, through[first:end].any()),
            (route.headings, np.nan),
        )
    )
    return _fitted(points, widths, passes, ways)


def _fitted(points: Array, radii: Array, through: BoolArray, ways: Array) -> Route | None:
    held = not np.isnan(ways).all()
    try:
        return fit_arcs(
            points,
            min_bend_radius=radii if held else radii[..., 1:-1],
            through=through,
            headings=ways if held else None,
        )
    except GeometryError:
        return None


def _widest(route: Route, at: int) -> Route:
    """Return the run with the widest radius at one point that leaves the others theirs.

    The turn changes with the radius where the run goes through, so that it is tried for.
    """
    radii = radii_of_points(route)
    low, high = float(radii[at]), float(route.length)
    if not route.fits or route.turns[route.owners[1:-1] == at].max() <= STRAIGHT:
        return route
    for _ in range(_NARROWINGS):
        tried = np.repeat(radii[None], _TRIES, axis=0)
        tried[:, at] = np.linspace(low, high, _TRIES)
        points = np.broadcast_to(route.points, (_TRIES, *route.points.shape))
        ways = np.broadcast_to(route.headings, points.shape)
        runs = _fitted(points, tried, route.through, ways)
        fitting = int(np.logical_and.accumulate(runs.fits).sum()) if runs is not None else 0
        if not fitting:
            break
        low, high = tried[fitting - 1, at], tried[min(fitting, _TRIES - 1), at]
    radii[at] = low
    return _fitted(route.points, radii, route.through, route.headings) or route


def _change(
    figures: Figures,
    other: Route,
    *,
    at: str,
    gone: tuple[int, ...],
    point: tuple[float, ...] = (),
    new: int | None = None,
) -> Change:
    wrap = float(figures.route.wrap) - float(other.wrap)
    radius = 0.0 if new is None else float(radii_of_points(other)[new])
    force, fits = _saved(figures, wrap), bool(other.fits)
    return Change(at, wrap, force, fits, (), point, radius, gone)


def _looked_at(figures: Figures, tubes: Sequence[Tube], found: tuple[Route, Change]) -> Change:
    """Say what a run would come too near to; one that gains nothing is not looked at."""
    route, change = found
    solids = tubes or figures.clearances
    if not (solids and change.is_good):
        return change
    runs = (route, lay_of(route).run)
    zones = [clearance.zone for clearance in figures.clearances]
    near = clearances_to(runs, zones, figures.cable.family)
    names = [each.zone.name for each in near if each.clear < each.zone.distance]
    names += [each.tube.name for each in tubes_crossed(figures.cable, runs, tubes)]
    return replace(change, blocked=tuple(names))
