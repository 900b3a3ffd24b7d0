"""``calibrate``: text, JSON, the bench sheet, a mock-up's wrap, and writing into a route file."""

from __future__ import annotations

import csv
import json
import math
import re
import tomllib
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from cableroute import assess, read_job
from cableroute.cli import app
from cableroute.cli import calibrate as cli_calibrate
from cableroute.figures.cable import work_out

DATA = Path(__file__).resolve().parents[2] / "data"
READINGS = str(DATA / "buggy_friction_readings.csv")
BUGGY = DATA / "grass_track_buggy.toml"
FORWARD = DATA / "works_locomotive_forward.toml"


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lambda *words: CliRunner().invoke(app, ["calibrate", *words])


def machine(tmp_path, *, old=None, new=None, mark="", end="\n"):
    text = BUGGY.read_text(encoding="utf-8")
    text = re.sub(r"(?m)^drag = .*\n", "", text)  # as before the bench test
    if old is not None:
        assert old in text
        text = text.replace(old, new, 1)
    path = tmp_path / "m.toml"
    path.write_bytes((mark + text.replace("\n", end)).encode())
    return path


def test_json_keeps_its_contract_and_finds_the_truth(run):
    result = run(READINGS, "--json")
    assert result.exit_code == 0, result.output
    data = json.loads(result.stdout)
    low, high = data["friction_interval"]
    assert low < data["friction"] < high
    assert low < 0.11 < high
    assert data["drag_interval_n"][0] < 4.0 < data["drag_interval_n"][1]
    assert data["drag_n"] == pytest.approx(4.0, abs=0.5)
    assert [each["label"] for each in data["outliers"]] == ["180 deg 100 N second"]
    assert len(data["residuals"]) == 18
    assert data["explained"] is True


def test_text_names_the_outlier_and_fits_the_screen(run):
    result = run(READINGS)
    assert result.exit_code == 0, result.output
    assert "left out: 180 deg 100 N second (+" in result.stdout
    assert "explains the readings" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_how_prints_a_sheet_for_80_columns_without_a_file(run):
    result = run("--how")
    assert result.exit_code == 0
    assert "wrap_deg,load_n,hand_n" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert result.stdout.isascii()


def test_a_mock_up_gives_the_wrap_of_its_first_or_named_cable(run, tmp_path):
    job = read_job(BUGGY)
    for which, words in ((0, ()), (1, ("--cable", "throttle"))):
        wrap = float(work_out(job.cables[which], job=job).route.wrap)
        loads = (0.0, 20.0, 60.0, 100.0)
        rows = [f"{load},{load * math.exp(0.15 * wrap) + 3.0}" for load in loads]
        (tmp_path / "r.csv").write_text("load_n,hand_n\n" + "\n".join(rows))
        data = json.loads(run("r.csv", "--route", str(BUGGY), *words, "--json").stdout)
        assert data["friction"] == pytest.approx(0.15, abs=1e-6)
        assert data["drag_n"] == pytest.approx(3.0, abs=1e-4)
        assert data["residuals"][0]["wrap_deg"] == pytest.approx(math.degrees(wrap))


def test_a_mock_up_that_works_a_linkage_is_the_run_that_check_tells(run, tmp_path):
    """Without headings in the file its ends lie along their rods: more turn than left free."""
    file = tmp_path / "free.toml"
    file.write_text(re.sub(r', heading = ("\w+"|\[[^\]]*\])', "", FORWARD.read_text()))
    (tmp_path / "r.csv").write_text("load_n,hand_n\n0,3\n20,26\n60,72\n100,118\n")
    job = read_job(file)
    wraps = [math.degrees(each.figures.route.wrap) for each in assess(job).cables]
    for cable, wrap in zip(job.cables, wraps, strict=True):
        assert wrap > math.degrees(work_out(cable, job=job).route.wrap) + 1.0
        words = ("--route", "free.toml", "--cable", cable.name, "--json")
        data = json.loads(run("r.csv", *words).stdout)
        assert data["residuals"][0]["wrap_deg"] == pytest.approx(wrap)


