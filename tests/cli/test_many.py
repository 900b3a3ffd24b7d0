"""Files with a great deal of something: what is refused, thinned out, or worked out once."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from cableroute.assess import assess
from cableroute.cli import app
from cableroute.measure.bounds import MOST_AT_ONCE, MOST_MISFIT, MOST_PAIRED, MOST_STUDIED
from cableroute.measure.job import Cable, Job
from cableroute.measure.positions import PointPlaces
from cableroute.measure.reading import read_job
from cableroute.output.pictures import projection, route_lines
from cableroute.output.pictures.projection import MANY_PIECES, densely, points_by_piece
from cableroute.output.report import contents, marks
from cableroute.output.report.blocks import Drawing, Paragraph, Section, Space, Table
from cableroute.route.fillet import fit_arcs

CABLE = """\
[[cable]]
name = "c{0}"
kind = "pull"
bend_radius = 60
friction = 0.1
load = 50
points = [ {{ at = [0, {0}, 0] }}, {{ at = [400, {0}, 0] }}, {{ at = [{1}, {2}, 0] }} ]
"""


def machine(folder: Path, count: int) -> Path:
    """Write cables that pass, the last but one of which does not fit."""
    file = folder / "many.toml"
    file.write_text(
        "".join(CABLE.format(i, 400, i + (30 if i == count - 2 else 300)) for i in range(count)),
        encoding="utf-8",
    )
    return file


@pytest.mark.parametrize(
    "words",
    [
        ("suggest",),
        ("study",),
        ("draw",),
        ("report", "-o", "x.pdf"),
        ("report", "--sheet", "-o", "x.html"),
        ("report", "--study", "-o", "x.md"),
    ],
)
def test_more_cables_than_can_be_waited_for_are_refused(words, tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    file = machine(tmp_path, MOST_AT_ONCE + 1)
    result = CliRunner().invoke(app, [words[0], str(file), *words[1:]])
    assert result.exit_code == 2
    assert f"at most {MOST_AT_ONCE} cables at once" in result.output
    assert f"got {MOST_AT_ONCE + 1}: choose one (--cable)" in result.output.replace("\n", " ")
    assert [each.name for each in tmp_path.iterdir()] == ["many.toml"]


def test_one_of_them_is_done(tmp_path) -> None:
    file = machine(tmp_path, MOST_AT_ONCE + 1)
    result = CliRunner().invoke(app, ["suggest", str(file), "--cable", "c3"])
    assert result.exit_code == 0, result.output


def test_a_run_of_too_many_points_is_not_studied(tmp_path) -> None:
    file = tmp_path / "scan.csv"
    at = np.arange(MOST_STUDIED + 1)
    file.write_text(
        "x_mm,y_mm,z_mm\n" + "".join(f"{200 * i},{90 * (i % 2)},0\n" for i in at.tolist()),
        encoding="utf-8",
    )
    words = ["study", str(file), "--bend-radius", "60", "--friction", "0.1", "--tolerance", "0"]
    result = CliRunner().invoke(app, words)
    assert result.exit_code == 2
    assert f"at most {MOST_STUDIED} points to study, got {MOST_STUDIED + 1}" in result.output
    result = CliRunner().invoke(app, ["study", str(file), "--bend-radius", "600", *words[4:]])
    assert result.exit_code == 2
    assert f"at most {MOST_MISFIT} points to study while its bends do not fit" in result.output


def test_too_many_pairs_and_families_are_refused(tmp_path) -> None:
    file = machine(tmp_path, MOST_PAIRED + 1)
    result = CliRunner().invoke(app, ["compare", str(file), "--pair"])
    assert result.exit_code == 2
    assert f"at most {MOST_PAIRED} cables at once" in result.output
    scan = tmp_path / "scan.csv"
    scan.write_text(
        "x_mm,y_mm,z_mm\n" + "".join(f"{10 * i},{9 * (i % 2)},0\n" for i in range(20_000))
    )
    words = ["compare", str(scan), "--families", "--bend-radius", "60"]
    result = CliRunner().invoke(app, words)
    assert result.exit_code == 2
    assert "got 20000 points to judge with each of" in result.output


def blocks(section: Section):
    yield from section.blocks
    for part in section.parts:
        yield from blocks(part)


def _head(heads, name: str) -> str:
    return next(each for each in heads if f"{name}:" in each or each.endswith(name))


def test_a_report_draws_the_gravest_of_many(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(contents, "MOST_DRAWN", 12)
    found = assess(read_job(machine(tmp_path, 5)))
    assert [each.verdict == "fail" for each in found.cables] == [False, False, False, True, False]
    made = contents.report(found, source="many.toml")
    own = {each.heading: list(blocks(each)) for each in made.sections}
    drawn = {
        drawing.result.name
        for each in own.values()
        for drawing in each
        if isinstance(drawing, Drawing)
    }
    (space,) = (each for section in own.values() for each in section if isinstance(each, Space))
    assert drawn == {"c0", "c3"}
    assert [each.result.name for each in space.drawings] == ["c3", "c0"]
    told = [each.text for each in own[_head(own, "c1")] if isinstance(each, Paragraph)]
    assert any("--cable NAME" in text for text in told)
    assert not any("--cable NAME" in getattr(each, "text", "") for each in own[_head(own, "c3")])


def test_where_points_stand_is_worded_only_when_it_is_asked_for(tmp_path) -> None:
    (cable, *_) = read_job(machine(tmp_path, 2)).cables
    asked = []
    places = PointPlaces(lambda path: asked.append(path) or f"at {path[-1]}", ("cable", 0), 3)
    assert not asked
    assert (places[1], places[-1], len(places), places[1:]) == (
        "at 1",
        "at 2",
        3,
        ("at 1", "at 2"),
    )
    assert isinstance(cable.places, PointPlaces)
    assert 'many.toml:7: cable "c0", point 2' in cable.place_of(1)


def test_a_run_of_very_many_pieces_is_drawn_by_three_points_of_each(monkeypatch) -> None:
    route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0], [700, 300, 90]], min_bend_radius=60)
    whole = points_by_piece(route)
    assert max(map(len, whole)) > 60
    monkeypatch.setattr(projection, "MANY_PIECES", 2)
    few = points_by_piece(route)
    assert [len(each) for each in few] == [3] * len(route.pieces)
    for one, other in zip(whole, few, strict=True):
        assert one[[0, -1]] == pytest.approx(other[[0, -1]], abs=1e-9)
    assert route_lines.points_by_piece is points_by_piece
    assert MANY_PIECES >= 1000


def test_long_lines_are_filled_less_densely() -> None:
    assert len(densely(np.zeros((11, 2)))) == 250
    assert len(densely(np.zeros((400_001, 2)))) == 800_000


def test_the_command_works_out_small_matrices_on_one_thread() -> None:
    look = (
        "import os, sys; sys.argv = ['cableroute', '--version']\n"
        "from cableroute.__main__ import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print(os.environ['OPENBLAS_NUM_THREADS'])"
    )
    for given, kept in (({}, "1"), ({"OPENBLAS_NUM_THREADS": "3"}, "3")):
        own = {key: word for key, word in os.environ.items() if key != "OPENBLAS_NUM_THREADS"}
        done = subprocess.run(
            [sys.executable, "-c", look],
            env=own | given,
            capture_output=True,
            text=True,
            check=True,
        )
        assert done.stdout.split()[-1] == kept


def test_a_long_table_of_a_report_is_cut_and_says_so(tmp_path, monkeypatch) -> None:
    whole = contents.report(assess(read_job(machine(tmp_path, 1))), source="many.toml")
    monkeypatch.setattr(contents, "MOST_ROWS", 2)
    cut = contents.report(assess(read_job(machine(tmp_path, 1))), source="many.toml")
    long = [
        b for s in whole.sections for b in blocks(s) if isinstance(b, Table) and len(b.rows) > 2
    ]
    name = _head([each.heading for each in cut.sections], "c0")
    own = next(each for each in cut.sections if each.heading == name)
    told = [block.text for block in blocks(own) if isinstance(block, Paragraph)]
    rows = [len(block.rows) for block in blocks(own) if isinstance(block, Table)]
    assert long
    assert max(rows) == 2
    assert any("check --full tells them all" in text for text in told)
    assert not any(
        "tells them all" in getattr(block, "text", "")
        for s in whole.sections
        for block in blocks(s)
    )


def test_of_many_marks_only_those_on_the_sheet_are_worded(tmp_path, monkeypatch) -> None:
    points = np.array([[90.0 * i, 90.0 * (i % 2), 0.0] for i in range(300)])
    result = assess(Job("", (Cable("a", points, "pull", 20.0),), tape_tolerance=0.0))
    asked = []
    monkeypatch.setattr(marks, "lying_at", lambda _, at: asked.append(at) or at)
    table = marks.marks_table(result.cables[0], result.job)
    assert len(table.rows) == marks.MOST_MARKS + 1
    assert 0 < len(asked) <= 2 * marks.MOST_MARKS
