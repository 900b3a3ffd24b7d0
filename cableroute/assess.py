"""From a measured job to a verdict: the whole story on one page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from cableroute.measure.job import Cable, Job
from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding, Verdict, verdict_of
from cableroute.verdict.holding import Holding
from cableroute.verdict.lasting import Lasting
from cableroute.verdict.limits import Limits
from cableroute.verdict.rules import judge
from cableroute.workings import holding_of, lasting_of, work_out

if TYPE_CHECKING:
    from cableroute.pairs import PairFigures
    from cableroute.verdict.linkage_figures import LinkageFigures, SelectorFigures


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
    holding : Holding
        Its clips and anchors.
    lasting : Lasting
        How it fares over its life.
    pair : PairFigures or None
        The two cores of a pull pair; then ``figures`` hold what both together ask of the hand.
    """

    figures: Figures
    findings: tuple[Finding, ...]
    verdict: Verdict
    holding: Holding
    lasting: Lasting
    pair: PairFigures | None = None


@dataclass(frozen=True, slots=True, eq=False)
class LinkageAssessment:
    """One linkage's figures, findings and verdict.

    Parameters
    ----------
    figures : LinkageFigures
        What was worked out.
    findings : tuple of Finding
        What to know about it, gravest first.
    verdict : str
        ``pass``, ``marginal`` or ``fail``.
    """

    figures: LinkageFigures
    findings: tuple[Finding, ...]
    verdict: Verdict


@dataclass(frozen=True, slots=True, eq=False)
class SelectorAssessment:
    """One selector's figures, findings and verdict.

    Parameters
    ----------
    figures : SelectorFigures
        What was worked out.
    findings : tuple of Finding
        What to know about it, gravest first.
    verdict : str
        ``pass``, ``marginal`` or ``fail``.
    """

    figures: SelectorFigures
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
    linkages : tuple of LinkageAssessment
        One for each linkage.
    selectors : tuple of SelectorAssessment
        One for each selector.
    """

    job: Job
    cables: tuple[CableAssessment, ...]
    verdict: Verdict
    linkages: tuple[LinkageAssessment, ...] = ()
    selectors: tuple[SelectorAssessment, ...] = ()


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
    cables = [_cable(cable, job, limits or Limits(), lay=lay) for cable in job.cables]
    linkages: tuple[LinkageAssessment, ...] = ()
    selectors: tuple[SelectorAssessment, ...] = ()
    if job.linkages:  # few files have any, and a check of the others starts without their modules
        linkages = _linkages(job, {cable.figures.cable.name: cable.figures for cable in cables})
        selectors = _selectors(job, {each.figures.name: each.figures for each in linkages})
    verdicts = [each.verdict for each in cables]
    verdicts += [each.verdict for each in linkages]
    verdicts += [each.verdict for each in selectors]
    return Assessment(job, tuple(cables), verdict_of(verdicts), linkages, selectors)


def _cable(cable: Cable, job: Job, limits: Limits, *, lay: bool) -> CableAssessment:
    figures = work_out(cable, job=job, lay=lay)
    if cable.kind == "pull-pair":
        return _pull_pair(figures, limits)
    holding, lasting = holding_of(figures), lasting_of(figures)
    findings = judge(
        figures,
        limits=limits,
        holding=holding,
        lasting=lasting,
    )
    verdict = verdict_of(finding.level for finding in findings)
    return CableAssessment(figures, findings, verdict, holding, lasting)


def _pull_pair(figures: Figures, limits: Limits) -> CableAssessment:
    from cableroute.pairs import as_felt, judge_pair, one_core, pair_lasting, work_out_pair

    pair = work_out_pair(figures)
    holding, lasting = holding_of(one_core(figures, pair)), pair_lasting(figures, pair)
    findings = judge_pair(figures, pair, limits=limits, holding=holding, lasting=lasting)
    verdict = verdict_of(finding.level for finding in findings)
    return CableAssessment(as_felt(figures, pair), findings, verdict, holding, lasting, pair)


def _linkages(job: Job, cables: Mapping[str, Figures]) -> tuple[LinkageAssessment, ...]:
    from cableroute.linkages import work_out_linkage
    from cableroute.verdict.linkage_rules import judge_linkage

    assessed = []
    for entry in job.linkages:
        figures = work_out_linkage(entry, cable=cables[entry.cable])
        findings = judge_linkage(figures)
        assessed.append(LinkageAssessment(figures, findings, verdict_of(f.level for f in findings)))
    return tuple(assessed)


def _selectors(job: Job, linkages: Mapping[str, LinkageFigures]) -> tuple[SelectorAssessment, ...]:
    from cableroute.linkages import work_out_selector
    from cableroute.verdict.linkage_rules import judge_selector

    assessed = []
    for entry in job.selectors:
        select, shift = linkages[entry.select].built, linkages[entry.shift].built
        figures = work_out_selector(entry, select=select, shift=shift)
        findings = judge_selector(figures)
        assessed.append(
            SelectorAssessment(figures, findings, verdict_of(f.level for f in findings))
        )
    return tuple(assessed)
