"""Headings that follow from a linkage: a conduit's end lies in line with its rod at mid-stroke."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.figures.shape import tight_run
from cableroute.measure.job import Cable, Job

if TYPE_CHECKING:
    from cableroute.measure.linkage_models import LinkageEntry

#: A rod shorter than this has no line [mm].
_NO_ROD = 1e-6


def headed(job: Job) -> Job:
    """Return a job whose cables are held, at ends that work a linkage, along the rod at mid-stroke.

    A heading that the file gives stands, and so does a swivel's line, ``out``. An end whose rod
    points against the run stays free: how far the rod leans there is found by the linkage's checks.
    """
    if not job.linkages:
        return job
    cables = {cable.name: cable for cable in job.cables}
    for entry in job.linkages:
        cable = cables.get(entry.cable)
        found = {} if cable is None else _lines(entry, cable)
        if cable is None or not found:
            continue
        held = _held(cable, found)
        if held is None:
            continue
        names = " and ".join(cable.point_name(i) for i in found)
        note = f"no heading is given at {names}: taken along the rod of {entry.name} at mid-stroke"
        cables[cable.name] = replace(held, notes=(*cable.notes, note))
    return replace(job, cables=tuple(cables.values()))


def _held(cable: Cable, found: Mapping[int, Array]) -> Cable | None:
    """Hold a cable along lines at its ends; None where its run would have to turn back there."""
    ways = list(cable.headings or (None,) * len(cable.points))
    for i, way in found.items():
        ways[i] = way
    held = replace(cable, headings=tuple(ways))
    try:
        tight_run(held, held.points)
    except GeometryError:
        return None
    return held


def _lines(entry: LinkageEntry, cable: Cable) -> dict[int, Array]:
    """Return the headings of the ends that have none, by point: towards the far end."""
    # few files have a linkage, and a check of the others starts without these
    from cableroute.linkage.build import build_linkage
    from cableroute.linkage.chain import walk

    last = len(cable.points) - 1
    given = cable.headings or (None,) * (last + 1)
    try:
        built = build_linkage(entry, cable=cable, lost=0.0)
        stroke = walk(built.chain, np.array([0.5 * (built.low + built.high)]))
    except GeometryError:
        return {}  # told where the linkage is worked out
    core = built.chain.cable
    motion = next(each for each in stroke.joints if each.name == core.name)
    rods = {0: (core.hand, motion.start, -1.0), last: (core.far, motion.end, 1.0)}
    swivels = {0: entry.hand.swivel, last: entry.far.swivel}
    found = {}
    for i, (swivel, tip, sign) in rods.items():
        if given[i] is not None or swivel is None:
            continue
        rod = tip[0] - swivel.point if swivels[i].out is None else swivel.axis
        size = float(np.linalg.norm(rod))
        if np.isfinite(size) and size > _NO_ROD:
            found[i] = sign * rod / size
    return found
