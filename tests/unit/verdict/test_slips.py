"""Slips of tape and pencil are findings that name the point; sound surveys have none."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.measure.job import Cable, Job
from cableroute.verdict.check import Check

SOUND = [[0, 0, 0], [400, 0, 100], [700, 350, 150], [1200, 400, 350]]
SLIPS = {"zero-length-leg", "point-measured-twice", "decimal-slip", "unit-slip"}
LABELS = ("lever", "sill", "bulkhead", "box", "end")


def slips(points: object, *, radius: float = 60.0, unit: str = "mm") -> list[Check]:
    cable = Cable(
        "a", np.array(points, dtype=float), "pull", radius, labels=LABELS, passes="inside"
    )
    result = assess(Job("", (cable,), unit=unit, tape_tolerance=0.0)).cables[0]
    return [one for one in result.findings if one.code in SLIPS]


def test_a_sound_survey_has_no_slips():
    assert slips(SOUND) == []


@pytest.mark.parametrize("where", range(4))
def test_a_leg_of_no_length_names_both_points(where):
    points = [*SOUND[: where + 1], *SOUND[where:]]
    (found,) = slips(points)
    assert found.code == "zero-length-leg"
    assert found.level == "marginal"
    assert found.where == f"{LABELS[where]} to {LABELS[where + 1]}"


@pytest.mark.parametrize(("off", "expected"), [(1.0, ["point-measured-twice"]), (1.01, [])])
def test_a_point_measured_twice_is_within_a_millimetre(off, expected):
    points = [*SOUND, [SOUND[1][0] + off, SOUND[1][1], SOUND[1][2]]]
    found = slips(points, radius=10.0)
    assert [one.code for one in found] == expected
    if found:
        assert found[0].where == "sill and end"


@pytest.mark.parametrize("factor", [10.0, 0.1])
def test_a_decimal_point_out_of_place_names_point_axis_and_value(factor):
    points = np.array([[5000, 0, 0], [5400, 40, 100], [5800, 0, 150], [6300, 0, 350]], float)
    points[1, 0] *= factor
    found = [one for one in slips(points) if one.code == "decimal-slip"]
    assert found[0].where == "sill"
    assert "its x is" in found[0].message
    assert "5400 mm" in found[0].message


@pytest.mark.parametrize(("length", "expected"), [(30_000.0, []), (30_000.1, ["unit-slip"])])
def test_a_run_past_thirty_metres_is_asked_about(length, expected):
    found = slips([[0, 0, 0], [length, 0, 0]])
    assert [one.code for one in found] == expected


def test_all_points_ten_times_too_far_apart_are_asked_about():
    (found,) = slips(np.array(SOUND) * 100.0)
    assert found.code == "unit-slip"
    assert "ten times" in found.message


def test_inches_typed_as_millimetres_are_asked_about():
    (found,) = slips(np.array(SOUND) / 25.4)
    assert found.code == "unit-slip"
    assert "inches" in found.message
    assert found.limit == 180.0


@pytest.mark.parametrize(("factor", "unit"), [(25.4, "inches"), (1000.0, "metres"), (10.0, "cent")])
def test_a_wrong_unit_is_noticed_by_what_it_would_mean(factor, unit):
    (found,) = (each for each in slips(np.array(SOUND) / factor) if each.code == "unit-slip")
    assert unit in found.message


def test_metres_typed_as_mm_are_told_as_that_alone_though_all_points_are_near():
    found = list(slips(np.array([[0, 0, 0], [0.3, 0, 0], [0.3, 0.4, 0], [0.9, 0.4, 0.1]])))
    assert [each.code for each in found] == ["unit-slip"]
    assert "metres" in found[0].message


def test_millimetres_read_as_inches_are_noticed_though_the_run_is_not_too_long():
    points = np.array([[30, 0, 0], [30, 110, 0], [250, 110, 0], [250, 110, 135]]) * 25.4
    (found,) = (each for each in slips(points, unit="in") if each.code == "unit-slip")
    assert found.level == "note"
    assert "Were the points measured in millimetres" in found.message
    points[1, 1] += 12.7  # half an inch: a tape in inches
    assert "unit-slip" not in {each.code for each in slips(points, unit="in")}


def test_metres_typed_as_millimetres_are_asked_about_though_all_fits():
    found = slips([[0, 0, 0], [0.42, 0, 0], [0.42, 0.31, 0], [0.42, 0.31, 0.5]], radius=0.05)
    assert "unit-slip" not in {each.code for each in found}  # all of it is in one unit
    found = slips([[0, 0, 0], [0.42, 0, 0], [0.9, 0, 0]], radius=60.0)
    (asked,) = (each for each in found if each.code == "unit-slip")
    assert "metres (a run of 900 mm)" in asked.message


def test_a_short_run_that_fits_is_no_slip():
    assert slips([[0, 0, 0], [80, 0, 0], [80, 80, 0]], radius=60.0) == []


def test_a_scan_of_thousands_of_points_is_judged_all_the_same():
    points = np.zeros((5000, 3))
    points[:, 0] = np.arange(5000.0)
    assert slips(points) == []
