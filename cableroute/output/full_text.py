"""Every figure of a cable as text: bends, clips, checks with formula and source."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

import numpy as np

from cableroute.assess import CableAssessment
from cableroute.measure.wording import Words
from cableroute.mechanics.clip_places import Clip
from cableroute.output.checks.cable import checks
from cableroute.output.columns import wrapped
from cableroute.output.wording import distances, newtons
from cableroute.route.pieces import STRAIGHT


def full_lines(cable: CableAssessment, *, unit: str) -> Iterator[str]:
    """Yield what stands behind a cable's verdict.

    Parameters
    ----------
    cable : CableAssessment
        The cable.
    unit : str
        Unit of the tape.

    Yields
    ------
    str
        A line of at most 80 columns.
    """
    words = Words(unit)
    yield "  Bends, along the run from the hand end"
    for row in _bends(cable, words):
        yield from _wrap(row)
    yield "  Clips and anchors"
    for clip in cable.holding.clips:
        yield from _wrap(_clip(clip, words))
    yield from _wrap(
        "A clip's force is what it holds if the conduit is stopped or split in its bend, an upper "
        "bound; an unbroken conduit asks for its spring-back only."
    )
    yield "  Checks, at high friction"
    for check in checks(cable, unit=unit):
        limit = f"; limit: {check.limit}" if check.limit else ""
        left = f"; left: {check.margin}" if check.margin else ""
        yield from _wrap(f"{check.outcome:9}{check.name}: {check.value}{limit}{left}", 13)
        yield from _wrap(f"         {check.formula}; {check.source}", 13)


def _bends(cable: CableAssessment, words: Words) -> Iterator[str]:
    figures = cable.figures
    route = figures.route
    middles, halves = distances(figures)[1:-1], 0.5 * route.arc_lengths
    fitting = route.corner_fits
    for i in np.flatnonzero(route.turns > STRAIGHT).tolist():
        ends = f"{words.length(middles[i] - halves[i])} to {words.length(middles[i] + halves[i])}"
        fits = "" if fitting[i] else ", TOO TIGHT"
        yield (
            f"{figures.corner_name(i)}: {degrees(float(route.turns[i])):.0f} deg at "
            f"{words.length(float(route.radii[i]))} radius, from {ends}{fits}"
        )


def _clip(clip: Clip, words: Words) -> str:
    name = f" {clip.name}" if clip.name else ""
    place = f"{words.length(clip.at)}: {clip.kind}{name} at {words.place(clip.point)}"
    if clip.kind == "anchor":
        return f"{place}; {newtons(clip.force)} along the run"
    if clip.force <= 0.0:
        return place
    back = "" if clip.spring_back is None else f", {newtons(clip.spring_back)} of spring-back"
    return f"{place}; at most {newtons(clip.force)}{back}"


def _wrap(text: str, indent: int = 8) -> list[str]:
    return wrapped(text, indent=indent, first=4)