@pytest.mark.parametrize(("mark", "end"), [("", "\n"), ("\ufeff", "\r\n")])
@pytest.mark.parametrize("cable", ["shift", "throttle"])
def test_a_missing_friction_is_added_and_every_other_byte_kept(run, tmp_path, mark, end, cable):
    path = machine(tmp_path, mark=mark, end=end)
    before = path.read_bytes().splitlines(keepends=True)
    result = run(READINGS, "--into", "m.toml", "--cable", cable)
    assert result.exit_code == 0, result.output
    after = path.read_bytes().splitlines(keepends=True)
    added = [line for line in after if line.startswith((b"friction", b"drag"))]
    assert [line for line in after if line not in added] == before
    assert len(added) == 2
    note = f"  # calibrated {date.today().isoformat()}: 17 readings used, 1 left out{end}"
    assert all(note in line.decode() for line in added)
    cables = {each.name: each for each in read_job(path).cables}
    measured = cables.pop(cable)
    assert measured.friction[0] < 0.11 < measured.friction[1]
    _, most = json.loads(run(READINGS, "--json").stdout)["drag_interval_n"]
    assert most <= measured.drag < most + 0.1
    assert [(each.friction, each.drag) for each in cables.values()] == [(None, None)]


def test_an_old_friction_is_replaced_where_it_stands(run, tmp_path):
    old = "load = 120 "
    path = machine(tmp_path, old=old, new=f"  friction = [ 0.1,\n  0.3 ]   # a guess\n{old}")
    before = path.read_text()
    assert run(READINGS, "--into", "m.toml", "--cable", "shift").exit_code == 0
    after = path.read_text()
    head, tail = before.split("  friction = [ 0.1,\n  0.3 ]   # a guess\n")
    assert after.startswith(head)
    assert after.endswith(tail)
    middle = after[len(head) : len(after) - len(tail)]
    low, high = tomllib.loads(middle)["friction"]
    data = json.loads(run(READINGS, "--json").stdout)
    assert low <= data["friction_interval"][0] < low + 1.01e-4
    assert high - 1.01e-4 < data["friction_interval"][1] <= high
    assert middle.count("#") == 2  # one beside the friction, one beside the drag
    assert tomllib.loads(middle)["drag"] > 0


def test_writing_twice_changes_nothing_more(run, tmp_path):
    path = machine(tmp_path)
    words = (READINGS, "--into", "m.toml", "--cable", "shift")
    run(*words)
    once = path.read_bytes()
    run(*words)
    assert path.read_bytes() == once


def test_the_low_end_is_not_written_below_0(run, tmp_path):
    path = machine(tmp_path)
    rows = "90,50,52\n180,50,50\n360,50,56\n90,100,101\n360,100,103\n180,100,106\n"
    (tmp_path / "r.csv").write_text("wrap_deg,load_n,hand_n\n" + rows)
    data = json.loads(run("r.csv", "--into", "m.toml", "--cable", "shift", "--json").stdout)
    assert data["friction_interval"][0] < 0.0
    assert data["into"] == "m.toml"
    assert tomllib.loads(path.read_text())["cable"][0]["friction"][0] == 0.0


GOOD = "wrap_deg,load_n,hand_n\n90,50,60\n180,50,70\n360,50,100\n"
FALLING = "wrap_deg,load_n,hand_n\n" + "".join(
    f"{deg},{load},{load * np.exp(-0.2 * math.radians(deg))}\n"
    for deg in (90, 180, 360)
    for load in (50, 100)
)
WILD = "wrap_deg,load_n,hand_n\n90,50,60\n180,50,300\n90,60,400\n"


@pytest.mark.parametrize(
    ("readings", "words", "told"),
    [
        (GOOD, ("--into", "m.toml"), "say which with --cable; known: shift, throttle"),
        (GOOD, ("--into", "m.toml", "--cable", "clutch"), "no cable 'clutch'"),
        (GOOD, ("--into", "m.csv", "--cable", "shift"), "ending in .toml"),
        (GOOD, ("--into", "none.toml", "--cable", "shift"), "none.toml"),
        (GOOD, ("--route", "none.toml"), "none.toml"),
        (FALLING, ("--into", "m.toml", "--cable", "shift"), "nothing is written"),
        (WILD, ("--into", "m.toml", "--cable", "shift"), "nothing is written"),
        ("wrap_deg,load_n,hand_n\n90,50,60\n", (), "at least 3 readings"),
        ("load_n,hand_n\n50,60\n60,70\n70,80\n", (), "--route"),
        ("wrap_deg,load_n,hand_n\n90,x,60\n", ("--into", "m.toml"), "r.csv:2: load_n"),
        ("", (), "empty"),
    ],
)
def test_bad_input_is_told_and_writes_nothing(run, tmp_path, readings, words, told):
    path = machine(tmp_path)
    before = path.read_bytes()
    (tmp_path / "r.csv").write_text(readings)
    result = run("r.csv", *words)
    assert result.exit_code == 2, result.output
    assert told in result.stderr
    assert not result.stdout
    assert path.read_bytes() == before
    assert sorted(each.name for each in tmp_path.iterdir()) == ["m.toml", "r.csv"]


