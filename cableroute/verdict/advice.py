"""What would make a run better: bends by what they cost, points to leave out, wider sweeps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import exp

import numpy as np

from cableroute.errors import GeometryError
from cableroute.route.clearance import nearest_to
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import STRAIGHT, Array, Route
from cableroute.verdict.figures import Figures
from cableroute.verdict.limits import Limits

#: A sweep is worth proposing from this much less wrap on [rad]; our own choice.
WORTHWHILE = 0.05


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
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
    """

    at: str
    wrap: float
    force: float
    fits: bool
    blocked: tuple[str, ...]
    point: tuple[float, ...] = ()
    radius: float = 0.0

    @property
    def is_good(self) -> bool:
        """Whether it saves wrap, fits, and keeps clear."""
        return self.wrap > STRAIGHT and self.fits and not self.blocked


@dataclass(frozen=True, slots=True)
class Advice:
    """What would make a run easier to pull through.

    Parameters
    ----------
    friction : float
        The high friction that all is worked out at [-].
    bends : tuple of BendCost
        Every bend, the dearest first.
    omissions : tuple of Change
        Every point between that may be left out, the greatest saving first.
    sweeps : tuple of Change
        Pairs of bends to replace by one wider; only where force is the trouble and the wrap falls.
    force_is_trouble : bool
        Whether too little of the force arrives.
    """

    friction: float
    bends: tuple[BendCost, ...]
    omissions: tuple[Change, ...]
    sweeps: tuple[Change, ...]
    force_is_trouble: bool


def advise(figures: Figures, *, limits: Limits | None = None) -> Advice:
    r"""Rank the bends of a run by their cost, and try it through fewer points.

    A bend of turn :math:`\theta` multiplies the force by :math:`e^{\mu\theta}`, wherever it is and
    whatever its radius: less wrap is the only cure. Forces saved are those of the capstan law.

    Parameters
    ----------
    figures : Figures
        The run as it is.
    limits : Limits, optional
        What efficiency is held against.

    Returns
    -------
    Advice
        Bends, points to leave out, and sweeps.
    """
    held = limits or Limits()
    trouble = figures.pull.efficiencies[0] < held.efficiency[0]
    return Advice(
        friction=figures.friction[1],
        bends=tuple(sorted(_bends(figures), key=lambda bend: -bend.turn)),
        omissions=tuple(sorted(_omissions(figures), key=lambda change: -change.wrap)),
        sweeps=tuple(sorted(_sweeps(figures), key=lambda change: -change.wrap)) if trouble else (),
        force_is_trouble=trouble,
    )


def _saved(figures: Figures, wrap: float) -> float:
    """Pull at the hand saved by a wrap saved, at high friction [N]."""
    return figures.pull.inputs[1] * -float(np.expm1(-figures.friction[1] * wrap))


def _bends(figures: Figures) -> Iterator[BendCost]:
    for corner, turn in enumerate(figures.route.turns.tolist()):
        if turn > STRAIGHT:
            cost = exp(figures.friction[1] * turn) - 1.0
            yield BendCost(figures.corner_name(corner), turn, cost, _saved(figures, turn))


def _omissions(figures: Figures) -> Iterator[Change]:
    route, fixes = figures.route, figures.cable.fixes
    for corner, point in enumerate(route.kept[1:-1].tolist()):
        if fixes and fixes[point] == "anchor":
            continue
        other = _without(route, corner, corner + 1)
        if other is not None:
            yield _change(figures, other, at=figures.corner_name(corner))


def _sweeps(figures: Figures) -> Iterator[Change]:
    """Yield two bends made one, at the middle of the leg between them, where that saves wrap."""
    route, cable = figures.route, figures.cable
    for corner in range(len(route.turns) - 1):
        pair = route.kept[corner + 1 : corner + 3].tolist()
        if any(cable.fixes and cable.fixes[i] == "anchor" for i in pair):
            continue
        middle = route.points[corner + 1 : corner + 3].mean(0)
        other = _without(route, corner, corner + 2, instead=middle)
        if other is None or float(route.wrap) - float(other.wrap) < WORTHWHILE:
            continue
        at = f"{figures.corner_name(corner)} and {figures.corner_name(corner + 1)}"
        widest = _widest(other, corner)
        change = _change(figures, widest, at=at, point=tuple(middle.tolist()), corner=corner)
        if change.is_good:
            yield change


def _without(route: Route, first: int, end: int, *, instead: Array | None = None) -> Route | None:
    """Return the run without some corners; None where it would turn straight back."""
    new = np.empty((0, 3)) if instead is None else instead[None]
    points = np.concatenate((route.points[: first + 1], new, route.points[end + 1 :]))
    radii = route.wanted_radii
    wanted = [float(radii[first:end].max())] if instead is not None else []
    try:
        return fit_arcs(
            points, min_bend_radius=np.concatenate((radii[:first], wanted, radii[end:]))
        )
    except GeometryError:
        return None


def _widest(route: Route, corner: int) -> Route:
    """Return the run with the widest radius at one corner that leaves the others theirs."""
    if not route.fits:
        return route
    half = float(np.tan(0.5 * route.turns[corner]))
    if half <= STRAIGHT:
        return route
    spare = float(route.slacks[corner : corner + 2].min())
    radii = route.wanted_radii.copy()
    radii[corner] += max(spare, 0.0) / half * (1.0 - 1e-9)
    return fit_arcs(route.points, min_bend_radius=radii)


def _change(
    figures: Figures,
    other: Route,
    *,
    at: str,
    point: tuple[float, ...] = (),
    corner: int | None = None,
) -> Change:
    wrap = float(figures.route.wrap) - float(other.wrap)
    radius = 0.0 if corner is None else float(other.radii[corner])
    blocked = tuple(_blocked(figures, other))
    return Change(at, wrap, _saved(figures, wrap), bool(other.fits), blocked, point, radius)


def _blocked(figures: Figures, route: Route) -> Iterator[str]:
    """Yield the names of the solids that a run comes too near to."""
    family = figures.cable.family
    outside = 0.5 * family.conduit_od if family else 0.0
    for clearance in figures.clearances:
        zone = clearance.zone
        if nearest_to(route, zone.shape).distance - outside < zone.distance:
            yield zone.name
