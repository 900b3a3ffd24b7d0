"""Marks along a conduit, and where on the machine each of them is, as it can be measured there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from math import degrees

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.measure.job import Job
from cableroute.measure.tube_places import along_of, clock_of, tube_at
from cableroute.measure.wording import Words
from cableroute.mechanics.clip_places import Clip
from cableroute.output.bend_places import arc_middles
from cableroute.output.report.blocks import Column, Table
from cableroute.route.pieces import STRAIGHT

#: Marks that a sheet holds; a scan has thousands.
MOST_MARKS = 36
_KINDS = {"anchor": "anchor", "clip": "clip", "suggested": "clip wanted, not in the file"}


def marks_table(cable: CableAssessment, job: Job) -> Table:
    """Return clips, anchors and bends from the hand anchor on, with a box to tick at each."""
    words = job.words
    marks = sorted(
        [*_held(cable, job, words), *_bends(cable.figures, words)], key=lambda mark: mark[0]
    )
    left_out = len(marks) - MOST_MARKS
    rows = [
        (
            words.length(at),
            words.length(lying_at(cable.figures, at)),
            *told(),
            "☐",
        )
        for at, told in marks[:MOST_MARKS]
    ]
    if left_out > 0:
        more = f"and {left_out} more: cableroute export --what clips, --what bends"
        rows.append(("", "", more, "", ""))
    heads = ("Drawn tight", "Lying easy", "Mark", "Where it is, or ends", "Done")
    columns = tuple(Column(head, numeric=i < 2) for i, head in enumerate(heads))
    return Table("Marks along the conduit, from the hand anchor", columns, tuple(rows))


def lying_at(figures: Figures, at: float) -> float:
    """Return how far along the conduit a place of the tight run is as it lies left to itself [mm]."""
    lay = np.concatenate(([0.0], np.cumsum(figures.lay.spans)))
    stations = figures.route.stations
    if len(lay) != len(stations):  # a scan, whose tight run stands for its lay
        return at
    return float(np.interp(at, stations, lay))


#: Where a mark is, and what tells its name and place: of thousands few are told.
_Mark = tuple[float, Callable[[], tuple[str, str]]]


def _held(cable: CableAssessment, job: Job, words: Words) -> Iterator[_Mark]:
    def told(clip: Clip) -> tuple[str, str]:
        name = f"{_KINDS[clip.kind]}: {clip.name}" if clip.name else _KINDS[clip.kind]
        return name, place_told(cable.figures, clip.point, job, words)

    yield from ((clip.at, partial(told, clip)) for clip in cable.holding.clips)


def _bends(figures: Figures, words: Words) -> Iterator[_Mark]:
    route = figures.route
    middles, half = arc_middles(route), 0.5 * route.arc_lengths

    def told(i: int) -> tuple[str, str]:
        end = float(middles[i] + half[i])
        radius = words.length(float(route.radii[i]))
        turn = f"{degrees(float(route.turns[i])):.0f}°, radius {radius}"
        return (
            f"bend begins: {figures.corner_name(i)}, {turn}",
            f"ends at {words.length(end)}, lying easy {words.length(lying_at(figures, end))}",
        )

    bends = np.flatnonzero(route.turns > STRAIGHT).tolist()
    yield from ((float(middles[i] - half[i]), partial(told, i)) for i in bends)


def place_told(figures: Figures, point: Array, job: Job, words: Words) -> str:
    """Say where a place is as it can be measured: on its tube, by its tapes, or by coordinates."""
    family = figures.cable.family
    tube = tube_at(job.tubes, point, conduit_od=family.conduit_od if family else 0.0)
    if tube is not None:
        along, clock = float(along_of(tube, point)), clock_of(tube, point)
        return f"on {tube.name}: {words.length(along)} along, clock {clock:.0f}° ({hour(clock)})"
    nodes = _taped_from(figures, point, job)
    if nodes:
        far = (f"{n} {words.length(float(np.linalg.norm(point - job.nodes[n])))}" for n in nodes)
        return f"by tape: {', '.join(far)}"
    return f"x, y, z {words.place(point)}{'' if words.inches else ' mm'}"


def hour(clock: float) -> str:
    """Say an angle on the clock as a time, as the file takes it.

    Examples
    --------
    >>> hour(90.0), hour(105.2), hour(359.9)
    ('3:00', '3:30', '12:00')
    """
    minutes = round(2.0 * clock) % 720
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


def _taped_from(figures: Figures, point: Array, job: Job) -> tuple[str, ...]:
    """Return the nodes that the nearest point of the file was taped from, if it is there and was."""
    route = figures.route
    off = np.linalg.norm(route.points - point, axis=-1)
    nearest = int(np.argmin(off))
    if job.as_read is None or off[nearest] > max(figures.tolerance, 1.0):
        return ()
    given = int(route.kept[nearest])
    for entry in job.as_read.cable:
        if entry.name == figures.cable.name and given < len(entry.points):
            taped = getattr(entry.points[given], "tape", None) or {}
            return tuple(node for node in taped if node in job.nodes)
    return ()
