"""What holds a cable and how it lasts as plain data, ready for JSON."""

from __future__ import annotations

from typing import Any

from cableroute.mechanics.clip_places import Clip
from cableroute.mechanics.return_spring import ReturnMargin
from cableroute.output.plain import number
from cableroute.verdict.holding import Anchor, Holding
from cableroute.verdict.lasting import Aged, Heat, Lasting, Strain
from cableroute.verdict.lasting_rules import aged_verdict
from cableroute.verdict.limits import Limits


def holding_dict(holding: Holding) -> dict[str, Any]:
    """Return clips and anchors.

    Parameters
    ----------
    holding : Holding
        What holds the cable.

    Returns
    -------
    dict
        Keys ``clips``, ``clip_spacing_mm`` and ``anchors``.
    """
    return {
        "clips": [_clip(clip) for clip in holding.clips],
        "clip_spacing_mm": holding.spacing,
        "anchors": [_anchor(anchor) for anchor in holding.anchors],
    }


def lasting_dict(lasting: Lasting, limits: Limits) -> dict[str, Any]:
    """Return how a cable fares over its life.

    Parameters
    ----------
    lasting : Lasting
        What was worked out.
    limits : Limits
        What each condition is held against.

    Returns
    -------
    dict
        Keys ``return_spring``, ``stress``, ``heat`` and ``conditions``.
    """
    returning = lasting.returning
    return {
        "return_spring": {
            "spring_n": number(float(returning.warm.available)),
            "warm": _return(returning.warm),
            "cold": _return(returning.cold),
        }
        if returning
        else None,
        "stress": _strain(lasting.strain) if lasting.strain else None,
        "heat": _heat(lasting.heat) if lasting.heat else None,
        "conditions": [_aged(aged, limits) for aged in lasting.ages],
    }


def _clip(clip: Clip) -> dict[str, Any]:
    return {
        "at_mm": clip.at,
        "point_mm": clip.point.tolist(),
        "force_n": number(clip.force),
        "direction": (clip.direction + 0.0).tolist(),  # no minus before a nought
        "kind": clip.kind,
        "name": clip.name,
        "spring_back_n": number(clip.spring_back),
    }


def _anchor(anchor: Anchor) -> dict[str, Any]:
    low, high = anchor.band or (None, None)
    return {
        "end": anchor.load.end,
        "pull_n": number(anchor.load.pull),
        "push_n": number(anchor.load.push),
        "holding_n": low,
        "holding_range_n": [low, high] if anchor.band else None,
        "held_by": anchor.how,
        "safety_factor": number(anchor.safety),
        "bracket_mm": anchor.bracket,
        "screws_needed": {"size": anchor.screws[0], "count": anchor.screws[1]}
        if anchor.screws
        else None,
    }


def _return(margin: ReturnMargin) -> dict[str, Any]:
    return {
        "required_n": number(float(margin.required)),
        "margin": number(float(margin.margin)),
        "left_at_hand_n": number(float(margin.left_at_hand)),
        "returns": bool(margin.returns),
    }


def _strain(strain: Strain) -> dict[str, Any]:
    return {
        "bending_mpa": strain.bending,
        "direct_mpa": strain.direct,
        "strength_mpa": strain.strength,
        "strength_is_given": strain.given,
        "table_strength_mpa": list(strain.table) if strain.table else None,
        "share": strain.share,
        "pushed_mpa": number(strain.pushed),
        "pushed_snaking_mpa": strain.snaking,
        "bend_ratio": strain.ratio,
        "least_bend_ratio": strain.least_ratio,
        "life": strain.life,
    }


def _heat(heat: Heat) -> dict[str, Any]:
    return {
        "range_c": list(heat.range),
        "range_is_given": heat.given,
        "free_play_mm": [change + 0.0 for change in heat.free_play],
        "liner_growth_mm": list(heat.creep) if heat.creep else None,
    }


def _aged(aged: Aged, limits: Limits) -> dict[str, Any]:
    return {
        "condition": aged.condition.name,
        "friction": [aged.condition.low, aged.condition.high],
        "pull_n": number(aged.pull),
        "push_n": number(aged.push),
        "efficiency": aged.passed,
        "verdict": aged_verdict(aged, limits),
    }
