"""``cableroute suggest``: words, JSON, and the file it writes."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.assess import assess
from cableroute.cli import app
from cableroute.measure.reading import read_job
from cableroute.verdict.check import Check

SHORT = """\
title = "bench"  # keep this
unit = "mm"
[nodes]
A = [500, -300, -22]
B = [500, 700, -22]
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
  { at = [500, 0, 0], label = "corner", move = "no", passes = "inside" },
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
    assert "far: 36 mm left, to (500 mm, 106 mm, 0 mm)" in result.stdout
    assert "wider radius alone does not lower the force" in result.stdout
    assert new.read_text(encoding="utf-8") == SHORT.replace("[500, 70, 0]", "[500, 106, 0]")
    assert CliRunner().invoke(app, ["check", str(new)]).exit_code == 0
    assert CliRunner().invoke(app, ["check", str(short)]).exit_code == 1


def test_json_tells_the_same(short: Path) -> None:
    (cable,) = json.loads(run(short, "--json").stdout)["cables"]
    assert (cable["fits"], cable["fits_after"]) == (False, True)
    assert cable["moves"][0]["to_mm"] == pytest.approx([500.0, 106.0, 0.0])
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
    assert '[20, "4 3/16\\"", 0]' in new.read_text(encoding="utf-8")  # 106.4 mm
    assert read_job(new).cables[0].points[2, 1] == pytest.approx(4.1875 * 25.4)


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


def test_moves_leave_the_tapes_doubt_to_spare_or_say_that_they_do_not(short: Path) -> None:
    (cable,) = json.loads(run(short, "--json").stdout)["cables"]
    (move,) = cable["options"]
    assert move["spare_mm"] == pytest.approx(6.0)  # 106 mm of leg, 100 for the bend
    assert 5.0 < move["doubt_mm"] < move["spare_mm"]
    near = run(short, "--within", 32)
    words = " ".join(near.stdout.split())
    assert "far: 30 mm left" in words or "far: 31 mm left" in words
    assert "that the tape leaves in doubt there: no moves within reach leave more" in words
    exact = run(short, "--tolerance", 0)
    assert "far: 30 mm left, to (500 mm, 100 mm, 0 mm)" in exact.stdout


TRIKE = Path(__file__).parents[2] / "data" / "recumbent_trike.toml"


def test_a_listed_option_is_taken_by_its_number(tmp_path: Path) -> None:
    cables = json.loads(run(TRIKE, "--json").stdout)["cables"]
    every = [(cable, option) for cable in cables for option in cable["options"]]
    assert [option["number"] for _, option in every] == list(range(1, len(every) + 1))
    text = TRIKE.read_text(encoding="utf-8")
    for cable, option in every:
        new = tmp_path / f"{option['number']}.toml"
        done = run(TRIKE, "--apply", new, "--option", option["number"])
        assert done.exit_code == 0, done.output
        (label,) = option["at"]
        kept = [line for line in text.splitlines() if f'label = "{label}"' not in line]
        assert option["kind"] == "leave-out"
        written = new.read_text(encoding="utf-8").splitlines()
        assert len(kept) < len(text.splitlines())
        # two cables have a point of this name; only one of them loses it
        assert set(kept) <= set(written)
        told = assess(read_job(new))
        found = next(each for each in told.cables if each.name == cable["name"])
        assert found.verdict == option["verdict_after"]
        assert found.figures.pull.inputs[1] == pytest.approx(option["hand_n"])
        assert f"{option['number']}. without {label}" in run(TRIKE).stdout


def test_what_an_option_makes_worse_is_said_below_it() -> None:
    buggy = TRIKE.with_name("grass_track_buggy.toml")
    cables = json.loads(run(buggy, "--json").stdout)["cables"]
    worse = [each for cable in cables for option in cable["options"] for each in option["worse"]]
    assert "without a clip" in worse[0]["message"]
    text = " ".join(run(buggy).stdout.split())
    assert all(f"but {each['level']}: {each['where']}: {each['message']}" in text for each in worse)


