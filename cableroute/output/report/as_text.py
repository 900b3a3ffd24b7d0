"""A report as lines of text, for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Iterator

from cableroute.output.columns import wrapped
from cableroute.output.report.blocks import (
    Block,
    Bullets,
    Facts,
    Paragraph,
    Remarks,
    Section,
    Table,
)

#: Remarks shown under one heading; the rest are counted.
MOST_REMARKS = 12

#: A line, after the verdict or level that may colour it.
Lines = Iterator[tuple[str, str]]


def section_lines(section: Section) -> Lines:
    """Yield a section line by line; drawings are left out."""
    head = f"{section.verdict.upper():9}" if section.verdict else ""
    yield from _wrapped(head + (section.line or section.title), len(head), mood=section.verdict)
    for block in section.blocks:
        yield from block_lines(block)
    for part in section.parts:
        yield "", ""
        yield from section_lines(part)


def block_lines(block: Block) -> Lines:
    """Yield a block line by line."""
    match block:
        case Paragraph(text):
            yield from _wrapped(f"  {text}", 2)
        case Bullets(items):
            for item in items:
                yield from _wrapped(f"  - {item}", 4)
        case Facts(rows):
            for name, text in rows:
                yield from _wrapped(f"  {name:14}{text}", 16)
        case Remarks(items):
            yield from _remarks(items)
        case Table():
            yield from _table(block)


def _remarks(items: tuple[tuple[str, str, str], ...]) -> Lines:
    for level, where, message in items[:MOST_REMARKS]:
        place = f" {where}:" if where else ""
        yield from _wrapped(f"  {level:9}{place} {message}", 12, mood=level)
    more = len(items) - MOST_REMARKS
    if more > 0:
        yield "note", f"  and {more} more; --json lists them all"


def _table(table: Table) -> Lines:
    """Yield a table row by row, each cell after its head; words that say what a row is need none."""
    if table.caption:
        yield from _wrapped(f"  {table.caption}", 2)
    for first, *others in table.rows:
        heads = [f"{column.head.lower()} " for column in table.columns[1:]]
        if not table.columns[1].numeric:
            heads[0] = ""
        cells = [head + cell for head, cell in zip(heads, others, strict=True) if cell]
        yield from _wrapped(f"    {first}: {'; '.join(cells)}", 8)


def _wrapped(text: str, indent: int, *, mood: str = "") -> Lines:
    yield from ((mood, line) for line in wrapped(text, indent=indent))
