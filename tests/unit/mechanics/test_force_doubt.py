"""Force at the hand from ranges of friction and wrap: coverage, and friction beyond its range."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.mechanics.capstan import capstan_ratio
from cableroute.mechanics.force_doubt import beyond_range, force_range
from cableroute.mechanics.pull import pull_force
from cableroute.route.doubt import wrap_doubt
from cableroute.route.fillet import fit_arcs
from cableroute.units import TOLERANCE_SDS


def test_the_true_force_is_in_its_range_in_95_of_100_surveys():
    """2000 runs of four corners read to 5 mm, each with a friction of its own; our own capstan."""
    rng = np.random.default_rng(12)
    truth = np.cumsum(rng.uniform(-1.0, 1.0, (2000, 6, 3)) * [400.0, 300.0, 200.0], axis=1)
    noise = rng.normal(0.0, 5.0 / TOLERANCE_SDS, truth.shape)
    legs = np.linalg.norm(np.diff(truth, axis=1), axis=-1)
    far = (legs > 60.0).all(axis=-1)  # points read nearer than that are a close survey, smoothed
    truth, noise = truth[far], noise[far]
    friction = rng.uniform(0.1, 0.25, len(truth))
    hand = 100.0 * capstan_ratio(fit_arcs(truth, min_bend_radius=40).wrap, friction=friction)
    read = fit_arcs(truth + noise, min_bend_radius=40)
    doubt, wrap = wrap_doubt(read, tolerance=5.0), np.asarray(read.wrap)
    low, high = force_range(
        100.0, friction=(0.1, 0.25), wrap=(np.maximum(wrap - doubt.below, 0.0), wrap + doubt.above)
    )

    assert len(truth) > 1500
    assert ((low <= hand) & (hand <= high)).mean() >= 0.95


def test_of_one_friction_the_wrap_alone_is_in_doubt():
    low, high = force_range(50.0, friction=(0.2, 0.2), wrap=(1.0, 1.5))

    assert float(high / low) == pytest.approx(np.exp(0.2 * 0.5))


def test_more_friction_costs_what_a_pull_worked_out_anew_does():
    route = fit_arcs([[0, 0, 0], [500, 0, 0], [500, 500, 0], [900, 500, 0]], min_bend_radius=60)
    hand, dearer = (pull_force(route, load=60.0, friction=mu) for mu in (0.25, 0.30))
    extra = beyond_range(hand, friction=0.25, wrap=route.wrap)

    assert float(hand + extra) == pytest.approx(float(dearer), rel=1e-9)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"friction": (0.2, 0.1)}, "friction: expected low <= high"),
        ({"wrap": (2.0, 1.0)}, "wrap: expected low <= high"),
        ({"wrap": (-1.0, 1.0)}, "wrap: expected"),
    ],
)
def test_ranges_that_cannot_be_are_refused(change, message):
    with pytest.raises(CableRouteError, match=message):
        force_range(100.0, **({"friction": (0.1, 0.2), "wrap": (1.0, 2.0)} | change))
