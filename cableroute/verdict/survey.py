"""Checks of the survey: what smoothing did, check readings, what reading the file left in doubt."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

import numpy as np

from cableroute.figures.cable import Figures
from cableroute.measure.job import FAR_OUT, Cable
from cableroute.measure.wording import Words
from cableroute.units import FINEST_READING
from cableroute.verdict.check import OWN, Check

#: Both points and the check itself have the tape's tolerance; added as squares, about sqrt(3).
_SHARE = 3.0**0.5
#: Moves below this are not worth naming [mm].
_SEEN = 0.05


def survey_checks(figures: Figures) -> Iterator[Check]:
    """Yield check readings that do not agree, and what reading the file left in doubt."""
    yield from reading_checks(figures.cable, tolerance=figures.tolerance, words=figures.words)
    for remark in figures.cable.remarks:
        yield Check(
            code=remark.code,
            name="Readings in doubt",
            where=remark.where,
            value=1.0 if remark.off is None else remark.off,
            marginal=0.0,
            failing=remark.far,
            unit="" if remark.off is None else "mm",
            message=remark.message,
        )


def smoothing_checks(figures: Figures) -> Iterator[Check]:
    """Yield what smoothing did, or that it failed."""
    survey, words = figures.survey, figures.words
    if survey.failure:
        yield Check(
            code="smoothing-failed",
            name="Surveys that could not be smoothed",
            where="all points",
            value=1.0,
            marginal=0.0,
            message=f"The tape's noise could not be smoothed out ({survey.failure}); the points are "
            "fitted as read, and the wrap is likely too high. Measure fewer points, at the corners.",
        )
    if survey.moves.any():
        measured = degrees(figures.wrap_as_measured)
        most = [i for i in np.argsort(-survey.moves)[:3].tolist() if survey.moves[i] >= _SEEN]
        moved = ", ".join(
            f"{figures.cable.point_name(i)} {words.fine(survey.moves[i])}" for i in most
        )
        yield Check(
            code="smoothed",
            name="Wrap as measured, the tape's noise in it",
            where="all points",
            value=measured,
            unit="deg",
            formula="least sum of turns, each point within the tape's tolerance",
            source=OWN,
            message="The points are close enough together for tape noise to pass for bends: "
            f"{measured:.0f} degrees as measured, "
            f"{degrees(float(figures.route.wrap)):.0f} with each point moved within the tape's "
            f"tolerance. Largest moves: {moved}. With tape_tolerance = 0 they are taken as read.",
        )


def reading_checks(cable: Cable, *, tolerance: float, words: Words) -> Iterator[Check]:
    """Compare each check reading with the coordinates."""
    limit = _SHARE * max(tolerance, FINEST_READING)
    gaps = []
    for check in cable.checks:
        step = cable.points[check.end] - cable.points[check.start]
        computed = np.linalg.norm(step) if check.axis is None else step[check.axis]
        gaps.append(float(check.read - computed))
    blame = np.zeros(len(cable.points))
    for check, gap in zip(cable.checks, gaps, strict=True):
        blame[[check.start, check.end]] += 1.0 if abs(gap) > limit else -1.0
    for check, gap in zip(cable.checks, gaps, strict=True):
        if abs(gap) <= limit:
            continue
        ends = [check.start, check.end]
        worst = [i for i in ends if blame[i] == max(blame[ends])]
        suspects = " or ".join(cable.point_name(i) for i in worst)
        names = " to ".join(cable.point_name(i) for i in ends)
        yield Check(
            code="check-mismatch",
            name="Check reading against the coordinates",
            where=names,
            message=f"The tape says {words.length(check.read)}, the coordinates "
            f"{words.length(check.read - gap)}: {words.length(abs(gap))} apart. Measure {suspects} again, or tape this distance again.",
            value=abs(gap),
            marginal=limit,
            failing=FAR_OUT * max(tolerance, FINEST_READING),
            unit="mm",
        )
