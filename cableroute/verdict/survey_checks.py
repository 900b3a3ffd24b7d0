"""Check readings against coordinates: which point is likely measured wrong."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from cableroute.measure.job import Cable
from cableroute.measure.positions import FINEST_READING
from cableroute.measure.wording import Words
from cableroute.verdict.findings import Finding

#: Both points and the check itself have the tape's tolerance; added as squares, about sqrt(3).
_SHARE = 3.0**0.5


def check_findings(cable: Cable, *, tolerance: float, words: Words) -> Iterator[Finding]:
    """Compare each check reading with the coordinates.

    Parameters
    ----------
    cable : Cable
        Points and check readings.
    tolerance : float
        One reading is good to plus or minus this [mm].
    words : Words
        How lengths are worded for the tape.

    Yields
    ------
    Finding
        One for each mismatch, naming the point that most mismatches meet in and fewest
        agreeing readings speak for.
    """
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
        yield Finding(
            "check-mismatch",
            "marginal",
            names,
            f"The tape says {words.length(check.read)}, the coordinates "
            f"{words.length(check.read - gap)}: {words.length(abs(gap))} apart. Measure {suspects} again, or tape this distance again.",
            value=abs(gap),
            limit=limit,
            unit="mm",
        )
