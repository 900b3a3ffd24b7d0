"""Every rule in turn: figures of a cable against limits."""

from __future__ import annotations

from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding, by_gravity
from cableroute.verdict.force_rules import (
    drag_rule,
    efficiency_rule,
    load_rule,
    lost_rule,
    push_rule,
    stroke_rule,
    weight_rule,
)
from cableroute.verdict.holding import Holding
from cableroute.verdict.holding_rules import holding_findings
from cableroute.verdict.lasting import Lasting
from cableroute.verdict.lasting_rules import lasting_findings
from cableroute.verdict.limits import Limits
from cableroute.verdict.shape_rules import (
    fit_rule,
    keep_out_rule,
    lay_rule,
    radius_rule,
    stock_rule,
    survey_rule,
)
from cableroute.verdict.slips import slips
from cableroute.verdict.survey_checks import check_findings
from cableroute.verdict.validity_rules import validity_findings

#: In the order of the report, within one level of gravity.
_RULES = (
    survey_rule,
    fit_rule,
    radius_rule,
    keep_out_rule,
    efficiency_rule,
    push_rule,
    load_rule,
    drag_rule,
    stroke_rule,
    lost_rule,
    stock_rule,
    lay_rule,
    weight_rule,
)


def judge(
    figures: Figures,
    *,
    limits: Limits,
    holding: Holding | None = None,
    lasting: Lasting | None = None,
) -> tuple[Finding, ...]:
    """Return every finding about one cable, gravest first.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    limits : Limits
        What to hold it against.
    holding : Holding, optional
        What holds the cable.
    lasting : Lasting, optional
        How it fares over its life.

    Returns
    -------
    tuple of Finding
        Findings, gravest first.
    """
    found: list[Finding] = []
    for rule in _RULES:
        found += rule(figures, limits)
    if holding is not None:
        found += holding_findings(figures, holding, limits)
    if lasting is not None:
        found += lasting_findings(figures, lasting, limits)
    found += validity_findings(figures)
    found += slips(figures, limits)
    found += check_findings(figures.cable, tolerance=figures.tolerance, words=figures.words)
    for remark in figures.cable.remarks:
        found.append(Finding(remark.code, "marginal", remark.where, remark.message))
    found += [Finding("assumed", "note", "data", text) for text in figures.assumed]
    return by_gravity(found)
