"""Curves sampled from lines and arcs are known again; readings by hand never are."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from cableroute import fit_arcs, read_job
from cableroute.errors import GeometryError
from cableroute.output.exports import SPACING, stations
from cableroute.route.pieces import Route
from cableroute.route.sampled import recognise

DATA = Path(__file__).parents[3] / "data"
STEPS = np.radians(np.arange(0, 90.1, 1.5))
QUARTER = 200 * np.stack([np.sin(STEPS), 1 - np.cos(STEPS), 0 * STEPS], axis=1)


def exported(route: Route) -> np.ndarray:
    """The points as the export writes them."""
    return route.point(stations(route, spacing=SPACING)).round(6)


def spatial_run(seed: int) -> Route:
    """Bends of 30 to 90 mm in all directions, with straights between."""
    rng = np.random.default_rng(seed)
    steps = rng.normal([1.5, 0, 0], 1.0, (6, 3))
    steps *= rng.uniform(250, 500, (6, 1)) / np.linalg.norm(steps, axis=1, keepdims=True)
    corners = np.vstack([[0, 0, 0], np.cumsum(steps, axis=0)])
    return fit_arcs(corners, min_bend_radius=rng.uniform(30, 90, 5))


def assert_same_run(found: Route, route: Route, share: float = 0.005) -> None:
    assert found.length == pytest.approx(route.length, rel=share)
    assert found.wrap == pytest.approx(route.wrap, rel=share)
    assert found.min_radius == pytest.approx(route.min_radius, rel=share)


@pytest.mark.parametrize("digits", [12, 2])
@pytest.mark.parametrize("with_ends", [True, False])
def test_a_quarter_in_steps_of_a_degree_and_a_half_is_its_radius(digits, with_ends):
    """Straights of two points beside it, or none."""
    curve = np.vstack([[-300, 0, 0], QUARTER, [200, 500, 0]]) if with_ends else QUARTER
    found = recognise(curve.round(digits))
    assert found.arcs == 1
    assert found.radii == pytest.approx([200], rel=1e-4)
    assert found.deviation < 0.01
    run = found.route(min_bend_radius=200 * 0.999)
    assert run.fits
    assert run.wrap == pytest.approx(np.pi / 2, rel=1e-4)


@pytest.mark.parametrize("file", ["grass_track_buggy", "works_locomotive_aft", "workboat"])
def test_our_own_exported_runs_read_back_as_themselves(file):
    for cable in read_job(DATA / f"{file}.toml").cables:
        route = fit_arcs(cable.points, min_bend_radius=cable.bend_radius)
        found = recognise(exported(route))
        assert_same_run(found.route(min_bend_radius=cable.bend_radius), route)


@pytest.mark.parametrize("seed", range(12))
def test_runs_in_space_sampled_evenly_or_not_and_rounded(seed):
    route = spatial_run(seed)
    at = stations(route, spacing=SPACING)
    if seed % 2:
        more = np.random.default_rng(seed).uniform(0, route.length, len(at))
        at = np.sort(np.append(at, more))
    found = recognise(route.point(at).round(2))
    assert found.deviation < 0.1
    assert_same_run(found.route(min_bend_radius=route.min_radius), route)


@pytest.mark.parametrize("seed", range(4))
def test_joints_between_two_samples_are_found(seed):
    """Even steps, so that hardly a joint of line and arc is itself a sample."""
    route = spatial_run(seed)
    found = recognise(route.point(np.linspace(0, route.length, 500)).round(2))
    assert_same_run(found.route(min_bend_radius=route.min_radius), route)


def test_a_half_circle_and_more_comes_as_several_corners():
    turn = np.radians(np.arange(0, 271, 2.0))
    ring = 120 * np.stack([np.sin(turn), 1 - np.cos(turn), 0 * turn], axis=1)
    found = recognise(ring)
    assert len(found.radii) == 3
    assert found.route(min_bend_radius=1).wrap == pytest.approx(1.5 * np.pi, rel=1e-6)


def test_a_sharp_corner_between_arcs_is_left_to_the_radius_wanted():
    """The quarter, and after 300 mm of straight a corner that nobody rounded."""
    line = np.linspace([200, 200, 0], [200, 500, 0], 31)[1:]
    aside = np.linspace([200, 500, 0], [500, 500, 0], 31)[1:]
    found = recognise(np.vstack([QUARTER, line, aside]))
    assert found.radii[0] == pytest.approx(200)
    assert np.isnan(found.radii[1])
    assert found.route(min_bend_radius=50).radii == pytest.approx([200, 50])


@pytest.mark.parametrize("sd", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("spacing", [5.0, 25.0, 60.0])
def test_readings_by_hand_never_pass_for_a_sampled_curve(sd, spacing):
    rng = np.random.default_rng([int(10 * sd), int(spacing)])
    for seed in range(6):
        route = spatial_run(seed)
        at = np.linspace(0, route.length, int(route.length / spacing))
        assert recognise((route.point(at) + rng.normal(0, sd, (len(at), 3))).round()) is None


def test_corners_and_straights_are_no_sampled_curve():
    corners = [[0, 0, 0], [500, 0, 0], [500, 400, 0], [900, 400, 300], [900, 0, 300], [0, 0, 300]]
    assert recognise(corners) is None
    legs = [np.linspace(a, b, 9)[1:] for a, b in pairwise(corners)]
    assert recognise(np.vstack(legs)) is None
    assert recognise(corners[:3]) is None


def test_points_that_are_not_finite_are_refused():
    with pytest.raises(GeometryError):
        recognise([[0, 0, 0], [np.nan, 0, 0]])
