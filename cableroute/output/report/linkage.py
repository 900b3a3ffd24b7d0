"""What a report says of linkages and selectors."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite
from typing import Any

from cableroute.assess import LinkageAssessment, SelectorAssessment
from cableroute.measure.job import Job
from cableroute.output.linkage_dict import gate_rows, hole_rows, stroke_rows
from cableroute.output.pictures.style import plain
from cableroute.output.report.blocks import Column, Drawing, Paragraph, Section, Table, remarks
from cableroute.output.wording import newtons, span
from cableroute.verdict.linkage_drilling import DrillList, drill_list
from cableroute.verdict.linkage_figures import LinkageFigures, SelectorFigures

#: Positions of a stroke that are shown.
MOST_POSITIONS = 11


def linkage_section(linkage: LinkageAssessment, job: Job) -> Section:
    """Return everything about one linkage.

    Parameters
    ----------
    linkage : LinkageAssessment
        The linkage.
    job : Job
        The machine.

    Returns
    -------
    Section
        Facts and findings, then holes and stroke below it.
    """
    figures = linkage.figures
    facts = Table("In short", _columns("Figure", "Value"), tuple(_facts(figures)))
    caption = f"{plain(figures.name)}: at neutral and at both ends of its stroke"
    drawing = Section("Drawing", (Drawing(linkage, "linkage", job, caption),))
    parts = (_holes(drill_list(figures)), _stroke(figures), drawing)
    title = f"Linkage {figures.name}: {linkage.verdict.upper()}"
    return Section(title, (facts, *remarks(linkage.findings)), parts)


def _facts(figures: LinkageFigures) -> Iterator[tuple[str, str]]:
    yield "Cable", figures.built.entry.cable
    if figures.direction:
        yield "Direction", figures.direction.text
    budget = figures.budget
    if budget:
        yield "Travel given", f"{budget.given:.1f} mm along the core"
        yield "Lost", f"{budget.lost:.1f} mm"
        yield "Needed", f"{budget.needed:.1f} mm; {budget.spare:z.1f} mm to spare"
    off = f", {100 * figures.bend:.0f} % off proportion" if isfinite(figures.bend) else ""
    yield "Far end", f"{figures.far_travel:.1f} mm, {figures.ratio:.2f} of the grip's path{off}"
    yield "Force at the grip", f"{span(*figures.hand_forces)} at most over the stroke"
    limit = figures.hand_limit
    if limit:
        low, high = newtons(limit.low), newtons(limit.high)
        both = low if low == high else f"{low} to {high}"
        yield "Published limit", f"{both}, {limit.name} ({limit.source}; {limit.status})"


def _holes(drilled: DrillList) -> Section:
    title = "Holes to drill"
    if drilled.fault:
        where = f" in {drilled.member}" if drilled.member else ""
        return Section(title, (Paragraph(f"None{where}: {drilled.fault}."),))
    columns = _columns("Hole from pivot", "Travel", "Ratio", "Grip per far force", "Rod leans")
    rows = tuple(
        (
            f"{row['radius_mm']:.0f} mm",
            _figure(row["travel_mm"], "{:.1f} mm", "locks"),
            _figure(row["ratio"], "{:.2f}"),
            _figure(row["grip_per_far"], "{:.2f}"),
            _figure(row["rod_deg"], "{:.1f}°"),
        )
        for row in hole_rows(drilled)
    )
    caption = f"In {drilled.member}, for {drilled.travel:.1f} mm at the far end"
    return Section(title, (Table(caption, columns, rows),))


def _stroke(figures: LinkageFigures) -> Section:
    far, sign = ("far_mm", " mm") if figures.slides else ("far_deg", "°")
    columns = _columns("Hand", "Cable", "Arrives", "Far end", "Pulling", "Pushing")
    rows = tuple(
        (
            f"{row['hand_deg']:z.1f}°",
            f"{row['cable_mm']:z.1f} mm",
            f"{row['arriving_mm']:z.1f} mm",
            _figure(row[far], "{:z.1f}" + sign),
            _figure(row["pulling_n"], "{:.0f} N"),
            _figure(row["pushing_n"], "{:.0f} N"),
        )
        for row in _spread(stroke_rows(figures))
    )
    text = (
        "Forces at the grip, at high friction; a dash where it locks or the cable cannot push. "
        "cableroute linkage has every position."
    )
    return Section("Stroke", (Table("", columns, rows), Paragraph(text)))


def _spread(rows: list[Any]) -> list[Any]:
    """Take a few rows evenly, the first and the last among them."""
    steps = min(len(rows), MOST_POSITIONS) - 1
    return [rows[round(i * (len(rows) - 1) / steps)] for i in range(steps + 1)] if steps else rows


def selector_section(selector: SelectorAssessment, job: Job) -> Section:
    """Return everything about one selector.

    Parameters
    ----------
    selector : SelectorAssessment
        The selector.
    job : Job
        The machine.

    Returns
    -------
    Section
        Its pattern, findings and gates.
    """
    figures = selector.figures
    blocks: list[Any] = []
    if figures.table:
        blocks.append(Paragraph(f"Pattern: {figures.table.sense.text}."))
    blocks += remarks(selector.findings)
    if figures.table:
        columns = _columns("Gate", "Axis", "Lever", "Cable", "Arrives", "Wanted", "Outcome")
        blocks.append(Table("Gates", columns, tuple(_gates(figures))))
        caption = f"{plain(figures.entry.name)}: its gates at the knob and at the box"
        blocks.append(Drawing(selector, "selector", job, caption))
    return Section(f"Selector {figures.entry.name}: {selector.verdict.upper()}", tuple(blocks))


def _gates(figures: SelectorFigures) -> Iterator[tuple[str, ...]]:
    for row in gate_rows(figures):
        press = " (press to pass)" if row["press"] else ""
        for axis in ("select", "shift"):
            at, unit = row[axis], figures.unit_of(axis)[0]
            low, high = at[f"arrives_{unit}"]
            wanted, give = at[f"wanted_{unit}"], at[f"tolerance_{unit}"]
            yield (
                f"{row['gate']}{press}",
                axis,
                f"{row[f'lever_{axis}_deg']:z.1f}°",
                f"{at['cable_mm']:z.1f} mm",
                f"{low:z.1f} to {high:z.1f} {unit}",
                f"{wanted:z.1f} ± {give:.1f} {unit}",
                at["outcome"],
            )


def _figure(value: float | None, form: str, instead: str = "-") -> str:
    return instead if value is None else form.format(value)


def _columns(*heads: str) -> tuple[Column, ...]:
    words = ("Figure", "Value", "Gate", "Axis", "Outcome")
    return tuple(Column(head, numeric=head not in words) for head in heads)
