"""An assessment as plain data, ready for JSON. Keys carry their units."""

from __future__ import annotations

from math import degrees, isfinite
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.assess import Assessment, CableAssessment
from cableroute.mechanics.push_travel import PushTravel
from cableroute.output.holding_dict import holding_dict, lasting_dict
from cableroute.output.plain import finding_dict, number
from cableroute.route.pieces import STRAIGHT
from cableroute.verdict.figures import Figures, Transmission
from cableroute.verdict.limits import Limits

if TYPE_CHECKING:
    from cableroute.pairs import PairFigures

#: Raised whenever a key changes its meaning or goes.
SCHEMA = 1


def assessment_dict(assessment: Assessment) -> dict[str, Any]:
    """Return the whole assessment as nested dictionaries.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    dict
        Numbers, strings, lists and None only; what is infinite is None.
    """
    return {
        "schema": SCHEMA,
        "title": assessment.job.title,
        "verdict": assessment.verdict,
        "cables": [_cable(cable) for cable in assessment.cables],
        **(_linkages(assessment) if assessment.linkages else {"linkages": [], "selectors": []}),
    }


def _linkages(assessment: Assessment) -> dict[str, Any]:
    """Return linkages and selectors, by modules that a file without any does not wait for."""
    from cableroute.output.linkage_dict import linkage_dict, selector_dict

    return {
        "linkages": [linkage_dict(linkage) for linkage in assessment.linkages],
        "selectors": [selector_dict(selector) for selector in assessment.selectors],
    }


def _cable(cable: CableAssessment) -> dict[str, Any]:
    figures = cable.figures
    family = figures.cable.family
    return {
        "name": figures.cable.name,
        "kind": figures.cable.kind,
        "verdict": cable.verdict,
        "family": family.name if family else None,
        "friction": list(figures.friction),
        "route": _route(figures),
        "order": _order(figures),
        "pull": {
            **_transmission(figures.pull),
            "weight_n": figures.weight_force,
            "drag_n": figures.drag,
            "drag_is_measured": figures.cable.drag is not None,
        },
        "pull_range": _range(figures.pull),
        "push": _push(figures),
        "push_range": _range(figures.push.through) if figures.push else None,
        "wire_bending_mpa": number(figures.bend_stress),
        "pair": _pair(cable.pair) if cable.pair else None,
        "lost_motion": _lost(figures),
        **holding_dict(cable.holding),
        **lasting_dict(cable.lasting, Limits()),
        "lay": _lay(figures),
        "clearances": [
            {
                "zone": clearance.zone.name,
                "clearance_mm": clearance.clear,
                "at_mm": clearance.nearest.at,
                "point_mm": clearance.nearest.point.tolist(),
            }
            for clearance in figures.clearances
        ],
        "findings": [finding_dict(finding) for finding in cable.findings],
    }


def _pair(pair: PairFigures) -> dict[str, Any]:
    from cableroute.output.pair_dict import pair_dict  # few cables are pairs

    return pair_dict(pair)


def _route(figures: Figures) -> dict[str, Any]:
    route = figures.route
    slacks = route.slacks
    tightest = int(np.argmin(slacks))
    radii, turns, tangents = route.radii, route.turns, route.tangents
    fits = route.corner_fits
    return {
        "length_mm": float(route.length),
        "polyline_length_mm": float(route.legs.sum()),
        "wrap_deg": degrees(float(route.wrap)),
        "wrap_as_measured_deg": degrees(figures.survey.wrap_as_measured),
        "min_bend_radius_mm": number(float(route.min_radius)),
        "fits": bool(route.fits),
        "tightest_leg": {
            "from": figures.vertex_name(tightest),
            "to": figures.vertex_name(tightest + 1),
            "slack_mm": float(slacks[tightest]),
        },
        "bends": [
            {
                "at": figures.corner_name(i),
                "turn_deg": degrees(float(turns[i])),
                "radius_mm": float(radii[i]),
                "arc_length_mm": float(radii[i] * turns[i]),
                "tangent_mm": float(tangents[i]),
                "fits": bool(fits[i]),
            }
            for i in np.flatnonzero(turns > STRAIGHT).tolist()
        ],
        "moved_mm": float(figures.survey.moves.max()),
    }


def _order(figures: Figures) -> dict[str, Any]:
    order = figures.order
    choice = order.choice
    return {
        "conduit_mm": order.conduit,
        "core_mm": order.core,
        "need_mm": order.need,
        "measured_by": order.measure,
        "doubt_mm": order.doubt,
        "stock_mm": choice.stock if choice else None,
        "slack_mm": choice.slack if choice else None,
        "surplus_wrap_deg": degrees(order.surplus_wrap),
    }


def _transmission(through: Transmission) -> dict[str, Any]:
    """Return the pessimistic end."""
    hand = through.inputs[1]
    return {
        "load_n": through.load,
        "input_n": number(hand),
        "efficiency": through.efficiencies[0] if isfinite(hand) and through.load > 0.0 else None,
    }


def _range(through: Transmission) -> dict[str, Any]:
    """Return low and high, None where it locks up."""
    low, high = through.efficiencies
    locked = [not isfinite(hand) for hand in through.inputs]
    return {
        "input_n": [number(hand) for hand in through.inputs],
        "efficiency": [None if locked[1] else low, None if locked[0] else high],
    }


def _push(figures: Figures) -> dict[str, Any] | None:
    push = figures.push
    if push is None:
        return None
    return {
        **_transmission(push.through),
        "lockup": push.lockup,
        "snaking_onset_n": number(push.snaking_onset),
        "rod_buckling_n": number(push.rod_buckling),
        "rod_safety_factor": number(push.rod_safety),
    }


def _lost(figures: Figures) -> dict[str, Any] | None:
    lost = figures.lost
    if lost is None:
        return None
    pulling, pushing = figures.arrives
    return {
        "clearance_mm": lost.clearance,
        "stretch_mm": lost.stretch,
        "conduit_mm": lost.conduit,
        "hysteresis_mm": lost.hysteresis,
        "bracket_mm": lost.bracket,
        "total_mm": lost.one_way,
        "share_of_stroke": lost.one_way / figures.travel if figures.travel else None,
        "other_way_mm": lost.other_way,
        "both_ways_mm": lost.total,
        "both_ways_share": figures.lost_share,
        "arrives_pulling_mm": pulling,
        "arrives_pushing_mm": pushing,
        "pushing": _push_lost(figures.push_lost),
    }


def _push_lost(lost: PushTravel | None) -> dict[str, Any] | None:
    if lost is None:
        return None
    return {
        "stretch_mm": number(float(lost.stretch)),
        "conduit_mm": None if lost.conduit is None else number(float(lost.conduit)),
        "snaking_mm": number(float(lost.snaking)),
    }


def _lay(figures: Figures) -> dict[str, Any] | None:
    lay = figures.lay
    if lay is None or lay.failure:
        return None
    return {
        "length_mm": lay.length,
        "wrap_deg": degrees(lay.wrap),
        "min_bend_radius_mm": number(lay.min_radius),
        "spare_mm": lay.spare,
        "slack_wrap_deg": degrees(lay.slack_wrap),
        "slack_min_bend_radius_mm": number(lay.slack_radius),
    }
