"""Smoothing against manufactured routes, another optimiser, and what must not change."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation

from cableroute.errors import GeometryError, SolverError
from cableroute.route import _least_total_bend
from cableroute.route.fillet import fit_arcs
from cableroute.route.smoothing import least_turn, smooth_points


def corners(directions, lengths):
    """Corner points of a route that sets off along each direction for each length."""
    unit = np.array(directions, dtype=float)
    unit /= np.linalg.norm(unit, axis=1, keepdims=True)
    return np.vstack([np.zeros(3), np.cumsum(unit * np.array(lengths)[:, None], axis=0)])


TRUTHS = {
    "frame": fit_arcs(
        corners(
            [(1, 0, 0), (1, 0.8, 0.2), (1, -0.25, 0.45), (0.25, -0.4, 1), (1, 0, 0.2), (1, 0.1, 0)],
            [500, 520, 560, 480, 450, 380],
        ),
        min_bend_radius=[150, 120, 180, 100, 140],
    ),
    "back and over": fit_arcs(
        corners([(1, 0, 0), (0, 1, 0.1), (-1, 0, 0.2)], [900, 700, 900]),
        min_bend_radius=[150, 200],
    ),
    "ess": fit_arcs(
        corners([(1, 0, 0), (0, 1, 0), (1, 0, 0.3), (0, 0, 1)], [700, 700, 800, 600]),
        min_bend_radius=[200, 150, 100],
    ),
    "one bend": fit_arcs(corners([(1, 0, 0), (0.2, 0.3, 1)], [1400, 1400]), min_bend_radius=[150]),
}


def sampled(route, spacing=48.0):
    return route.point(np.linspace(0.0, route.length, round(route.length / spacing) + 1))


def read_by_hand(exact, seed):
    """One millimetre of noise in each coordinate, read to the millimetre."""
    return np.round(exact + np.random.default_rng(seed).normal(0.0, 1.0, exact.shape))


def wavy(n=9, seed=0):
    """A bent run of n points 50 mm apart with 1 mm of noise."""
    angle = np.linspace(0.0, 1.2, n)
    run = 50.0 * np.cumsum(np.stack([np.cos(angle), np.sin(angle), 0.3 * angle], 1), axis=0)
    return run + np.random.default_rng(seed).normal(0.0, 1.0, run.shape)


@pytest.mark.parametrize("name", ["frame", "back and over", "ess"])
def test_wrap_of_noisy_readings_comes_within_5_percent_of_the_truth(name):
    truth = TRUTHS[name]
    found = [
        least_turn(read_by_hand(sampled(truth), seed), tolerance=2.0, min_bend_radius=90.0)
        for seed in range(50)
    ]
    after = np.array([f.turn_after for f in found])
    before = np.array([f.turn_before for f in found])

    assert np.abs(after / truth.wrap - 1.0).max() < 0.05
    assert before.mean() > 1.5 * truth.wrap


def test_long_straights_keep_a_little_of_the_noise_that_exceeds_the_tolerance():
    """One bend of 79 degrees in 2.8 m: at 2 mm the 5 % holds on average, not on every seed."""
    truth = TRUTHS["one bend"]
    readings = [read_by_hand(sampled(truth), seed) for seed in range(20)]
    narrow = np.array([least_turn(m, tolerance=2.0).turn_after for m in readings])
    wide = np.array([least_turn(m, tolerance=3.0).turn_after for m in readings])

    assert abs(narrow.mean() / truth.wrap - 1.0) < 0.05
    assert np.abs(wide / truth.wrap - 1.0).max() < 0.05


def test_a_smooth_run_without_noise_keeps_its_wrap():
    truth = TRUTHS["frame"]
    found = least_turn(sampled(truth, 20.0), tolerance=2.0)

    assert found.turn_before == pytest.approx(truth.wrap, rel=1e-6)
    assert 0.96 * truth.wrap < found.turn_after < truth.wrap


def test_points_only_at_the_corners_hardly_change():
    points = [[0, 0, 0], [400, 0, 0], [400, 300, 0], [400, 300, 250]]
    found = least_turn(points, tolerance=3.0, min_bend_radius=100.0)

    assert found.turn_before == pytest.approx(np.pi)
    assert 0.97 * np.pi < found.turn_after < np.pi


@pytest.mark.parametrize("radius", [None, 60.0])
def test_a_straight_line_under_noise_becomes_straight(radius):
    exact = np.linspace([0, 0, 0], [2000, 500, 300], 40)
    noise = np.random.default_rng(3).uniform(-1.0, 1.0, exact.shape)
    noise[[0, -1]] = 0.0
    found = least_turn(exact + noise, tolerance=2.0, min_bend_radius=radius)

    assert found.turn_before > 1.0
    assert found.turn_after < 1e-4


@pytest.mark.parametrize("seed", range(5))
def test_no_point_moves_further_than_its_own_tolerance_and_the_ends_stay(seed):
    measured = wavy(40, seed)
    tolerance = np.random.default_rng(seed).uniform(0.0, 4.0, 40)
    found = least_turn(measured, tolerance=tolerance, min_bend_radius=200.0)

    assert (np.linalg.norm(found.points - measured, axis=1) <= tolerance + 1e-9).all()
    assert found.moves == pytest.approx(np.linalg.norm(found.points - measured, axis=1))
    assert (found.points[[0, -1]] == measured[[0, -1]]).all()


@pytest.mark.parametrize("fixed", [[3, -3], [i in (3, 6) for i in range(9)], 3])
def test_fixed_points_stay_exactly(fixed):
    measured = wavy()
    smoothed = smooth_points(measured, tolerance=2.0, fixed=fixed)
    moved = (smoothed != measured).any(axis=1)

    assert not moved[np.atleast_1d(fixed)].any()
    assert moved[[1, 2, 4, 5, 7]].all()


@pytest.mark.parametrize("radius", [None, 60.0])
@pytest.mark.parametrize("n", [2, 3, 9])
def test_tolerance_zero_changes_nothing(n, radius):
    measured = wavy(9)[:n]
    found = least_turn(measured, tolerance=0.0, min_bend_radius=radius)

    assert (found.points == measured).all()
    assert found.turn_after == found.turn_before


def objective(points, legs, radius=None):
    """The sum as the docstring has it, written anew."""
    slopes = np.diff(points, axis=0) / legs[:, None]
    bends = np.linalg.norm(np.diff(slopes, axis=0), axis=1)
    if radius is None:
        return bends.sum()
    ends = np.concatenate([[0.0], bends, [0.0]])
    return bends.sum() + np.maximum(ends[:-1] + ends[1:] - 2 * legs / (1.25 * radius), 0).sum()


def by_general_optimiser(measured, tolerance, radius):
    """The least found by SLSQP on displacements and an upper bound of every bend and crowding."""
    k = len(measured) - 2
    m = 3 * k
    legs = np.linalg.norm(np.diff(measured, axis=0), axis=1)

    def place(v):
        return measured + np.pad(v[:m].reshape(k, 3), ((1, 1), (0, 0)))

    def bends(v):
        return np.diff(np.diff(place(v), axis=0) / legs[:, None], axis=0)

    def spare_room(v):
        t = np.concatenate([[0.0], v[m : m + k], [0.0]])
        return 2.0 * legs / (1.25 * radius) + v[m + k :] - t[:-1] - t[1:]

    held = [
        lambda v: v[m : m + k] ** 2 - (bends(v) ** 2).sum(axis=1),
        lambda v: 1.0 - (v[:m].reshape(k, 3) ** 2).sum(axis=1) / tolerance**2,
    ]
    if radius is not None:
        held.append(spare_room)
    extra = k if radius is None else 2 * k + 1
    found = minimize(
        lambda v: v[m:].sum(),
        np.concatenate([np.zeros(m), np.full(extra, 0.4)]),
        method="SLSQP",
        bounds=[(None, None)] * m + [(0.0, None)] * extra,
        constraints=[{"type": "ineq", "fun": h} for h in held],
        options={"maxiter": 300, "ftol": 1e-9},
    )
    assert found.success
    return objective(place(found.x), legs, radius)


@pytest.mark.parametrize("radius", [None, 350.0])
@pytest.mark.parametrize("seed", range(2))
def test_a_general_optimiser_finds_the_same_least(seed, radius):
    measured = wavy(7, seed)
    legs = np.linalg.norm(np.diff(measured, axis=0), axis=1)
    found = least_turn(measured, tolerance=1.0, min_bend_radius=radius, gap=1e-6)
    other = by_general_optimiser(measured, 1.0, radius)

    assert found.objective == pytest.approx(objective(found.points, legs, radius), rel=1e-9)
    assert found.objective == pytest.approx(other, rel=1e-4)
    assert found.lower_bound <= other * (1.0 + 1e-6)
    assert (found.crowding > 0.01) == (radius is not None)


@pytest.mark.parametrize("gap", [1e-2, 1e-4, 1e-8])
def test_the_bound_lies_below_the_objective_by_no_more_than_the_gap(gap):
    least = least_turn(wavy(), tolerance=1.0, gap=1e-9).objective
    found = least_turn(wavy(), tolerance=1.0, gap=gap)

    assert found.lower_bound <= least <= found.objective * (1.0 + 1e-9)
    assert found.objective - found.lower_bound <= gap * found.objective


@settings(max_examples=20)
@given(
    seed=st.integers(0, 10_000),
    scale=st.floats(0.05, 50.0),
    mirror=st.booleans(),
    shift=st.floats(-5e3, 5e3),
)
def test_turning_moving_mirroring_and_scaling_change_no_turn(seed, scale, mirror, shift):
    measured = wavy(12, seed)
    turned = measured @ Rotation.random(random_state=seed).as_matrix().T
    image = scale * turned * [1.0, -1.0 if mirror else 1.0, 1.0] + shift
    here = least_turn(measured, tolerance=1.5, min_bend_radius=80.0, gap=1e-6)
    there = least_turn(image, tolerance=1.5 * scale, min_bend_radius=80.0 * scale, gap=1e-6)

    assert there.turn_before == pytest.approx(here.turn_before, rel=1e-6)
    assert there.objective == pytest.approx(here.objective, rel=3e-6)
    assert there.turn_after == pytest.approx(here.turn_after, rel=1e-3)


@settings(max_examples=20)
@given(seed=st.integers(0, 10_000), narrow=st.floats(0.0, 3.0), more=st.floats(0.0, 3.0))
def test_a_larger_tolerance_never_costs_turn(seed, narrow, more):
    measured = wavy(12, seed)
    less_free = least_turn(measured, tolerance=narrow, gap=1e-5)
    freer = least_turn(measured, tolerance=narrow + more, gap=1e-5)

    assert freer.lower_bound <= less_free.objective
    assert freer.objective <= less_free.objective + 1e-5 * max(0.1, freer.objective)


def dense_run(seed, spacing=10.0):
    exact = sampled(TRUTHS["frame"], spacing)
    return exact + np.random.default_rng(seed).normal(0.0, 0.5, exact.shape)


def test_a_radius_makes_room_for_the_arcs_of_a_densely_measured_run():
    plain, roomy = (
        [least_turn(dense_run(s), tolerance=2.0, min_bend_radius=r) for s in range(8)]
        for r in (None, 80.0)
    )

    assert not any(fit_arcs(f.points, min_bend_radius=80.0).fits for f in plain)
    assert all(fit_arcs(f.points, min_bend_radius=80.0).fits for f in roomy)
    turns = [[f.turn_after for f in group] for group in (plain, roomy)]
    assert turns[1] == pytest.approx(turns[0], rel=0.005)


def test_one_radius_for_each_point_is_the_same_as_one_for_all_of_them():
    run = dense_run(0)[:60]
    one = least_turn(run, tolerance=2.0, min_bend_radius=80.0)
    each = least_turn(run, tolerance=2.0, min_bend_radius=np.full(58, 80.0))
    wider = least_turn(run, tolerance=2.0, min_bend_radius=np.linspace(80.0, 400.0, 58))

    assert (each.points == one.points).all()
    assert wider.crowding > one.crowding


def test_a_bend_that_is_too_tight_stays_too_tight():
    truth = fit_arcs(corners([(1, 0, 0), (0, 1, 0)], [300, 300]), min_bend_radius=60.0)
    found = least_turn(sampled(truth, 10.0), tolerance=2.0, min_bend_radius=80.0)
    plain = least_turn(sampled(truth, 10.0), tolerance=2.0)

    assert not fit_arcs(found.points, min_bend_radius=80.0).fits
    assert found.crowding > 0.1
    assert found.turn_after == pytest.approx(plain.turn_after, rel=0.03)


def test_steps_run_out(monkeypatch):
    monkeypatch.setattr(_least_total_bend, "_MOST_STEPS", 3)
    with pytest.raises(SolverError, match="expected a gap of 1e-06 within 3 steps"):
        smooth_points(wavy(), tolerance=1.0, gap=1e-6)


def test_points_almost_alike_end_in_an_error_of_ours_or_a_result():
    """A leg of two micrometres makes bends that differ by 1e6: hard, but never a raw failure."""
    points = [[0, 0, 0], [100, 1, 0], [100, 1, 2e-6], [200, 0, 0], [300, 50, 0]]
    try:
        found = least_turn(points, tolerance=3.0)
    except SolverError:
        return
    assert (found.moves <= 3.0).all()


@pytest.mark.parametrize(
    ("points", "options", "message"),
    [
        ([[0, 0, 0], [1, 0, 0], [1, 0, 0], [2, 0, 0]], {}, "points 2 and 3: expected two places"),
        (np.zeros((2, 4, 3)), {}, "expected one route"),
        ([[0, 0], [1, 0]], {}, "shape"),
        (wavy(4), {"tolerance": -1.0}, "tolerance: expected 0 mm or more"),
        (wavy(4), {"tolerance": np.nan}, "tolerance"),
        (wavy(4), {"tolerance": [1.0, 1.0]}, "one or 4 of them"),
        (wavy(4), {"fixed": [4]}, "indices below 4"),
        (wavy(4), {"fixed": [-5]}, "indices below 4"),
        (wavy(4), {"fixed": [True, False]}, "4 booleans"),
        (wavy(4), {"fixed": [1.5]}, "fixed"),
        (wavy(4), {"min_bend_radius": 0.0}, "bend radius"),
        (wavy(4), {"min_bend_radius": [60.0]}, "bend radius"),
        (wavy(4), {"gap": 0.0}, "gap: expected a fraction"),
    ],
)
def test_wrong_input_is_named(points, options, message):
    with pytest.raises(GeometryError, match=message):
        smooth_points(points, **({"tolerance": 1.0} | options))


def test_no_fixed_points_may_be_said_with_an_empty_list():
    assert (
        smooth_points(wavy(), tolerance=1.0, fixed=[]) == smooth_points(wavy(), tolerance=1.0)
    ).all()
