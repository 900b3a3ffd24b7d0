from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app

DATA = Path(__file__).resolve().parents[2] / "data"
BUGGY = str(DATA / "grass_track_buggy.toml")
START = {".dxf": b"999\n", ".csv": b"cable,along_mm", ".stl": b"cableroute"}


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lambda *words: CliRunner().invoke(app, ["export", *words])


@pytest.mark.parametrize("suffix", [".dxf", ".csv", ".stl", ".DXF"])
def test_the_ending_decides_the_kind(run, tmp_path, suffix):
    result = run(BUGGY, "-o", f"x{suffix}")
    assert result.exit_code == 0, result.output
    assert (tmp_path / f"x{suffix}").read_bytes().startswith(START[suffix.lower()])


def test_one_cable_and_its_bends(run, tmp_path):
    assert run(BUGGY, "-o", "x.csv", "--cable", "throttle", "--what", "bends").exit_code == 0
    head, *rows = (tmp_path / "x.csv").read_text().splitlines()
    assert head.startswith("cable,bend,at,straight_mm,mark_mm")
    assert rows
    assert all(row.startswith("throttle,") for row in rows)


def test_clips_of_all_cables(run, tmp_path):
    assert run(BUGGY, "-o", "x.csv", "--what", "clips").exit_code == 0
    head, *rows = (tmp_path / "x.csv").read_text().splitlines()
    assert head.startswith("cable,at_mm,x_mm,y_mm,z_mm,kind,label,force_n")
    assert {row.split(",")[0] for row in rows} == {"shift", "throttle"}
    assert {row.split(",")[5] for row in rows} == {"anchor", "clip"}


def test_an_existing_file_stays_unless_forced(run, tmp_path):
    old = tmp_path / "x.dxf"
    old.write_text("mine")
    result = run(BUGGY, "-o", "x.dxf")
    assert result.exit_code == 2
    assert "--force" in result.stderr
    assert old.read_text() == "mine"
    assert run(BUGGY, "-o", "x.dxf", "--force").exit_code == 0
    assert old.read_text() != "mine"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("-o", "x.step"), ".dxf, .csv, .stl"),
        (("-o", "none/x.dxf"), "none/x.dxf"),
        (("-o", "x.dxf", "--cable", "clutch"), "known: shift, throttle"),
        (("-o", "x.stl", "--diameter", "0"), "--diameter"),
        (("-o", "x.stl", "--diameter", "nan"), "--diameter"),
        (("-o", "x.csv", "--what", "loops"), "loops"),
        ((), "--output"),
    ],
)
def test_bad_usage_is_told_and_writes_nothing(run, tmp_path, words, told):
    result = run(BUGGY, *words)
    assert result.exit_code == 2
    assert told in result.stderr
    assert not list(tmp_path.iterdir())


def test_a_tube_of_a_bare_list_needs_a_diameter(run, tmp_path):
    (tmp_path / "p.csv").write_text("x,y,z\n0,0,0\n400,0,0\n400,300,0\n")
    words = ("p.csv", "--bend-radius", "60", "-o", "p.stl")
    result = run(*words)
    assert result.exit_code == 2
    assert "--diameter" in result.stderr
    assert run(*words, "--diameter", "8").exit_code == 0


def test_a_straight_run_has_a_table_without_bends(run, tmp_path):
    (tmp_path / "p.csv").write_text("x,y,z\n0,0,0\n400,0,0\n")
    words = ("p.csv", "--bend-radius", "60", "-o", "b.csv", "--what", "bends")
    assert run(*words).exit_code == 0
    assert len((tmp_path / "b.csv").read_text().splitlines()) == 1
