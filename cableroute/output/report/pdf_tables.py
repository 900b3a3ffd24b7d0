"""Tables of a typeset report."""

from __future__ import annotations

from collections.abc import Sequence

from cableroute.output.pictures.style import GREY, INK
from cableroute.output.report.blocks import Table
from cableroute.output.report.pages import LEVEL_COLOURS, Pages
from cableroute.output.report.typeset import Letters, share_out, wrap

#: Space between two columns [pt].
_GUTTER = 9.0

Cells = Sequence[Sequence[str]]


def set_table(pages: Pages, table: Table) -> None:
    """Set a table; its head comes again on every page."""
    small, heads = pages.style.small, [column.head for column in table.columns]
    bold = Letters(small.size, bold=True)
    room = pages.column - _GUTTER * (len(heads) - 1)
    widths = share_out(list(zip(heads, *table.rows, strict=True)), small, room)
    head = [wrap(text, bold, width) for text, width in zip(heads, widths, strict=True)]
    rows = [
        [wrap(text, small, width) for text, width in zip(row, widths, strict=True)]
        for row in table.rows
    ]
    first = min(_height(pages, rows[0]), 60.0) if rows else 0.0
    caption = Letters(pages.style.size, bold=True)
    lines = wrap(table.caption, caption, pages.column) if table.caption else []
    pages.gap(3.0)
    pages.need(caption.line * len(lines) + 2.0 * _height(pages, head) + first)
    for line in lines:
        pages.line(line, caption)
    pages.gap(2.0)
    _row(pages, table, head, widths, top=True)
    for cells in rows:
        _cells(pages, table, head, cells, widths)


def _cells(pages: Pages, table: Table, head: Cells, cells: Cells, widths: Sequence[float]) -> None:
    """Set a row on one page if it can be, else over as many as it takes."""
    if _height(pages, cells) > pages.room:
        pages.turn()
        _row(pages, table, head, widths, top=True)
    while _height(pages, cells) > pages.room:
        fits = max(int((pages.room - 2.0 * pages.style.pad) / pages.style.small.line), 1)
        _row(pages, table, [cell[:fits] for cell in cells], widths)
        cells = [cell[fits:] for cell in cells]
        pages.turn()
        _row(pages, table, head, widths, top=True)
    _row(pages, table, cells, widths)


def _height(pages: Pages, cells: Cells) -> float:
    return max(map(len, cells)) * pages.style.small.line + 2.0 * pages.style.pad


def _row(
    pages: Pages, table: Table, cells: Cells, widths: Sequence[float], *, top: bool = False
) -> None:
    small = pages.style.small
    pages.gap(pages.style.pad)
    for n in range(max(map(len, cells))):
        left = 0.0
        for column, cell, width in zip(table.columns, cells, widths, strict=True):
            if n < len(cell):
                word = cell[n]
                judged = not top and column.judges
                colour = LEVEL_COLOURS.get(word.lower(), INK) if judged else INK
                shown = Letters(small.size, bold=top or colour != INK)
                shift = width - shown.width(word) if column.numeric else 0.0
                pages.word(left + shift, word, shown, colour=colour)
            left += width + _GUTTER
        pages.down(small.line)
    pages.down(pages.style.pad)
    pages.rule(INK if top else GREY, width=0.8 if top else 0.3)