SWEPT = """\
[[cable]]
name = "c"
kind = "pull"
bend_radius = 60
friction = 0.3
load = 100
check = [{ from = 1, to = 5, read = 1456 }, { from = "out", to = 4, read = 640 }]
points = [
  { at = [0, 0, 0], label = "hand" },
  { at = [500, 0, 0], label = "out" },       # two bends
  { at = [500, 400, 0], label = "back" },
  { at = [1000, 400, 0], label = "on" },
  { at = [1400, 400, 0], label = "far" },
]
"""


def test_a_sweep_is_written_and_readings_go_by_their_new_numbers(tmp_path: Path) -> None:
    file, new = tmp_path / "swept.toml", tmp_path / "new.toml"
    file.write_text(SWEPT, encoding="utf-8")
    (cable,) = json.loads(run(file, "--json").stdout)["cables"]
    option = next(each for each in cable["options"] if each["at"] == ["out", "back"])
    assert option["kind"] == "sweep"
    assert run(file, "--apply", new, "--option", option["number"]).exit_code == 0
    (found,) = read_job(new).cables
    assert found.labels == ("hand", "sweep", "on", "far")
    assert found.points[1].tolist() == [500.0, 200.0, 0.0]
    (reading,) = found.checks  # the other one was of a point that is gone
    assert (reading.start, reading.end) == (0, 3)
    judged = assess(read_job(new)).cables[0]
    assert judged.figures.pull.inputs[1] == pytest.approx(option["hand_n"])


def test_what_would_fit_by_the_tapes_luck_only_is_not_offered(tmp_path: Path) -> None:
    """Without its second point the last leg has 102 mm for a bend that needs 100."""
    file = tmp_path / "tight.toml"
    file.write_text(
        '[[cable]]\nname = "c"\nkind = "pull"\nbend_radius = 100\nfriction = 0.2\npoints = [\n'
        '{ at = [0, 0, 0] }, { at = [250, -60, 0], label = "dip", passes = "inside" },\n'
        '{ at = [500, 0, 0], passes = "inside" }, { at = [500, 102, 0] }]\n',
        encoding="utf-8",
    )
    (cable,) = json.loads(run(file, "--json").stdout)["cables"]
    assert "dip" in [change["at"] for change in cable["leave_out"] if change["fits"]]
    assert not [each for each in cable["options"] if each["at"] == ["dip"]]
    (declined,) = [each for each in cable["not_offered"] if each["at"] == ["dip"]]
    assert declined["spare_mm"] == pytest.approx(2.0)
    assert declined["doubt_mm"] > 4.0
    assert "Not offered: leaving out dip, as it leaves 2.0 mm" in " ".join(run(file).stdout.split())


def test_a_change_that_breaks_another_rule_is_not_offered(monkeypatch, tmp_path: Path) -> None:
    def grim(job, **more):
        found = assess(job, **more)
        if len(job.cables[0].points) == 5:
            return found
        broken = Check(
            code="other", name="Another rule", value=2.0, failing=1.0, message="It breaks."
        )
        one = replace(found.cables[0], checks=(*found.cables[0].checks, broken))
        return replace(found, cables=(one,), verdict="fail")

    sound = tmp_path / "sound.toml"
    sound.write_text(SWEPT.replace("friction = 0.3", "friction = 0.1"), encoding="utf-8")
    assert json.loads(run(sound, "--json").stdout)["cables"][0]["options"]
    monkeypatch.setattr("cableroute.suggestions.assess", grim)
    (cable,) = json.loads(run(sound, "--json").stdout)["cables"]
    assert cable["options"] == []
    assert all("It breaks." in str(each["worse"]) for each in cable["not_offered"])
    said = " ".join(run(sound).stdout.split())
    assert "as it makes the verdict fail." in said
    assert "fail: whole run: It breaks." in said


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--option", 1), "--apply NEW.toml"),
        (("--apply", "new.toml", "--option", 99), "a number from 1 to 4, got 99"),
        (("--apply", "new.toml", "--option", 1, "--option", 2), "got 2 for rear gear"),
    ],
)
def test_options_that_cannot_be_taken_are_refused(monkeypatch, tmp_path: Path, words, told) -> None:
    monkeypatch.chdir(tmp_path)
    result = run(TRIKE, *words)
    assert result.exit_code == 2
    assert told in result.stderr
    assert not list(tmp_path.iterdir())


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
