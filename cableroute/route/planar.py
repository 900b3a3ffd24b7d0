"""Stretches of a run whose bends lie in one plane, so that a wire can be laid on a drawing of them.

A stretch is found on the bend schedule: it needs no points, and holds for a wire bent to it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route
from cableroute.route.schedule import Schedule, legs_of, planes_of, rebuild

#: How far a bend's plane may lean from that of the stretch whatever the tape says: two bends then
#: by twice that, 2 degrees, which is what the eye and a protractor hold (common practice, no
#: source); and how far it may lean at most [rad].
STEADY, MOST = np.radians(1.0), np.radians(5.0)


@frozen(eq=False)
class FlatRun:
    """Two or more bends in a row that lie in one plane.

    Parameters
    ----------
    first, last : int
        Which bends of the schedule, the first being 0 [-].
    begin : float
        Length along the whole wire from the hand end to where the stretch begins [mm].
    schedule : Schedule
        Bends of the stretch, straights before and after them in full, each rotation 0 or pi.
    off : float
        Greatest rotation that was taken for 0 or pi, as the difference from it [rad].
    """

    first: int
    last: int
    begin: float
    schedule: Schedule
    off: float

    def route(self, *, lead: float) -> tuple[Route, float]:
        """Return the stretch laid in the plane z = 0, along +x at first, bending to +y.

        Parameters
        ----------
        lead : float
            Straight to keep before the first bend and after the last, at most; more than 0 [mm].

        Returns
        -------
        tuple of (Route, float)
            The stretch, and the length along the whole wire at which it then begins [mm].
        """
        straights = self.schedule.straights.copy()
        kept = np.minimum(straights[[0, -1]], lead)
        begin = self.begin + float(straights[0] - kept[0])
        straights[[0, -1]] = kept
        corners = rebuild(
            replace(self.schedule, straights=straights),
            start=(0.0, 0.0, 0.0),
            direction=(1.0, 0.0, 0.0),
            normal=(0.0, 1.0, 0.0),
        )
        return fit_arcs(corners, min_bend_radius=self.schedule.radii.tolist()), begin


def flat_runs(schedule: Schedule, *, tolerance: float) -> tuple[FlatRun, ...]:
    r"""Return the longest stretches of bends in one plane, from the hand end on.

    A bend between legs :math:`a` and :math:`b` reaches :math:`h = \min(a, b) \sin\theta` out of
    line, so a tape good to :math:`\pm t` leaves its plane in doubt by :math:`t / h`. It belongs to
    a stretch while its axis leans from the normal of the common plane by no more than
    :data:`STEADY` and that doubt, together at most :data:`MOST`. The normal is the mean of the
    axes, whichever way they point, weighted by :math:`h^2`.

    Parameters
    ----------
    schedule : Schedule
        How the wire is bent.
    tolerance : float
        One reading of the tape is good to plus or minus this [mm].

    Returns
    -------
    tuple of FlatRun
        Of two bends or more each; no bend is in two of them.

    Notes
    -----
    Laid flat, angles, radii and straights keep their sizes and only the small rotations are
    dropped, so a wire bent on the drawing is off by them.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> from cableroute.route.schedule import bend_schedule
    >>> points = [[0, 0, 0], [400, 0, 0], [400, 300, 0], [700, 300, 0], [700, 300, 200]]
    >>> schedule = bend_schedule(fit_arcs(points, min_bend_radius=60))
    >>> [(run.first, run.last) for run in flat_runs(schedule, tolerance=3.0)]
    [(0, 1)]
    """
    axes = planes_of(schedule)
    legs = legs_of(schedule)
    reach = np.minimum(legs[:-1], legs[1:]) * np.sin(schedule.angles)
    doubt = tolerance / np.maximum(reach, 1e-9)
    limits = np.minimum(STEADY + doubt, MOST)
    found, first = [], 0
    while first < len(axes):
        last = first + 1
        while last < len(axes) and _is_flat(axes[first : last + 1], reach[first:], limits[first:]):
            last += 1
        if last - first > 1:
            found.append(_cut(schedule, first, last))
        first = last
    return tuple(found)


def _is_flat(axes: Array, reach: Array, limits: Array) -> bool:
    count = len(axes)
    weighted = reach[:count, None] * axes
    normal = np.linalg.eigh(weighted.T @ weighted)[1][:, -1]
    leans = np.linalg.norm(np.cross(axes, normal), axis=-1)  # sines
    return bool((leans <= np.sin(limits[:count])).all())


def _cut(schedule: Schedule, first: int, stop: int) -> FlatRun:
    """Cut bends out of a schedule and lay them flat."""
    turned = schedule.rotations[first:stop].copy()
    turned[0] = 0.0
    flat = np.where(np.cos(turned) < 0.0, np.pi, 0.0)
    part = Schedule(
        corners=schedule.corners[first:stop],
        straights=schedule.straights[first : stop + 1],
        rotations=flat,
        angles=schedule.angles[first:stop],
        radii=schedule.radii[first:stop],
    )
    begin = float(schedule.starts[first] - schedule.straights[first])
    off = float(np.abs(np.arcsin(np.sin(turned - flat))).max())
    return FlatRun(first=first, last=stop - 1, begin=begin, schedule=part, off=off)
