"""``cableroute suggest``: words, JSON, and the file it writes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app
from cableroute.measure.reading import read_job

SHORT = """\
title = "bench"  # keep this
unit = "mm"
[nodes]
A = [500, -300, 0]
B = [500, 700, 0]
[tubes.rail]
from = "A"
to = "B"
diameter = 38
[[cable]]
name = "shift"
kind = "pull"
bend_radius = 100
friction = 0.1
points = [
  { at = [0, 0, 0], label = "hand", fix = "anchor" },  # stays
  { at = [500, 0, 0], label = "corner", move = "no" },
  { at = [500, 70, 0], label = "far", move = "y" },  # 30 mm short
]
"""


def run(*words: object):
    return CliRunner().invoke(app, ["suggest", *map(str, words)])


@pytest.fixture
def short(tmp_path: Path) -> Path:
    file = tmp_path / "short.toml"
    file.write_text(SHORT, encoding="utf-8")
    return file


def variant(file: Path, old: str, new: str) -> Path:
    assert old in SHORT
    file.write_text(SHORT.replace(old, new), encoding="utf-8")
    return file


def test_the_move_is_named_and_the_written_copy_passes(short: Path, tmp_path: Path) -> None:
    new = tmp_path / "new.toml"
    result = run(short, "--apply", new)
    assert result.exit_code == 0
    assert "far: 30 mm left, to (500 mm, 100 mm, 0 mm)" in result.stdout
    assert "wider radius alone does not lower the force" in result.stdout
    assert new.read_text(encoding="utf-8") == SHORT.replace("[500, 70, 0]", "[500, 100, 0]")
    assert CliRunner().invoke(app, ["check", str(new)]).exit_code == 0
    assert CliRunner().invoke(app, ["check", str(short)]).exit_code == 1


def test_json_tells_the_same(short: Path) -> None:
    (cable,) = json.loads(run(short, "--json").stdout)["cables"]
    assert (cable["fits"], cable["fits_after"]) == (False, True)
    assert cable["moves"][0]["to_mm"] == pytest.approx([500.0, 100.0, 0.0])
    assert cable["bends"][0]["turn_deg"] == pytest.approx(90.0)


def test_a_point_on_a_tube_gets_another_along(short: Path, tmp_path: Path) -> None:
    on_tube = '{ on = "rail", along = 370, clock = 3, label = "far", move = "tube" }'
    variant(short, '{ at = [500, 70, 0], label = "far", move = "y" }', on_tube)
    new = tmp_path / "new.toml"
    assert run(short, "--apply", new).exit_code == 0
    before, after = (read_job(path).cables[0].points[2] for path in (short, new))
    assert after[1] > before[1] + 10.0
    assert after[[0, 2]] == pytest.approx(before[[0, 2]])
    assert "clock = 3" in new.read_text(encoding="utf-8")
    assert CliRunner().invoke(app, ["check", str(new)]).exit_code == 0


def test_inches_stay_inches(tmp_path: Path) -> None:
    file, new = tmp_path / "inch.toml", tmp_path / "new.toml"
    text = SHORT.replace('"mm"', '"in"').replace("bend_radius = 100", 'bend_radius = "100 mm"')
    text = text.replace("[500, 70, 0]", '[20, "2 3/4 in", 0]').replace("[500, 0, 0]", "[20, 0, 0]")
    file.write_text(text, encoding="utf-8")
    assert run(file, "--apply", new).exit_code == 0
    assert '[20, "3 15/16\\"", 0]' in new.read_text(encoding="utf-8")  # 100.01 mm
    assert read_job(new).cables[0].points[2, 1] == pytest.approx(3.9375 * 25.4)


def test_where_all_fits_it_says_so_and_writes_nothing(short: Path, tmp_path: Path) -> None:
    variant(short, "bend_radius = 100", "bend_radius = 60")
    result = run(short, "--apply", tmp_path / "new.toml")
    assert result.exit_code == 0
    assert "no point need move" in result.stdout
    assert "is not written" in result.stdout
    assert not (tmp_path / "new.toml").exists()


def test_where_nothing_helps_it_says_so(short: Path) -> None:
    result = run(short, "--within", 20)
    assert result.exit_code == 0
    assert "no moves of up to 20 mm were found" in " ".join(result.stdout.split())
    assert "10 mm of leg would still lack" in " ".join(result.stdout.split())


def test_where_nothing_may_move_it_says_how_to_allow_it(short: Path) -> None:
    variant(short, 'move = "y"', 'move = "no"')
    result = run(short)
    assert result.exit_code == 0
    assert "no point near them may move" in result.stdout


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('move = "y"', 'move = "tube"', 'move = "tube" goes with "on" only'),
        ('move = "y"', 'move = "w"', "move"),
        ("bend_radius = 100", "bend_radius = -1", "bend_radius"),
    ],
)
def test_bad_input_is_refused(short: Path, old: str, new: str, said: str) -> None:
    result = run(variant(short, old, new))
    assert result.exit_code == 2
    assert said in result.stderr


def test_bad_options_are_refused(short: Path, tmp_path: Path) -> None:
    assert "shift" in run(short, "--cable", "brake").stderr
    assert run(short, "--within", -1).exit_code == 2
    assert run(short, "--apply", short).exit_code == 2  # never over another unasked
    assert short.read_text(encoding="utf-8") == SHORT
    csv = tmp_path / "points.csv"
    csv.write_text("x_mm,y_mm,z_mm\n0,0,0\n500,0,0\n500,500,0\n", encoding="utf-8")
    assert run(csv, "--apply", tmp_path / "new.toml").exit_code == 2


def test_a_bare_list_of_points_is_enough_with_a_radius(tmp_path):
    points = tmp_path / "points.csv"
    points.write_text("x_mm,y_mm,z_mm\n0,0,0\n300,0,0\n300,60,0\n900,60,40\n", encoding="utf-8")
    done = CliRunner().invoke(app, ["suggest", str(points), "--bend-radius", "50"])

    assert done.exit_code == 0
    assert "smallest moves" in done.stdout


def test_a_file_with_linkages_has_its_cables_looked_at() -> None:
    result = run(Path(__file__).parents[2] / "data" / "works_locomotive_aft.toml")
    assert result.exit_code == 0, result.output
