"""Typical slips of tape and pencil, caught as findings and never mended behind one's back."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.cable import Figures
from cableroute.measure.job import Cable
from cableroute.route.fillet import COINCIDENT
from cableroute.units import MM_PER_UNIT
from cableroute.verdict.check import Check
from cableroute.verdict.limits import Limits

#: Points looked at for having been measured twice; more would be a scan, not a survey.
MOST_POINTS = 2000
#: Pairs of them that are told.
MOST_PAIRS = 50
#: Points nearer than this in every coordinate are one [mm]; our own choice.
_TWICE = 1.0
#: A run shorter than this is none that a machine has [mm]; our own choice.
SHORTEST_RUN = 200.0
#: Readings in inches that are at least so many and all whole numbers, with no leg shorter than this
#: [mm], were likely typed in millimetres: a tape read in inches gives fractions, and runs turn more
#: often. Our own choice.
_WHOLE_READINGS, _LONG_LEG = 5, 1000.0
_NAMES = {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet"}


def slips(figures: Figures, limits: Limits) -> Iterator[Check]:
    """Yield a check for each likely slip."""
    points = figures.cable.points
    legs = np.linalg.norm(np.diff(points, axis=0), axis=1)
    run = float(legs.sum())
    yield from _wrong_unit(figures, run, limits)
    yield from _zero_legs(figures, legs)
    if run >= SHORTEST_RUN:  # in a shorter one all points are near each other, for want of a unit
        yield from _twice(figures, points)
    yield from _wild_points(figures, points, legs, limits)


def _zero_legs(figures: Figures, legs: Array) -> Iterator[Check]:
    for i in np.flatnonzero(legs <= COINCIDENT).tolist():
        a, b = figures.cable.point_name(i), figures.cable.point_name(i + 1)
        yield Check(
            code="zero-length-leg",
            name="Points in one place",
            where=f"{a} to {b}",
            message=f"{a} and {b} are at the same place; one of them was left out. Delete it, or measure "
            "it again if it should be elsewhere.",
            value=float(legs[i]),
            marginal=COINCIDENT * (1.0 + 1e-9),
            at_least=True,
            unit="mm",
        )


def _twice(figures: Figures, points: Array) -> Iterator[Check]:
    if len(points) > MOST_POINTS:
        return
    apart = np.abs(points[:, None, :] - points[None, :, :]).max(-1)
    for i, j in np.argwhere(np.triu(apart <= _TWICE, k=2))[:MOST_PAIRS].tolist():
        a, b = figures.cable.point_name(i), figures.cable.point_name(j)
        yield Check(
            code="point-measured-twice",
            name="Points measured twice apart",
            where=f"{a} and {b}",
            message=f"{a} and {b}, which do not follow each other, are within {figures.words.length(_TWICE)}: the cable would "
            "run through itself. One of them was likely typed twice.",
            value=float(apart[i, j]),
            marginal=_TWICE * (1.0 + 1e-9),
            at_least=True,
            unit="mm",
        )


def _wild_points(figures: Figures, points: Array, legs: Array, limits: Limits) -> Iterator[Check]:
    """Points whose detour collapses when one coordinate has its decimal point moved."""
    if len(points) < 3:
        return
    detour, words = legs[:-1] + legs[1:], figures.words
    shifted = points[1:-1, None, None, :] * np.ones((1, 3, 2, 1))
    for axis in range(3):
        shifted[:, axis, :, axis] *= (0.1, 10.0)
    before = np.linalg.norm(shifted - points[:-2, None, None, :], axis=-1)
    after = np.linalg.norm(shifted - points[2:, None, None, :], axis=-1)
    gain = detour[:, None, None] / np.maximum(before + after, COINCIDENT)
    for i in np.flatnonzero(gain.max((1, 2)) > limits.wild_leg).tolist():
        axis, way = divmod(int(gain[i].argmax()), 2)
        name, got = figures.cable.point_name(i + 1), points[i + 1, axis]
        yield Check(
            code="decimal-slip",
            name="Detour that a decimal point explains",
            where=name,
            message=f"{name} lies far off: its {'xyz'[axis]} is {words.plain(got)}, and "
            f"{words.plain(got * (0.1, 10.0)[way])} would lie in line. Measure it again.",
            value=float(gain[i].max()),
            marginal=limits.wild_leg,
        )


def _wrong_unit(figures: Figures, total: float, limits: Limits) -> Iterator[Check]:
    radius, words, unit = figures.cable.bend_radius, figures.words, figures.words.unit
    shortest, per_inch = limits.shortest_route_in_radii * radius, float(MM_PER_UNIT["in"])
    if unit != "mm" and radius < limits.least_radius:
        yield Check(
            code="radius-slip",
            name="Bend radius read in millimetres",
            where="all bends",
            message=f"The least bend radius is {radius:g} mm, but the points were measured in {unit}. Was the "
            f"radius meant so too? With its unit it reads as '2 {unit}'.",
            value=radius,
            marginal=limits.least_radius,
            at_least=True,
            unit="mm",
        )
    if total > limits.longest_route:
        long = words.length(total) if words.inches else f"{total / 1000:.1f} m"
        yield Check(
            code="unit-slip",
            name="Length of the run as read",
            where="all points",
            message=f"The run is {long} long, read as {unit}. "
            f"{_meant(figures, total, shortest, limits)} Is no point ten times too far off?",
            value=total,
            marginal=limits.longest_route,
            unit="mm",
        )
    elif (
        unit == "in" and total / per_inch >= max(shortest, SHORTEST_RUN) and _are_mm(figures.cable)
    ):
        yield Check(
            code="unit-slip",
            name="Length of the run as read",
            where="all points",
            message=f"The run is {words.length(total)} long, read as inches, and every reading of it is a "
            f"whole number, with no leg below a metre. {_meant(figures, total, shortest, limits)}",
            value=total,
            noting=0.0,
            unit="mm",
        )
    elif total < radius or (total < shortest and not figures.route.fits):
        yield Check(
            code="unit-slip",
            name="Length of the run as read",
            where="all points",
            message=f"The whole run is {words.length(total)}, read as {unit}, and its bends are "
            f"{words.length(radius)} in radius. {_meant(figures, total, shortest, limits)}",
            value=total,
            marginal=shortest,
            at_least=True,
            unit="mm",
        )


def _are_mm(cable: Cable) -> bool:
    """Whether what was read as inches looks like millimetres: whole numbers, and long legs only."""
    inches = cable.points / float(MM_PER_UNIT["in"])
    whole = bool((np.abs(inches - inches.round()) < 1e-6).all())
    legs = np.linalg.norm(np.diff(cable.points, axis=0), axis=1)
    enough = int((np.abs(inches) > 0.5).sum()) >= _WHOLE_READINGS
    return whole and enough and bool(legs.min() > _LONG_LEG)


def _meant(figures: Figures, total: float, shortest: float, limits: Limits) -> str:
    """Ask for the unit that was meant: those in which the run would be one that machines have."""
    unit, words = figures.words.unit, figures.words
    per = MM_PER_UNIT[unit]
    runs = {_NAMES[other]: total * float(mm / per) for other, mm in MM_PER_UNIT.items()}
    least = max(shortest, SHORTEST_RUN)
    fit = [
        f"{name} (a run of {words.length(run)})"
        for name, run in runs.items()
        if least <= run <= limits.longest_route and name != _NAMES[unit]
    ]
    return f"Were the points measured in {' or '.join(fit) or 'another unit'}?"
