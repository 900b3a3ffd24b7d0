"""``cableroute study FILES...``: bad files left standing, rows taken up again, a full disk."""

import csv
import errno
import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app, fleet
from cableroute.output import fleet_rows

DATA = Path(__file__).parents[2] / "data"


@pytest.fixture
def folder(tmp_path):
    for name in ("recumbent_trike.toml", "workboat.toml"):
        shutil.copy(DATA / name, tmp_path / name)
    return tmp_path


def run(*words):
    return CliRunner().invoke(app, ["study", "--n", "64", *map(str, words)])


def rows_of(path):
    return list(csv.DictReader(path.read_text().splitlines()))


def test_a_fleet_is_a_row_a_cable_and_a_bad_file_is_not_fatal(folder):
    (folder / "bad.toml").write_text("x = [")
    result = run(folder, "--csv", folder.parent / "rows.csv")
    assert result.exit_code == 2
    assert "bad.toml:1: expected valid TOML" in result.stderr
    assert all(name in result.stdout for name in ("gear", "throttle", "rear gear", "left brake"))
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert len(rows_of(folder.parent / "rows.csv")) == 4


def test_rows_that_are_written_are_not_worked_out_again(folder, monkeypatch):
    out = folder.parent / "again.csv"
    assert run(folder, "--csv", out).exit_code == 0
    lines = out.read_bytes()
    kept = lines.splitlines(keepends=True)
    out.write_bytes(b"".join(kept[:3]) + kept[3][:20])  # broken off in the middle of a row
    asked = []
    study_many = fleet.study_many

    def watched(jobs, **how):
        listed = list(jobs)
        asked.extend((source, cable.name) for source, job in listed for cable in job.cables)
        return study_many(listed, **how)

    monkeypatch.setattr(fleet, "study_many", watched)
    assert run(folder, "--csv", out).exit_code == 0
    assert len(asked) == 2
    assert out.read_bytes() == lines


def test_a_file_that_was_changed_is_worked_out_anew(folder):
    out = folder.parent / "changed.csv"
    run(folder, "--csv", out)
    file = folder / "workboat.toml"
    file.write_text(file.read_text() + "\n")
    run(folder, "--csv", out)
    assert len(rows_of(out)) == 6  # the old rows say what they were asked of


def test_a_full_disk_keeps_the_rows_before(folder, monkeypatch):
    out = folder.parent / "full.csv"
    calls = []

    def full(handle):
        calls.append(handle)
        if len(calls) > 2:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(fleet_rows.os, "fsync", full)
    result = run(folder, "--csv", out)
    assert result.exit_code == 2
    assert "No space left on device; the rows before it are kept" in result.stderr
    assert len(rows_of(out)) >= 2


def test_a_file_of_something_else_is_left_alone(folder):
    out = folder.parent / "other.csv"
    out.write_text("name,age\nx,3\n")
    result = run(folder, "--csv", out)
    assert result.exit_code == 2
    assert "holds no rows of a fleet" in result.stderr
    assert out.read_text() == "name,age\nx,3\n"


def test_plain_data_have_a_row_a_cable(folder):
    data = json.loads(run(folder, "--json").stdout)
    assert (data["n"], data["seed"], len(data["rows"])) == (64, 0, 4)
    assert data["rows"][0]["pull"] > 0.0


def test_names_that_are_written_otherwise_are_known_again(tmp_path, monkeypatch):
    named = tmp_path / "named.toml"
    points = "points = [{ at = [0, 0, 0] }, { at = [400, 0, 0] }]\n"
    names = ("=1+1", "a\\nb", "\\u001b[1GPASS")
    named.write_text(
        "".join(f'[[cable]]\nname = "{name}"\nbend_radius = 60\n{points}' for name in names)
    )
    (tmp_path / "other.csv").write_text("0 0 0\n400 0 0\n")
    words = (named, tmp_path / "other.csv", "--bend-radius", "60", "--csv", tmp_path / "rows.csv")
    assert run(*words).exit_code == 0
    once = (tmp_path / "rows.csv").read_bytes()
    assert b"\x1b" not in once
    assert len(once.splitlines()) == 5
    monkeypatch.setattr(fleet, "_with_cables", None)  # nothing is left to be worked out
    assert run(*words).exit_code == 0
    assert sorted((tmp_path / "rows.csv").read_bytes().splitlines()) == sorted(once.splitlines())


def test_rows_that_are_no_numbers_are_a_complaint(folder):
    out = folder.parent / "rows.csv"
    run(folder, "--csv", out)
    head, first, *_ = out.read_text().splitlines()
    cells = first.split(",")
    cells[3] = "banana"
    out.write_text(f"{head}\n{','.join(cells)}\n")
    done = run(folder, "--csv", out)
    assert done.exit_code == 2
    assert "rows.csv:2: expected numbers of a fleet's row" in done.stderr
