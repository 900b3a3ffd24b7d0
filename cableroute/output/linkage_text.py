"""Linkages and selectors as text: a few lines for `check`, full tables for `linkage`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import degrees, isfinite
from typing import Any

from cableroute.assess import LinkageAssessment, SelectorAssessment
from cableroute.linkage.ratio import Hole
from cableroute.linkage.travel import TravelBudget
from cableroute.output.columns import wrapped
from cableroute.output.linkage_dict import gate_rows, stroke_rows
from cableroute.verdict.findings import Finding
from cableroute.verdict.linkage_figures import LinkageFigures, SelectorFigures

#: Findings shown for one linkage; the rest are counted.
MOST_FINDINGS = 12

Lines = Iterator[tuple[str, str]]


def linkage_lines(linkage: LinkageAssessment) -> Lines:
    """Yield the few lines about a linkage that `check` shows.

    Parameters
    ----------
    linkage : LinkageAssessment
        What was found.

    Yields
    ------
    tuple of (str, str)
        The verdict or level that may colour the line, and the line.
    """
    figures = linkage.figures
    head = (
        f"{linkage.verdict.upper():9}{figures.name} (linkage by cable {figures.built.entry.cable})"
    )
    yield from ((linkage.verdict, line) for line in wrapped(head, indent=9))
    yield from _rows(_facts(figures))
    yield from _findings(linkage.findings)


def _facts(figures: LinkageFigures) -> Iterator[tuple[str, str]]:
    if figures.direction:
        yield "direction", figures.direction.text
    budget = figures.budget
    if budget:
        verb = f"{budget.spare:.1f} to spare" if budget.spare >= 0 else f"{-budget.spare:.1f} SHORT"
        yield (
            "travel",
            f"{budget.given:.1f} mm given, {budget.lost:.1f} lost, {budget.needed:.1f} needed: {verb}",
        )
        yield from _settings(figures, budget)
    share = f", {100 * figures.bend:.0f} % off proportion" if isfinite(figures.bend) else ""
    yield "far end", f"{figures.far_travel:.1f} mm, {figures.ratio:.2f} of the grip's{share}"
    hand, far = (degrees(float(angle.max())) for angle in (figures.hand_angle, figures.far_angle))
    yield "rods lean", f"{hand:.1f} deg at the hand, {far:.1f} deg at the far end"
    yield "hand force", _force(figures)


def _settings(figures: LinkageFigures, budget: TravelBudget) -> Iterator[tuple[str, str]]:
    """Yield where neutral sits, and what is left at the adjusters once they are set."""
    stroke = f"; the cable's stroke is {figures.stroke:.0f} mm" if figures.stroke else ""
    yield "neutral", f"at {100 * budget.neutral_in_stroke:z.0f} % of the travel given{stroke}"
    if figures.built.entry.adjusters and not figures.pulls_only:
        verb = "let out" if budget.offset > 0 else "take up"
        left = f"{budget.longer_left:.1f} mm left to let out, {budget.shorter_left:.1f} to take up"
        setting = f"{verb} {abs(budget.offset):.1f} mm; then " if abs(budget.offset) > 0.05 else ""
        yield "adjusters", setting + left


def _force(figures: LinkageFigures) -> str:
    low, high = figures.hand_forces
    if not isfinite(high):
        return "LOCKS UP"
    limit = figures.hand_limit
    against = f" (published limit {limit.low:.0f} N)" if limit else ""
    return f"{low:.0f} to {high:.0f} N at most over the stroke{against}"


def selector_lines(selector: SelectorAssessment) -> Lines:
    """Yield the few lines about a selector that `check` shows.

    Parameters
    ----------
    selector : SelectorAssessment
        What was found.

    Yields
    ------
    tuple of (str, str)
        The verdict or level that may colour the line, and the line.
    """
    figures = selector.figures
    head = f"{selector.verdict.upper():9}{figures.entry.name} (two-axis selector)"
    yield from ((selector.verdict, line) for line in wrapped(head, indent=9))
    if figures.table:
        reached = sum(row.reached for row in figures.table.rows)
        gates = f"{reached} of {len(figures.table.rows)} reached"
        yield from _rows([("pattern", figures.table.sense.text), ("gates", gates)])
    yield from _findings(selector.findings)


def _rows(rows: Iterator[tuple[str, str]] | Sequence[tuple[str, str]]) -> Lines:
    for name, value in rows:
        yield from (("", line) for line in wrapped(f"  {name:14}{value}", indent=16))


def _findings(findings: Sequence[Finding]) -> Lines:
    for finding in findings[:MOST_FINDINGS]:
        text = f"  {finding.level:9} {finding.where}: {finding.message}"
        yield from ((finding.level, line) for line in wrapped(text, indent=12))
    more = len(findings) - MOST_FINDINGS
    if more > 0:
        yield "note", f"  and {more} more; --json lists them all"


def stroke_table(figures: LinkageFigures) -> list[str]:
    """Return the stroke position by position.

    Parameters
    ----------
    figures : LinkageFigures
        What was worked out.

    Returns
    -------
    list of str
        Two lines of head, then one for each position.
    """
    far = "mm" if figures.slides else "deg"
    lines = [
        "     hand    cable  arrives      far    rods lean    pulling  pushing",
        f"      deg       mm       mm {far:>8}    deg   deg        N        N",
    ]
    lines += [
        f"{row['hand_deg']:9.1f}{row['cable_mm']:z9.1f}{row['arriving_mm']:z9.1f}"
        f"{row[f'far_{far}']:z9.1f}{row['hand_rod_deg']:7.1f}{row['far_rod_deg']:6.1f}"
        f"{_cell(row['pulling_n']):>9}{_cell(row['pushing_n']):>9}"
        for row in stroke_rows(figures)
    ]
    return lines


def _cell(force: float | None) -> str:
    return "-" if force is None else f"{force:.0f}"


def hole_table(holes: Sequence[Hole]) -> list[str]:
    """Return the drill list.

    Parameters
    ----------
    holes : sequence of Hole
        The holes, from the pivot outwards.

    Returns
    -------
    list of str
        Two lines of head, then one for each hole.
    """
    lines = [
        "     hole   travel    ratio  grip per far  rod leans",
        "       mm       mm        -           N/N        deg",
    ]
    for hole in holes:
        travel = f"{hole.travel:.1f}" if isfinite(hole.travel) else "locks"
        ratio, force = (f"{x:.2f}" if isfinite(x) else "-" for x in (hole.ratio, hole.force))
        angle = f"{degrees(hole.rod_angle):.1f}" if isfinite(hole.rod_angle) else "-"
        lines.append(f"{hole.radius:9.0f}{travel:>9}{ratio:>9}{force:>14}{angle:>11}")
    return lines


def gate_table(figures: SelectorFigures) -> list[str]:
    """Return the table of a selector: gate, lever, both cables, what arrives at the box.

    Parameters
    ----------
    figures : SelectorFigures
        What was worked out.

    Returns
    -------
    list of str
        Two lines of head, then two for each gate: select and shift.
    """
    lines = [
        "gate    axis   lever   cable stirred         arrives          wanted",
        "                 deg      mm      mm",
    ]
    for row in gate_rows(figures):
        name = row["gate"][:6] + ("*" if row["press"] else "")
        for axis in ("select", "shift"):
            lines.append(f"{name:8}{_gate_cells(figures, row, axis)}")
            name = ""
    if any(row["press"] for row in gate_rows(figures)):
        lines.append("* press to pass")
    return lines


def _gate_cells(figures: SelectorFigures, row: dict[str, Any], axis: str) -> str:
    at, unit = row[axis], figures.unit_of(axis)[0]
    low, high = at[f"arrives_{unit}"]
    wanted = f"{at[f'wanted_{unit}']:z.1f}+/-{at[f'tolerance_{unit}']:.1f} {unit}"
    outcome = "" if at["outcome"] == "reached" else f" {at['outcome'].upper()}"
    return (
        f"{axis:6}{row[f'lever_{axis}_deg']:6.1f}{at['cable_mm']:z8.1f}{at['crosstalk_mm']:z8.1f}"
        f"{f'{low:z.1f} to {high:z.1f}':>16}{wanted:>17}{outcome}"
    )
