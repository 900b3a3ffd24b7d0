from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from cableroute.assess import assess
from cableroute.cli import app
from cableroute.measure.reading import read_job
from cableroute.route.schedule import Schedule, rebuild

DATA = Path(__file__).resolve().parents[2] / "data"
FILES = sorted(path.name for path in DATA.glob("*.toml"))
BUGGY = str(DATA / "grass_track_buggy.toml")


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lambda *words: CliRunner().invoke(app, ["template", *words])


@pytest.mark.parametrize("name", FILES)
def test_the_text_fits_80_columns(run, name):
    result = run(str(DATA / name))
    assert result.exit_code == 0, result.output
    assert max(map(len, result.stdout.splitlines())) <= 80


@pytest.mark.parametrize("name", FILES)
def test_the_json_rebuilds_the_run(run, name):
    found = json.loads(run(str(DATA / name), "--json").stdout)
    assert found["schema"] == 1
    for told, cable in zip(found["cables"], assess(read_job(DATA / name)).cables, strict=True):
        bends = told["bends"]
        column = {key: np.array([bend[key] for bend in bends]) for key in bends[0]}
        schedule = Schedule(
            corners=column["bend"],
            straights=np.append(column["straight_mm"], told["last_straight_mm"]),
            rotations=np.radians(column["rotation_deg"]),
            angles=np.radians(column["angle_deg"]),
            radii=column["radius_mm"],
        )
        again = rebuild(
            schedule,
            start=told["start_mm"],
            direction=told["direction"],
            normal=told["first_bend_towards"],
        )
        bent = np.flatnonzero(cable.figures.route.turns > 1e-9) + 1
        corners = cable.figures.route.vertices[[0, *bent, -1]]
        assert np.abs(again - corners).max() < 1e-6
        np.testing.assert_allclose(schedule.starts, column["mark_mm"], atol=1e-9)
        assert told["length_mm"] == pytest.approx(cable.figures.route.length)


def test_a_hand_worked_elbow(run, tmp_path):
    (tmp_path / "p.csv").write_text("x,y,z\n0,0,0\n400,0,0\n400,300,0\n400,300,200\n")
    lines = run("p.csv", "--inside", "--bend-radius", "60", "--tolerance", "0").stdout.splitlines()
    rows = [line.split()[-5:] for line in lines if line.startswith(("   1", "   2"))]
    assert rows == [
        ["340.0", "340.0", "0.0", "90.0", "60.0"],
        ["180.0", "614.2", "90.0", "90.0", "60.0"],
    ]
    (tail,) = [line.split() for line in lines if "far end  " in line]
    assert tail[-2:] == ["140.0", "848.5"]


def test_bends_in_one_plane_are_told_and_drawn_together(run, tmp_path):
    file = str(DATA / "works_locomotive_aft.toml")
    lines = run(file, "--cable", "shift").stdout.splitlines()
    assert "bends 1 to 4 lie in one plane, to within 0.0 deg" in lines
    (cable,) = json.loads(run(file, "--cable", "shift", "--json").stdout)["cables"]
    assert [(flat["first"], flat["last"]) for flat in cable["flat"]] == [(1, 4)]
    assert cable["flat"][0]["off_deg"] == pytest.approx(0.0, abs=0.1)
    assert run(file, "--cable", "shift", "-o", "both.pdf").exit_code == 0
    alone = run(BUGGY, "--cable", "throttle", "-o", "alone.pdf")
    assert "plane" not in "".join(alone.stdout.splitlines()[:-5])
    pages = [
        (tmp_path / name).read_bytes().count(b"/MediaBox") for name in ("both.pdf", "alone.pdf")
    ]
    assert pages[0] > 3
    assert pages[1] == 1  # three bends that share it


