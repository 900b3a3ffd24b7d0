"""Runs that were drawn and not taped, in the form of a route file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import isfinite

from cableroute.measure.job import Cable, Job, Remark
from cableroute.measure.point_list import Listed, PointList
from cableroute.measure.strands import Strand
from cableroute.measure.wording import Words
from cableroute.shown import shown
from cableroute.units import Unit

#: A drawn arc may be this share below the least radius before it is told [-].
_ALMOST = 1e-6
#: Runs whose hand ends are told.
_MOST_TOLD = 3
_AXES_NOTE = "x, y, z are taken as drawn: x forward, y left, z up"


def listed(runs: Mapping[str, Strand], *, unit: Unit | None, notes: Sequence[str]) -> PointList:
    """Return drawn runs as a list of points, arcs as corners with their radius."""
    cables = [
        Listed(
            name,
            [
                {"at": point, **({"radius": radius} if isfinite(radius) else {})}
                for point, radius in zip(run.points.tolist(), run.radii.tolist(), strict=True)
            ],
            [],
        )
        for name, run in runs.items()
    ]
    words = Words(unit or "mm")
    unsaid = "" if words.inches else " mm"
    ends = [
        f"({words.place(run.points[0])}){unsaid}{f' of {shown(name, most=40)}' * (len(runs) > 1)}"
        for name, run in runs.items()
    ]
    begins = f"the hand end is at {', '.join(ends[:_MOST_TOLD])}" + ", ..." * (
        len(ends) > _MOST_TOLD
    )
    said = "; ".join([*notes, begins, _AXES_NOTE])
    return PointList(tuple(cables), unit, (said,), is_drawn=True)


def not_below_the_least_radius(job: Job) -> Job:
    """Ask every drawn arc for the cable's least radius, and say where it was drawn tighter."""
    cables = (held_to_its_radius(replace(cable, is_drawn=True), job.words) for cable in job.cables)
    return replace(job, cables=tuple(cables))


def held_to_its_radius(cable: Cable, words: Words, *, almost: float = _ALMOST) -> Cable:
    """Ask the drawn arcs of one cable for its least radius, and say where they are tighter.

    `almost` is the share below it that is not told. Its points are the corners of lines: the run
    passes inside of them.
    """
    least = cable.bend_radius * (1.0 - almost)
    remarks = tuple(
        Remark(
            "drawn-too-tight",
            cable.point_name(i),
            f"It is drawn with a radius of {words.plain(radius)}, below the "
            f"{words.plain(cable.bend_radius)} that this cable may bend to, and judged at that. Draw it "
            "wider.",
        )
        for i, radius in enumerate(cable.point_radii)
        if radius is not None and radius < least
    )
    radii = tuple(r if r is None else max(r, cable.bend_radius) for r in cable.point_radii)
    return replace(cable, point_radii=radii, remarks=(*cable.remarks, *remarks), passes="inside")
