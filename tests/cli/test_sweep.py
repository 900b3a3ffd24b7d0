"""``cableroute sweep``: a grid judged by `check`, the best of it, keys that lead nowhere."""

import csv
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from cableroute import CableRouteError, assess, read_job
from cableroute.cli import app
from cableroute.measure.from_text import read_text
from cableroute.study.readings_by_key import numbers_of, plain_data, scale_of
from cableroute.study.sweep import parse_axis, sweep

DATA = Path(__file__).parents[2] / "data"
BUGGY, BOAT = DATA / "grass_track_buggy.toml", DATA / "workboat.toml"
ELBOW = """
unit = "in"
[[cable]]
name = "brake"
kind = "pull"
bend_radius = 4
friction = 0.1
load = 90
points = [
  { at = [0, 0, 0] },
  { at = [10, 0, 0], passes = "inside" },
  { at = [10, 20, 0] },
]
"""


@pytest.fixture
def elbow(tmp_path):
    path = tmp_path / "elbow.toml"
    path.write_text(ELBOW)
    return path


def run(*words):
    return CliRunner().invoke(app, ["sweep", *map(str, words)])


def test_every_machine_of_the_grid_is_the_one_that_check_judges(elbow):
    job = read_job(elbow)
    found = sweep(job, [parse_axis("cable.brake.points.2.x=2:12:6")])
    for each, x in zip(found.tried, np.linspace(2.0, 12.0, 6), strict=True):
        points = job.cables[0].points.copy()
        points[1, 0] = 25.4 * x  # bare numbers are in the file's unit
        one = assess(replace(job, cables=(replace(job.cables[0], points=points),))).cables[0]
        assert each.verdict == one.verdict
        assert each.pull == pytest.approx(one.figures.pull.inputs[1], rel=1e-12)


def test_the_best_passes_with_the_least_force_and_says_what_is_left(elbow):
    result = run(elbow, "--over", "cable.brake.points.2.x=2:12:6", "--json")
    data = json.loads(result.stdout)
    best = data["best"]
    passing = [each for each in data["grid"] if each["verdict"] == best["verdict"]]
    assert best["pull_n"] == min(each["pull_n"] for each in passing)
    assert {"fail", best["verdict"]} <= {each["verdict"] for each in data["grid"]}
    room = next(each for each in best["margins"] if each["code"] == "bend-does-not-fit")
    assert room["margin"] == pytest.approx(room["value"] - room["limit"])


def test_what_is_left_is_told_as_check_tells_it(elbow):
    done = run(elbow, "--over", "cable.brake.points.2.x=10:10.5:2")
    checked = CliRunner().invoke(app, ["check", str(elbow), "--full"]).stdout

    (told,) = [line for line in done.stdout.splitlines() if "Share of the pull" in line]
    assert told.split(": ")[1].endswith("% left, limit 60 %")
    assert "limit at least 60 %" in " ".join(checked.split())


def test_two_numbers_make_a_map_the_first_down_the_second_across(elbow, tmp_path):
    out, rows = tmp_path / "map.png", tmp_path / "map.csv"
    result = run(
        elbow,
        *("--over", "cable.brake.friction=0.05:0.25:3", "--over", "cable.brake.points.3.y=2:22:5"),
        *("-o", out, "--csv", rows),
    )
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert sum(set(line.strip()) <= set("+~.") and len(line.strip()) == 5 for line in lines) == 3
    assert out.read_bytes()[:4] == b"\x89PNG"
    table = list(csv.DictReader(rows.read_text().splitlines()))
    assert len(table) == 15
    assert [float(each["cable.brake.friction"]) for each in table[:5]] == [0.05] * 5


def test_processes_give_the_same(elbow):
    words = (elbow, "--over", "cable.brake.points.2.x=6:10:3", "--json")
    assert run(*words, "--jobs", 2).stdout == run(*words).stdout


def test_none_feasible_ends_with_1(elbow):
    result = run(elbow, "--over", "cable.brake.bend_radius=90:100:2")
    assert result.exit_code == 1
    assert "None is feasible" in result.stdout
    assert "bend-does-not-fit (2)" in result.stdout


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["cable.brake.pionts.2.x=1:2:3"], 'the nearest is "cable.brake.points.2.x"'),
        (["cable.brake.load=1:2"], "KEY=LOW:HIGH:COUNT"),
        (["cable.brake.load=2:1:5"], "LOW below HIGH"),
        (["cable.brake.load=1:2:1"], "COUNT of 2 or more"),
        (["cable.brake.load=1:nan:3"], "KEY=LOW:HIGH:COUNT"),
        (["cable.brake.load=1:2:2000000"], "add --yes"),
        (["cable.brake.load=1:2:2"] * 2, "two different numbers"),
        (
            ["cable.brake.load=1:2:2", "tape_tolerance=1:2:2", "a=1:2:2"],
            "one or two numbers, got 3",
        ),
    ],
)
def test_a_sweep_that_cannot_be_is_refused(elbow, words, says):
    result = run(elbow, *(each for word in words for each in ("--over", word)))
    assert result.exit_code == 2
    assert says in result.stderr


def test_a_machine_that_cannot_be_made_is_no_end_of_the_sweep(elbow):
    data = json.loads(run(elbow, "--over", "cable.brake.points.2.x=-5:10:4", "--json").stdout)
    assert len(data["grid"]) == 4
    data = json.loads(run(elbow, "--over", "cable.brake.friction=1:3:3", "--json").stdout)
    assert [each["verdict"] for each in data["grid"]][1:] == ["none", "none"]
    assert "low < 2" in data["grid"][2]["error"] or "< 2" in data["grid"][2]["error"]


def test_keys_lead_to_every_number_and_lengths_are_in_the_files_unit():
    job = read_job(DATA / "survey_tapes.toml")
    known = numbers_of(plain_data(job.as_read))
    name = job.cables[0].name
    assert {"nodes.head.x", "node_tape.1.read", f"cable.{name}.points.1.tape.foot"} <= set(known)
    assert f"cable.{name}.friction" in known
    file = read_text(ELBOW).as_read
    assert scale_of("cable.a.points.3.z", file) == 25.4
    assert scale_of("cable.a.points.3.clock", file) == 1.0
    assert scale_of("cable.a.friction.2", file) == 1.0
    assert scale_of("cable.a.load", file) == 1.0
    pounds = read_text(f'force_unit = "lbf"\n{ELBOW}').as_read
    assert scale_of("cable.a.load", pounds) == pytest.approx(4.4482216152605)
    assert scale_of("cable.a.resists.friction", pounds) == pytest.approx(4.4482216152605)


def test_a_job_made_otherwise_has_no_numbers_to_sweep():
    job = replace(read_job(BOAT), as_read=None)
    with pytest.raises(CableRouteError, match="read from a file"):
        sweep(job, [parse_axis("tape_tolerance=1:2:2")])


def test_text_with_units_and_families_are_read_again_alike():
    job = read_job(BOAT)
    found = sweep(job, [parse_axis("cable.gear.load=200:210:2")])
    assert found.cable == "gear"
    nominal = assess(job).cables[0].figures
    assert found.tried[0].length == pytest.approx(nominal.order.conduit, rel=1e-12)
