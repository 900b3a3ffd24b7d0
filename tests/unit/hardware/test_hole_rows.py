"""Rows of set-screw holes round a sleeve."""

import itertools
from math import pi

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.hardware.hole_rows import APART, hole_rows
from cableroute.measure.load_models import AnchorEntry

CASES = [
    {"diameter": 3, "groove": 3.5, "adjust": 15},
    {"diameter": 4, "groove": 5, "adjust": 20, "share": 2},
    {"diameter": 5, "groove": 5.5, "adjust": 12, "step": 2},
    {"diameter": 3, "groove": 10, "adjust": 30},
    {"diameter": 3, "groove": 3.5, "adjust": 15, "step": 1, "outside": 36, "share": 3},
]


@pytest.mark.parametrize("case", CASES)
def test_no_two_holes_are_nearer_than_two_diameters(case):
    """Every pair laid flat, round the seam too."""
    found = hole_rows(**case)
    around = pi * found.outside
    places = [(hole.along, hole.clock / 360 * around) for hole in found.holes]
    for (x, y), (u, v) in itertools.combinations(places, 2):
        across = min(abs(y - v), around - abs(y - v))
        assert np.hypot(x - u, across) >= APART * case["diameter"] - 1e-9


@pytest.mark.parametrize("case", CASES)
def test_a_hole_stands_over_the_groove_at_every_setting_of_the_range(case):
    found = hole_rows(**case)
    wanted = np.arange(0, case["adjust"] + 1e-9, found.step)
    stands = sorted({hole.along for hole in found.holes})
    np.testing.assert_allclose(stands[: len(wanted)], wanted)
    assert stands[-1] >= case["adjust"] - 1e-9
    play = case["groove"] - case["diameter"]
    for place in np.linspace(0, case["adjust"], 97):  # the end anywhere: does a screw go in?
        assert not found.everywhere or min(abs(place - s) for s in stands) <= play / 2 + 1e-9


def test_those_that_share_stand_at_one_setting_evenly_round():
    found = hole_rows(**CASES[1])
    for k in range(found.settings):
        clocks = sorted(h.clock for h in found.holes if h.along == pytest.approx(k * found.step))
        assert len(clocks) == 2
        assert clocks[1] - clocks[0] == pytest.approx(180)


def test_a_row_by_hand():
    """M3 in 3.5 mm: steps of 0.5; holes 6 mm apart in a row, so 12 rows; pi D/12 = sqrt(36 - .25)."""
    found = hole_rows(**CASES[0])
    assert (found.step, found.rows, found.pitch, found.settings) == (0.5, 12, 6.0, 31)
    assert found.least_outside == pytest.approx(12 * np.sqrt(35.75) / pi)
    assert (found.length, found.wall) == (15 + 2 * 4.5, 3)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"groove": 3}, "a groove wider than the screw, 3 mm, got 3 mm"),
        ({"step": 0.001}, "500 holes at most"),
        ({"outside": 12}, "a sleeve of 22.8 mm outside at least for 12 rows, got 12 mm"),
    ],
)
def test_what_cannot_be_drilled_is_refused(change, said):
    with pytest.raises(CableRouteError, match=said):
        hole_rows(**{**CASES[0], **change})


def test_rows_in_the_file_hold_by_the_screws_that_share():
    rows = {"screw": "M4", "groove": 5, "adjust": 20, "share": 2}
    screws = AnchorEntry.model_validate({"rows": rows}).set_screws
    assert (screws.size, screws.count, screws.on) == ("M4", 2, "groove")
    with pytest.raises(ValueError, match="expected one of screws, rows, clamp, bulkhead"):
        AnchorEntry.model_validate({"rows": rows, "screws": {"size": "M5"}})
    with pytest.raises(ValueError, match="a groove wider than the screw"):
        AnchorEntry.model_validate({"rows": {**rows, "groove": 3}})
