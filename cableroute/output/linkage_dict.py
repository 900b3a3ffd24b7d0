"""Linkages and selectors as plain data. Keys carry their units."""

from __future__ import annotations

from math import degrees
from typing import Any

from cableroute.assess import LinkageAssessment, SelectorAssessment
from cableroute.linkage.gates import AxisResult, GateRow
from cableroute.output.plain import finding_dict, number
from cableroute.verdict.linkage_drilling import DrillList, drill_list
from cableroute.verdict.linkage_figures import LinkageFigures, SelectorFigures


def linkage_dict(linkage: LinkageAssessment) -> dict[str, Any]:
    """Return one linkage as nested dictionaries.

    Parameters
    ----------
    linkage : LinkageAssessment
        What was found.

    Returns
    -------
    dict
        Numbers, strings, lists and None only; what is infinite is None.
    """
    figures = linkage.figures
    going, limit = figures.direction, figures.hand_limit
    low, high = figures.hand_forces
    entry = figures.built.entry
    return {
        "name": figures.name,
        "cable": entry.cable,
        "verdict": linkage.verdict,
        "travel": _travel(figures),
        "direction": going.text if going else None,
        "mirrored": going.mirrored if going else None,
        "mends": [
            {
                "kind": mend.kind,
                "what": mend.what,
                "cable_moved_mm": mend.moved,
                "cable_turned_deg": degrees(mend.turned),
                "travel_mm": number(mend.travel),
            }
            for mend in figures.mends
        ],
        "ratio": figures.ratio,
        "nonlinearity": number(figures.bend),
        "rods": {
            "hand_deg": degrees(float(figures.hand_angle.max())),
            "hand_limit_deg": entry.hand.swivel.limit_deg,
            "far_deg": degrees(float(figures.far_angle.max())),
            "far_limit_deg": entry.far.swivel.limit_deg,
        },
        "hand_force_n": number(high),
        "hand_force_range_n": [number(low), number(high)],
        "hand_limit_n": [limit.low, limit.high] if limit else None,
        "hand_limit_source": limit.source if limit else None,
        "far_force_at_limit_n": number(figures.far_at_limit),
        "dead_centres": [
            {
                "kind": centre.kind,
                "joint": centre.joint,
                "member": centre.member,
                "hand_deg": degrees(centre.hand),
            }
            for centre in figures.centres
        ],
        "holes": drill_dict(drill_list(figures)),
        "stroke": stroke_rows(figures),
        "findings": [finding_dict(finding) for finding in linkage.findings],
    }


def _travel(figures: LinkageFigures) -> dict[str, Any]:
    """Travel along the core, and what it makes of itself at the working point."""
    budget = figures.budget
    far = {"far_mm": figures.far_travel, "far_needed_mm": figures.far_needed}
    if budget is None:
        return far
    return {
        "given_mm": budget.given,
        "lost_mm": budget.lost,
        "arriving_mm": budget.arrives,
        "needed_mm": budget.needed,
        "spare_mm": budget.spare,
        **far,
        "cable_stroke_mm": figures.stroke,
        "neutral_in_stroke": budget.neutral_in_stroke,
        "adjust_mm": budget.offset,
        "adjuster_let_out_left_mm": budget.longer_left,
        "adjuster_take_up_left_mm": budget.shorter_left,
    }


def drill_dict(drilled: DrillList) -> dict[str, Any]:
    """Return a drill list as nested dictionaries.

    Parameters
    ----------
    drilled : DrillList
        The holes.

    Returns
    -------
    dict
        Numbers, strings, lists and None only; None where a hole lets something lock.
    """
    return {
        "member": drilled.member or None,
        "for_travel_mm": drilled.travel,
        "holes": hole_rows(drilled),
        "fault": drilled.fault or None,
    }


def hole_rows(drilled: DrillList) -> list[dict[str, Any]]:
    """Return a drill list hole by hole.

    Parameters
    ----------
    drilled : DrillList
        The holes.

    Returns
    -------
    list of dict
    """
    return [
        {
            "radius_mm": hole.radius,
            "travel_mm": number(hole.travel),
            "ratio": number(hole.ratio),
            "grip_per_far": number(hole.force),
            "rod_deg": number(degrees(hole.rod_angle)),
        }
        for hole in drilled.holes
    ]


def stroke_rows(figures: LinkageFigures) -> list[dict[str, Any]]:
    """Return the stroke position by position.

    Parameters
    ----------
    figures : LinkageFigures
        What was worked out.

    Returns
    -------
    list of dict
        Forces are those at high friction; None where something locks or the cable cannot push.
    """
    speed = figures.built.chain.work_speed
    sense = figures.built.far_sense
    return [
        {
            "hand_deg": degrees(float(figures.hand[i])),
            "cable_mm": float(figures.core[i]),
            "arriving_mm": float(figures.arriving[i]),
            "far_mm": sense * float(figures.far[i]) * speed,
            "far_deg": None if figures.slides else sense * degrees(float(figures.far[i])),
            "hand_rod_deg": degrees(float(figures.hand_angle[i])),
            "far_rod_deg": degrees(float(figures.far_angle[i])),
            "pulling_n": number(float(figures.pulling[1, i])),
            "pushing_n": number(float(figures.pushing[1, i])),
        }
        for i in range(figures.hand.size)
    ]


def selector_dict(selector: SelectorAssessment) -> dict[str, Any]:
    """Return one selector as nested dictionaries.

    Parameters
    ----------
    selector : SelectorAssessment
        What was found.

    Returns
    -------
    dict
        Numbers, strings, lists and None only.
    """
    figures = selector.figures
    table = figures.table
    return {
        "name": figures.entry.name,
        "verdict": selector.verdict,
        "pattern": table.sense.text if table else None,
        "gates": gate_rows(figures),
        "findings": [finding_dict(finding) for finding in selector.findings],
    }


def gate_rows(figures: SelectorFigures) -> list[dict[str, Any]]:
    """Return the table of a selector, gate by gate.

    Parameters
    ----------
    figures : SelectorFigures
        What was worked out.

    Returns
    -------
    list of dict
    """
    rows = figures.table.rows if figures.table else ()
    return [_gate(figures, row) for row in rows]


def _gate(figures: SelectorFigures, row: GateRow) -> dict[str, Any]:
    gate = row.gate
    return {
        "gate": gate.name,
        "press": gate.press,
        "reached": row.reached,
        "lever_select_deg": figures.select.hand_sense * degrees(gate.lever[0]),
        "lever_shift_deg": figures.shift.hand_sense * degrees(gate.lever[1]),
        "knob_mm": [float(part) for part in row.knob],
        "select": _axis(figures, "select", row.select),
        "shift": _axis(figures, "shift", row.shift),
    }


def _axis(figures: SelectorFigures, axis: str, at: AxisResult) -> dict[str, Any]:
    """One axis, what arrives being above 0 the wanted way."""
    built = figures.select if axis == "select" else figures.shift
    unit, scale = figures.unit_of(axis)
    low, high = sorted(built.far_sense * value / scale for value in (at.low, at.high))
    return {
        "cable_mm": at.drawn,
        "crosstalk_mm": at.crosstalk,
        f"arrives_{unit}": [low, high],
        f"wanted_{unit}": built.far_sense * at.wanted / scale,
        f"tolerance_{unit}": at.tolerance / scale,
        "outcome": at.outcome,
    }
