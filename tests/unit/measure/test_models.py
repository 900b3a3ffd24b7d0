"""What a route file may hold, in which unit, and what its models refuse."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from cableroute.measure.frame_models import TubeEntry
from cableroute.measure.known_keys import known_keys
from cableroute.measure.models import CableEntry, PointEntry, RouteFile

FARTHEST = 1e6  # mm
POINTS = [{"at": [0, 0, 0]}, {"at": [9, 0, 0]}]


def cable(**changes: object) -> dict:
    given = {"name": "a", "bend_radius": 5, "points": POINTS, **changes}
    return {key: value for key, value in given.items() if value is not None}


def route(unit: str = "mm", **changes: object) -> RouteFile:
    return RouteFile.model_validate(
        {"unit": unit, "cable": [cable(**changes)]}, context={"unit": unit}
    )


def complaint(model: type, data: object) -> str:
    with pytest.raises(ValidationError) as caught:
        model.model_validate(data, context={"unit": "mm"})
    return " | ".join(error["msg"] for error in caught.value.errors())


@pytest.mark.parametrize(
    ("unit", "factor"), [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4), ("ft", 304.8)]
)
def test_bare_lengths_are_in_the_unit_and_forces_are_not(unit, factor):
    entry = route(unit, travel=2, slack=3, load=7).cable[0]
    assert entry.points[1].at == (pytest.approx(9 * factor), 0.0, 0.0)
    assert entry.bend_radius == pytest.approx(5 * factor)
    assert (entry.travel, entry.slack) == (pytest.approx(2 * factor), pytest.approx(3 * factor))
    assert entry.load == 7.0


def test_text_says_its_own_unit_whatever_the_file_s():
    points = [{"at": ["3' 4 1/2\"", "120cm", "1m20"], "radius": "2 in"}, *POINTS]
    entry = route("ft", points=points, load="10 kgf").cable[0]
    assert entry.points[0].at == pytest.approx((1028.7, 1200.0, 1200.0))
    assert entry.points[0].radius == pytest.approx(50.8)
    assert entry.load == pytest.approx(98.0665)


@pytest.mark.parametrize(
    ("given", "read"), [(0.1, (0.1, 0.1)), ([0.1, 0.2], (0.1, 0.2)), (0, (0, 0))]
)
def test_friction_is_a_number_or_a_range(given, read):
    assert route(friction=given).cable[0].friction == read


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"friction": -0.1}, "0 <= low <= high < 2"),
        ({"friction": [0.2, 0.1]}, "got low 0.2, high 0.1"),
        ({"friction": 2.0}, "0 <= low <= high < 2"),
        ({"bend_radius": None}, "least bend radius"),
        ({"bend_radius": 0}, "greater than 0"),
        ({"load": -1}, "greater than or equal to 0"),
        ({"load": True}, "force"),
        ({"points": POINTS[:1]}, "at least 2"),
        ({"kind": "pull", "push_load": 3}, "a pull cable cannot push"),
        ({"kind": "pull", "preload": 3}, "preload goes with"),
        ({"name": ""}, "String should match pattern"),
        ({"colour": "red"}, "not permitted"),
        ({"rod_end": "welded"}, "'free', 'pinned', 'fixed-pinned' or 'fixed'"),
    ],
)
def test_a_cable_that_makes_no_sense_is_refused(changes, words):
    assert words in complaint(CableEntry, cable(**changes))


def test_a_family_and_a_build_together_are_refused():
    build = {"construction": "solid", "core_od": 2, "conduit_id": 3, "conduit_od": 6}
    build["min_bend_radius"] = 90
    assert "got both" in complaint(CableEntry, cable(family="x", build=build))
    assert CableEntry.model_validate(cable(build=build, bend_radius=None)).build.core_od == 2.0


@pytest.mark.parametrize(
    ("point", "words"),
    [
        ({}, "expected one of at, on, tape to say where it is, got none"),
        ({"at": [0, 0, 0], "on": "rail", "along": 1, "clock": 0}, "got at and on"),
        ({"on": "rail", "along": 3}, 'needs "along" and "clock"'),
        ({"on": "rail", "clock": 3}, 'needs "along" and "clock"'),
        ({"at": [0, 0, 0], "along": 3}, 'go with "on" only'),
        ({"at": [0, 0, 0], "side": "left"}, 'goes with "tape" only'),
        ({"at": [0, 0]}, "Field required"),
        ({"at": [0, 0, 0, 0]}, "at most 3"),
        ({"at": [0, 0, float("nan")]}, "not finite"),
        ({"at": [0, 0, float("inf")]}, "not finite"),
        ({"at": [0, 0, 1.01 * FARTHEST]}, "less than or equal to"),
        ({"at": [0, 0, -1.01 * FARTHEST]}, "greater than or equal to"),
        ({"at": [0, 0, 0], "fix": "glue"}, "'anchor' or 'clip'"),
        ({"at": [0, 0, 0], "radius": 0}, "greater than 0"),
        ({"tape": {"A": -3}}, "greater than 0"),
        ({"tape": {"A": 3}, "side": "middle"}, "'left'"),
    ],
)
def test_a_point_is_placed_in_one_way(point, words):
    assert words in complaint(PointEntry, point)


@pytest.mark.parametrize(
    "point",
    [
        {"at": [0, FARTHEST, -FARTHEST]},
        {"on": "rail", "along": 0, "clock": 0},
        {"on": "rail", "along": 350, "clock": "3 o'clock"},
        {"tape": {"A": 3, "B": 4, "C": 5}, "side": "left"},
    ],
)
def test_each_way_of_placing_a_point_is_read(point):
    assert PointEntry.model_validate(point, context={"unit": "mm"})


def test_a_tube_s_keys_are_from_and_to():
    tube = TubeEntry.model_validate({"from": "A", "to": "B", "diameter": 38})
    assert (tube.start, tube.end, tube.diameter) == ("A", "B", 38.0)


def test_two_cables_of_one_name_are_refused():
    assert "got twice: a" in complaint(RouteFile, {"cable": [cable(), cable()]})


@pytest.mark.parametrize(
    ("path", "known", "unknown"),
    [
        (("titel",), "title", "name"),
        (("cable", 0, "nme"), "name", "title"),
        (("cable", 0, "points", 2, "lable"), "label", "name"),
        (("cable", 0, "build", "core"), "core_od", "points"),
        (("tubes", "rail", "fro"), "from", "start"),
    ],
)
def test_the_keys_known_are_those_of_the_table(path, known, unknown):
    assert known in known_keys(path)
    assert unknown not in known_keys(path)
