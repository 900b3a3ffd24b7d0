"""How the run meets each point, from the command line: through, inside, along a heading."""

from __future__ import annotations

import json
from math import pi
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner, Result

from cableroute.cli import app
from cableroute.route.fillet import fit_arcs

ELBOW = "x,y,z\n0,0,0\n400,0,0\n400,300,0\n"
ROUTE = """[[cable]]
name = "shift"
bend_radius = 60
points = [
  { at = [0, 0, 0], label = "lever" },
  { at = [400, 0, 0], label = "sill"%s },
  { at = [400, 300, 0], label = "box"%s },
]
"""


def run(tmp_path: Path, text: str, *options: str, name: str = "a.csv") -> Result:
    file = tmp_path / name
    file.write_text(text)
    return CliRunner().invoke(app, ["check", str(file), "--tolerance", "0", *options])


def cable(tmp_path: Path, text: str, *options: str):
    result = run(tmp_path, text, "--bend-radius", "60", "--json", *options)
    assert result.exit_code < 2, result.output
    return json.loads(result.stdout)["cables"][0]


def refused(result: Result) -> list[str]:
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    return [line.partition("a.")[2] for line in result.stderr.splitlines()]


def test_points_lie_on_the_run_unless_they_are_said_to_be_corners(tmp_path: Path) -> None:
    corner = 700.0 - 60.0 * (2.0 - pi / 2.0)
    through = cable(tmp_path, ELBOW)
    assert [point["off_mm"] < 1e-6 for point in through["points"]] == [True] * 3
    assert through["route"]["length_mm"] > corner + 20.0
    inside = cable(tmp_path, ELBOW, "--inside")
    assert inside["route"]["length_mm"] == pytest.approx(corner)
    assert [point["passes"] for point in inside["points"]] == ["through", "inside", "through"]


def test_a_column_says_it_of_each_point(tmp_path: Path) -> None:
    text = "x,y,z,passes\n0,0,0,\n400,0,0,inside\n400,300,0,through\n900,300,0,\n"
    found = cable(tmp_path, text)
    assert [point["passes"] for point in found["points"]] == [
        *("through", "inside", "through", "through")
    ]


@pytest.mark.parametrize("way", ["left", "0 1 0", "[0; 2; 0]", '"[0, 1, 0]"'])
def test_a_column_holds_headings_in_words_and_numbers(tmp_path: Path, way: str) -> None:
    found = cable(tmp_path, f"x,y,z,heading\n0,0,0,forward\n400,0,0,\n400,300,0,{way}\n")
    headings = [point["heading"] for point in found["points"]]
    assert headings == [[1.0, 0.0, 0.0], None, [0.0, 1.0, 0.0]]


def test_a_heading_is_gone_along_where_all_others_are_corners(tmp_path: Path) -> None:
    text = "x,y,z,heading\n0,0,0,forward\n400,0,0,\n400,300,0,left\n"
    found = cable(tmp_path, text, "--inside")
    assert found["route"]["wrap_deg"] == pytest.approx(90.0)
    assert found["route"]["length_mm"] == pytest.approx(700.0 - 60.0 * (2.0 - pi / 2.0))


def test_a_route_file_is_overridden_too(tmp_path: Path) -> None:
    result = run(tmp_path, ROUTE % ("", ""), "--inside", "--json", name="a.toml")
    found = json.loads(result.stdout)["cables"][0]
    assert found["points"][1]["passes"] == "inside"


@pytest.mark.parametrize(
    ("middle", "far", "told"),
    [
        ("", ", heading = [0, 0, 0]", "point 3 (box), heading: expected a direction, got one of"),
        ("", ', heading = "sideways"', "point 3 (box), heading: expected forward, aft"),
        ("", ", heading = [1, 0]", "point 3 (box), heading: expected a word as forward, [x, y, z]"),
        (
            "",
            ", heading = [1e200, 0, 0]",
            "point 3 (box), heading: expected a direction, the largest",
        ),
        (
            "",
            ", heading = [0, 1e-300, 0]",
            "point 3 (box), heading: expected a direction, the largest",
        ),
        ("", f", heading = [0, 1{400 * '0'}, 0]", "point 3 (box), heading: expected a direction"),
        ("", ', passes = "inside"', 'expected no passes = "inside" there'),
        (', passes = "inside", heading = "up"', "", "point 2 (sill): a point passed inside has no"),
        ("", ', heading = "right"', "point 3 (box): its heading points against the run"),
    ],
)
def test_what_cannot_be_is_told_with_file_line_cable_and_point(
    tmp_path: Path, middle: str, far: str, told: str
) -> None:
    (line,) = refused(run(tmp_path, ROUTE % (middle, far), name="a.toml"))
    assert line.startswith("toml:")
    assert 'cable "shift"' in line
    assert told in line
    assert "literal" not in line


def test_a_heading_against_the_run_says_how_far_its_point_must_move(tmp_path: Path) -> None:
    (line,) = refused(run(tmp_path, ROUTE % ("", ', heading = "right"'), name="a.toml"))
    assert line.startswith('toml:7: cable "shift", point 3 (box): its heading')
    assert "move the point at least" in line


def test_points_too_close_for_the_radius_are_a_finding(tmp_path: Path) -> None:
    found = cable(tmp_path, "x,y,z\n0,0,0\n400,0,0\n400,40,0\n0,40,0\n")
    assert not found["route"]["fits"]
    assert "bend-does-not-fit" in {finding["code"] for finding in found["findings"]}


@pytest.mark.parametrize("rise", [0.0, 180.0])
@pytest.mark.parametrize("straights", [False, True])
def test_a_bent_run_comes_back_from_points_picked_on_it(
    tmp_path: Path, rise: float, straights: bool
) -> None:
    """Built of lines and arcs of 120 mm; its ends, the middles of its bends, perhaps of its lines."""
    corners = [[0, 0, 0], [500, 0, 0], [600, 450, rise], [1100, 500, 0], [1200, 0, rise]]
    built = fit_arcs(corners, min_bend_radius=120.0)
    at = [0.0, *built.stations[1:-1], built.length]
    if straights:
        edges = np.cumsum([piece.length for piece in built.pieces])
        at += (edges - 0.5 * np.array([piece.length for piece in built.pieces]))[::2].tolist()
    rows = "".join(f"{x},{y},{z}\n" for x, y, z in built.point(np.sort(at)))
    file = tmp_path / "a.csv"
    file.write_text("x,y,z\n" + rows)
    options = ["--bend-radius", "120", "--tolerance", "0", "--json"]
    result = CliRunner().invoke(app, ["check", str(file), *options])
    found = json.loads(result.stdout)["cables"][0]["route"]
    assert found["fits"]
    assert found["length_mm"] == pytest.approx(built.length, rel=1e-6)
    assert found["wrap_deg"] == pytest.approx(np.degrees(built.wrap), rel=1e-6)
    assert found["min_bend_radius_mm"] == pytest.approx(120.0)
