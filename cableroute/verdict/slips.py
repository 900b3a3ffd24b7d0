"""Typical slips of tape and pencil, caught as findings and never mended behind one's back."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from cableroute.route.fillet import COINCIDENT
from cableroute.route.pieces import Array
from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding
from cableroute.verdict.limits import Limits

#: Points looked at for having been measured twice; more would be a scan, not a survey.
MOST_POINTS = 2000
#: Points nearer than this in every coordinate are one [mm]; our own choice.
_TWICE = 1.0


def slips(figures: Figures, limits: Limits) -> Iterator[Finding]:
    """Yield a finding for each likely slip.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    limits : Limits
        What counts as unlikely.

    Yields
    ------
    Finding
        Zero-length legs, points measured twice, a decimal point out of place, a wrong unit.
    """
    points = figures.cable.points
    legs = np.linalg.norm(np.diff(points, axis=0), axis=1)
    yield from _zero_legs(figures, legs)
    yield from _twice(figures, points)
    yield from _wild_points(figures, points, legs, limits)
    yield from _wrong_unit(figures, float(legs.sum()), limits)


def _zero_legs(figures: Figures, legs: Array) -> Iterator[Finding]:
    for i in np.flatnonzero(legs <= COINCIDENT).tolist():
        a, b = figures.cable.point_name(i), figures.cable.point_name(i + 1)
        yield Finding(
            "zero-length-leg",
            "marginal",
            f"{a} to {b}",
            f"{a} and {b} are at the same place; one of them was left out. Delete it, or measure "
            "it again if it should be elsewhere.",
            value=float(legs[i]),
            unit="mm",
        )


def _twice(figures: Figures, points: Array) -> Iterator[Finding]:
    if len(points) > MOST_POINTS:
        return
    apart = np.abs(points[:, None, :] - points[None, :, :]).max(-1)
    for i, j in np.argwhere(np.triu(apart <= _TWICE, k=2)).tolist():
        a, b = figures.cable.point_name(i), figures.cable.point_name(j)
        yield Finding(
            "point-measured-twice",
            "marginal",
            f"{a} and {b}",
            f"{a} and {b}, which do not follow each other, are within {figures.words.length(_TWICE)}: the cable would "
            "run through itself. One of them was likely typed twice.",
            value=float(apart[i, j]),
            limit=_TWICE,
            unit="mm",
        )


def _wild_points(figures: Figures, points: Array, legs: Array, limits: Limits) -> Iterator[Finding]:
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
        yield Finding(
            "decimal-slip",
            "marginal",
            name,
            f"{name} lies far off: its {'xyz'[axis]} is {words.plain(got)}, and "
            f"{words.plain(got * (0.1, 10.0)[way])} would lie in line. Measure it again.",
            value=float(gain[i].max()),
            limit=limits.wild_leg,
        )


def _wrong_unit(figures: Figures, total: float, limits: Limits) -> Iterator[Finding]:
    radius, words, unit = figures.cable.bend_radius, figures.words, figures.unit
    shortest = limits.shortest_route_in_radii * radius
    if unit != "mm" and radius < limits.least_radius:
        yield Finding(
            "radius-slip",
            "marginal",
            "all bends",
            f"The least bend radius is {radius:g} mm, but the points were measured in {unit}. Was the "
            f"radius meant so too? With its unit it reads as '2 {unit}'.",
            value=radius,
            limit=limits.least_radius,
            unit="mm",
        )
    if total > limits.longest_route:
        long = words.length(total) if words.inches else f"{total / 1000:.1f} m"
        yield Finding(
            "unit-slip",
            "marginal",
            "all points",
            f"The run is {long} long, read as {unit}. Is that the unit the points were "
            "measured in, and is no point ten times too far off?",
            value=total,
            limit=limits.longest_route,
            unit="mm",
        )
    elif total < shortest and not figures.route.fits:
        hint = "inches or centimetres" if unit == "mm" else "another unit"
        yield Finding(
            "unit-slip",
            "marginal",
            "all points",
            f"The whole run is {words.length(total)}, read as {unit}, and its bends are "
            f"{words.length(radius)} in radius. Were the points measured in {hint}?",
            value=total,
            limit=shortest,
            unit="mm",
        )
