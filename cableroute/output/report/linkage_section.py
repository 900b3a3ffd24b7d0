"""What a report says of linkages and selectors."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from cableroute.assess import LinkageAssessment, SelectorAssessment
from cableroute.figures.drill_list import DrillList, drill_list
from cableroute.figures.linkage import LinkageFigures
from cableroute.figures.selector import SelectorFigures
from cableroute.measure.job import Job
from cableroute.measure.wording import Words
from cableroute.output.linkage_dict import gate_rows, hole_rows, stroke_rows
from cableroute.output.pictures.style import plain
from cableroute.output.report.blocks import (
    Block,
    Column,
    Drawing,
    Facts,
    Paragraph,
    Section,
    Table,
    remarks,
)
from cableroute.output.report.summary import linkage_summary, selector_summary
from cableroute.table.linkage import limit_told, linkage_facts

#: Positions of a stroke that are shown.
MOST_POSITIONS = 7


def linkage_section(linkage: LinkageAssessment, job: Job) -> Section:
    """Return everything about one linkage."""
    figures = linkage.figures
    rows: list[tuple[str, str]] = [("cable", figures.built.entry.cable), *linkage_facts(linkage)]
    if figures.hand_limit:
        rows.append(("published limit", limit_told(figures)))
    caption = f"{plain(figures.name)}: at neutral and at both ends of its stroke"
    drawing = Section("Drawing", (Drawing(linkage, "linkage", job, caption),))
    parts = (drawing, _holes(drill_list(figures), figures.words), _stroke(figures))
    blocks: tuple[Block, ...] = (Facts(tuple(rows)), *remarks(linkage.findings))
    return replace(linkage_summary(linkage), blocks=blocks, parts=parts)


def _holes(drilled: DrillList, words: Words) -> Section:
    title = "Holes to drill"
    if drilled.fault:
        where = f" in {drilled.member}" if drilled.member else ""
        return Section(title, (Paragraph(f"None{where}: {drilled.fault}."),))
    columns = _columns("Hole from pivot", "Travel", "Ratio", "Grip per far force", "Rod leans")
    rows = tuple(
        (
            words.plain(round(row["radius_mm"])),
            _figure(row["travel_mm"], words.fine, "locks"),
            _figure(row["ratio"], "{:.2f}".format),
            _figure(row["grip_per_far"], "{:.2f}".format),
            _figure(row["rod_deg"], "{:.1f}°".format),
        )
        for row in hole_rows(drilled)
    )
    caption = f"In {drilled.member}, for {words.fine(drilled.travel)} at the far end"
    return Section(title, (Table(caption, columns, rows),))


def _stroke(figures: LinkageFigures) -> Section:
    words = figures.words
    far, shown = ("far_mm", words.fine) if figures.slides else ("far_deg", "{:z.1f}°".format)
    columns = _columns("Hand", "Cable", "Arrives", "Far end", "Pulling", "Pushing")
    rows = tuple(
        (
            f"{row['hand_deg']:z.1f}°",
            words.fine(row["cable_mm"]),
            words.fine(row["arriving_mm"]),
            _figure(row[far], shown),
            _figure(row["pulling_n"], words.force),
            _figure(row["pushing_n"], words.force),
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
    """Return everything about one selector."""
    figures = selector.figures
    summary = selector_summary(selector)
    blocks: list[Any] = list(summary.blocks)
    if figures.table:
        columns = _columns("Gate", "Axis", "Lever", "Cable", "Arrives", "Wanted", "Outcome")
        blocks.append(Table("Gates", columns, tuple(_gates(figures))))
        caption = f"{plain(figures.entry.name)}: its gates at the knob and at the box"
        blocks.append(Drawing(selector, "selector", job, caption))
    return replace(summary, blocks=tuple(blocks))


def _gates(figures: SelectorFigures) -> Iterator[tuple[str, ...]]:
    words = figures.words
    for row in gate_rows(figures):
        press = " (press to pass)" if row["press"] else ""
        for axis in ("select", "shift"):
            at, unit = row[axis], figures.unit_of(axis)[0]
            shown = words.number if unit == "mm" else "{:z.1f}".format
            low, high = map(shown, at[f"arrives_{unit}"])
            wanted, give = shown(at[f"wanted_{unit}"]), shown(at[f"tolerance_{unit}"])
            name = words.scale[1] if unit == "mm" else unit
            yield (
                f"{row['gate']}{press}",
                axis,
                f"{row[f'lever_{axis}_deg']:z.1f}°",
                words.fine(at["cable_mm"]),
                f"{low} to {high} {name}",
                f"{wanted} ± {give} {name}",
                at["outcome"],
            )


def _figure(value: float | None, shown: Callable[[float], str], instead: str = "-") -> str:
    return instead if value is None else shown(value)


def _columns(*heads: str) -> tuple[Column, ...]:
    words = ("Figure", "Value", "Gate", "Axis", "Outcome")
    return tuple(Column(head, numeric=head not in words) for head in heads)
