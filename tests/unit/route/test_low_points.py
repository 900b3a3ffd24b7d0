"""Low points of runs whose lowest places are known by hand."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.route.fillet import fit_arcs
from cableroute.route.low_points import low_points, open_upwards


def run(*points, radius=60.0):
    return fit_arcs(np.array(points, dtype=float), min_bend_radius=radius)


def test_a_sag_has_one_low_point_at_the_bottom_of_its_arc():
    """A V of 45 degrees each way: the arc's bottom is R(sec 45 - 1) above the corner."""
    (found,) = low_points(run([0, 0, 300], [300, 0, 0], [600, 0, 300]))

    assert found.point == pytest.approx([300.0, 0.0, 60.0 * (2**0.5 - 1)], abs=0.1)
    assert found.along == pytest.approx(run([0, 0, 300], [300, 0, 0], [600, 0, 300]).length / 2)
    assert found.depth == pytest.approx(300.0 - 60.0 * (2**0.5 - 1), abs=0.1)


def test_each_of_two_sags_is_found_and_the_shallower_side_is_the_depth():
    found = low_points(run([0, 0, 200], [300, 0, 0], [600, 0, 120], [900, 0, 10], [1200, 0, 300]))

    assert len(found) == 2
    assert found[0].along < found[1].along
    assert found[0].depth < 120.0


def test_the_middle_of_a_level_stretch_stands_for_it():
    (found,) = low_points(run([0, 0, 300], [0, 0, 0], [800, 0, 0], [800, 0, 300]))

    assert found.point == pytest.approx([400.0, 0.0, 0.0], abs=0.5)


@pytest.mark.parametrize(
    "points",
    [
        ([0, 0, 300], [300, 0, 100], [600, 0, 0]),  # runs out at the far end
        ([0, 0, 0], [300, 0, 200], [600, 0, 0]),  # a crest
        ([0, 0, 0], [300, 0, 0], [600, 0, 0]),  # level
        ([0, 0, 0], [300, 200, -2], [600, 0, 0]),  # a dip within the tape's doubt
    ],
)
def test_what_drains_has_none(points):
    assert low_points(run(*points)) == ()


def test_a_smaller_least_rise_finds_shallower_dips():
    shallow = run([0, 0, 0], [300, 0, -2], [600, 0, 0])

    assert len(low_points(shallow, least_rise=0.5)) == 1
    with pytest.raises(CableRouteError, match="least rise: expected mm above 0"):
        low_points(shallow, least_rise=0.0)


def test_ends_that_lead_down_are_open_upwards():
    assert open_upwards(run([0, 0, 300], [300, 0, 0], [600, 0, 300])) == (True, True)
    assert open_upwards(run([0, 0, 0], [300, 0, 300], [600, 0, 0])) == (False, False)
    assert open_upwards(run([0, 0, 0], [300, 0, 0], [600, 0, 0])) == (False, False)
