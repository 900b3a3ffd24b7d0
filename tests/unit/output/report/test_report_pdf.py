from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from cableroute.assess import assess
from cableroute.measure.reading import read_job
from cableroute.output.report import as_pdf as module
from cableroute.output.report.as_pdf import report_pdf
from cableroute.output.report.blocks import Column, Paragraph, Report, Section, Table
from cableroute.output.report.contents import report
from cableroute.output.report.pages import BOTTOM, SIDE_MARGIN, TOP
from cableroute.output.report.typeset import Letters, share_out, wrap
from cableroute.shown import one_line

DATA = Path(__file__).resolve().parents[4] / "data"
SMALL = Letters(8.0)
WIDE, HIGH = 595.28, 841.89  # A4 [pt]
COLUMN = WIDE - 2.0 * SIDE_MARGIN


def figures_of(whole: Report) -> list[Figure]:
    pages: list[Figure] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "_written", lambda figures, _: pages.extend(figures) or b"")
        report_pdf(whole)
    return pages


def with_sections(*sections: Section, title: str = "t") -> Report:
    return Report(title, "pass", "x.toml", date(2026, 3, 4), "c", sections)


@pytest.fixture(scope="module")
def trike() -> Report:
    found = assess(read_job(DATA / "recumbent_trike.toml"))
    one = replace(found, cables=found.cables[:1], verdict=found.cables[0].verdict)
    return report(one, source="x.toml", when=date(2026, 3, 4))


@pytest.fixture(scope="module")
def pages(trike) -> list[Figure]:
    return figures_of(trike)


def test_words_stay_within_the_margins_and_off_each_other(pages):
    for page in pages[:3]:
        scale = 72.0 / page.dpi
        renderer = FigureCanvasAgg(page).get_renderer()
        boxes = [(t.get_text(), t.get_window_extent(renderer).extents * scale) for t in page.texts]
        for text, box in boxes:
            assert box[0] >= SIDE_MARGIN - 1.0, text
            assert box[2] <= WIDE - SIDE_MARGIN + 1.0, text
            assert 30.0 < box[1] < box[3] < HIGH - 28.0, text
        texts, ends = [text for text, _ in boxes], np.array([box for _, box in boxes])
        low = np.maximum(ends[:, None, :2], ends[None, :, :2])
        high = np.minimum(ends[:, None, 2:], ends[None, :, 2:])
        meeting = np.argwhere(np.triu((high - low > 1.5).all(axis=-1), 1)).tolist()
        assert [(texts[i], texts[j]) for i, j in meeting] == []


def test_every_page_has_the_title_the_verdict_and_its_number(pages):
    for number, page in enumerate(pages, start=1):
        words = [text.get_text() for text in page.texts]
        assert f"{number} of {len(pages)}" in words
        assert "Recumbent trike: rear gear and left brake" in words
        assert words[-3] in ("PASS", "MARGINAL")


def test_drawings_lie_within_the_text(pages):
    drawn = [ax.get_position() for page in pages for ax in page.axes]
    assert len(drawn) == 7  # in space, three views, forces, radius, lost; cut, so no stock
    for box in drawn:
        assert box.x0 * WIDE >= SIDE_MARGIN
        assert box.x1 * WIDE <= SIDE_MARGIN + COLUMN
        assert box.y0 * HIGH >= BOTTOM
        assert box.y1 * HIGH <= HIGH - TOP


def test_a_long_table_breaks_over_pages_and_repeats_its_head():
    columns = (Column("Head one"), Column("Head two", numeric=True))
    rows = tuple((f"row {i}", str(i)) for i in range(120))
    pages = figures_of(with_sections(Section("s", (Table("", columns, rows),))))
    assert len(pages) == 3
    found = []
    for page in pages:
        words = [text.get_text() for text in page.texts]
        assert words.count("Head one") == 1
        found += [word for word in words if word.startswith("row ")]
    assert found == [row[0] for row in rows]


def test_a_row_taller_than_a_page_loses_no_word():
    words = [f"w{i}" for i in range(1500)]
    columns = (Column("A"), Column("B"), Column("C"), Column("D"))
    row = (" ".join(words), "b " * 400, "c " * 400, "d " * 400)
    pages = figures_of(with_sections(Section("s", (Table("", columns, (row,)),))))
    found = [
        word for page in pages for t in page.texts for word in re.findall(r"w\d+", t.get_text())
    ]
    assert len(pages) > 1
    assert found == words


def test_only_verdicts_are_coloured():
    columns = (Column("Found"), Column("Outcome"))
    pages = figures_of(with_sections(Section("s", (Table("", columns, (("fail", "fail"),)),))))
    colours = [t.get_color() for t in pages[0].texts if t.get_text() == "fail"]
    assert colours == ["#222222", "#a3200d"]


def test_a_heading_is_not_left_alone_at_the_foot_of_a_page():
    for count in range(50, 58):
        filler = tuple(Paragraph("x") for _ in range(count))
        pages = figures_of(with_sections(Section("a", filler), Section("Last", filler[:3])))
        last = next(page for page in pages if "Last" in [t.get_text() for t in page.texts])
        at = next(t for t in last.texts if t.get_text() == "Last").get_position()[1]
        below = [t for t in last.texts if t.get_text() == "x" and t.get_position()[1] < at]
        assert below


def test_the_same_report_gives_the_same_bytes():
    whole = with_sections(Section("s", (Paragraph("hello"),)))
    assert report_pdf(whole) == report_pdf(whole)


def test_the_pages_are_a4():
    data = report_pdf(with_sections(Section("s", (Paragraph("hello"),))))
    box = re.search(rb"/MediaBox \[ 0 0 ([\d.]+) ([\d.]+) \]", data)
    assert box
    assert [float(side) for side in box.groups()] == pytest.approx([595.28, 841.89], abs=0.5)


@settings(max_examples=30)
@given(st.text(st.characters(codec="ascii"), max_size=300), st.floats(30.0, 300.0))
def test_wrapped_lines_keep_the_measure_and_every_letter(text, width):
    lines = wrap(text, SMALL, width)
    assert lines
    assert "".join(lines).replace(" ", "") == one_line(text).replace(" ", "")
    for line in lines:
        assert SMALL.width(line) <= 1.03 * width  # letters broken one by one lose their kerning


@settings(max_examples=30)
@given(
    st.lists(
        st.lists(st.text("abc ", max_size=60), min_size=1, max_size=4), min_size=1, max_size=6
    ),
    st.floats(100.0, 500.0),
)
def test_columns_share_the_whole_room(columns, room):
    widths = share_out(columns, SMALL, room)
    assert sum(widths) == pytest.approx(room)
    assert min(widths) > 0.0


def test_a_narrow_column_leaves_its_share_to_the_others():
    narrow, wide = share_out([["1", "2"], ["long words " * 30]], SMALL, 300.0)
    assert narrow < 20.0
    assert wide > 280.0
