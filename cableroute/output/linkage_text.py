"""Linkages and selectors as text: the full tables that `linkage` shows."""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees, isfinite
from typing import Any

from cableroute.figures.linkage import LinkageFigures
from cableroute.figures.selector import SelectorFigures
from cableroute.linkage.ratio import Hole
from cableroute.measure.wording import Words
from cableroute.output.linkage_dict import gate_rows, stroke_rows


def stroke_table(figures: LinkageFigures) -> list[str]:
    """Return the stroke position by position."""
    words = figures.words
    force, length = words.force_unit, words.scale[1]
    far = length if figures.slides else "deg"
    lines = [
        "     hand    cable  arrives      far    rods lean    pulling  pushing",
        f"      deg {length:>8} {length:>8} {far:>8}    deg   deg {force:>8} {force:>8}",
    ]
    for row in stroke_rows(figures):
        out = words.number(row["far_mm"]) if figures.slides else f"{row['far_deg']:z.1f}"
        lines.append(
            f"{row['hand_deg']:9.1f}{words.number(row['cable_mm']):>9}"
            f"{words.number(row['arriving_mm']):>9}{out:>9}"
            f"{row['hand_rod_deg']:7.1f}{row['far_rod_deg']:6.1f}"
            f"{_cell(row['pulling_n'], words):>9}{_cell(row['pushing_n'], words):>9}"
        )
    return lines


def _cell(force: float | None, words: Words) -> str:
    return "-" if force is None else words.force(force).partition(" ")[0]


def hole_table(holes: Sequence[Hole], words: Words) -> list[str]:
    """Return the drill list."""
    length = words.scale[1]
    lines = [
        "     hole   travel    ratio  grip per far  rod leans",
        f"{length:>9}{length:>9}        -             -        deg",
    ]
    for hole in holes:
        travel = words.number(hole.travel) if isfinite(hole.travel) else "locks"
        ratio, force = (f"{x:.2f}" if isfinite(x) else "-" for x in (hole.ratio, hole.force))
        angle = f"{degrees(hole.rod_angle):.1f}" if isfinite(hole.rod_angle) else "-"
        place = f"{hole.radius:.0f}" if length == "mm" else words.number(hole.radius)
        lines.append(f"{place:>9}{travel:>9}{ratio:>9}{force:>14}{angle:>11}")
    return lines


def gate_table(figures: SelectorFigures) -> list[str]:
    """Return the table of a selector: gate, lever, both cables, what arrives at the box."""
    length = figures.words.scale[1]
    lines = [
        "gate    axis   lever   cable   cross         arrives          wanted",
        f"                 deg{length:>8}{length:>8}",
    ]
    for row in gate_rows(figures):
        name = row["gate"][:6] + ("*" if row["press"] else "")
        for axis in ("select", "shift"):
            lines.append(f"{name:8}{_gate_cells(figures, row, axis)}")
            name = ""
    if any(row["press"] for row in gate_rows(figures)):
        lines.append("* press to pass")
    lines.append("cross: how far the other axis of the lever moves this cable")
    return lines


def _gate_cells(figures: SelectorFigures, row: dict[str, Any], axis: str) -> str:
    at, unit = row[axis], figures.unit_of(axis)[0]
    words = figures.words
    shown = words.number if unit == "mm" else "{:z.1f}".format
    low, high = map(shown, at[f"arrives_{unit}"])
    name = words.scale[1] if unit == "mm" else unit
    wanted = f"{shown(at[f'wanted_{unit}'])}+/-{shown(at[f'tolerance_{unit}'])} {name}"
    outcome = "" if at["outcome"] == "reached" else f" {at['outcome'].upper()}"
    return (
        f"{axis:6}{row[f'lever_{axis}_deg']:6.1f}{words.number(at['cable_mm']):>8}"
        f"{words.number(at['crosstalk_mm']):>8}{f'{low} to {high}':>16}{wanted:>17}{outcome}"
    )
