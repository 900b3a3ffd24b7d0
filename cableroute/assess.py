"""From a measured job to a verdict: the whole story on one page."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Mapping
from dataclasses import field
from typing import TYPE_CHECKING

from cableroute.figures.cable import Figures, shaped, work_out
from cableroute.figures.clips_and_anchors import Holding, holding_of
from cableroute.figures.headed import headed
from cableroute.figures.lasting import Lasting, lasting_of
from cableroute.frozen import frozen
from cableroute.measure.job import Cable, Job
from cableroute.route.lays_together import together
from cableroute.shown import one_line
from cableroute.verdict.check import Check, Verdict, findings_of, verdict_of
from cableroute.verdict.judge import cable_checks
from cableroute.verdict.limits import Limits

if TYPE_CHECKING:
    from cableroute.figures.linkage import LinkageFigures
    from cableroute.figures.pair import PairFigures
    from cableroute.figures.selector import SelectorFigures
    from cableroute.figures.shape import Shapes
    from cableroute.measure.linkage_models import LinkageEntry
    from cableroute.route.survey import Survey


class _Judged:
    """What was held against limits, and the verdict that adds up to."""

    __slots__ = ()
    checks: tuple[Check, ...]

    def __repr__(self) -> str:
        return f"<{type(self).__name__} of {one_line(self.name)}: {self.verdict}>"

    @property
    @abstractmethod
    def name(self) -> str:
        """What it is called in the file."""

    @property
    def findings(self) -> tuple[Check, ...]:
        """The checks that have something to say, gravest first."""
        return findings_of(self.checks)

    @property
    def verdict(self) -> Verdict:
        """``pass``, ``marginal`` or ``fail``: the gravest of the checks."""
        return verdict_of(check.level for check in self.checks)


@frozen(eq=False)
class CableAssessment(_Judged):
    """One cable's figures and checks.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    checks : tuple of Check
        Every figure that was held against a limit, and every note.
    holding : Holding
        Its clips and anchors.
    lasting : Lasting
        How it fares over its life.
    pair : PairFigures or None
        The two cores of a pull pair; then ``figures`` hold what both together ask of the hand.
    """

    figures: Figures
    checks: tuple[Check, ...]
    holding: Holding
    lasting: Lasting
    pair: PairFigures | None = None

    @property
    def name(self) -> str:
        """What the cable is called."""
        return self.figures.cable.name


@frozen(eq=False)
class LinkageAssessment(_Judged):
    """One linkage's figures and checks.

    Parameters
    ----------
    figures : LinkageFigures
        What was worked out.
    checks : tuple of Check
        Every figure that was held against a limit.
    """

    figures: LinkageFigures
    checks: tuple[Check, ...]

    @property
    def name(self) -> str:
        """What the linkage is called."""
        return self.figures.name


@frozen(eq=False)
class SelectorAssessment(_Judged):
    """One selector's figures and checks.

    Parameters
    ----------
    figures : SelectorFigures
        What was worked out.
    checks : tuple of Check
        Every gate, and how far the rods lean.
    """

    figures: SelectorFigures
    checks: tuple[Check, ...]

    @property
    def name(self) -> str:
        """What the selector is called."""
        return self.figures.entry.name


@frozen(eq=False)
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
    limits : Limits
        What the figures were held against.
    """

    job: Job
    cables: tuple[CableAssessment, ...]
    verdict: Verdict
    linkages: tuple[LinkageAssessment, ...] = ()
    selectors: tuple[SelectorAssessment, ...] = ()
    limits: Limits = field(default_factory=Limits)

    def __repr__(self) -> str:
        return f"<Assessment of {one_line(self.job.title) or 'a job'}: {self.verdict}>"

    def _repr_html_(self) -> str:
        from cableroute.output.in_notebook import verdict_table  # seldom asked for

        return verdict_table(self)


def assess(
    job: Job,
    *,
    limits: Limits | None = None,
    known: Mapping[str, CableAssessment] | None = None,
    known_linkages: Mapping[str, LinkageAssessment] | None = None,
) -> Assessment:
    """Judge every cable of a job.

    Parameters
    ----------
    job : Job
        What was measured.
    limits : Limits, optional
        Limits to hold the figures against.
    known : mapping of str to CableAssessment, optional
        Cables judged before and the same since, by name; they are not judged again.
    known_linkages : mapping of str to LinkageAssessment, optional
        Linkages judged before, they and their cables the same since, by name.

    Returns
    -------
    Assessment
        Figures, findings and verdict.

    Raises
    ------
    GeometryError
        For points from which no route can be made, such as a reversal.
    """
    limits = limits or Limits()
    known = known or {}
    job = headed(job)
    anew = [each for each in job.cables if each.name not in known]
    shapes = iter(together([shaped(each, job=job) for each in anew]))
    cables = [
        known.get(each.name) or _cable(each, job, limits, next(shapes)) for each in job.cables
    ]
    linkages: tuple[LinkageAssessment, ...] = ()
    selectors: tuple[SelectorAssessment, ...] = ()
    if job.linkages:
        worked = {cable.figures.cable.name: cable.figures for cable in cables}
        linkages = _linkages(job, worked, known_linkages or {})
        selectors = _selectors(job, {each.figures.name: each.figures for each in linkages})
    verdict = verdict_of(each.verdict for each in (*cables, *linkages, *selectors))
    return Assessment(job, tuple(cables), verdict, linkages, selectors, limits)


def _cable(cable: Cable, job: Job, limits: Limits, found: tuple[Survey, Shapes]) -> CableAssessment:
    figures = work_out(cable, job=job, found=found)
    if cable.kind == "pull-pair":
        return _pull_pair(figures, limits)
    holding, lasting = holding_of(figures), lasting_of(figures)
    checks = cable_checks(figures, limits=limits, holding=holding, lasting=lasting)
    return CableAssessment(figures, tuple(checks), holding, lasting)


def _pull_pair(figures: Figures, limits: Limits) -> CableAssessment:
    from cableroute.figures.pair import as_felt, one_core, pair_lasting, work_out_pair
    from cableroute.verdict.pair import pair_checks

    pair = work_out_pair(figures)
    holding, lasting = holding_of(one_core(figures, pair)), pair_lasting(figures, pair)
    checks = pair_checks(figures, pair, limits=limits, holding=holding, lasting=lasting)
    return CableAssessment(as_felt(figures, pair), tuple(checks), holding, lasting, pair)


def _linkages(
    job: Job, cables: Mapping[str, Figures], known: Mapping[str, LinkageAssessment]
) -> tuple[LinkageAssessment, ...]:
    from cableroute.figures.linkage import work_out_linkage
    from cableroute.verdict.linkage import linkage_checks

    gated = {name for each in job.selectors for name in (each.select, each.shift)}

    def judged(entry: LinkageEntry) -> LinkageAssessment:
        figures = work_out_linkage(entry, cable=cables[entry.cable])
        checks = linkage_checks(figures, gated=entry.name in gated)
        return LinkageAssessment(figures, tuple(checks))

    return tuple(known.get(entry.name) or judged(entry) for entry in job.linkages)


def _selectors(job: Job, linkages: Mapping[str, LinkageFigures]) -> tuple[SelectorAssessment, ...]:
    from cableroute.figures.selector import work_out_selector
    from cableroute.verdict.selector import selector_checks

    worked = [
        work_out_selector(
            entry,
            select=linkages[entry.select].built,
            shift=linkages[entry.shift].built,
            words=linkages[entry.shift].words,
        )
        for entry in job.selectors
    ]
    return tuple(SelectorAssessment(each, tuple(selector_checks(each))) for each in worked)
