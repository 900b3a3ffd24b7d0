from __future__ import annotations

from dataclasses import replace
from math import exp, radians
from pathlib import Path

import pytest

from cableroute.assess import assess
from cableroute.measure.reading import read_job
from cableroute.measure.readings import COLUMNS, read_readings
from cableroute.output.blank_readings import blank_csv, pull_of, reading_rows
from cableroute.output.paper import PAPER
from cableroute.output.pictures.style import any_letters
from cableroute.output.report import pdf_drawings
from cableroute.output.report.as_html import report_html
from cableroute.output.report.as_pdf import _sheets, _whole, sheet_size
from cableroute.output.report.blocks import Paragraph, Report, Section, Table
from cableroute.output.report.contents import report
from cableroute.output.report.marks import MOST_MARKS, lying_at
from cableroute.output.report.sheet import bench_sheets
from cableroute.table.figure import facts
from cableroute.table.run import ORDER_ROWS

DATA = Path(__file__).resolve().parents[4] / "data"
FILES = sorted(path.name for path in DATA.glob("*.toml"))
#: Pages of the long report for each cable of a file.
MOST_PAGES = 8
_FOUND = {}


def assessed(name):
    if name not in _FOUND:
        _FOUND[name] = assess(read_job(DATA / name))
    return _FOUND[name]


def job(tmp_path, text):
    file = tmp_path / "job.toml"
    file.write_text(text, encoding="utf-8")
    return assess(read_job(file))


def sheets(name) -> Report:
    return bench_sheets(assessed(name), source=name)


def table(sheet: Section, caption: str) -> list[dict[str, str]]:
    found = next(b for b in sheet.blocks if isinstance(b, Table) and b.caption.startswith(caption))
    heads = [column.head for column in found.columns]
    return [dict(zip(heads, row, strict=True)) for row in found.rows]


def settings(sheet: Section) -> dict[str, str]:
    return {row["What"]: row["Set or make"] for row in table(sheet, "")}


@pytest.mark.parametrize("paper", list(PAPER))
@pytest.mark.parametrize("name", FILES)
def test_a_sheet_is_one_page_of_either_paper(name, paper):
    whole = sheets(name)
    with any_letters():
        pages = _sheets(whole, paper, lambda _: None)
    assert len(pages) == len(whole.sections) == len(assessed(name).cables)
    assert all(sheet_size(section, (paper,)) >= 8.0 for section in whole.sections)


@pytest.mark.parametrize("paper", list(PAPER))
@pytest.mark.parametrize("name", FILES)
def test_the_long_report_is_short(name, paper, monkeypatch):
    # pages are laid out by the sizes of drawings alone
    monkeypatch.setattr(pdf_drawings, "draw_axes", lambda *_, **__: None)
    found = assessed(name)
    with any_letters():
        pages = _whole(report(found, source=name), paper, lambda _: None)
    assert len(pages) <= MOST_PAGES * len(found.cables)
    first, second = ([text.get_text() for text in page.texts] for page in pages[:2])
    assert "Verdict" in first
    assert "What to buy" in first
    assert any(line.startswith("Order after the bench test") for line in first)
    assert "What to buy" not in second


def test_a_sheet_says_what_to_get_mark_set_and_read():
    (sheet,) = sheets("grass_track_buggy_selector.toml").sections
    (cable,), (linkage,) = (
        getattr(assessed("grass_track_buggy_selector.toml"), kind)
        for kind in ("cables", "linkages")
    )
    told = settings(sheet)
    assert told["Buy"].startswith("push-slick-medium: 2500 mm stock")
    assert "1 set screw M4 in a groove lets go at" in told["Hand anchor"]
    assert "the file does not say what holds it" in told["Far anchor"]
    assert "to take up" in told["Adjuster at neutral"]
    for end in linkage.figures.reaches.ends:
        words = told[f"Swivel to pin, {end.member}"]
        assert f"{round(end.low)} mm to {round(end.high)} mm" in words
        assert f"{round(end.middle)} mm" in words
    marks = table(sheet, "Marks along the conduit")
    assert [row["Drawn tight"] for row in marks] == sorted(
        (row["Drawn tight"] for row in marks), key=lambda text: int(text.removesuffix(" mm"))
    )
    assert len(marks) == len(cable.holding.clips) + 5
    low, high = cable.figures.pull.inputs
    assert table(sheet, "Force to expect")[0]["Scale at the hand should read"] == (
        f"{low:.0f} to {high:.0f} N"
    )


def test_a_cable_by_the_metre_says_where_to_cut():
    order = assessed("recumbent_trike.toml").cables[0].figures.order
    told = settings(sheets("recumbent_trike.toml").sections[0])
    assert told["Cut"].startswith(
        f"conduit to {round(order.advised)} mm (least {round(order.least)} mm); "
        f"core {round(order.core)} mm"
    )


