"""The report as typeset pages of A4, drawings included."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Sequence
from math import ceil
from typing import TYPE_CHECKING

from cableroute.assess import CableAssessment, LinkageAssessment
from cableroute.output.drawings import draw_axes
from cableroute.output.pictures.projection import FRONT, ISOMETRIC, PLAN, SIDE
from cableroute.output.pictures.style import GREY, INK, any_letters
from cableroute.output.pictures.views import view_height
from cableroute.output.report.blocks import (
    Block,
    Bullets,
    Drawing,
    Paragraph,
    Remarks,
    Report,
    Section,
    Space,
    Table,
)
from cableroute.output.report.pages import COLUMN, LEVEL_COLOURS, Pages
from cableroute.output.report.typeset import Letters, share_out, wrap
from cableroute.output.telling import Begin, Told, each_drawing, silent

if TYPE_CHECKING:
    from matplotlib.figure import Figure

TITLE, BODY, SMALL = Letters(18.0, bold=True), Letters(9.5), Letters(8.0)
HEADS = {2: Letters(13.5, bold=True), 3: Letters(10.5, bold=True)}
_BOLD = Letters(8.0, bold=True)
#: Space between two columns, and above and below the letters of a row [pt].
_GUTTER, _PAD = 9.0, 2.5
#: Least and greatest height of a view, and height of charts [pt].
_VIEW_HEIGHTS = (94.0, 320.0)
_HEIGHTS = {"forces": 165.0, "curvature": 130.0, "stock": 100.0, "lost": 135.0, "selector": 280.0}
#: Height of a row of a linkage's members, and of all of them at most [pt].
_MEMBERS, _MOST = 262.0, 560.0
#: What a drawing needs left and right, above and below its axes [pt].
_LEFT, _RIGHT, _ABOVE, _BELOW = 52.0, 11.0, 46.0, 36.0
#: The same left of drawings with words there, or with axes of their own [pt].
_LEFT_OF = {"stock": 150.0, "lost": 18.0, "linkage": 10.0, "selector": 10.0}
_PROJECTIONS = {"plan": PLAN, "side": SIDE, "front": FRONT, "isometric": ISOMETRIC}


def report_pdf(report: Report, *, told: Told = silent) -> bytes:
    """Return a report as a PDF file, the same bytes for the same report.

    Parameters
    ----------
    report : Report
        What to say.
    told : callable
        Takes a few words as each drawing and each page is begun.

    Returns
    -------
    bytes
        What the file is to hold.
    """
    pages, begin = Pages(report), each_drawing(report, told)
    with any_letters():
        _front(pages, report)
        for section in report.sections:
            _section(pages, section, 2, begin)
        return _written(_counted(pages.finished(), told), report.title)


def _counted(figures: Sequence[Figure], told: Told) -> Iterator[Figure]:
    for number, figure in enumerate(figures, start=1):
        told(f"page {number} of {len(figures)}")
        yield figure


def _written(figures: Iterable[Figure], title: str) -> bytes:
    from matplotlib import rc_context
    from matplotlib.backends.backend_pdf import PdfPages

    file = io.BytesIO()
    # whole glyphs, so that the text can be searched; no date, so that the bytes stay the same
    metadata = {"Title": title, "CreationDate": None}
    with rc_context({"pdf.fonttype": 42}), PdfPages(file, metadata=metadata) as pdf:
        for figure in figures:
            pdf.savefig(figure)
    return file.getvalue()


def _front(pages: Pages, report: Report) -> None:
    for line in wrap(report.title, TITLE, COLUMN):
        pages.line(line, TITLE)
    pages.gap(4.0)
    pages.line(
        report.verdict.upper(), Letters(13.0, bold=True), colour=LEVEL_COLOURS[report.verdict]
    )
    pages.gap(3.0)
    _paragraph(pages, report.caution)
    _paragraph(pages, report.byline, colour=GREY)


def _section(pages: Pages, section: Section, level: int, begin: Begin) -> None:
    letters = HEADS[level]
    lines = wrap(section.title, letters, COLUMN)
    pages.gap(16.0 if level == 2 else 9.0)
    pages.need(letters.line * len(lines) + 10.0 + _least_height(section))
    if level == 2:
        pages.rule(INK)
        pages.down(5.0)
    for line in lines:
        pages.line(line, letters)
    pages.gap(4.0)
    for block in section.blocks:
        _block(pages, block, begin)
    for part in section.parts:
        _section(pages, part, level + 1, begin)


def _least_height(section: Section) -> float:
    """Height of what must not be parted from a heading: its first drawing, or a few lines [pt]."""
    first = section.blocks[0] if section.blocks else None
    if isinstance(first, Space) and first.drawings:
        first = first.drawings[0]
    if isinstance(first, Drawing):
        return _ABOVE + _drawn_height(first, _wide(first.what)) + _BELOW + SMALL.line
    return 100.0 if isinstance(first, Table) else 45.0


def _block(pages: Pages, block: Block, begin: Begin) -> None:
    match block:
        case Paragraph(text):
            _paragraph(pages, text)
        case Bullets(items):
            for item in items:
                _hanging(pages, "•", item, indent=11.0)
        case Remarks(items):
            for level, where, message in items:
                place = f"{where}: " if where else ""
                _hanging(pages, level.upper(), place + message, indent=62.0, level=level)
        case Table():
            _table(pages, block)
        case Drawing():
            _drawing(pages, block, begin)
        case Space():
            for drawing in block.drawings:
                _drawing(pages, drawing, begin)
    pages.gap(5.0)


def _paragraph(pages: Pages, text: str, *, colour: str = INK) -> None:
    for line in wrap(text, BODY, COLUMN):
        pages.line(line, BODY, colour=colour)
    pages.gap(2.0)


def _hanging(pages: Pages, sign: str, text: str, *, indent: float, level: str = "") -> None:
    lines = wrap(text, BODY, COLUMN - indent)
    pages.need(BODY.line * min(len(lines), 3))
    letters = Letters(BODY.size, bold=bool(level))
    pages.word(0.0, sign, letters, colour=LEVEL_COLOURS.get(level, INK))
    for line in lines:
        pages.line(line, BODY, indent=indent)
    pages.gap(2.0)


# -- tables --------------------------------------------------------------------------------------


def _table(pages: Pages, table: Table) -> None:
    """Set a table; its head comes again on every page."""
    heads = [column.head for column in table.columns]
    room = COLUMN - _GUTTER * (len(heads) - 1)
    widths = share_out(list(zip(heads, *table.rows, strict=True)), SMALL, room)
    head = [wrap(text, _BOLD, width) for text, width in zip(heads, widths, strict=True)]
    rows = [
        [wrap(text, SMALL, width) for text, width in zip(row, widths, strict=True)]
        for row in table.rows
    ]
    first = min(_height(rows[0]), 60.0) if rows else 0.0
    caption = Letters(BODY.size, bold=True)
    lines = wrap(table.caption, caption, COLUMN) if table.caption else []
    pages.gap(3.0)
    pages.need(caption.line * len(lines) + 2.0 * _height(head) + first)
    for line in lines:
        pages.line(line, caption)
    pages.gap(2.0)
    _row(pages, table, head, widths, _BOLD)
    for cells in rows:
        _cells(pages, table, head, cells, widths)


def _cells(
    pages: Pages,
    table: Table,
    head: Sequence[Sequence[str]],
    cells: Sequence[Sequence[str]],
    widths: Sequence[float],
) -> None:
    """Set a row on one page if it can be, else over as many as it takes."""
    if _height(cells) > pages.room:
        pages.turn()
        _row(pages, table, head, widths, _BOLD)
    while _height(cells) > pages.room:
        fits = max(int((pages.room - 2.0 * _PAD) / SMALL.line), 1)
        _row(pages, table, [cell[:fits] for cell in cells], widths, SMALL)
        cells = [cell[fits:] for cell in cells]
        pages.turn()
        _row(pages, table, head, widths, _BOLD)
    _row(pages, table, cells, widths, SMALL)


def _height(cells: Sequence[Sequence[str]]) -> float:
    return max(map(len, cells)) * SMALL.line + 2.0 * _PAD


def _row(
    pages: Pages,
    table: Table,
    cells: Sequence[Sequence[str]],
    widths: Sequence[float],
    letters: Letters,
) -> None:
    top = letters is _BOLD
    pages.gap(_PAD)
    for n in range(max(map(len, cells))):
        left = 0.0
        for column, cell, width in zip(table.columns, cells, widths, strict=True):
            if n < len(cell):
                word = cell[n]
                judged = not top and column.judges
                colour = LEVEL_COLOURS.get(word.lower(), INK) if judged else INK
                shift = width - letters.width(word) if column.numeric else 0.0
                shown = Letters(letters.size, bold=top or colour != INK)
                pages.word(left + shift, word, shown, colour=colour)
            left += width + _GUTTER
        pages.down(letters.line)
    pages.down(_PAD)
    pages.rule(INK if top else GREY, width=0.8 if top else 0.3)


# -- drawings ------------------------------------------------------------------------------------


def _drawing(pages: Pages, drawing: Drawing, begin: Begin) -> None:
    begin(drawing)
    wide = _wide(drawing.what)
    left = COLUMN - _RIGHT - wide
    high = _drawn_height(drawing, wide)
    pages.need(_ABOVE + high + _BELOW + SMALL.line)
    ax = pages.axes(left, _ABOVE, wide, high)
    draw_axes(drawing.result, drawing.what, unit=drawing.job.unit, job=drawing.job, ax=ax)
    pages.down(_ABOVE + high + _BELOW)
    for line in wrap(drawing.caption, SMALL, COLUMN):
        pages.line(line, SMALL, colour=GREY)


def _wide(what: str) -> float:
    """Width of a drawing's axes [pt]."""
    return COLUMN - _LEFT_OF.get(what, _LEFT) - _RIGHT


def _drawn_height(drawing: Drawing, wide: float) -> float:
    """Height of a drawing's axes: a view's by its width, a linkage's by its members [pt]."""
    result, what = drawing.result, drawing.what
    if isinstance(result, CableAssessment) and what in _PROJECTIONS:
        view, job = _PROJECTIONS[what], drawing.job
        high = 72.0 * view_height(result, view, width=wide / 72.0, job=job)
        return min(max(high, _VIEW_HEIGHTS[0]), _VIEW_HEIGHTS[1])
    if isinstance(result, LinkageAssessment):
        rows = ceil(len(result.figures.built.chain.bodies) / 2)
        return min(_MEMBERS * rows, _MOST)
    return _HEIGHTS[what]