@pytest.mark.parametrize("json_too", [(), ("--json",)])
def test_a_stretch_too_long_to_print_is_told_and_its_bends_are_printed(run, tmp_path, json_too):
    (tmp_path / "p.csv").write_text("x,y,z\n0,0,0\n500,0,0\n500,4500,0\n0,4500,0\n")
    result = run("p.csv", "--bend-radius", "60", "-o", "x.pdf", *json_too)
    assert result.exit_code == 0
    assert "cableroute: p: bends 1 and 2 lie flat, but would take" in result.stderr
    assert (tmp_path / "x.pdf").read_bytes().count(b"/MediaBox") == 1  # both share a page


def test_a_tape_in_inches_gets_inches_too(run, tmp_path):
    (tmp_path / "p.csv").write_text("x,y,z\n0,0,0\n16,0,0\n16,12,0\n")
    words = ("p.csv", "--inside", "--bend-radius", "50.8", "--tolerance", "0")
    shown = run(*words, "--unit", "in").stdout
    assert "355.6" in shown
    assert "1' 2\"" in shown
    assert '2"' in shown
    assert '"' not in run(*words, "--unit", "mm", "--bend-radius", "1").stdout


@pytest.mark.parametrize("label", ["W" * 90, "a\\tb\\nc", "=1+1"])
def test_any_label_keeps_to_its_line(run, tmp_path, label):
    points = f'{{at=[0,0,0]}},{{at=[900,0,0],label="{label}"}},{{at=[900,900,0]}}'
    (tmp_path / "j.toml").write_text(f'[[cable]]\nname="c"\nbend_radius=60\npoints=[{points}]\n')
    result = run("j.toml", "--csv", "s.csv")
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert len([line for line in result.stdout.splitlines() if line.startswith("   1  ")]) == 1
    with (tmp_path / "s.csv").open(newline="") as file:
        (row,) = csv.DictReader(file)
    assert not row["at"].startswith("=")


def test_a_straight_run_has_no_bends(run, tmp_path):
    (tmp_path / "p.csv").write_text("x,y,z\n0,0,0\n400,0,0\n")
    assert "400.0 mm of wire, 0 bends" in run("p.csv", "--bend-radius", "60").stdout
    assert (
        json.loads(run("p.csv", "--bend-radius", "60", "--json").stdout)["cables"][0]["bends"] == []
    )
    result = run("p.csv", "--bend-radius", "60", "-o", "x.pdf")
    assert result.exit_code == 2
    assert "no run has a bend" in result.stderr


def test_sheets_and_table_are_written_and_not_over_others(run, tmp_path):
    words = (BUGGY, "--cable", "shift", "-o", "x.pdf", "--csv", "x.csv", "--paper", "letter")
    result = run(*words)
    assert result.exit_code == 0, result.output
    assert (tmp_path / "x.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "x.csv").read_text().startswith("cable,bend,at,straight_mm,mark_mm")
    (tmp_path / "x.pdf").write_text("mine")
    (tmp_path / "x.csv").unlink()
    again = run(*words)
    assert again.exit_code == 2
    assert "x.pdf: exists already" in again.stderr
    assert (tmp_path / "x.pdf").read_text() == "mine"
    assert run(*words, "--force").exit_code == 0
    assert (tmp_path / "x.pdf").read_bytes().startswith(b"%PDF")


def test_json_stays_json_when_files_are_written(run):
    result = run(BUGGY, "--json", "-o", "x.pdf")
    assert json.loads(result.stdout)["cables"][0]["name"] == "shift"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("-o", "x.png"), "ending in .pdf"),
        (("--csv", "x.txt"), "ending in .csv"),
        (("-o", "none/x.pdf"), "none/x.pdf"),
        (("--csv", "none/x.csv"), "none/x.csv"),
        (("--cable", "clutch"), "known: shift, throttle"),
        (("--paper", "a0"), "a0"),
    ],
)
def test_bad_usage_is_told_and_writes_nothing(run, tmp_path, words, told):
    result = run(BUGGY, *words)
    assert result.exit_code == 2
    assert told in result.stderr
    assert result.stdout == ""
    assert not list(tmp_path.iterdir())