def test_a_push_pull_cable_made_to_length_is_told_with_its_rods():
    whole = read_job(DATA / "grass_track_buggy.toml")
    one = assess(replace(whole, cables=(replace(whole.cables[0], cut=True),))).cables[0]
    told = dict(facts(ORDER_ROWS, one, whole.words))
    assert told["order"].endswith(f"core with its rods {round(one.figures.order.core)} mm")
    assert "ends" not in told["counted in"]  # they are in the core alone
    assert one.figures.order.need == one.figures.order.conduit


def test_each_place_is_told_as_it_can_be_measured():
    trike, tapes, tubes = (
        {
            row["Mark"]: row["Where it is, or ends"]
            for sheet in sheets(name).sections
            for row in table(sheet, "Marks")
        }
        for name in ("recumbent_trike.toml", "survey_tapes.toml", "survey_tubes.toml")
    )
    assert trike["clip: tube front"] == "on main: 330 mm along, clock 270° (9:00)"
    assert trike["clip: bar pivot"].startswith("x, y, z -")
    assert tapes["clip: post low"].startswith("by tape: foot 252 mm, ")
    assert tubes["clip: post low"] == "on post: 250 mm along, clock 90° (3:00)"


def test_marks_lie_further_on_where_the_conduit_lies_easy():
    figures = assessed("grass_track_buggy_selector.toml").cables[0].figures
    assert lying_at(figures, 0.0) == 0.0
    assert lying_at(figures, float(figures.route.length)) == pytest.approx(figures.lay.length)


def test_a_failing_run_forbids_to_cut():
    whole = sheets("works_locomotive_aft.toml")
    for sheet in whole.sections:
        assert sheet.verdict == "fail"
        first = sheet.blocks[0]
        assert isinstance(first, Paragraph)
        assert first.text.startswith("DO NOT CUT OR DRILL")
    assert not isinstance(sheets("recumbent_trike.toml").sections[0].blocks[0], Paragraph)


def test_a_scan_is_cut_short_and_says_where_the_rest_is(tmp_path):
    points = ", ".join(f"{{ at = [{60 * i}, {40 * (i % 2)}, 0] }}" for i in range(60))
    found = job(
        tmp_path, f'[[cable]]\nname = "c"\nbend_radius = 20\nfriction = 0.1\npoints = [{points}]\n'
    )
    marks = table(bench_sheets(found, source="x").sections[0], "Marks")
    assert len(marks) == MOST_MARKS + 1
    assert "cableroute export --what clips" in marks[-1]["Mark"]


@pytest.mark.parametrize("name", FILES)
def test_the_readings_have_the_columns_that_calibrate_reads(name):
    for sheet, cable in zip(sheets(name).sections, assessed(name).cables, strict=True):
        rows = table(sheet, "Readings for cableroute calibrate")
        assert tuple(rows[0]) == COLUMNS
        written = blank_csv(cable.figures).splitlines()
        assert written[0] == ",".join(COLUMNS)
        assert len(written) == len(rows) + 1
        filled = [
            line.replace(",,", ",12.5,", 1).replace(",lbf,", ",12.5 lbf,", 1) for line in written
        ]
        back = read_readings("\n".join(filled), source="r.csv")
        for row, reading in zip(reading_rows(cable.figures), back.labels, strict=True):
            assert row["label"] == reading


def test_expected_pulls_follow_the_capstan(tmp_path):
    found = job(
        tmp_path,
        '[[cable]]\nname = "c"\nkind = "pull"\nbend_radius = 50\nload = 80\ndrag = 4\n'
        "friction = 0.1\npoints = [{ at = [0,0,0] }, { at = [400,0,0] }, { at = [400,300,0] }]\n",
    )
    figures = found.cables[0].figures
    low, high = pull_of(figures, 40.0).inputs
    assert (low, high) == pytest.approx([40.0 * exp(0.1 * wrap) + 4.0 for wrap in figures.wraps])
    rows = list(reading_rows(figures))
    assert radians(float(rows[0]["wrap_deg"])) == pytest.approx(figures.route.wrap, abs=1e-3)
    assert [row["load_n"] for row in rows] == ["80", "0", "40", "40", "0", "80"]
    assert {row["hand_n"] for row in rows} == {""}
    assert rows[1]["label"] == "no load: expect 4.0 N"  # the very drag that was measured


def test_a_page_of_sheets_has_no_script_and_prints_one_a_page():
    page = report_html(sheets("recumbent_trike.toml"))
    assert page.count('<section class="sheet pt-') == 2
    assert "<script" not in page
