"""Points from standard input, from drawings, and without what reads drawings."""

from __future__ import annotations

import json
import sys
from io import BytesIO, TextIOWrapper
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app, main

DATA = Path(__file__).parents[2] / "data"
BARE = ("--inside", "--bend-radius", "60", "--friction", "0.12", "--load", "80", "--json")
CORNER = {
    "csv": "x,y,z\n0,0,0\n400,0,0\n400,300,0\n",
    "blanks": "0 0 0 lever\n400 0 0 sill\n400 300 0 box\n",
    "tape": "0; 0; 0\n1' 3 3/4\"; 0; 0\n1' 3 3/4\"; 300; 0\n",
    "spelled": "X=0 Y=0 Z=0\nX=400 Y=0 Z=0\nX=400 Y=300 Z=0\n",
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


@pytest.mark.parametrize("given", ["", "\n", "\x00", "\xfe"])
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
    assert "pip install ezdxf" in done.stderr


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


@pytest.mark.parametrize(
    ("encoding", "note"),
    [("utf-8-sig", False), ("utf-16", False), ("utf-16-be", False), ("cp1252", True)],
)
def test_a_table_comes_in_the_letters_of_any_spreadsheet(tmp_path, encoding, note):
    table = tmp_path / "a.csv"
    mark = "\ufeff" if encoding == "utf-16-be" else ""
    text = mark + CORNER["csv"].replace("z\n", "z,label\n").replace(
        "400,0,0\n", "400,0,0,Türschwelle – außen\n"
    )
    table.write_bytes(text.replace("\n", "\r\n").encode(encoding))
    done = CliRunner().invoke(app, ["check", str(table), *BARE])
    assert done.exit_code == 0, done.output
    (cable,) = json.loads(done.stdout)["cables"]
    assert any("Türschwelle – außen" in str(finding) for finding in cable.values())
    assert ("Windows-1252" in done.stdout) is note


def test_all_that_is_wrong_with_a_table_is_told_in_one_go(tmp_path):
    table = tmp_path / "a.csv"
    table.write_text("x,y,z,lable,fix\n0,0,0,a,nail\n400,q,0,b,\n400,300,0,,clip\n")
    done = CliRunner().invoke(app, ["check", str(table)])
    assert done.exit_code == 2
    lines = done.stderr.splitlines()
    for told, line in zip(("lable", "q", "nail", "--bend-radius MM, or"), lines, strict=True):
        assert told in line


def test_without_a_radius_the_options_that_give_one_are_told(tmp_path):
    for name in ("a", "b"):
        (tmp_path / f"{name}.csv").write_text(CORNER["csv"])
    for words in (["check", "a.csv"], ["check", "a.csv", "b.csv"], ["compare", "a.csv", "b.csv"]):
        paths = [str(tmp_path / word) if word.endswith("csv") else word for word in words]
        done = CliRunner().invoke(app, paths)
        assert done.exit_code == 2
        assert (
            done.stderr.count("--bend-radius MM, or --family NAME; cableroute stock lists")
            == len(words) - 1
        )


def test_families_are_compared_on_a_bare_list_without_a_radius(tmp_path):
    table = tmp_path / "a.csv"
    table.write_text(CORNER["csv"])
    words = ["compare", str(table), "--families", "--friction", "0.1", "--json"]
    bare, given = (
        json.loads(CliRunner().invoke(app, [*words, *more]).stdout)
        for more in ([], ["--bend-radius", "60"])
    )
    assert len(bare["families"]) > 5
    for row in (*bare["families"], *given["families"]):
        row.pop("dropped", None)  # the radius that was given, which is no family's
    assert bare == given


@pytest.mark.parametrize(
    ("content", "what"),
    [
        (b"PK\x03\x04" + bytes(200), "a workbook or an archive"),
        (b"ISO-10303-21;\nHEADER;\n", "STEP"),
        (b'<?xml version="1.0"?><gpx/>', "XML"),
        (b'{"points": [[0, 0, 0]]}', "JSON"),
        (b"solid a\n facet normal 0 0 1\n", "STL"),
        (b"AC1027\x00\x00" + bytes(range(256)), "DWG"),
    ],
)
@pytest.mark.parametrize("ending", [".csv", ".xyz", ""])
def test_what_other_programs_write_is_told_by_its_name(tmp_path, content, what, ending):
    file = tmp_path / f"a{ending}"
    file.write_bytes(content)
    done = CliRunner().invoke(app, ["check", str(file), *BARE])
    assert done.exit_code == 2
    (line,) = done.stderr.splitlines()
    assert line.endswith(f"or a route file (.toml), got {what}; export it as one of these")


@pytest.mark.parametrize("kind", CORNER)
def test_a_file_without_an_ending_that_says_it_is_known_by_its_looks(tmp_path, kind):
    file = tmp_path / "a.txt"
    file.write_text(CORNER[kind])
    done = CliRunner().invoke(app, ["check", str(file), *BARE])
    assert done.exit_code == 0, done.output


def test_a_list_on_standard_input_that_is_too_long_is_not_cut_short(monkeypatch):
    monkeypatch.setattr("cableroute.measure.route_text.LARGEST_FILE", 20)
    done = CliRunner().invoke(app, ["check", "-", *BARE], input=CORNER["csv"])
    assert done.exit_code == 2
    assert "got more than 64 MB" in done.stderr


def test_on_a_terminal_it_says_what_it_waits_for(monkeypatch, capsys):
    class Terminal(TextIOWrapper):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr("sys.stdin", Terminal(BytesIO(CORNER["csv"].encode())))
    monkeypatch.setattr("sys.argv", ["cableroute", "check", "-", *BARE])
    with pytest.raises(SystemExit):
        main()
    told = capsys.readouterr()
    assert told.err.startswith("Paste the points, x y z on each line")
    assert json.loads(told.out)["cables"]
