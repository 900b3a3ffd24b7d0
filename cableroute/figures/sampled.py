"""Runs that were sampled closely, as CAD writes them: judged as the lines and arcs they are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cableroute.measure.drawn import held_to_its_radius
from cableroute.measure.job import Cable, Job
from cableroute.measure.wording import Words
from cableroute.route.sampled import Sampled, recognise, widest_within

#: What samples leave open of an arc's radius, as a share of it [-].
_ALMOST = 0.005


def as_drawn(job: Job) -> Job:
    """Return a job in which every sampled curve is told as lines and arcs, and a note says so.

    A cable stays as it is where something holds on to single points of it: labels, clips, tubes,
    readings to check it by.
    """
    return replace(job, cables=tuple(_drawn(cable, job.words) for cable in job.cables))


def _drawn(cable: Cable, words: Words) -> Cable:
    found = None if _is_marked(cable) else recognise(cable.points)
    if found is None:
        return cable
    note = (
        f"its {len(cable.points)} points stand so close and so exact that they are taken for a drawn "
        f"curve: straights with {_bends(found.arcs)} between, which miss none of the points by more "
        f"than {_missed(found.deviation)}"
    )
    return replace(_told_by(cable, found, words), notes=(*cable.notes, note))


def _bends(count: int) -> str:
    return "1 bend" if count == 1 else f"{count} bends"


def _missed(deviation: float) -> str:
    return "0.01 mm" if deviation < 0.01 else f"{deviation:.2f} mm"


def _is_marked(cable: Cable) -> bool:
    inner = (cable.fixes[1:-1], cable.point_radii[1:-1])
    named = cable.labels[1:-1]  # where every point has a name, a program gave it
    on_tube = any(axis is not None for axis in cable.tube_axes)
    marked = any(map(any, inner)) or (any(named) and not all(named))
    return bool(cable.checks) or on_tube or marked


def _told_by(cable: Cable, found: Sampled, words: Words) -> Cable:
    """Put the corners of its arcs in the place of the points, with no tape's tolerance on them."""
    count = len(found.points)
    # a corner so slight that a wider arc is within the samples is no bend of the least radius
    wide = widest_within(found.points, found.radii)
    slight = np.where(np.isfinite(wide) & (wide > cable.bend_radius), wide, np.nan)
    told = np.where(np.isnan(found.radii), slight, found.radii)
    radii = [None if np.isnan(radius) else float(radius) for radius in told]
    between = ("",) * (count - 2)
    return held_to_its_radius(
        replace(
            cable,
            points=found.points,
            labels=(cable.labels[0], *between, cable.labels[-1]),
            fixes=(cable.fixes[0], *[None] * (count - 2), cable.fixes[-1]),
            point_radii=(None, *radii, None),
            moves=(cable.moves[0], *["free"] * (count - 2), cable.moves[-1]),
            tube_axes=(None,) * count,
            tube_rooms=(None,) * count,
            tubes=(None,) * count,
            headings=(None,) * count,
            places=(),
            is_drawn=True,
        ),
        words,
        almost=_ALMOST,
    )
