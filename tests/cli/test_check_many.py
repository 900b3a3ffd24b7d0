"""``check`` of several files and folders: each as alone, then one table; one cable of them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app

DATA = Path(__file__).parents[2] / "data"
GOOD = "[[cable]]\nname = '{name}'\nbend_radius = 60\npoints = [{{ at = [0, 0, 0] }}, {{ at = [400, 0, 0] }}]\n"
TIGHT = "[[cable]]\nname = 'tight'\nbend_radius = 60\npoints = [{ at = [0, 0, 0] }, { at = [20, 0, 0] }, { at = [20, 20, 0] }]\n"


def run(*words: object):
    return CliRunner().invoke(app, ["check", *map(str, words)])


@pytest.fixture
def fleet(tmp_path: Path) -> Path:
    """A folder of two sound files, one that fails, and one that is no route."""
    folder = tmp_path / "fleet"
    folder.mkdir()
    (folder / "a.toml").write_text(GOOD.format(name="shift"))
    (folder / "b.toml").write_text("tape_tolerance = 0\n" + TIGHT)
    (folder / "c.toml").write_text(GOOD.format(name="brake"))
    (folder / "notes.md").write_text("no route\n")
    return folder


def test_several_files_end_with_one_table(fleet):
    done = run(fleet / "a.toml", fleet / "b.toml")
    assert done.exit_code == 1, done.output
    lines = done.stdout.splitlines()
    head = next(i for i, line in enumerate(lines) if line.startswith("verdict"))
    assert [line.split()[0] for line in lines[head + 2 : head + 4]] == ["PASS", "FAIL"]
    assert lines[-1] == "1 pass, 1 fail"
    assert max(map(len, lines[head:])) <= 80
    alone = run(fleet / "a.toml").stdout
    assert alone in done.stdout


def test_a_folder_is_the_files_in_it(fleet):
    done = run(fleet, "--json")
    assert done.exit_code == 1
    data = json.loads(done.stdout)
    assert data["verdict"] == "fail"
    assert [Path(each["file"]).name for each in data["files"]] == ["a.toml", "b.toml", "c.toml"]
    one = json.loads(run(fleet / "a.toml", "--json").stdout)
    assert {**one, "file": str(fleet / "a.toml")} == data["files"][0]


def test_what_cannot_be_read_leaves_the_others_judged(fleet):
    (fleet / "d.toml").write_text("cable = 3\n")
    done = run(fleet)
    assert done.exit_code == 2
    assert done.stderr.startswith(f"cableroute: {fleet / 'd.toml'}:1: cable: expected a list")
    assert "NOT READ" in done.stdout
    assert done.stdout.splitlines()[-1] == "2 pass, 1 fail, 1 not read"
    data = json.loads(run(fleet, "--json").stdout)
    assert len(data["files"]) == 3
    assert len(data["faults"]) == 1


@pytest.mark.parametrize("command", ["check", "study"])
def test_a_folder_without_a_route_says_so(tmp_path, command):
    done = CliRunner().invoke(app, [command, str(tmp_path)])
    assert done.exit_code == 2
    assert "directory" in done.stderr


@pytest.mark.parametrize("command", ["check", "study"])
def test_a_name_beyond_reason_and_a_locked_folder_are_complaints(tmp_path, monkeypatch, command):
    def locked(_self):
        raise PermissionError(13, "Permission denied")

    done = CliRunner().invoke(app, [command, "x" * 300])
    assert done.exit_code == 2
    assert "File name too long" in done.stderr
    monkeypatch.setattr(Path, "iterdir", locked)  # root may look anywhere
    done = CliRunner().invoke(app, [command, str(tmp_path)])
    assert done.exit_code == 2
    assert done.stderr == f"cableroute: {tmp_path}: cannot look into it: Permission denied\n"


def test_only_one_cable_of_a_file():
    done = run(DATA / "grass_track_buggy.toml", "--cable", "throttle", "--json")
    (cable,) = json.loads(done.stdout)["cables"]
    every = json.loads(run(DATA / "grass_track_buggy.toml", "--json").stdout)["cables"]
    assert cable == next(each for each in every if each["name"] == "throttle")
    wrong = run(DATA / "grass_track_buggy.toml", "--cable", "clutch")
    assert wrong.exit_code == 2
    assert "no cable 'clutch'; known: shift, throttle" in wrong.stderr


def test_one_cable_keeps_the_linkage_that_it_works():
    file = DATA / "works_locomotive_forward.toml"
    data = json.loads(run(file, "--cable", "select", "--json").stdout)
    assert [each["name"] for each in data["cables"]] == ["select"]
    assert {each["cable"] for each in data["linkages"]} == {"select"}
    assert data["selectors"] == []


def test_one_cable_of_a_folder_leaves_out_the_files_without_it(fleet):
    done = run(fleet, "--cable", "shift")
    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines()[-1] == "1 pass"
    assert done.stderr == f"Without a cable of that name: {fleet / 'b.toml'}, {fleet / 'c.toml'}\n"
    nowhere = run(fleet, "--cable", "clutch")
    assert nowhere.exit_code == 2
    assert nowhere.stderr.count("no cable 'clutch'") == 3


def test_a_sheet_of_readings_in_a_folder_is_no_route(fleet):
    (fleet / "bench.csv").write_text("wrap_deg,load_n,hand_n\n90,50,57\n")
    assert len(json.loads(run(fleet, "--json").stdout)["files"]) == 3
    named = run(fleet / "a.toml", fleet / "bench.csv")
    assert named.exit_code == 2
    assert "expected columns x, y and z" in named.stderr
