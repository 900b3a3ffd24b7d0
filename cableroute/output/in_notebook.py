"""What a notebook shows of an assessment: the verdict, and the short table of each part."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from cableroute.assess import Assessment
from cableroute.output.report.blocks import Facts, Remarks, Section
from cableroute.output.report.summary import cable_summary, linkage_summary, selector_summary


def verdict_table(assessment: Assessment) -> str:
    """Return the verdict of a job and what is told in short of its parts as a table in HTML."""
    parts = [
        *map(cable_summary, assessment.cables),
        *map(linkage_summary, assessment.linkages),
        *map(selector_summary, assessment.selectors),
    ]
    title = escape(assessment.job.title or "Control cables")
    rows = "".join(row for part in parts for row in _rows(part))
    return f"<p><b>{title}: {assessment.verdict.upper()}</b></p><table>{rows}</table>"


def _rows(part: Section) -> Iterator[str]:
    """Yield a part's verdict, its figures and its findings but for notes, row by row."""
    head = f"{part.verdict.upper()} {part.line}"
    yield f'<tr><th colspan="2" style="text-align: left">{escape(head)}</th></tr>'
    for block in part.blocks:
        if isinstance(block, Facts):
            yield from (_row(name, text) for name, text in block.rows)
        elif isinstance(block, Remarks):
            told = (item for item in block.items if item[0] in ("fail", "marginal"))
            yield from (_row(level, f"{where}: {message}") for level, where, message in told)


def _row(name: str, text: str) -> str:
    left = "text-align: left"
    return f'<tr><td style="{left}">{escape(name)}</td><td style="{left}">{escape(text)}</td></tr>'
