"""``cableroute study``: text of one screen, plain data, samples, bad input."""

import csv
import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app
from cableroute.measure.wording import Words

DATA = Path(__file__).parents[2] / "data"
BOAT = str(DATA / "workboat.toml")
MACHINE = """
tape_tolerance = 4
[[cable]]
name = "brake"
kind = "pull"
family = "pull-1x19-medium"
friction = [0.08, 0.15]
load = 90
slack = 20
points = [
  { at = [100, 0, 0], label = "lever" },
  { at = [500, 0, 0], label = "corner" },
  { at = [500, 600, 0], label = "drum" },
]
"""


def run(*words):
    return CliRunner().invoke(app, ["study", *map(str, words)])


def test_the_text_fits_a_screen_and_says_what_to_measure():
    result = run(BOAT, "--cable", "gear", "--n", 512)
    lines = result.stdout.splitlines()
    assert result.exit_code == 0
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 80
    assert "hand force pulling" in result.stdout
    assert "Hang a scale on it" in result.stdout
    assert "512 machines, seed 0" in result.stdout


def test_lengths_of_a_tape_in_feet_are_told_in_feet_and_inches_as_by_check():
    words = (BOAT, "--cable", "gear", "--n", 256)
    figures = {each["name"]: each for each in json.loads(run(*words, "--json").stdout)["figures"]}
    lines = {" ".join(line.split()) for line in run(*words).stdout.splitlines()}
    for name in ("length to order", "tightest bend"):
        cells = [Words("in").length(figures[name][key]) for key in ("p5", "p50", "p95")]
        assert any(line.startswith(f"{name} {' '.join(cells)}") for line in lines)


def test_plain_data_have_the_keys_that_are_promised():
    data = json.loads(run(BOAT, "--cable", "gear", "--n", 256, "--json").stdout)
    assert (data["n"], data["seed"]) == (256, 0)
    row = next(each for each in data["figures"] if each["name"] == "hand force pulling")
    assert row["unit"] == "N"
    assert row["p5"] < row["p50"] < row["p95"]
    fail = next(each for each in data["fails"] if each["code"] == "efficiency-low")
    assert fail["interval"][0] <= fail["chance"] <= fail["interval"][1]
    assert all(0.0 <= each["chance_long_enough"] <= 1.0 for each in data["stock"])
    decided = [each for each in data["inputs"] if each["figure"] == "hand force pulling"]
    most = max(decided, key=lambda each: each["total"][0])
    assert most["name"] == "friction"
    assert most["total"][1] <= most["total"][0] <= most["total"][2]
    assert data["advice"][0]["text"]


def test_the_same_seed_gives_the_same_bytes_and_another_does_not():
    words = (BOAT, "--cable", "throttle", "--n", 128, "--json")
    assert run(*words).stdout == run(*words).stdout
    assert run(*words).stdout != run(*words, "--seed", 1).stdout


def test_n_is_rounded_up_and_said_so():
    assert "128 machines (100 rounded up to a power of two)" in run(BOAT, "--n", 100).stdout


def test_samples_are_a_row_a_machine(tmp_path):
    out = tmp_path / "rows.csv"
    result = run(BOAT, "--cable", "gear", "--n", 64, "--csv", out)
    rows = list(csv.DictReader(out.read_text().splitlines()))
    assert result.exit_code == 0
    assert len(rows) == 64
    assert {"friction", "points.2.x", "pull_n", "length_mm", "in_hand_efficiency-low"} <= set(
        rows[0]
    )
    assert run(BOAT, "--n", 64, "--csv", out).exit_code == 2  # never over another unasked


@pytest.fixture
def file(tmp_path):
    def write(more=""):
        path = tmp_path / "machine.toml"
        path.write_text(MACHINE + more)
        return path

    return write


def test_the_file_says_how_doubtful_an_input_is(file):
    more = """
[study]
friction = { fixed = 0.11 }
"cable.brake.points.2.x" = { tolerance = 20 }
load = { normal = ["9 kg", 4] }
shape = { triangular = [0, 0, 1] }
"""
    data = json.loads(run(file(more), "--n", 64, "--json").stdout)
    doubts = {each["key"]: each for each in data["doubts"]}
    assert "friction" not in doubts
    assert doubts["points.2.x"]["numbers"] == [500.0, 10.0]
    assert doubts["load"]["numbers"] == pytest.approx([88.2599, 4.0])
    assert doubts["shape"]["reason"] == "as the file says"
    assert doubts["points.3.y"]["numbers"] == [600.0, 2.0]


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ("[study]\nfrictoin = { fixed = 1 }", 'the nearest is "friction"'),
        ("[study]\nfriction = { uniform = [0.2, 0.1] }", "low <= high, got 0.2, 0.1"),
        ("[study]\nload = { normal = [90, -2] }", "standard deviation of 0 or more"),
        ("[study]\nload = { normal = [90, 2], fixed = 3 }", "expected one of uniform"),
        ("[study]\nload = { gauss = [90, 2] }", "machine.toml:"),
        ("[study]\nshape = { fixed = 'half' }", "expected a number, got 'half'"),
    ],
)
def test_a_doubt_that_cannot_be_is_refused(file, more, says):
    result = run(file(more), "--n", 64)
    assert result.exit_code == 2
    assert says in result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--n", 1], "2"),
        (["--n", 2_000_000], "add --yes"),
        (["--cable", "wing"], "no cable 'wing'; known: gear, throttle"),
        (["--seed", -1], "0"),
    ],
)
def test_bad_words_are_refused(words, says):
    result = run(BOAT, *words)
    assert result.exit_code == 2
    assert says in result.stderr


def test_a_machine_likelier_to_fail_than_not_ends_with_1(file):
    result = run(file("[study]\nfriction = { uniform = [0.7, 0.9] }"), "--n", 128)
    assert result.exit_code == 1
    assert "too little of the pull arrives" in result.stdout


def test_a_picture_is_of_one_cable(tmp_path):
    out = tmp_path / "sure.png"
    assert run(BOAT, "--n", 64, "-o", out).exit_code == 2
    assert run(BOAT, "--cable", "gear", "--n", 64, "-o", out).exit_code == 0
    assert out.read_bytes()[:4] == b"\x89PNG"


def test_a_straight_run_has_an_empty_cell_for_its_tightest_bend(tmp_path):
    points, out = tmp_path / "straight.csv", tmp_path / "rows.csv"
    points.write_text("x,y,z\n0,0,0\n400,0,0\n")
    given = ("--bend-radius", 60, "--friction", 0.12, "--load", 80)
    assert run(points, "--n", 16, "--csv", out, *given).exit_code == 0
    rows = list(csv.DictReader(out.read_text().splitlines()))
    assert len(rows) == 16
    assert {row["radius_mm"] for row in rows} == {""}
    assert "inf" not in out.read_text()
