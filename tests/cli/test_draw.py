from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app

DATA = Path(__file__).resolve().parents[2] / "data"
BUGGY = str(DATA / "grass_track_buggy.toml")
START = {".png": b"\x89PNG", ".svg": b"<?xml", ".pdf": b"%PDF"}


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lambda *words: CliRunner().invoke(app, ["draw", *words])


def test_without_a_name_each_cable_gets_a_sheet(run, tmp_path):
    result = run(BUGGY)
    assert result.exit_code == 0, result.output
    names = ["grass_track_buggy-shift-sheet.png", "grass_track_buggy-throttle-sheet.png"]
    assert sorted(path.name for path in tmp_path.iterdir()) == names


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf", ".PDF"])
def test_the_ending_decides_the_kind(run, tmp_path, suffix):
    result = run(BUGGY, "--cable", "shift", "--what", "front", "-o", f"x{suffix}")
    assert result.exit_code == 0, result.output
    assert (tmp_path / f"x{suffix}").read_bytes().startswith(START[suffix.lower()])


def test_an_existing_picture_stays_unless_forced(run, tmp_path):
    old = tmp_path / "x.svg"
    old.write_text("mine")
    words = (BUGGY, "--cable", "shift", "--what", "stock", "-o", "x.svg")
    result = run(*words)
    assert result.exit_code == 2
    assert "--force" in result.stderr
    assert old.read_text() == "mine"
    assert run(*words, "--force").exit_code == 0
    assert old.read_bytes().startswith(b"<?xml")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--cable", "shift", "-o", "x.jpg"), ".png, .svg, .pdf"),
        (("--cable", "shift", "-o", "x"), ".png, .svg, .pdf"),
        (("--cable", "shift", "-o", "none/x.png"), "none/x.png"),
        (("--cable", "clutch"), "known: shift, throttle"),
        (("-o", "x.png"), "--cable"),
        (("--what", "portrait"), "portrait"),
        (("--what", "machine", "--cable", "shift"), "shows every cable"),
        (("--family", "no-such"), "no-such"),
    ],
)
def test_bad_usage_is_told_and_writes_nothing(run, tmp_path, words, told):
    result = run(BUGGY, *words)
    assert result.exit_code == 2
    assert told in result.stderr
    assert not list(tmp_path.iterdir())


def test_linkages_and_selectors_get_pictures_by_their_names(run, tmp_path):
    locomotive = str(DATA / "works_locomotive_forward.toml")
    for what in ("linkage", "selector"):
        result = run(locomotive, "--what", what)
        assert result.exit_code == 0, result.output
    names = {path.name for path in tmp_path.iterdir()}
    stem = "works_locomotive_forward"
    pictures = ("select-linkage", "shift-linkage", "gearbox-selector")
    assert names == {f"{stem}-{words}.png" for words in pictures}


@pytest.mark.parametrize("what", ["linkage", "selector"])
def test_cable_picks_the_linkage_and_the_selector(run, tmp_path, what):
    locomotive = str(DATA / "works_locomotive_forward.toml")
    assert run(locomotive, "--what", what, "--cable", "shift", "-o", "a.svg").exit_code == 0
    text = (tmp_path / "a.svg").read_text()
    assert "shift arm" in text
    assert ("select shaft" in text) == (what == "selector")


@pytest.mark.parametrize(
    ("file", "words", "told"),
    [
        ("grass_track_buggy", ("--what", "linkage"), "expected a [[linkage]] table"),
        ("grass_track_buggy", ("--what", "selector"), "expected a [[selector]] table"),
        (
            "works_locomotive_forward",
            ("--what", "linkage", "--cable", "brake"),
            "known: select, shift",
        ),
        (
            "works_locomotive_forward",
            ("--what", "linkage", "-o", "x.png"),
            "one picture shows one linkage",
        ),
    ],
)
def test_a_file_without_what_is_asked_for_is_told(run, tmp_path, file, words, told):
    result = run(str(DATA / f"{file}.toml"), *words)
    assert result.exit_code == 2
    assert told in result.stderr
    assert not list(tmp_path.iterdir())


def test_a_view_shows_the_machine(run, tmp_path):
    assert run(BUGGY, "--cable", "shift", "--what", "plan", "-o", "x.svg").exit_code == 0
    assert "exhaust header" in (tmp_path / "x.svg").read_text()


def test_options_make_a_bare_list_enough(run, tmp_path):
    (tmp_path / "p.csv").write_text("x,y,z\n0,0,0\n16,0,0\n16,12,0\n")
    result = run("p.csv", "--bend-radius", "60", "--unit", "in", "--what", "plan", "-o", "p.svg")
    assert result.exit_code == 0, result.output
    assert (tmp_path / "p.svg").stat().st_size > 5000


def test_cables_of_like_names_get_pictures_of_their_own(run, tmp_path):
    cable = '[[cable]]\nname = "{}"\nbend_radius = 60\npoints = [{{at=[0,0,0]}},{{at=[1,0,0]}}]\n'
    (tmp_path / "j.toml").write_text(cable.format("a/b") + cable.format("a b"))
    assert run("j.toml", "--what", "plan").exit_code == 0
    assert {path.name for path in tmp_path.glob("*.png")} == {"j-a_b-plan.png", "j-a_b-plan-2.png"}


def test_check_leaves_matplotlib_alone():
    code = (
        "import sys; from typer.testing import CliRunner; from cableroute.cli import app\n"
        f"assert CliRunner().invoke(app, ['check', {BUGGY!r}]).exit_code == 0\n"
        "assert 'matplotlib' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_all_cables_of_a_machine_get_one_picture(run, tmp_path):
    assert run(BUGGY, "--what", "machine").exit_code == 0
    assert run(BUGGY, "--what", "machine", "-o", "x.pdf").exit_code == 0
    names = {"grass_track_buggy-all-machine.png", "x.pdf"}
    assert {path.name for path in tmp_path.iterdir()} == names
