"""The report as Markdown: tables as GitHub shows them, readable as plain text too."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence

from cableroute.output.report.blocks import (
    Block,
    Bullets,
    Drawing,
    Facts,
    Paragraph,
    Remarks,
    Report,
    Section,
    Space,
    Table,
)
from cableroute.shown import one_line

#: Letters with a meaning in Markdown, wherever they stand.
_SPECIAL = re.compile(r"[\\`*\[\]<#|~$&]|(?<![^\W_])_|_(?![^\W_])")
#: What begins a list or a rule at the start of a line.
_LEADING = re.compile(r"^(?:>|[-+=](?=\s|$|[-+=])|\d+(?=[.)](?:\s|$)))")
#: A cell longer than this is not padded, or its whole column would grow.
_PADDED = 40
_NO_PICTURES = "This text holds no drawings; `cableroute draw` makes them."


def report_markdown(report: Report) -> str:
    """Return a report as Markdown."""
    paragraphs = [
        f"# {escape(report.title)}",
        f"**{report.verdict.upper()}.** {escape(report.byline)}",
        escape(report.caution),
        _NO_PICTURES,
    ]
    for section in report.sections:
        paragraphs += _section(section, 2)
    return "\n\n".join(paragraphs) + "\n"


def escape(text: str) -> str:
    """Return words that Markdown shows as they are."""
    line = _SPECIAL.sub(r"\\\g<0>", one_line(text))
    return _LEADING.sub(_unlist, line)


def _unlist(found: re.Match[str]) -> str:
    """Take the meaning from a dash, or from the point after a number, by a backslash."""
    word = found[0]
    return f"{word}\\" if word.isdigit() else f"\\{word}"


def _section(section: Section, level: int) -> Iterator[str]:
    blocks = [text for block in section.blocks for text in _block(block)]
    inner = [text for part in section.parts for text in _section(part, level + 1)]
    if blocks or inner:
        yield f"{'#' * level} {escape(section.heading)}"
        yield from blocks
        yield from inner


def _block(block: Block) -> Iterator[str]:
    match block:
        case Paragraph(text):
            yield escape(text)
        case Bullets(items):
            yield "\n".join(f"- {escape(item)}" for item in items)
        case Remarks(items):
            yield "\n".join(_remark(*item) for item in items)
        case Table():
            yield from _captioned(block)
        case Facts():
            yield from _captioned(block.table)
        case Drawing() | Space():
            return


def _remark(level: str, where: str, message: str) -> str:
    place = f" {escape(where)}:" if where else ""
    return f"- **{level.upper()}**{place} {escape(message)}"


def _captioned(table: Table) -> Iterator[str]:
    if table.caption:
        yield f"**{escape(table.caption)}**"
    yield _table(table)


def _table(table: Table) -> str:
    head = [escape(column.head) for column in table.columns]
    rows = [[escape(cell) for cell in row] for row in table.rows]
    widths = [
        max(3, *(w for w in map(_width, cells) if w <= _PADDED), _width(cells[0]))
        for cells in zip(head, *rows, strict=True)
    ]
    right = [column.numeric for column in table.columns]
    rule = ["-" * (w - 1) + (":" if r else "-") for w, r in zip(widths, right, strict=True)]
    lines = [_row(head, widths, right), f"| {' | '.join(rule)} |"]
    return "\n".join(lines + [_row(row, widths, right) for row in rows])


def _row(cells: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> str:
    padded = [
        " " * (width - _width(cell)) + cell if flush else cell + " " * (width - _width(cell))
        for cell, width, flush in zip(cells, widths, right, strict=True)
    ]
    return f"| {' | '.join(padded)} |"


def _width(text: str) -> int:
    """Columns that a text takes: wide letters take two, marks that combine none."""
    wide = sum(unicodedata.east_asian_width(letter) in "WF" for letter in text)
    return len(text) + wide - sum(unicodedata.combining(letter) > 0 for letter in text)
