"""The tables of linkages and selectors as CSV, for a spreadsheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from cableroute.assess import Assessment
from cableroute.figures.drill_list import DrillList
from cableroute.output.linkage_dict import gate_rows, hole_rows, stroke_rows
from cableroute.output.spreadsheet import csv_text


def linkage_csv(found: Assessment, drilled: Sequence[DrillList]) -> str:
    """Return the stroke and the drill list of every linkage, then the gates of every selector."""
    strokes = [
        {"linkage": each.figures.name, **row}
        for each in found.linkages
        for row in stroke_rows(each.figures)
    ]
    holes = [
        {"linkage": each.figures.name, "member": plate.member, **row}
        for each, plate in zip(found.linkages, drilled, strict=True)
        for row in hole_rows(plate)
    ]
    gates = [
        {"selector": each.figures.entry.name, **_flat(row)}
        for each in found.selectors
        for row in gate_rows(each.figures)
    ]
    return "\r\n".join(_table(rows) for rows in (strokes, holes, gates) if rows)


def _flat(row: Mapping[str, Any]) -> dict[str, Any]:
    """Lay a gate's nested values side by side."""
    flat: dict[str, Any] = {}
    for key, value in row.items():
        if isinstance(value, Mapping):
            flat |= {f"{key}_{inner}": v for inner, v in _flat(value).items()}
        elif isinstance(value, list):
            ends = ("low", "high") if len(value) == 2 else ("x", "y", "z")
            flat |= {f"{key}_{end}": v for end, v in zip(ends, value, strict=True)}
        else:
            flat[key] = value
    return flat


def _table(rows: list[dict[str, Any]]) -> str:
    return csv_text(list(dict.fromkeys(key for row in rows for key in row)), rows)
