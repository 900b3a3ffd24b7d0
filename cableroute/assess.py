"""From a measured job to a verdict: the whole story on one page."""

from __future__ import annotations

from dataclasses import dataclass

from cableroute.measure.job import Job
from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding, Verdict, verdict_of
from cableroute.verdict.limits import Limits
from cableroute.verdict.rules import judge
from cableroute.workings import work_out


@dataclass(frozen=True, slots=True, eq=False)
class CableAssessment:
    """One cable's figures, findings and verdict.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    findings : tuple of Finding
        What to know about it, gravest first.
    verdict : str
        ``pass``, ``marginal`` or ``fail``.
    """

    figures: Figures
    findings: tuple[Finding, ...]
    verdict: Verdict


@dataclass(frozen=True, slots=True, eq=False)
class Assessment:
    """The verdict on a job.

    Parameters
    ----------
    job : Job
        What was measured.
    cables : tuple of CableAssessment
        One for each cable, in the job's order.
    verdict : str
        The gravest of theirs.
    """

    job: Job
    cables: tuple[CableAssessment, ...]
    verdict: Verdict


def assess(job: Job, *, limits: Limits | None = None, lay: bool = False) -> Assessment:
    """Judge every cable of a job.

    Parameters
    ----------
    job : Job
        What was measured.
    limits : Limits, optional
        Limits to hold the figures against.
    lay : bool
        Whether to work out the natural lay too, which takes a second or so a cable.

    Returns
    -------
    Assessment
        Figures, findings and verdict.

    Raises
    ------
    GeometryError
        For points from which no route can be made, such as a reversal.
    """
    held = limits or Limits()
    cables = []
    for cable in job.cables:
        figures = work_out(cable, job=job, lay=lay)
        findings = judge(figures, limits=held, unit=job.unit, tolerance=job.tape_tolerance)
        cables.append(CableAssessment(figures, findings, verdict_of(f.level for f in findings)))
    return Assessment(job, tuple(cables), verdict_of(cable.verdict for cable in cables))
