"""Every check of a cable in turn."""

from __future__ import annotations

from collections.abc import Iterator

from cableroute.figures.cable import Figures
from cableroute.figures.clips_and_anchors import Holding
from cableroute.figures.lasting import Lasting
from cableroute.verdict.check import Check
from cableroute.verdict.force import force_checks
from cableroute.verdict.holding import holding_checks
from cableroute.verdict.lasting import lasting_checks
from cableroute.verdict.limits import Limits
from cableroute.verdict.order import order_checks
from cableroute.verdict.shape import shape_checks
from cableroute.verdict.slips import slips
from cableroute.verdict.survey import smoothing_checks, survey_checks
from cableroute.verdict.validity import validity_checks


def cable_checks(
    figures: Figures, *, limits: Limits, holding: Holding, lasting: Lasting
) -> Iterator[Check]:
    """Yield every check of a cable with one core, in the order of the report."""
    yield from run_checks(figures, limits)
    yield from holding_checks(figures, holding, limits)
    yield from lasting_checks(figures, lasting, limits)
    yield from doubt_checks(figures, limits)


def run_checks(figures: Figures, limits: Limits) -> Iterator[Check]:
    """Yield what the figures of a run alone can tell, without what holds it and how it lasts."""
    yield from smoothing_checks(figures)
    yield from shape_checks(figures)
    yield from force_checks(figures, limits)
    yield from order_checks(figures, limits)


def doubt_checks(figures: Figures, limits: Limits) -> Iterator[Check]:
    """Yield what the figures rest on: formulas beyond their limits, likely slips, assumptions."""
    yield from validity_checks(figures)
    yield from slips(figures, limits)
    yield from survey_checks(figures)
    for text in figures.assumed:
        yield Check(code="assumed", name="Assumption", where="data", message=text)


def not_judged(figures: Figures) -> tuple[str, ...]:
    """Say what could not be held against a limit for want of data."""
    family, push = figures.cable.family, figures.push
    missing = {
        "snaking": push is not None and family is None,
        "working load": family is None or not family.max_pull,
        "exposed rod": push is not None and push.rod_buckling is None,
        "wire stress": family is None,
        "lost motion": figures.lost_share is None,
        "stroke": family is None or not family.stroke or not figures.cable.travel,
        "stock length": figures.order.choice is None,
    }
    return tuple(name for name, is_missing in missing.items() if is_missing)
