"""The smallest moves, against misfits whose answer is known in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.measure.job import Cable
from cableroute.route.fillet import fit_arcs, refit
from cableroute.route.repair import MOST_FREEDOMS, Freedom, freedoms_of, repair

#: Leg 2 is 70 mm, its square bend at 100 mm needs 100 mm: 30 mm short.
HOOK = [[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 70.0, 0.0]]
X, Y, Z = np.eye(3)


def free(point: int, at: list[float]) -> list[Freedom]:
    return [Freedom(point, axis, value) for axis, value in zip((X, Y, Z), at, strict=True)]


def moved(route, found):
    return fit_arcs(route.points + found.moves[route.kept], min_bend_radius=route.wanted_radii)


def test_along_its_leg_the_end_moves_by_the_shortfall() -> None:
    route = fit_arcs(HOOK, min_bend_radius=100.0)
    found = repair(route, freedoms=[Freedom(2, Y, 70.0)])
    assert found.fits
    assert found.moves[2] == pytest.approx([0.0, 30.0, 0.0], abs=0.01)
    assert moved(route, found).fits


def test_two_short_legs_are_mended_each_by_its_own_shortfall() -> None:
    points = [[0.0, 60.0, 0.0], [0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 85.0, 0.0]]
    route = fit_arcs(points, min_bend_radius=100.0)
    found = repair(route, freedoms=[Freedom(0, Y, 60.0), Freedom(3, Y, 85.0)])
    assert found.moves[:, 1] == pytest.approx([40.0, 0.0, 0.0, 15.0], abs=0.01)


def test_a_free_end_moves_to_the_nearest_place_an_arc_can_end() -> None:
    """Ends that just fit are ``T(theta) * (cos theta, sin theta)`` from the corner."""
    route = fit_arcs(HOOK, min_bend_radius=100.0)
    turn = np.linspace(0.5, 2.0, 200_001)
    reach = 100.0 * np.tan(0.5 * turn)
    nearest = np.hypot(reach * np.cos(turn), reach * np.sin(turn) - 70.0).min()
    found = repair(route, freedoms=free(2, HOOK[2]))
    assert found.fits
    assert found.distances[2] == pytest.approx(nearest, rel=1e-3)
    assert nearest < 30.0


def test_a_point_on_a_tube_slides_along_it_and_no_further_than_its_end() -> None:
    route = fit_arcs(HOOK, min_bend_radius=100.0)
    slide = Freedom(2, Y, 500.0, low=-500.0, high=31.0)
    assert repair(route, freedoms=[slide], grid=1.0).moves[2].tolist() == [0.0, 30.0, 0.0]
    short = Freedom(2, Y, 500.0, low=-500.0, high=20.0)
    found = repair(route, freedoms=[short], grid=1.0)
    assert not found.fits
    assert found.shortfall == pytest.approx(10.0, abs=0.01)
    assert not found.moves.any()


def test_moves_are_rounded_to_the_grid_and_still_fit() -> None:
    points = np.add(HOOK, [0.3, 0.4, 0.0])
    route = fit_arcs(points, min_bend_radius=100.0)
    found = repair(route, freedoms=free(2, points[2].tolist()), grid=1.0)
    assert moved(route, found).fits
    changed = found.moves != 0.0
    assert (points + found.moves)[changed] == pytest.approx(
        np.round((points + found.moves)[changed]), abs=1e-9
    )


def test_what_fits_is_left_alone() -> None:
    route = fit_arcs(HOOK, min_bend_radius=60.0)
    found = repair(route, freedoms=free(1, HOOK[1]))
    assert found.fits
    assert not found.moves.any()


def test_without_a_movable_point_nothing_is_found() -> None:
    found = repair(fit_arcs(HOOK, min_bend_radius=100.0), freedoms=[])
    assert (found.fits, found.freedoms) == (False, 0)
    assert found.shortfall == pytest.approx(30.0)


def test_no_point_goes_further_than_the_bound() -> None:
    route = fit_arcs(HOOK, min_bend_radius=100.0)
    assert not repair(route, freedoms=[Freedom(2, Y, 70.0)], farthest=29.0).fits
    assert repair(route, freedoms=[Freedom(2, Y, 70.0)], farthest=31.0).fits
    for bound in (0.0, np.inf, np.nan):
        with pytest.raises(CableRouteError, match="above 0 mm"):
            repair(route, freedoms=[], farthest=bound)


def test_freedoms_follow_the_marks() -> None:
    points = np.arange(18.0).reshape(6, 3)
    cable = Cable(
        name="c",
        points=points,
        kind="pull",
        bend_radius=50.0,
        moves=("no", "x", "free", "tube", "no", "y"),
        tube_axes=(None, None, None, Z, None, None),
        tube_rooms=(None, None, None, (5.0, 7.0), None, None),
    )
    found = freedoms_of(cable)
    assert [freedom.point for freedom in found] == [1, 2, 2, 2, 3, 5]
    assert [freedom.value for freedom in found] == [3.0, 6.0, 7.0, 8.0, 5.0, 16.0]
    assert (found[4].low, found[4].high) == (-5.0, 7.0)


def test_a_cable_without_marks_has_fixed_ends_and_anchors() -> None:
    cable = Cable("c", np.zeros((4, 3)), "pull", 50.0, fixes=(None, "anchor", "clip", None))
    assert {freedom.point for freedom in freedoms_of(cable)} == {2}


@settings(max_examples=15)
@given(st.integers(0, 10_000))
def test_moves_found_are_no_larger_than_any_that_chance_finds(seed: int) -> None:
    rng = np.random.default_rng(seed)
    points = np.array([*HOOK, [800.0, 70.0, 100.0]]) + rng.uniform(-30.0, 30.0, (4, 3))
    route = fit_arcs(points, min_bend_radius=80.0)
    freedoms = free(1, points[1].tolist()) + free(2, points[2].tolist())
    found = repair(route, freedoms=freedoms)
    assert found.fits
    assert moved(route, found).fits
    assert not found.moves[[0, 3]].any()
    tries = np.zeros((20_000, 4, 3))
    tries[:, 1:3] = rng.normal(size=(20_000, 2, 3))
    tries *= (found.distances.max() + 1.0) * rng.uniform(0.1, 1.0, (20_000, 1, 1))
    fit = fit_arcs(points + tries, min_bend_radius=80.0).fits
    sizes = (tries[fit] ** 2).sum((1, 2))
    assert (found.moves**2).sum() <= sizes.min(initial=np.inf) * 1.001 + 0.01


def test_a_twin_of_a_neighbour_stays() -> None:
    points = [[0.0, 60.0, 0.0], HOOK[0], HOOK[0], HOOK[1], [400.0, 200.0, 0.0]]
    route = fit_arcs(points, min_bend_radius=100.0)
    freedoms = [Freedom(0, Y, 60.0), Freedom(1, Y, 0.0), Freedom(2, Y, 0.0)]
    found = repair(route, freedoms=freedoms)
    assert found.freedoms == 1
    assert found.moves[:, 1] == pytest.approx([40.0, 0.0, 0.0, 0.0, 0.0], abs=0.01)


def test_a_doubled_far_end_stays() -> None:
    route = fit_arcs([*HOOK, HOOK[-1]], min_bend_radius=100.0)
    assert repair(route, freedoms=[Freedom(3, Y, 70.0)]).freedoms == 0


def test_so_many_freedoms_are_refused_at_once() -> None:
    turns = np.cumsum(np.tile([1.5, -1.5], 60))
    legs = 20.0 * np.stack((np.cos(turns), np.sin(turns), 0.0 * turns), -1)
    points = np.concatenate((np.zeros((1, 3)), np.cumsum(legs, 0)))
    route = fit_arcs(points, min_bend_radius=100.0)
    freedoms = [one for i, at in enumerate(points.tolist()) for one in free(i, at)]
    found = repair(route, freedoms=freedoms)
    assert not found.fits
    assert found.freedoms > MOST_FREEDOMS
    assert found.shortfall == pytest.approx(-route.slacks.min())


# -- runs through their points -------------------------------------------------------------


def test_the_end_of_a_run_through_its_points_moves_by_what_it_lacks() -> None:
    """Alone on its axis, an end has one place from which the bend just fits: bisected for here."""
    route = fit_arcs(HOOK, min_bend_radius=100.0, through=True)
    found = repair(route, freedoms=[Freedom(2, Y, 70.0)])
    low, high = 0.0, 300.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        fits = refit(route, route.points + np.array([[0.0] * 3, [0.0] * 3, [0, middle, 0]])).fits
        low, high = (low, middle) if fits else (middle, high)

    assert found.fits
    assert found.moves[2, 1] == pytest.approx(high, abs=0.02)
    assert refit(route, route.points + found.moves).fits


def test_moved_points_stay_on_a_run_with_every_radius_and_its_headings() -> None:
    points = [[0, 0, 0], [300, 0, 0], [420, 160, 0], [600, 160, 80], [700, 400, 100]]
    headings = np.full((5, 3), np.nan)
    headings[4] = [0.0, 1.0, 0.3]
    route = fit_arcs(points, min_bend_radius=150.0, through=True, headings=headings)
    found = repair(route, freedoms=[f for i in (1, 2, 3) for f in free(i, points[i])], grid=1.0)
    mended = refit(route, route.points + found.moves)

    assert not route.fits
    assert found.fits
    assert mended.fits
    assert mended.off.max() < 1e-6
    np.testing.assert_allclose(mended.headings, route.headings)
    np.testing.assert_array_equal(found.moves, found.moves.round())
    half = refit(route, route.points + 0.8 * found.moves)
    assert not half.fits
