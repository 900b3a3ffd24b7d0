"""An assessment as plain data, ready for JSON. Keys carry their units."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cableroute.assess import Assessment, CableAssessment
from cableroute.output.plain import JsonObject, check_dict, finding_dict
from cableroute.table.holding import ANCHOR, CLIP, CONDITION
from cableroute.table.run import points_dict
from cableroute.table.whole_cable import BEND_STRESS, GROUPS
from cableroute.verdict.limits import Limits

#: Raised whenever a key changes its meaning or goes.
SCHEMA = 1


def assessment_dict(
    assessment: Assessment, *, known: Mapping[CableAssessment, JsonObject] | None = None
) -> JsonObject:
    """Return the whole assessment as nested dictionaries.

    Parameters
    ----------
    assessment : Assessment
        What was found.
    known : mapping of CableAssessment to dict, optional
        What was returned of cables before, by the very same limits.

    Returns
    -------
    dict
        The keys that ``check --json`` promises.
    """
    known = known or {}
    return {
        "schema": SCHEMA,
        "title": assessment.job.title,
        "verdict": assessment.verdict,
        "cables": [
            known.get(cable) or _cable(cable, assessment.limits) for cable in assessment.cables
        ],
        **(_linkages(assessment) if assessment.linkages else {"linkages": [], "selectors": []}),
    }


def _linkages(assessment: Assessment) -> dict[str, Any]:
    """Return linkages and selectors, by modules that a file without any does not wait for."""
    from cableroute.output.linkage_dict import linkage_dict, selector_dict

    return {
        "linkages": [linkage_dict(linkage) for linkage in assessment.linkages],
        "selectors": [selector_dict(selector) for selector in assessment.selectors],
    }


def _cable(cable: CableAssessment, limits: Limits) -> dict[str, Any]:
    figures = cable.figures
    family = figures.cable.family
    return {
        "name": figures.cable.name,
        "kind": figures.cable.kind,
        "verdict": cable.verdict,
        "family": family.name if family else None,
        "friction": list(figures.friction),
        "range_shares": dict(zip(("friction", "shape"), figures.range_shares, strict=True)),
        "points": points_dict(figures),
        **{group.key: group.plain(cable) for group in GROUPS},
        BEND_STRESS.key: BEND_STRESS.plain(cable),
        "clips": [CLIP.plain(clip) for clip in cable.holding.clips],
        "clip_spacing_mm": cable.holding.spacing,
        "anchors": [ANCHOR.plain(anchor) for anchor in cable.holding.anchors],
        "conditions": [CONDITION.plain((aged, limits)) for aged in cable.lasting.ages],
        "clearances": [
            {
                "zone": clearance.zone.name,
                "clearance_mm": clearance.clear,
                "at_mm": clearance.nearest.at,
                "point_mm": clearance.nearest.point.tolist(),
            }
            for clearance in figures.clearances
        ],
        "checks": [check_dict(check) for check in cable.checks],
        "findings": [finding_dict(finding) for finding in cable.findings],
    }
