"""Points from standard input, from drawings, and without what reads drawings."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app

DATA = Path(__file__).parents[2] / "data"
BARE = ("--inside", "--bend-radius", "60", "--friction", "0.12", "--load", "80", "--json")
CORNER = {
    "csv": "x,y,z\n0,0,0\n400,0,0\n400,300,0\n",
    "blanks": "0 0 0 lever\n400 0 0 sill\n400 300 0 box\n",
    "tape": "0; 0; 0\n1' 3 3/4\"; 0; 0\n1' 3 3/4\"; 300; 0\n",
    "obj": "v 0 0 0\nv 400 0 0\nv 400 300 0\nl 1 2 3\n",
    "toml": "[[cable]]\nname = 'a'\nbend_radius = 60\n"
    "points = [{ at = [0, 0, 0] }, { at = [400, 0, 0] }, { at = [400, 300, 0] }]\n",
}


@pytest.mark.parametrize("kind", CORNER)
def test_a_list_pasted_on_standard_input_is_known_by_its_looks(kind):
    done = CliRunner().invoke(app, ["check", "-", *BARE], input=CORNER[kind])
    assert done.exit_code == 0, done.output
    (cable,) = json.loads(done.stdout)["cables"]
    assert cable["route"]["length_mm"] == pytest.approx(700 - (2 - 1.5708) * 60, abs=0.1)


def test_a_drawing_on_standard_input(tmp_path):
    CliRunner().invoke(app, ["export", str(DATA / "workboat.toml"), "-o", str(tmp_path / "x.dxf")])
    data = (tmp_path / "x.dxf").read_bytes()
    done = CliRunner().invoke(app, ["check", "-", *BARE], input=data)
    assert done.exit_code in (0, 1), done.output
    assert json.loads(done.stdout)["cables"]


def test_a_fault_on_standard_input_names_its_line():
    done = CliRunner().invoke(app, ["check", "-", *BARE], input="x,y,z\n0,0,0\n1,q,2\n")
    assert done.exit_code == 2
    assert done.stderr.startswith("cableroute: -:3: y: cannot read `q` as a length")


@pytest.mark.parametrize("given", ["", "\n", "\x00", "\xff"])
def test_nothing_on_standard_input_is_a_complaint(given):
    done = CliRunner().invoke(app, ["check", "-", *BARE], input=given)
    assert done.exit_code == 2
    assert len(done.stderr.splitlines()) == 1


def test_a_drawing_without_its_reader_says_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    monkeypatch.setitem(sys.modules, "ezdxf.filemanagement", None)
    (tmp_path / "a.dxf").write_text("0\nEOF\n")
    done = CliRunner().invoke(app, ["check", str(tmp_path / "a.dxf"), *BARE])
    assert done.exit_code == 2
    assert "pip install 'cableroute[cad]'" in done.stderr


def test_a_layer_goes_with_a_drawing_only(tmp_path):
    (tmp_path / "a.csv").write_text(CORNER["csv"])
    done = CliRunner().invoke(app, ["check", str(tmp_path / "a.csv"), "--layer", "x", *BARE])
    assert done.exit_code == 2
    assert "expected a DXF" in done.stderr


def test_our_own_table_of_points_is_read_again(tmp_path):
    table = tmp_path / "x.csv"
    CliRunner().invoke(app, ["export", str(DATA / "grass_track_buggy.toml"), "-o", str(table)])
    done = CliRunner().invoke(app, ["check", str(table), *BARE])
    assert done.exit_code in (0, 1), done.output
    assert [cable["name"] for cable in json.loads(done.stdout)["cables"]] == ["shift", "throttle"]


def test_a_report_of_standard_input_is_named_as_its_cable(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    words = ["report", "-", "--bend-radius", "60"]
    done = CliRunner().invoke(app, words, input="0 0 0\n400 0 0\n400 300 0\n")
    assert done.exit_code == 0, done.output
    assert [path.name for path in tmp_path.iterdir()] == ["points-report.html"]
