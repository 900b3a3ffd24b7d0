"""``calibrate --stiffness``: text, JSON, its sheet, writing into a route file, bad input."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute import assess, read_job
from cableroute.cli import app
from cableroute.mechanics.sag import sag_of_clamped

BUGGY = Path(__file__).resolve().parents[2] / "data" / "grass_track_buggy.toml"
SAGS = "length_mm,sag_mm,label\n250,31,down\n250,28,lifted\n11 13/16 in,58,down\n"


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "sag.csv").write_text(SAGS)
    return lambda *words: CliRunner().invoke(app, ["calibrate", "--stiffness", *words])


def test_json_holds_the_truth_of_a_made_up_core(run, tmp_path):
    truth = 2000.0
    rows = [
        f"{L},{float(sag_of_clamped(L, stiffness=truth, weight=8e-5)):.3f}" for L in (180, 220, 260)
    ]
    (tmp_path / "made.csv").write_text("length_mm,sag_mm\n" + "\n".join(rows))
    result = run("made.csv", "--weight", "0.08", "--json")
    assert result.exit_code == 0, result.output
    data = json.loads(result.stdout)
    low, high = data["bending_stiffness_n_mm2"]
    assert low < truth < high
    assert [each["stiffness_n_mm2"] for each in data["readings"]] == pytest.approx(
        [truth] * 3, rel=0.02
    )


def test_text_and_sheet_fit_the_screen(run):
    for words in (("sag.csv", "--weight", "0.08"), ("--how",)):
        result = run(*words)
        assert result.exit_code == 0, result.output
        assert max(map(len, result.stdout.splitlines())) <= 80
        assert result.stdout.isascii()
    assert "length_mm,sag_mm,tip_n,label" in result.stdout


def test_what_is_measured_goes_into_the_file_and_is_used(run, tmp_path):
    path = tmp_path / "m.toml"
    path.write_bytes(BUGGY.read_bytes())
    result = run("sag.csv", "--weight", "0.08", "--into", "m.toml", "--cable", "throttle")
    assert result.exit_code == 0, result.output
    band = tomllib.loads(path.read_text())["cable"][1]["bending_stiffness"]
    core = assess(read_job(path)).cables[1].figures.core
    assert core.measured
    assert [core.bending_stiffness, core.locked_stiffness] == band


def test_the_weight_can_be_that_of_the_cables_own_core(run, tmp_path):
    (tmp_path / "m.toml").write_bytes(BUGGY.read_bytes())
    result = run("sag.csv", "--into", "m.toml", "--cable", "throttle", "--json")
    assert result.exit_code == 0, result.output
    assert json.loads(result.stdout)["bending_stiffness_n_mm2"][0] > 0


@pytest.mark.parametrize(
    ("words", "csv", "message"),
    [
        ((), SAGS, "expected --weight"),
        (("--weight", "-1"), SAGS, "--weight: expected N/m above 0"),
        (("--weight", "0.08", "--route", "x.toml"), SAGS, "--route: expected with friction"),
        (("--weight", "0.08"), "length_mm\n250\n", "sag.csv:1: expected a column sag_mm, got none"),
        (("--weight", "0.08"), "length_mm,sag_mm\n250,-3\n", "sag.csv:2: sag_mm: expected 0"),
        (("--weight", "0.08"), "length_mm,sag_mm\n250,249\n", "at most 0.7 of the free length"),
        (("--weight", "0.08"), "length_mm,sag_mm\n", "expected at least one reading"),
    ],
)
def test_bad_input_is_one_message_and_nothing_is_written(run, tmp_path, words, csv, message):
    (tmp_path / "sag.csv").write_text(csv)
    result = run("sag.csv", *words)
    assert result.exit_code == 2
    assert message in result.output
    assert "Traceback" not in result.output


def test_weight_without_stiffness_is_refused(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "r.csv").write_text("wrap_deg,load_n,hand_n\n90,50,57\n")
    result = CliRunner().invoke(app, ["calibrate", "r.csv", "--weight", "1"])
    assert result.exit_code == 2
    assert "--weight: expected with --stiffness" in result.output
