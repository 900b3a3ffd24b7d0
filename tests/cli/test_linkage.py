"""``cableroute linkage``, and linkages in ``check``: examples, JSON, CSV, bad input."""

import csv
import json
import re
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app

DATA = Path(__file__).parents[2] / "data"
BUGGY = DATA / "grass_track_buggy_selector.toml"
FORWARD, AFT, MENDED = (
    DATA / f"works_locomotive_{name}.toml" for name in ("forward", "aft", "mended")
)
CONTRACT = {"name", "travel", "direction", "hand_force_n", "findings"}


def run(*args):
    return CliRunner().invoke(app, [str(arg) for arg in args])


def run_json(*args):
    result = run(*args, "--json")
    assert result.stderr == ""
    return json.loads(result.stdout, parse_constant=pytest.fail)


@pytest.mark.parametrize("command", ["check", "linkage"])
@pytest.mark.parametrize(("file", "status"), [(BUGGY, 0), (FORWARD, 0), (AFT, 1), (MENDED, 0)])
def test_the_examples_pass_or_fail_as_they_say(command, file, status):
    result = run(command, file)
    assert result.exit_code == status
    assert result.stderr == ""
    assert max(map(len, result.stdout.splitlines())) <= 80


@pytest.mark.parametrize("file", [BUGGY, FORWARD, AFT, MENDED])
def test_the_keys_of_the_contract(file):
    found = run_json("check", file)
    assert found["linkages"]
    for linkage in found["linkages"]:
        assert set(linkage) >= CONTRACT
        assert "->" in linkage["direction"]
        assert linkage["hand_force_n"] > 0
        assert linkage["travel"]["given_mm"] > linkage["travel"]["arriving_mm"] > 0
        assert len(linkage["stroke"]) == 41
    assert set(run_json("linkage", file)) == {"schema", "title", "linkages", "selectors"}


def test_a_file_without_linkages_has_an_empty_list():
    found = run_json("check", DATA / "grass_track_buggy.toml")
    assert (found["linkages"], found["selectors"]) == ([], [])


def test_the_driver_facing_aft_finds_it_mirrored():
    found = run_json("check", AFT)
    for linkage in found["linkages"]:
        assert linkage["mirrored"]
        assert [finding["code"] for finding in linkage["findings"]] == ["linkage-mirrored"]
        assert linkage["findings"][0]["level"] == "fail"
        assert "lever-end" in [mend["kind"] for mend in linkage["mends"]]
    assert found["selectors"][0]["pattern"] == "mirrored both ways"
    assert found["verdict"] == "fail"


def test_the_mended_locomotive_has_the_same_cables():
    aft, mended = run_json("check", AFT), run_json("check", MENDED)
    assert [cable["route"] for cable in aft["cables"]] == [c["route"] for c in mended["cables"]]
    assert not any(linkage["mirrored"] for linkage in mended["linkages"])
    assert mended["selectors"][0]["pattern"] == "as wanted"


def test_the_tables_are_shown():
    text = run("linkage", FORWARD).stdout
    assert "Holes to drill in lever for 20.0 mm at the far end" in text  # a slide has no hole
    assert "Holes to drill in shift arm" in text
    assert "* press to pass" in text
    assert text.count("pulling  pushing") == 2
    assert "OVER" not in text


def test_a_finer_pitch_is_a_finer_list():
    text = run("linkage", BUGGY, "--pitch", 5).stdout
    head = text.index("Holes to drill in box arm")
    radii = [int(line.split()[0]) for line in text[head:].splitlines()[3:8]]
    assert [b - a for a, b in pairwise(radii)] == [5] * 4


def test_the_drill_list_as_json_brackets_the_travel_needed():
    for linkage in run_json("linkage", FORWARD)["linkages"]:
        holes = linkage["holes"]["holes"]
        travels = [hole["travel_mm"] for hole in holes]
        assert min(travels) < linkage["travel"]["far_needed_mm"] < max(travels)
        assert linkage["holes"]["for_travel_mm"] == linkage["travel"]["far_needed_mm"]


def test_a_wanted_ratio_is_that_of_the_middle_hole():
    drilled = run_json("linkage", BUGGY, "--ratio", 0.3, "--pitch", 4)["linkages"][0]["holes"]
    assert drilled["member"] == "box arm"
    assert drilled["holes"][2]["ratio"] == pytest.approx(0.3, rel=0.02)  # rounded to a mm
    radii = [hole["radius_mm"] for hole in drilled["holes"]]
    assert [b - a for a, b in pairwise(radii)] == [4] * 4


