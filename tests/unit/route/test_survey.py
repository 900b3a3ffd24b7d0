"""When a survey is smoothed, when it is left alone, and what happens if smoothing fails."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import GeometryError, SolverError
from cableroute.route import survey as module
from cableroute.route.survey import NOISE_SHARE, steady_points

CORNERS = np.array([[0, 0, 0], [500, 0, 0], [500, 500, 0], [500, 500, 600]], dtype=float)


def noisy(n: int = 25, *, spacing: float = 48.0, seed: int = 0) -> np.ndarray:
    """A quarter turn read every so often, with 1 mm of noise."""
    angle = np.linspace(0.0, np.pi / 2, n)
    radius = spacing * (n - 1) / angle[-1]
    run = radius * np.stack([np.sin(angle), 1.0 - np.cos(angle), 0.0 * angle], 1)
    return run + np.random.default_rng(seed).normal(0.0, 1.0, run.shape)


def steadied(points, *, tolerance=3.0, radius=50.0, fixed=None):
    held = np.zeros(len(points), dtype=bool) if fixed is None else np.asarray(fixed)
    return steady_points(points, tolerance=tolerance, min_bend_radius=radius, fixed=held)


def test_corners_far_apart_stay_exactly_as_read():
    survey = steadied(CORNERS + 0.123)
    assert np.array_equal(survey.points, CORNERS + 0.123)
    assert not survey.moves.any()
    assert survey.wrap_as_measured == pytest.approx(np.pi)
    assert survey.failure == ""


def test_smoothing_begins_where_noise_could_be_the_stated_share_of_the_wrap():
    """One corner of 90 degrees between two equal legs h may be made up by 2 t/h."""
    leg = 2.0 * 3.0 / (NOISE_SHARE * np.pi / 2)
    corner = np.array([[0, 0, 0], [1, 0, 0], [1, 1, 0]], dtype=float)
    assert not steadied(corner * leg * 1.001).moves.any()
    assert steadied(corner * leg * 0.999).moves.any()


def test_close_survey_is_smoothed_within_the_tolerance():
    points = noisy()
    survey = steadied(points)
    assert survey.wrap_as_measured > 1.2 * np.pi / 2
    apart = np.linalg.norm(survey.points - points, axis=1)
    assert apart == pytest.approx(survey.moves, abs=1e-9)
    assert 0.0 < apart.max() <= 3.0 + 1e-9
    again = steadied(survey.points, tolerance=0.0)
    assert again.wrap_as_measured < 1.05 * np.pi / 2


def test_tolerance_of_nothing_leaves_all_as_read():
    points = noisy()
    survey = steadied(points, tolerance=0.0)
    assert np.array_equal(survey.points, points)
    assert not survey.moves.any()


def test_ends_and_anchors_stay():
    points = noisy()
    fixed = np.zeros(len(points), dtype=bool)
    fixed[[7, 15]] = True
    survey = steadied(points, fixed=fixed)
    assert survey.points[[0, 7, 15, -1]] == pytest.approx(points[[0, 7, 15, -1]], abs=1e-12)
    assert survey.moves[[0, 7, 15, -1]] == pytest.approx(0.0, abs=1e-12)
    assert survey.moves.any()


def test_point_measured_twice_goes_with_its_twin():
    points = np.insert(noisy(), 10, noisy()[10], axis=0)
    radii = np.full(len(points) - 2, 50.0)
    survey = steadied(points, radius=radii)
    assert len(survey.points) == len(points)
    assert np.array_equal(survey.points[10], survey.points[11])
    plain = steadied(noisy(), radius=radii[1:])
    assert np.delete(survey.points, 11, axis=0) == pytest.approx(plain.points, abs=1e-9)
    assert survey.wrap_as_measured == pytest.approx(plain.wrap_as_measured)


def test_radius_of_a_corner_stays_with_its_corner_past_a_double_reading(monkeypatch):
    seen = []

    def noted(points, **given):
        seen.append(given)
        raise SolverError("enough seen")

    monkeypatch.setattr(module, "least_turn", noted)
    points = np.insert(noisy(9), 3, noisy(9)[3], axis=0)
    steadied(points, radius=np.arange(1.0, 9.0), fixed=np.arange(10) == 5)
    assert seen[0]["min_bend_radius"].tolist() == [1, 2, 3, 5, 6, 7, 8]
    assert np.flatnonzero(seen[0]["fixed"]).tolist() == [4]


def test_failing_solver_falls_back_to_the_points_as_read_and_says_so(monkeypatch):
    def fails(*_, **__):
        raise SolverError("residual 1e-2 after 80 rounds")

    monkeypatch.setattr(module, "least_turn", fails)
    points = noisy()
    survey = steadied(points)
    assert np.array_equal(survey.points, points)
    assert not survey.moves.any()
    assert survey.failure == "residual 1e-2 after 80 rounds"


def test_straight_run_has_no_wrap_and_two_points_are_enough():
    survey = steadied(np.array([[0, 0, 0], [100, 0, 0]], dtype=float))
    assert survey.wrap_as_measured == 0.0
    assert survey.points.tolist() == [[0, 0, 0], [100, 0, 0]]


@pytest.mark.parametrize("points", [np.zeros((1, 3)), np.array([[0, 0, 0], [np.nan, 0, 0]])])
def test_points_that_are_none(points):
    with pytest.raises(GeometryError):
        steadied(points)