def test_without_readings_it_says_what_to_do(run):
    result = run()
    assert result.exit_code == 2
    assert "--how" in result.stderr


def test_a_cable_in_one_line_is_refused_not_mangled(run, tmp_path):
    text = 'cable = [{name = "x", bend_radius = 60, points = [{at = [0,0,0]}, {at = [9,0,0]}]}]\n'
    (tmp_path / "m.toml").write_text(text)
    result = run(READINGS, "--into", "m.toml")
    assert result.exit_code == 2
    assert "[[cable]]" in result.stderr
    assert (tmp_path / "m.toml").read_text() == text


@pytest.mark.parametrize(
    "hands",
    [
        (120, 118, 121, 119),  # nothing is explained
        (140, 130, 120, 110),  # falls with the wrap
        (120, 108, 101, 99),  # falls, though by chance it might not
    ],
)
@pytest.mark.parametrize("words", [(), ("--json",)])
def test_what_is_not_believed_is_not_written(run, tmp_path, hands, words):
    path = machine(tmp_path)
    before = path.read_bytes()
    rows = [f"{90 * (i + 1)},100,{hand}\n" for i, hand in enumerate(hands)]
    (tmp_path / "r.csv").write_text("wrap_deg,load_n,hand_n\n" + "".join(rows))
    result = run("r.csv", "--into", "m.toml", "--cable", "shift", *words)
    assert result.exit_code == 2
    assert result.stderr.startswith("cableroute: m.toml: nothing is written. ")
    assert path.read_bytes() == before
    assert "Capstan does NOT explain the readings" in result.stderr
    assert not result.stdout
    if hands[-1] < 119:
        assert "the hand force falls as the wrap grows" in result.stderr
        assert "the readings contradict each other" in run("r.csv").stdout


def test_a_file_that_changed_meanwhile_is_left_alone(run, tmp_path, monkeypatch):
    path = machine(tmp_path)
    edit = cli_calibrate.with_measured

    def meddled(*words, **more):
        path.write_text(path.read_text() + "\n# another hand\n")
        return edit(*words, **more)

    monkeypatch.setattr(cli_calibrate, "with_measured", meddled)
    result = run(READINGS, "--into", "m.toml", "--cable", "shift")
    assert result.exit_code == 2
    assert "was changed by something else meanwhile" in result.stderr
    assert path.read_text().endswith("# another hand\n")


def test_the_blank_readings_of_a_sheet_come_back_as_friction(run, tmp_path):
    """The sheet's readings, filled in by a known law, give that law's friction and drag again."""
    path = machine(tmp_path)
    sheet = ["report", str(path), "--sheet", "--cable", "shift", "-o", str(tmp_path / "r.csv")]
    assert CliRunner().invoke(app, sheet).exit_code == 0
    with (tmp_path / "r.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    blank = run("r.csv")
    assert blank.exit_code == 2
    assert "expected a reading in hand_n, got none filled in" in blank.stderr
    for row in rows[:-1]:  # the last reading is never taken
        force = float(row["load_n"]) * math.exp(0.07 * math.radians(float(row["wrap_deg"]))) + 5.0
        row["hand_n"] = f"{force:.3f}"
    with (tmp_path / "r.csv").open("w", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    found = json.loads(run("r.csv", "--json").stdout)
    assert found["friction"] == pytest.approx(0.07, abs=1e-4)
    assert found["drag_n"] == pytest.approx(5.0, abs=0.01)
    assert len(found["residuals"]) == len(rows) - 1
    result = run("r.csv", "--into", str(path), "--cable", "shift")
    assert result.exit_code == 0, result.output
    low, high = read_job(path).cables[0].friction
    assert low <= 0.07 <= high