def test_a_ratio_out_of_reach_is_said():
    result = run("linkage", BUGGY, "--ratio", 9)
    assert "No holes to drill in box arm" in result.stdout
    assert run_json("linkage", BUGGY, "--ratio", 9)["linkages"][0]["holes"]["fault"]


def test_check_says_where_neutral_sits_and_what_the_adjusters_have_left():
    text = run("check", FORWARD).stdout
    assert "neutral       at 50 % of the travel given; the cable's stroke is 75 mm" in text
    assert "20.0 mm left to let out, 20.0 to take up" in text
    assert "-0.0" not in run("linkage", FORWARD).stdout


def test_the_starter_s_linkage_passes_once_uncommented(tmp_path):
    text = files("cableroute.output").joinpath("starter.toml").read_text(encoding="utf-8")
    start = text.index("# [[linkage]]")
    file = tmp_path / "machine.toml"
    file.write_text(text[:start] + re.sub(r"(?m)^# ", "", text[start:]), encoding="utf-8")
    assert "PASS     gear" in run("linkage", file).stdout


def test_the_tables_as_csv(tmp_path):
    out = tmp_path / "tables.csv"
    assert run("linkage", FORWARD, "--csv", out).exit_code == 0
    rows = list(csv.reader(out.read_text(encoding="utf-8").splitlines()))
    first, second = (i for i, row in enumerate(rows) if not row)
    strokes, holes, gates = rows[:first], rows[first + 1 : second], rows[second + 1 :]
    assert [row[:2] for row in holes[1::5]] == [["select", "lever"], ["shift", "shift arm"]]
    assert len(strokes) == 1 + 2 * 41
    assert [row[1] for row in gates] == ["gate", "R", "1", "2", "3", "4"]
    assert {len(row) for row in gates} == {len(gates[0])}
    again = run("linkage", FORWARD, "--csv", out)
    assert again.exit_code == 2
    assert "--force" in again.stderr
    assert run("linkage", FORWARD, "--csv", out, "--force").exit_code == 0


@pytest.mark.parametrize("name", ["=1+1", "+gear", "@gear", "-gear"])
def test_no_cell_is_a_formula(tmp_path, name):
    file, out = tmp_path / "machine.toml", tmp_path / "tables.csv"
    text = BUGGY.read_text(encoding="utf-8").replace('name = "gear"', f'name = "{name}"')
    file.write_text(text, encoding="utf-8")
    assert run("linkage", file, "--csv", out).exit_code == 0
    rows = list(csv.reader(out.read_text(encoding="utf-8").splitlines()))
    assert rows[1][0] == "'" + name


def test_a_linkage_that_locks_still_gives_its_tables(tmp_path):
    file = tmp_path / "machine.toml"
    text = BUGGY.read_text(encoding="utf-8").replace("[-20, 20]", "[-75, 75]")
    file.write_text(text, encoding="utf-8")
    result = run("linkage", file)
    assert result.exit_code == 1
    assert "Traceback" not in result.output
    assert max(map(len, result.stdout.splitlines())) <= 80
    found = run_json("check", file)["linkages"][0]
    assert "geometry-does-not-close" in [finding["code"] for finding in found["findings"]]


@pytest.mark.parametrize("command", ["check", "linkage"])
@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('axis = "left"   ', 'axis = "sideways" #', "expected forward, aft"),
        ('axis = "left"   ', 'axis = "up" #', "square to the axis"),
        ("radius = 70", "radius = -70", "greater than 0"),
        ("radius = 70", "radius = nan", "linkage"),
        ('far = "forward"', 'far = "left"', "expected a way that box arm can go"),
        ("range_deg = [-20, 20]", "range_deg = 20", "linkage"),
        ('hand = "forward"', 'hnad = "forward"', "the nearest is hand"),
        ('cable = "shift"\n', 'cable = "shaft"\n', "no cable 'shaft'"),
        ("[[linkage]]", "[linkage]", "linkage"),
    ],
)
def test_bad_input_is_said_in_plain_lines(tmp_path, command, old, new, said):
    file = tmp_path / "machine.toml"
    text = BUGGY.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    result = run(command, file)
    assert result.exit_code == 2, result.output
    assert said in result.stderr
    assert result.stdout == ""
    assert all(line.startswith("cableroute: ") for line in result.stderr.splitlines())
    assert len(result.stderr.splitlines()) <= 2


def test_a_file_without_linkages_has_no_tables():
    result = run("linkage", DATA / "workboat.toml")
    assert result.exit_code == 2
    assert "expected a [[linkage]] table, got none" in result.stderr
