"""The command that compares: text, JSON, picture, exit status, bad input."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner, Result

from cableroute.assess import assess
from cableroute.cli.compare import compare
from cableroute.hardware.library import load_library
from cableroute.measure.reading import read_job
from cableroute.output.as_dict import assessment_dict

APP = typer.Typer()
APP.command()(compare)
DATA = Path(__file__).resolve().parents[2] / "data"
BUGGY = str(DATA / "grass_track_buggy.toml")
LOCOMOTIVES = [str(DATA / f"works_locomotive_{way}.toml") for way in ("forward", "aft", "mended")]
CABLE = '[[cable]]\nname = "{name}"\nkind = "{kind}"\nbend_radius = {radius}\nfriction = 0.1\n'
POINTS = "points = [{ at = [0, 0, 0] }, { at = [400, 0, 0] }, { at = [400, 400, 0] }]\n"


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lambda *words: CliRunner().invoke(APP, list(words))


def write(path: Path, *, name="shift", kind="push-pull", radius=60, more="") -> str:
    path.write_text(CABLE.format(name=name, kind=kind, radius=radius) + more + POINTS)
    return path.name


def refused(result: Result, *words: str) -> None:
    assert result.exit_code == 2, result.output
    assert isinstance(result.exception, SystemExit)
    assert result.stdout == ""
    assert all(line.startswith("cableroute: ") for line in result.stderr.splitlines())
    for word in words:
        assert word in result.stderr


def test_routes_of_one_cable_side_by_side(run) -> None:
    result = run(*LOCOMOTIVES)

    assert result.exit_code == 0, result.output
    assert result.stdout.count("3 options") == 2  # select and shift
    assert "works_locomotive_aft, fail: its linkage" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_a_cable_and_the_pair_that_it_could_be(run) -> None:
    result = run(BUGGY, "--pair")

    assert result.exit_code == 0, result.output
    assert "shift as a pair wins: lost motion" in result.stdout
    assert "A pull pair only pulls" in result.stdout
    assert "Nothing to compare with: throttle." in result.stdout
    assert "Caution" in result.stdout


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_wide_table_is_broken_into_blocks_of_eighty_columns(run, unit) -> None:
    result = run(*LOCOMOTIVES, "--pair", "--cable", "shift", "--unit", unit)

    lines = result.stdout.splitlines()
    assert sum(line.startswith("pull at hand") for line in lines) == 2
    assert max(map(len, lines)) <= 80
    if unit == "in":
        assert any(line.startswith("run") and "'" in line for line in lines)


def test_json_is_one_object_with_options_and_wins(run) -> None:
    result = run(BUGGY, "--pair", "--json")
    data = json.loads(result.stdout)

    assert (data["schema"], data["verdict"]) == (1, "pass")
    given, pair = data["options"]
    assert (given["name"], given["kind"], given["what_if"]) == ("shift", "push-pull", False)
    assert (pair["name"], pair["kind"], pair["what_if"]) == ("shift as a pair", "pull-pair", True)
    assert given["pair"] is None
    assert pair["folding_margin"] is None
    assert pair["preload_n"] == pair["pair"]["preload_n"] > pair["pair"]["least_preload_n"]
    assert pair["hand_pull_n"] == pair["hand_pull_range_n"][1]
    out = pair["pair"]["out"]
    assert out["hand_n"] == pytest.approx(out["pulled_hand_n"] - out["slack_hand_n"])
    assert data["wins"]["hand_pull_n"] == "shift"
    assert data["wins"]["lost_motion_mm"] == "shift as a pair"
    assert data["sets"][0]["wins"] == data["wins"]
    assert data["left_out"] == ["throttle"]


def test_several_comparisons_have_their_wins_in_their_sets(run) -> None:
    data = json.loads(run(*LOCOMOTIVES, "--json").stdout)

    assert data["wins"] is None
    assert [each["name"] for each in data["sets"]] == ["select", "shift"]
    assert [each["set"] for each in data["options"]] == ["select"] * 3 + ["shift"] * 3


def test_every_number_and_name_of_the_json_is_as_in_the_text(run) -> None:
    data = json.loads(run(BUGGY, "--pair", "--json").stdout)
    text = run(BUGGY, "--pair").stdout

    for option in data["options"]:
        low, high = option["hand_pull_range_n"]
        assert f"{low:.0f} to {high:.0f} N" in text
        assert f"{option['lost_motion_mm']:.1f} mm" in text


def test_options_override_every_file(run, tmp_path) -> None:
    names = [write(tmp_path / "a.toml"), write(tmp_path / "b.toml")]
    words = ("--load", "80", "--friction", "0", "--push-load", "30", "--json")
    data = json.loads(run(*names, "--family", "push-solid-light", *words).stdout)

    for option in data["options"]:
        assert option["friction"] == [0.0, 0.0]
        assert option["family"] == "push-solid-light"
        assert option["hand_back_n"] == pytest.approx(30.0)
        assert option["anchor_far_n"] == 80.0


def test_the_preload_can_be_set(run) -> None:
    data = json.loads(run(BUGGY, "--pair", "--preload", "30", "--json").stdout)
    pair = data["options"][1]

    assert pair["preload_n"] == 30.0
    assert pair["pair"]["loose_mm"] > 0.0
    assert "pair-slack" in [finding["code"] for finding in pair["findings"]]


def test_only_a_comparison_in_which_everything_fails_fails(run, tmp_path) -> None:
    good, bad = write(tmp_path / "good.toml"), write(tmp_path / "bad.toml", radius=500)
    worse = write(tmp_path / "worse.toml", radius=600)

    assert run(good, bad).exit_code == 0
    assert run(bad, worse).exit_code == 1
    assert json.loads(run(bad, worse, "--json").stdout)["verdict"] == "fail"


def test_a_picture_is_written_and_not_overwritten(run, tmp_path) -> None:
    result = run(BUGGY, "--pair", "-o", "x.svg")
    assert result.exit_code == 0, result.output
    assert "x.svg is written." in result.stdout
    first = (tmp_path / "x.svg").read_bytes()
    assert first.startswith(b"<?xml")

    refused(run(BUGGY, "--pair", "-o", "x.svg"), "--force")
    (tmp_path / "x.svg").write_text("mine")
    assert run(BUGGY, "--pair", "-o", "x.svg", "--force").exit_code == 0
    assert (tmp_path / "x.svg").read_bytes() == first


def test_json_stays_json_beside_a_picture(run, tmp_path) -> None:
    result = run(BUGGY, "--pair", "-o", "x.png", "--json")
    assert json.loads(result.stdout)["schema"] == 1
    assert (tmp_path / "x.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((BUGGY,), None),
        ((BUGGY, "--cable", "shift"), "give another file, or --pair"),
        ((BUGGY, "--cable", "clutch"), "known: shift, throttle"),
        ((BUGGY, "--cable", "throttle", "--pair"), "do not push"),
        ((BUGGY, "--preload", "50"), "--preload"),
        ((BUGGY, "--pair", "--preload", "-5"), "preload"),
        ((BUGGY, "--pair", "-o", "x.jpg"), ".png, .svg, .pdf"),
        ((BUGGY, "--pair", "-o", "none/x.png"), "none/x.png"),
        ((BUGGY, BUGGY), "twice"),
        ((*LOCOMOTIVES, "-o", "x.png"), "expected --cable, one of: select, shift"),
        ((*LOCOMOTIVES, "--family", "no-such"), "no-such"),
        ((BUGGY, "--families"), "--cable: expected one of shift, throttle"),
        ((BUGGY, "--families", "--cable", "clutch"), "--cable: expected one of shift, throttle"),
        ((BUGGY, "--families", "--cable", "shift", "--pair"), "got --pair besides"),
        ((*LOCOMOTIVES, "--families", "--cable", "shift"), "got 3 files besides"),
        ((BUGGY, "--families", "--cable", "shift", "-o", "x.png"), "got -o besides"),
    ],
)
def test_bad_usage_is_told_and_writes_nothing(run, tmp_path, words, told) -> None:
    result = run(*words)
    if told is None:
        assert result.exit_code == 0, result.output
    else:
        refused(result, told)
    assert not list(tmp_path.iterdir())


def test_faults_of_all_files_are_told_together(run, tmp_path) -> None:
    good = write(tmp_path / "good.toml")
    bad = write(tmp_path / "bad.toml", radius=-5, more='lable = "x"\n')
    (tmp_path / "back.toml").write_text(
        CABLE.format(name="shift", kind="pull", radius=50)
        + "points = [{ at = [0, 0, 0] }, { at = [9, 0, 0] }, { at = [1, 0, 0] }]\n"
    )
    result = run(good, bad, "none.toml", "back.toml")

    refused(result, "bad.toml:4", "none.toml", "back.toml", "lable")
    assert len(result.stderr.splitlines()) == 4


def test_files_of_one_stem_keep_their_folders(run, tmp_path) -> None:
    for folder in ("left", "right"):
        (tmp_path / folder).mkdir()
        write(tmp_path / folder / "way.toml")
    data = json.loads(run("left/way.toml", "right/way.toml", "--json").stdout)

    assert [option["name"] for option in data["options"]] == ["left/way.toml", "right/way.toml"]


def test_lists_of_points_are_compared_too(run, tmp_path) -> None:
    for name, y in (("left", 300), ("right", 500)):
        (tmp_path / f"{name}.csv").write_text(f"x_mm,y_mm,z_mm\n0,0,0\n600,0,0\n600,{y},0\n")
    result = run("left.csv", "right.csv", "--bend-radius", "60", "--json")

    data = json.loads(result.stdout)
    assert data["wins"]["length_mm"] == "left"
    assert data["options"][0]["lost_motion_mm"] is None


# -- in front of the shelf -----------------------------------------------------------------------

OWN = """\
[family.own-slick]
kind = "push-pull"
construction = "solid"
core_od = 3.0
conduit_od = 9.0
conduit_id = 3.6
min_bend_radius = 120
friction = [0.02, 0.04]
stock_lengths = [3000]
"""


def test_a_run_is_judged_with_every_family_and_one_of_ones_own(run, tmp_path) -> None:
    (tmp_path / "own.toml").write_text(OWN)
    words = (BUGGY, "--cable", "shift", "--families", "--library", "own.toml")
    data = json.loads(run(*words, "--json").stdout)
    rows = {row["family"]: row for row in data["families"]}

    assert set(rows) == {*load_library(), "own-slick"}
    ranks = [("pass", "marginal", "fail", None).index(row["verdict"]) for row in data["families"]]
    assert ranks == sorted(ranks)
    assert data["verdict"] == data["families"][0]["verdict"] == "pass"
    assert rows["own-slick"]["stock_mm"] == 3000.0
    for row in data["families"]:
        assert bool(row["why"]) == (row["verdict"] != "pass")
    text = " ".join(run(*words).stdout.split())
    assert all(name in text for name in rows)
    assert "throttle-thin, cannot be laid: the family throttle-thin is for pulling only" in text


def test_a_family_on_the_run_reads_as_a_check_with_it(run, tmp_path) -> None:
    """Each row is what the same file says with that family in it and no figure of another cable."""
    text = Path(BUGGY).read_text()
    (row,) = [
        row
        for row in json.loads(run(BUGGY, "--cable", "shift", "--families", "--json").stdout)[
            "families"
        ]
        if row["family"] == "push-solid-medium"
    ]
    old = 'family = "push-slick-medium"'
    assert text.count(old) == 1
    kept = [line for line in text.splitlines() if not line.startswith("drag = 6")]
    (tmp_path / "other.toml").write_text(
        "\n".join(kept).replace(old, 'family = "push-solid-medium"')
    )
    cable = assessment_dict(assess(read_job(tmp_path / "other.toml")))["cables"][0]
    assert row["verdict"] == cable["verdict"]
    assert row["hand_range_n"] == cable["pull_range"]["input_n"]
    assert row["stock_mm"] == cable["order"]["stock_mm"]
    fails = [
        f"{each['where']}: {each['message']}"
        for each in cable["findings"]
        if each["level"] == "fail"
    ]
    assert row["why"] == fails


def test_what_it_works_is_judged_with_each_family_too(run) -> None:
    data = json.loads(run(LOCOMOTIVES[1], "--cable", "shift", "--families", "--json").stdout)
    assert data["verdict"] == "fail"  # mirrored, whatever the family
    pushing = [row for row in data["families"] if row["verdict"] is not None]
    assert pushing
    assert all(any("mirrored" in why for why in row["why"]) for row in pushing)


def test_where_every_family_fails_the_command_does(run, tmp_path) -> None:
    points = "points = [{ at = [0, 0, 0] }, { at = [40, 0, 0] }, { at = [40, 40, 0] }]\n"
    (tmp_path / "tight.toml").write_text('[[cable]]\nname = "a"\nbend_radius = 9\n' + points)
    result = run("tight.toml", "--families")
    assert result.exit_code == 1, result.output
    assert "a: 13 families" in result.stdout
