"""Runs of hundreds of points: what is asked of short ones in full has a bound here."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.figures.lay import MOST_LAID, lay_of
from cableroute.route import _descend
from cableroute.route.fillet import fit_arcs
from cableroute.route.lay_through import lay_through


def wander(count, seed):
    steps = np.random.default_rng(seed).normal((80.0, 0.0, 0.0), 60.0, (count, 3))
    return steps.cumsum(0)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("count", [40, 400])
def test_the_radius_of_a_long_run_fits_and_is_near_the_largest(count, seed):
    route = fit_arcs(wander(count, seed), min_bend_radius=60.0, through=True)
    assert route.misfits.any()
    found = route.common_radius
    assert fit_arcs(route.points, min_bend_radius=found, through=True).fits
    assert not fit_arcs(route.points, min_bend_radius=1.1 * found, through=True).fits


def test_a_scan_has_a_radius_that_fits():
    route = fit_arcs(wander(1000, 1), min_bend_radius=60.0, through=True)
    assert fit_arcs(route.points, min_bend_radius=route.common_radius, through=True).fits
    assert route.common_radius > 0.5


def test_a_long_lay_takes_the_steps_stated_and_no_more():
    lay = lay_through(wander(MOST_LAID, 2))
    assert lay.steps <= 10 * max(_descend.LEAST_ROUNDS, _descend.WORK // (MOST_LAID - 1))
    assert lay.settled or lay.doubt


def test_a_scan_lies_as_it_is_drawn_tight_and_says_why():
    tight = fit_arcs(wander(MOST_LAID + 1, 3), min_bend_radius=5.0, through=True)
    lay = lay_of(tight)
    assert lay.failure == f"more than {MOST_LAID} points"
    assert lay.run is tight
