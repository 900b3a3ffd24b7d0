"""The tape's doubt of length and wrap: coverage of invented truths, slopes against differences."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.route.doubt import length_doubt, room_doubt, wrap_doubt
from cableroute.route.fillet import fit_arcs
from cableroute.units import TOLERANCE_SDS

TRUTHS = 2000


def invented(seed: int, *, legs: tuple[float, float], corners: int = 4) -> np.ndarray:
    """Runs of corners from 6 to 103 degrees, any way in space, in one batch."""
    rng = np.random.default_rng(seed)
    ways = np.zeros((TRUTHS, corners + 1, 3))
    ways[:, 0] = (1.0, 0.0, 0.0)
    for i in range(corners):
        before = ways[:, i]
        side = rng.normal(size=before.shape)
        side -= (side * before).sum(-1, keepdims=True) * before
        side /= np.linalg.norm(side, axis=-1, keepdims=True)
        turn = rng.uniform(0.1, 1.8, (TRUTHS, 1))
        ways[:, i + 1] = np.cos(turn) * before + np.sin(turn) * side
    steps = rng.uniform(*legs, (TRUTHS, corners + 1, 1)) * ways
    return np.concatenate((np.zeros((TRUTHS, 1, 3)), np.cumsum(steps, axis=1)), axis=1)


@pytest.mark.parametrize(
    ("legs", "radius", "tolerance"),
    [
        ((150.0, 600.0), 60.0, 3.0),
        ((60.0, 150.0), 25.0, 3.0),  # short legs, whose direction a reading turns
        ((60.0, 150.0), 25.0, 6.0),
        ((200.0, 600.0), 160.0, 5.0),  # one in six has no room for its bends
        ((100.0, 200.0), 150.0, 3.0),  # most have none
    ],
)
def test_the_truth_is_within_the_doubt_in_95_of_100_surveys(legs, radius, tolerance):
    truth = invented(7, legs=legs)
    noise = np.random.default_rng(8).normal(0.0, tolerance / TOLERANCE_SDS, truth.shape)
    true = fit_arcs(truth, min_bend_radius=radius)
    read = fit_arcs(truth + noise, min_bend_radius=radius)

    for name, doubt in (
        ("length", length_doubt(read, tolerance=tolerance)),
        ("wrap", wrap_doubt(read, tolerance=tolerance)),
    ):
        off = np.asarray(getattr(read, name)) - np.asarray(getattr(true, name))
        held = (off <= doubt.below) & (-off <= doubt.above)
        assert held.mean() >= 0.95, name
        # no wider than it must be
        assert (np.abs(off) <= 0.5 * doubt.half).mean() < 0.8, name


@pytest.mark.parametrize(("name", "doubt_of"), [("length", length_doubt), ("wrap", wrap_doubt)])
def test_half_widths_are_the_slopes_by_differences(name, doubt_of):
    points = invented(3, legs=(150.0, 400.0))[0]
    step = 1e-4
    moved = points + step * np.eye(points.size).reshape(-1, *points.shape)
    ends = [
        np.asarray(getattr(fit_arcs(each, min_bend_radius=50.0), name))
        for each in (moved, 2.0 * points - moved)
    ]
    slope = (ends[0] - ends[1]) / (2.0 * step)
    found = doubt_of(fit_arcs(points, min_bend_radius=50.0), tolerance=3.0)

    assert float(found.half) == pytest.approx(3.0 * float(np.linalg.norm(slope)), rel=1e-5)


def test_a_straight_run_is_in_doubt_by_its_two_ends():
    doubt = length_doubt(
        fit_arcs([[0, 0, 0], [500, 0, 0], [1000, 0, 0]], min_bend_radius=50), tolerance=2.0
    )

    assert float(doubt.half) == pytest.approx(2.0 * 2**0.5)
    assert float(doubt.bias) == pytest.approx(2 * 4.0 / 1000.0)


def test_no_tolerance_no_doubt_and_none_below_zero():
    route = fit_arcs([[0, 0, 0], [500, 0, 0], [500, 500, 0]], min_bend_radius=60)
    for doubt_of in (length_doubt, wrap_doubt):
        assert float(doubt_of(route, tolerance=0.0).below) == 0.0
        with pytest.raises(CableRouteError, match="tolerance: expected mm of 0 or more"):
            doubt_of(route, tolerance=-1.0)


def test_a_straight_run_read_without_doubt_has_none():
    straight = fit_arcs([[0, 0, 0], [500, 0, 0], [1000, 0, 0]], min_bend_radius=60)
    doubt = wrap_doubt(straight, tolerance=0.0)
    assert (float(doubt.half), float(doubt.bias)) == (0.0, 0.0)


def test_a_point_held_along_a_heading_is_in_doubt_as_one() -> None:
    """Along headings that the run takes anyway nothing changes."""
    elbow = [[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 300.0, 0.0]]
    ways = [[1.0, 0.0, 0.0], [np.nan] * 3, [0.0, 1.0, 0.0]]
    inside = {"through": [True, False, True]}
    free = fit_arcs(elbow, min_bend_radius=60.0, **inside)
    held = fit_arcs(elbow, min_bend_radius=60.0, headings=ways, **inside)
    for doubt in (length_doubt, wrap_doubt):
        found = doubt(held, tolerance=3.0)
        assert np.isfinite([found.half, found.bias]).all()
    assert held.length == pytest.approx(free.length)


def test_the_doubt_of_the_room_on_each_leg_is_that_of_runs_drawn_at_random() -> None:
    points = np.array([[0.0, 0, 0], [500, 0, 0], [520, 180, 30], [800, 300, 200]])
    run = fit_arcs(points, min_bend_radius=60.0)
    rng = np.random.default_rng(5)
    drawn = points + rng.normal(scale=3.0 / TOLERANCE_SDS, size=(20_000, 4, 3))
    spread = TOLERANCE_SDS * fit_arcs(drawn, min_bend_radius=60.0).slacks.std(axis=0)
    assert room_doubt(run, tolerance=3.0) == pytest.approx(spread, rel=0.03)


def test_a_leg_along_a_heading_has_no_room_to_doubt() -> None:
    ways = np.array([[1.0, 0, 0], [np.nan] * 3, [np.nan] * 3])
    run = fit_arcs(
        [[0, 0, 0], [500, 100, 0], [900, 0, 0]], min_bend_radius=60.0, through=True, headings=ways
    )
    doubt = room_doubt(run, tolerance=3.0)
    assert run.held.any()
    assert (doubt[run.held] == 0.0).all()
    assert (doubt[~run.held] > 3.0).all()
