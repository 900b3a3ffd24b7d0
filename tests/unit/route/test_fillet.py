"""Tangent arcs at the corners of a polyline: what holds for every route, and what is refused."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import GeometryError
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route, at_both_ends
from cableroute.route.segments import Line

ELBOW = [[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 300.0, 0.0]]

quick = settings(max_examples=30)
generators = st.integers(0, 2**32 - 1).map(np.random.default_rng)
radii = st.floats(5.0, 400.0)  # the longest do not fit most routes drawn


def random_points(rng: np.random.Generator, *shape: int) -> np.ndarray:
    return np.cumsum(rng.normal(size=(*shape, 3)) * rng.uniform(20, 400, (*shape, 1)), axis=-2)


def random_rotation(rng: np.random.Generator) -> np.ndarray:
    basis, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    return basis * np.sign(np.linalg.det(basis))


def overfilled(route: Route, tangents: np.ndarray) -> np.ndarray:
    return at_both_ends(tangents) > route.legs * (1.0 + 1e-9)


# -- what holds for every route ------------------------------------------------------------


@quick
@given(rng=generators, radius=radii, shift=st.floats(-1e3, 1e3))
def test_moving_and_turning_the_whole_route_changes_nothing(
    rng: np.random.Generator, radius: float, shift: float
) -> None:
    points = random_points(rng, 8)
    rotation = random_rotation(rng)
    here = fit_arcs(points, min_bend_radius=radius)
    there = fit_arcs(points @ rotation.T + shift, min_bend_radius=radius)

    assert there.length == pytest.approx(here.length, rel=1e-9)
    assert there.wrap == pytest.approx(here.wrap, rel=1e-9)
    np.testing.assert_allclose(there.radii, here.radii, rtol=1e-8)
    s = np.linspace(0.0, min(here.length, there.length), 20)
    np.testing.assert_allclose(there.point(s), here.point(s) @ rotation.T + shift, atol=1e-6)


@quick
@given(rng=generators, radius=radii, factor=st.floats(0.01, 100.0))
def test_scale(rng: np.random.Generator, radius: float, factor: float) -> None:
    points = random_points(rng, 8)
    small = fit_arcs(points, min_bend_radius=radius)
    large = fit_arcs(factor * points, min_bend_radius=factor * radius)

    assert large.length == pytest.approx(factor * small.length, rel=1e-10)
    assert large.wrap == pytest.approx(small.wrap, rel=1e-10)
    np.testing.assert_allclose(large.radii, factor * small.radii, rtol=1e-10)


@quick
@given(rng=generators, radius=radii)
def test_from_the_other_end(rng: np.random.Generator, radius: float) -> None:
    points = random_points(rng, 8)
    there = fit_arcs(points, min_bend_radius=radius)
    back = fit_arcs(points[::-1], min_bend_radius=radius)

    assert back.length == pytest.approx(there.length, rel=1e-12)
    assert back.wrap == pytest.approx(there.wrap, rel=1e-12)
    np.testing.assert_allclose(back.radii[::-1], there.radii, rtol=1e-10)


@quick
@given(rng=generators, radius=radii)
def test_pieces_join_without_step_or_kink(rng: np.random.Generator, radius: float) -> None:
    points = random_points(rng, 8)
    pieces = fit_arcs(points, min_bend_radius=radius).pieces

    def end_direction(piece: object) -> np.ndarray:
        if isinstance(piece, Line):
            return piece.direction
        return np.cos(piece.turn) * piece.direction + np.sin(piece.turn) * piece.normal

    for before, after in pairwise(pieces):
        np.testing.assert_allclose(before.end, after.start, atol=1e-6)
        np.testing.assert_allclose(end_direction(before), after.direction, atol=1e-9)
    np.testing.assert_allclose(pieces[0].start, points[0], atol=1e-6)
    np.testing.assert_allclose(pieces[-1].end, points[-1], atol=1e-6)


@quick
@given(rng=generators, radius=radii)
def test_never_tighter_than_asked_when_it_fits(rng: np.random.Generator, radius: float) -> None:
    points = random_points(rng, 6)
    route = fit_arcs(points, min_bend_radius=radius)

    assert route.fits == bool((route.slacks >= -1e-9 * route.legs).all())
    if route.fits:
        np.testing.assert_allclose(route.radii, radius, rtol=1e-9)
    else:
        assert route.min_radius < radius
    assert (route.radii <= radius).all()
    assert (route.radii > 0.0).all()


@quick
@given(rng=generators, radius=radii)
def test_no_longer_than_the_polyline_nor_shorter_than_the_chord(
    rng: np.random.Generator, radius: float
) -> None:
    points = random_points(rng, 8)
    route = fit_arcs(points, min_bend_radius=radius)

    assert route.length <= route.legs.sum() * (1.0 + 1e-12)
    assert route.length >= np.linalg.norm(points[-1] - points[0]) * (1.0 - 1e-12)


@quick
@given(rng=generators, radius=radii)
def test_where_arcs_shrink_no_straight_is_negative_and_no_radius_could_grow(
    rng: np.random.Generator, radius: float
) -> None:
    route = fit_arcs(random_points(rng, 10), min_bend_radius=radius)

    assert (route.straights >= -1e-9 * route.legs).all()
    for corner in np.flatnonzero(~route.corner_fits):
        grown = route.tangents.copy()
        grown[corner] *= 1.01
        assert overfilled(route, grown)[corner : corner + 2].any()


def test_two_corners_that_share_a_short_leg_shrink_by_the_same_factor() -> None:
    points = [[0, 0, 0], [500, 0, 0], [500, 90, 0], [1000, 90, 0]]
    route = fit_arcs(points, min_bend_radius=[100, 50])

    np.testing.assert_allclose(route.radii, [60, 30], rtol=1e-12)
    np.testing.assert_allclose(route.straights, [440, 0, 470], atol=1e-9)
    assert not route.fits
    assert route.misfits.tolist() == [False, True, False]


def test_a_corner_away_from_the_short_leg_keeps_its_radius() -> None:
    points = [[0, 0, 0], [40, 0, 0], [40, 500, 0], [540, 500, 0]]
    route = fit_arcs(points, min_bend_radius=100)

    np.testing.assert_allclose(route.radii, [40, 100], rtol=1e-12)
    assert route.corner_fits.tolist() == [False, True]


def test_one_corner_freed_by_the_shrinking_of_the_next_takes_the_room() -> None:
    """The first leg stops the first corner at 10; the second may have the rest of the second leg."""
    points = [[0, 0, 0], [10, 0, 0], [10, 100, 0], [500, 100, 0]]
    route = fit_arcs(points, min_bend_radius=95)

    np.testing.assert_allclose(route.radii, [10, 90], rtol=1e-12)


def test_two_half_corners_wrap_as_much_as_one_whole() -> None:
    whole = fit_arcs(ELBOW, min_bend_radius=20)
    halves = fit_arcs([[0, 0, 0], [300, 0, 0], [400, 100, 0], [400, 300, 0]], min_bend_radius=20)

    assert halves.wrap == pytest.approx(whole.wrap, rel=1e-14)


def test_an_s_bend_wraps_the_sum_of_its_turns() -> None:
    route = fit_arcs([[0, 0, 0], [200, 0, 0], [200, 200, 0], [400, 200, 0]], min_bend_radius=50)

    assert route.wrap == pytest.approx(np.pi, rel=1e-14)


# -- batches -------------------------------------------------------------------------------


@quick
@given(rng=generators, radius=radii)
def test_a_batch_is_its_routes_one_by_one(rng: np.random.Generator, radius: float) -> None:
    points = random_points(rng, 2, 3, 7)
    wanted = radius * rng.uniform(0.5, 1.5, (2, 3, 5))
    batch = fit_arcs(points, min_bend_radius=wanted)

    assert batch.fits.shape == (2, 3)
    for index in np.ndindex(2, 3):
        single = fit_arcs(points[index], min_bend_radius=wanted[index])
        assert batch.fits[index] == single.fits
        assert batch.length[index] == pytest.approx(single.length, rel=1e-13)
        assert batch.wrap[index] == pytest.approx(single.wrap, rel=1e-13)
        assert batch.min_radius[index] == pytest.approx(single.min_radius, rel=1e-13)
        np.testing.assert_allclose(batch.radii[index], single.radii, rtol=1e-13)
        np.testing.assert_allclose(batch.straights[index], single.straights, atol=1e-9)


def test_points_that_coincide_in_every_route_of_a_batch_are_dropped() -> None:
    doubled = np.array([ELBOW[0], ELBOW[1], ELBOW[1], ELBOW[2]])
    batch = fit_arcs(np.stack((doubled, 2 * doubled)), min_bend_radius=50)

    assert batch.kept.tolist() == [0, 1, 3]
    np.testing.assert_allclose(batch.legs, [[400, 300], [800, 600]])


def test_points_that_coincide_in_some_routes_only_are_refused() -> None:
    other = np.array([[0, 0, 0], [400, 0, 0], [400, 0, 0]])

    with pytest.raises(GeometryError, match="route 1 of the batch: points 2 and 3 coincide"):
        fit_arcs(np.stack((np.array(ELBOW), other)), min_bend_radius=50)


# -- coincident points ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("repeats", "kept", "wanted"),
    [
        ([2, 1, 1, 1], [0, 2, 3, 4], [11, 12]),
        ([1, 2, 1, 1], [0, 1, 3, 4], [10, 12]),
        ([1, 1, 3, 1], [0, 1, 2, 5], [10, 11]),
        ([1, 1, 1, 2], [0, 1, 2, 4], [10, 11]),
    ],
)
def test_duplicates_go_and_the_others_keep_their_radii(
    repeats: list[int], kept: list[int], wanted: list[float]
) -> None:
    points = np.array([[0, 0, 0], [200, 0, 0], [200, 200, 0], [200, 200, 200]])
    doubled = np.repeat(points, repeats, axis=0)
    route = fit_arcs(doubled, min_bend_radius=10.0 + np.arange(len(doubled) - 2))

    assert route.kept.tolist() == kept
    assert route.radii.tolist() == wanted
    np.testing.assert_array_equal(route.points, points)


# -- accuracy ------------------------------------------------------------------------------


@quick
@given(rng=generators)
def test_tiny_turns_keep_their_digits(rng: np.random.Generator) -> None:
    turn = np.radians(1e-4)
    points = np.array([[0, 0, 0], [1000, 0, 0], [2000, 1000 * np.tan(turn), 0]])
    route = fit_arcs(points @ random_rotation(rng).T, min_bend_radius=1000.0)

    assert route.wrap == pytest.approx(turn, rel=1e-6)
    (_, arc, _) = route.pieces
    assert np.linalg.norm(arc.normal) == pytest.approx(1.0, abs=1e-6)
    assert arc.normal @ arc.direction == pytest.approx(0.0, abs=1e-6)


@quick
@given(rng=generators, radius=radii)
def test_a_far_off_origin_costs_nothing(rng: np.random.Generator, radius: float) -> None:
    points = random_points(rng, 8)
    offset = np.array([1e6, -1e6, 1e6])
    here = fit_arcs(points, min_bend_radius=radius)
    there = fit_arcs(points + offset, min_bend_radius=radius)

    assert there.length == pytest.approx(here.length, abs=1e-5)
    s = np.linspace(0.0, min(here.length, there.length), 50)
    np.testing.assert_allclose(there.point(s) - offset, here.point(s), atol=1e-5)


def test_points_in_line_have_no_bend() -> None:
    route = fit_arcs([[0, 0, 0], [100, 0, 0], [300, 0, 0]], min_bend_radius=5000.0)

    assert (route.length, route.wrap, route.min_radius, route.fits) == (300.0, 0.0, np.inf, True)


# -- refusals ------------------------------------------------------------------------------


def elbow_with(row: int, point: list[float]) -> list[list[float]]:
    return [point if i == row else given for i, given in enumerate(ELBOW)]


@pytest.mark.parametrize(
    ("points", "message"),
    [
        ([[0, 0, 0], [100, 0, 0], [0, 0, 0]], "point 2: the route turns straight back"),
        ([[0, 0, 0], [0, 0, 0], [9, 0, 0], [1, 0, 0]], "point 3: the route turns straight back"),
        (elbow_with(1, [np.nan, 0, 0]), "point 2: expected finite numbers"),
        (elbow_with(2, [0, np.inf, 0]), "point 3: expected finite numbers"),
        ([[0, 0, 0]], "at least two, got 1"),
        (np.empty((0, 3)), "at least two, got 0"),
        ([[1, 2, 3], [1, 2, 3], [1, 2, 3]], "two distinct ones, got 3 at one place"),
        ([0, 0, 0], r"got shape \(3,\)"),
        ([[0, 0], [100, 0]], r"got shape \(2, 2\)"),
        ([["a", 0, 0], [1, 0, 0]], "expected numbers"),
        ([[0, 0, 0], [1, 0]], "expected numbers"),
    ],
)
def test_points_that_define_no_route(points: object, message: str) -> None:
    with pytest.raises(GeometryError, match=message):
        fit_arcs(points, min_bend_radius=10)


@pytest.mark.parametrize(
    ("radius", "message"),
    [
        (-5.0, "above 0 mm"),
        (0.0, "above 0 mm"),
        (np.nan, "above 0 mm"),
        (np.inf, "above 0 mm"),
        ([10.0, 20.0], "one for each of 1 corners, got 2"),
        ([], "one for each of 1 corners, got 0"),
        ("wide", "a number or one per corner"),
    ],
)
def test_radii_that_make_no_bend(radius: object, message: str) -> None:
    with pytest.raises(GeometryError, match=message):
        fit_arcs(ELBOW, min_bend_radius=radius)


@pytest.mark.parametrize("shift", [1e-7, -1e-7])
def test_a_turn_all_but_straight_back_is_refused_as_one(shift: float) -> None:
    with pytest.raises(GeometryError, match="straight back"):
        fit_arcs([[0, 0, 0], [1, 0, 0], [0, shift, 0]], min_bend_radius=1)


def test_a_sharp_hairpin_is_not_a_reversal() -> None:
    route = fit_arcs([[0, 0, 0], [1000, 0, 0], [0, 1, 0]], min_bend_radius=10)

    assert route.wrap == pytest.approx(np.pi - 1e-3, abs=1e-8)


@pytest.mark.parametrize("make", [list, tuple, np.array])
def test_any_sequence_of_points_will_do(make: Callable[[object], object]) -> None:
    assert fit_arcs(make(ELBOW), min_bend_radius=100).length == pytest.approx(657.0796, abs=5e-5)
