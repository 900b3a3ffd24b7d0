"""The report as typeset pages, drawings included; sheets for the bench, each on a page of its own."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from cableroute.output.paper import PAPER
from cableroute.output.pictures.style import GREY, INK, any_letters
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
from cableroute.output.report.pages import LEVEL_COLOURS, Pages, headed
from cableroute.output.report.pdf_drawings import drawing_height, in_rows, set_drawings
from cableroute.output.report.pdf_tables import set_table
from cableroute.output.report.typeset import Letters, Style, wrap
from cableroute.output.telling import Announce, Begin, each_drawing, silent

if TYPE_CHECKING:
    from matplotlib.figure import Figure

REPORT = Style(8.3)
#: Letters of a sheet: the largest with which it fits its page [pt].
SHEET_SIZES = (12.0, 11.5, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5)


def report_pdf(report: Report, *, paper: str = "a4", announce: Announce = silent) -> bytes:
    """Return a report as a PDF file, the same bytes for the same report."""
    begin = each_drawing(report, announce)
    with any_letters():
        done = _sheets(report, paper, begin) if report.sheets else _whole(report, paper, begin)
        return _written(_counted(headed(done, report), announce), report.title)


def _whole(report: Report, paper: str, begin: Begin) -> list[Figure]:
    pages = Pages(paper, REPORT)
    _front_page(pages, report)
    for section in report.sections:
        _section(pages, section, 2, begin)
    return pages.done


def _sheets(report: Report, paper: str, begin: Begin) -> list[Figure]:
    return [
        page
        for section in report.sections
        for page in _sheet(section, paper, sheet_size(section, (paper,)), begin)
    ]


def sheet_size(section: Section, papers: Iterable[str] = PAPER) -> float:
    """Return the largest letters with which a sheet fits one page of any of these papers [pt]."""
    fits = (
        size
        for size in SHEET_SIZES
        if all(len(_sheet(section, paper, size, lambda _: None)) == 1 for paper in papers)
    )
    return next(fits, SHEET_SIZES[-1])


def _sheet(section: Section, paper: str, size: float, begin: Begin) -> list[Figure]:
    pages = Pages(paper, Style(size, cells=1.0, air=0.22))
    _section(pages, section, 2, begin)
    return pages.done


def _counted(figures: Sequence[Figure], announce: Announce) -> Iterator[Figure]:
    for number, figure in enumerate(figures, start=1):
        announce(f"page {number} of {len(figures)}")
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


def _front_page(pages: Pages, report: Report) -> None:
    title = pages.style.head(1)
    for line in wrap(report.title, title, pages.column):
        pages.line(line, title)
    pages.gap(4.0)
    verdict = pages.style.head(2)
    pages.line(report.verdict.upper(), verdict, colour=LEVEL_COLOURS[report.verdict])
    pages.gap(3.0)
    _paragraph(pages, report.caution)
    _paragraph(pages, report.byline, colour=GREY)


def _section(pages: Pages, section: Section, level: int, begin: Begin) -> None:
    letters = pages.style.head(level)
    lines = wrap(section.heading, letters, pages.column)
    pages.gap(14.0 if level == 2 else 8.0)
    pages.need(letters.line * len(lines) + 10.0 + _least_height(pages, section))
    if level == 2:
        pages.rule(INK)
        pages.down(5.0)
    for line in lines:
        pages.line(line, letters)
    pages.gap(3.0)
    for block in in_rows(section.blocks):
        _block(pages, block, begin)
    for part in section.parts:
        _section(pages, part, level + 1, begin)


def _least_height(pages: Pages, section: Section) -> float:
    """Height of what must not be parted from a heading: its first drawing, or a few lines [pt]."""
    first = section.blocks[0] if section.blocks else None
    if isinstance(first, Space) and first.drawings:
        first = first.drawings[0]
    if isinstance(first, Drawing):
        return drawing_height(pages, first) + pages.style.small.line
    return 100.0 if isinstance(first, Table | Facts) else 45.0


def _block(pages: Pages, block: Block | tuple[Drawing, Drawing], begin: Begin) -> None:
    match block:
        case Paragraph(text):
            _paragraph(pages, text)
        case Bullets(items):
            for item in items:
                _hanging(pages, "•", item, indent=1.2 * pages.style.size)
        case Remarks(items):
            for level, where, message in items:
                place = f"{where}: " if where else ""
                indent = 6.6 * pages.style.size
                _hanging(pages, level.upper(), place + message, indent=indent, level=level)
        case Table():
            set_table(pages, block)
        case Facts():
            set_table(pages, block.table)
        case Drawing():
            set_drawings(pages, (block,), begin)
        case (Drawing(), Drawing()):
            set_drawings(pages, block, begin)
        case Space():
            for row in in_rows(block.drawings):
                _block(pages, row, begin)
    pages.gap(5.0)


def _paragraph(pages: Pages, text: str, *, colour: str = INK) -> None:
    body = pages.style.body
    for line in wrap(text, body, pages.column):
        pages.line(line, body, colour=colour)
    pages.gap(2.0)


def _hanging(pages: Pages, sign: str, text: str, *, indent: float, level: str = "") -> None:
    body = pages.style.body
    lines = wrap(text, body, pages.column - indent)
    pages.need(body.line * min(len(lines), 3))
    letters = Letters(body.size, bold=bool(level))
    pages.word(0.0, sign, letters, colour=LEVEL_COLOURS.get(level, INK))
    for line in lines:
        pages.line(line, body, indent=indent)
    pages.gap(2.0)
