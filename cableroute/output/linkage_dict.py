"""Linkages and selectors as plain data. Keys carry their units."""

from __future__ import annotations

from math import degrees
from typing import Any

from cableroute.assess import LinkageAssessment, SelectorAssessment
from cableroute.figures.drill_list import DrillList
from cableroute.figures.linkage import LinkageFigures
from cableroute.figures.moved_run import MovedRun
from cableroute.figures.selector import SelectorFigures
from cableroute.linkage.gate_mends import AxisMend
from cableroute.linkage.gates import AxisResult, GateRow
from cableroute.output.plain import check_dict, finding_dict, number
from cableroute.table.linkage import (
    FAR_AT_LIMIT,
    FAR_LEANS,
    FAR_TRAVEL,
    GRIP,
    GRIP_RANGE,
    HAND_LEANS,
    OFF_PROPORTION,
    RATIO,
    TRAVEL,
)


def linkage_dict(linkage: LinkageAssessment) -> dict[str, Any]:
    """Return one linkage as nested dictionaries; its drill list is :func:`drill_dict`."""
    figures = linkage.figures
    going, limit = figures.direction, figures.hand_limit
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
                "run": _moved(moved),
            }
            for mend, moved in zip(figures.mends, figures.moved, strict=True)
        ],
        RATIO.key: RATIO.plain(figures),
        OFF_PROPORTION.key: OFF_PROPORTION.plain(figures),
        "rods": {
            HAND_LEANS.key: HAND_LEANS.plain(figures),
            "hand_limit_deg": entry.hand.swivel.limit_deg,
            FAR_LEANS.key: FAR_LEANS.plain(figures),
            "far_limit_deg": entry.far.swivel.limit_deg,
            "hand_swivel_n": number(figures.swivels[0]),
            "far_swivel_n": number(figures.swivels[1]),
        },
        GRIP.key: GRIP.plain(figures),
        GRIP_RANGE.key: GRIP_RANGE.plain(figures),
        "hand_limit_n": [limit.low, limit.high] if limit else None,
        "hand_limit_source": limit.source if limit else None,
        FAR_AT_LIMIT.key: FAR_AT_LIMIT.plain(figures),
        "dead_centres": [
            {
                "kind": centre.kind,
                "joint": centre.joint,
                "member": centre.member,
                "hand_deg": degrees(centre.hand),
            }
            for centre in figures.centres
        ],
        "stroke": stroke_rows(figures),
        "checks": [check_dict(check) for check in linkage.checks],
        "findings": [finding_dict(finding) for finding in linkage.findings],
    }


def _moved(moved: MovedRun | None) -> dict[str, Any] | None:
    """Return what a mend costs the run of the cable it moves, as plain data."""
    if moved is None:
        return None
    return {
        "length_mm": moved.length[1],
        "wrap_deg": degrees(moved.wrap[1]),
        "input_n": number(moved.pull[1]),
        "more_length_mm": moved.length[1] - moved.length[0],
        "more_wrap_deg": degrees(moved.wrap[1] - moved.wrap[0]),
        "more_input_n": number(moved.pull[1] - moved.pull[0]),
        "fits": moved.fits,
        "turns_back": moved.turns_back,
    }


def _travel(figures: LinkageFigures) -> dict[str, Any]:
    """Travel along the core, and what it makes of itself at the working point."""
    return {**(TRAVEL.plain(figures) or {}), **(FAR_TRAVEL.plain(figures) or {})}


def drill_dict(drilled: DrillList) -> dict[str, Any]:
    """Return a drill list as nested dictionaries."""
    return {
        "member": drilled.member or None,
        "for_travel_mm": drilled.travel,
        "holes": hole_rows(drilled),
        "fault": drilled.fault or None,
    }


def hole_rows(drilled: DrillList) -> list[dict[str, Any]]:
    """Return a drill list hole by hole."""
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
    """Return the stroke position by position."""
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
    """Return one selector as nested dictionaries."""
    figures = selector.figures
    table = figures.table
    return {
        "name": figures.entry.name,
        "verdict": selector.verdict,
        "pattern": table.sense.text if table else None,
        "gates": gate_rows(figures),
        "mends": [_mend(figures, way) for way in figures.mends.ways] if figures.mends else [],
        "checks": [check_dict(check) for check in selector.checks],
        "findings": [finding_dict(finding) for finding in selector.findings],
    }


def _mend(figures: SelectorFigures, way: AxisMend) -> dict[str, Any]:
    """One cable's part of what reaches every gate."""
    unit, scale = figures.unit_of(way.axis)
    return {
        "axis": way.axis,
        "reaches": way.reaches,
        "let_out_mm": way.let_out,
        "lever_radius_mm": way.lever_radius,
        "box_radius_mm": way.box_radius,
        f"spare_{unit}": number(way.spare / scale),
    }


def gate_rows(figures: SelectorFigures) -> list[dict[str, Any]]:
    """Return the table of a selector, gate by gate."""
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
