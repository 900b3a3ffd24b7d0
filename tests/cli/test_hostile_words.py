"""Names that would act on a terminal, and faults of the program's own."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute import cli
from cableroute.cli import app

#: Every one of these moves, hides or reorders on some terminal.
ACTING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]")
FORGED = r"\u001b[1G\u001b[0;32mPASS     brake\u202e"


def run(*words: object):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture
def forged(tmp_path: Path) -> Path:
    """A failing cable, named to look as if it passed."""
    file = tmp_path / "forged.toml"
    file.write_text(
        f'title = "a\\u0007b"\n[[cable]]\nname = "{FORGED}"\nbend_radius = 900\npoints = [\n'
        '  { at = [0, 0, 0], label = "a\\u009b31m" },\n'
        '  { at = [100, 0, 0], label = "b\\n\\r\\b" },\n  { at = [100, 100, 0] },\n]\n'
    )
    return file


@pytest.mark.parametrize("command", ["check", "suggest", "template", "feel"])
def test_a_name_cannot_forge_its_verdict(forged, command):
    done = run(command, forged)
    assert not ACTING.search(done.output)
    if command == "check":
        assert done.exit_code == 1
        assert r"FAIL     \x1b[1G\x1b[0;32mPASS     brake\u202e (pull)" in done.stdout


@pytest.mark.parametrize(
    "words",
    [
        ("export", "-o", "points.csv"),
        ("export", "--what", "bends", "-o", "bends.csv"),
        ("export", "--what", "clips", "-o", "clips.csv"),
        ("export", "-o", "run.dxf"),
        ("template", "--csv", "schedule.csv"),
        ("study", "--n", "64", "--csv", "machines.csv"),
        ("report", "-o", "report.html"),
        ("report", "-o", "report.md"),
        ("draw", "--what", "plan", "-o", "plan.svg"),
    ],
    ids=lambda words: words[-1],
)
def test_no_file_that_is_written_acts_on_a_terminal(forged, words):
    done = run(words[0], forged, *words[1:-1], forged.parent / words[-1])
    assert done.exit_code in (0, 1), done.output
    text = (forged.parent / words[-1]).read_text()
    assert not ACTING.search(text)
    assert "PASS" in text


def test_json_escapes_what_a_terminal_would_obey(forged):
    done = run("check", forged, "--json")
    assert not ACTING.search(done.stdout)
    assert json.loads(done.stdout)["cables"][0]["name"] == "\x1b[1G\x1b[0;32mPASS     brake\u202e"


def test_a_complaint_is_one_line_whatever_the_names(tmp_path):
    file = tmp_path / "a.toml"
    label = "x\\ncableroute: all is well\\u001b[2K" + "y" * 10_000
    file.write_text(
        f'[[cable]]\nname = "{FORGED}"\nbend_radius = 60\npoints = [\n  {{ at = [0, 0, 0] }},\n'
        f'  {{ at = [1, 2, "x"], label = "{label}" }},\n]\n'
    )
    done = run("check", file)
    assert done.exit_code == 2
    (line,) = done.stderr.splitlines()
    assert not ACTING.search(done.stderr)
    assert len(line) < 500


@pytest.mark.parametrize(
    "words",
    [
        ("check", "no\x1b[31mfile\nhere.toml"),
        ("check\x1b[31m",),
        ("--\x1b[31m",),
        ("check", "--\x9b31m"),
        ("check", "a.toml", "--unit", "\x1b[31m"),
    ],
)
def test_words_of_the_command_line_are_shown_too(words):
    done = run(*words)
    assert done.exit_code == 2
    assert not ACTING.search(done.output)


def test_a_fault_of_ours_has_a_status_of_its_own(monkeypatch, capsys, tmp_path):
    def fail(*_words: object, **_more: object) -> None:
        raise StopIteration("deep inside")

    monkeypatch.setattr(cli, "app", fail)
    monkeypatch.setattr(sys, "argv", ["cableroute", "check", "a.toml"])
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with pytest.raises(SystemExit) as left:
        cli.main()
    assert left.value.code == 70
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("cableroute: check: a fault of the program, not of your file")
    (details,) = tmp_path.iterdir()
    assert str(details) in line
    assert "deep inside" in details.read_text()


def test_points_without_a_standard_input_says_so(tmp_path):
    command = [sys.executable, "-m", "cableroute", "points", str(tmp_path / "q.toml")]
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, preexec_fn=lambda: os.close(0)
    )
    assert done.returncode == 0, done.stderr
    assert "No point typed" in done.stdout


def test_a_swivel_of_a_run_in_one_place_is_refused(tmp_path):
    data = (Path(__file__).parents[2] / "data" / "grass_track_buggy_selector.toml").read_text()
    begin, end = data.index("points = ["), data.index("[[linkage]]")
    points = "points = [{ at = [0, 0, 0] }, { at = [1e-6, 0, 0] }, { at = [-1e-9, 0, 0] }]\n\n"
    file = tmp_path / "a.toml"
    file.write_text(data[:begin] + points + data[end:])
    done = run("check", file)
    assert done.exit_code == 2
    assert "expected two places at least, got one" in done.stderr


@pytest.mark.parametrize("suffix", ["png", "svg"])
def test_settings_of_the_user_s_own_do_not_stop_a_drawing(tmp_path, suffix):
    (tmp_path / "matplotlibrc").write_text("text.usetex: True\nbackend: nonsense\n")
    (tmp_path / "a.csv").write_text("x,y,z\n0,0,0\n400,0,0\n400,300,0\n")
    words = ("draw", "a.csv", "--bend-radius", "60", "--what", "plan", "-o", f"a.{suffix}")
    done = subprocess.run(
        [sys.executable, "-m", "cableroute", *words],
        cwd=tmp_path,
        env={**os.environ, "MPLBACKEND": "of_my_own_making"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert (tmp_path / f"a.{suffix}").stat().st_size > 1000


def test_settings_that_are_no_text_are_a_complaint(tmp_path):
    (tmp_path / "matplotlibrc").write_bytes(b"\xff\xfe\x00")
    (tmp_path / "a.csv").write_text("x,y,z\n0,0,0\n400,0,0\n400,300,0\n")
    words = ("draw", "a.csv", "--bend-radius", "60", "-o", "a.png")
    done = subprocess.run(
        [sys.executable, "-m", "cableroute", *words],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert "see your matplotlibrc" in done.stderr
