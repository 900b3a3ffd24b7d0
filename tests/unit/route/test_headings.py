"""Runs that meet points along a heading: what holds for every one, known runs, refusals."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import GeometryError
from cableroute.route.fillet import fit_arcs

ELBOW = [[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 300.0, 0.0]]
FREE = [np.nan] * 3

quick = settings(max_examples=30)
generators = st.integers(0, 2**32 - 1).map(np.random.default_rng)


def held_walk(rng: np.random.Generator, *shape: int) -> tuple[np.ndarray, np.ndarray]:
    """Points ahead of one another; some held, not far from the way the run goes there."""
    steps = np.array([300.0, 0.0, 0.0]) + rng.uniform(-120.0, 120.0, (*shape, 3))
    points = np.cumsum(steps, axis=-2)
    headings = np.array([1.0, 0.0, 0.0]) + rng.uniform(-0.6, 0.6, (*shape, 3))
    headings[..., rng.random(shape[-1]) < 0.4, :] = np.nan
    return points, headings


def unit(vectors: np.ndarray) -> np.ndarray:
    return vectors / np.linalg.norm(vectors, axis=-1, keepdims=True)


# -- what holds for every run --------------------------------------------------------------


@quick
@given(rng=generators, radius=st.floats(5.0, 80.0))
def test_the_run_meets_every_held_point_along_its_heading(
    rng: np.random.Generator, radius: float
) -> None:
    points, headings = held_walk(rng, 6)
    route = fit_arcs(points, min_bend_radius=radius, headings=headings, through=True)
    held = ~np.isnan(headings[:, 0])

    assert route.off.max() < 1e-6
    np.testing.assert_allclose(route.point(route.stations), points, atol=1e-6)
    at = np.clip(route.stations[held], 0.0, route.length)
    np.testing.assert_allclose(route.tangent(at), unit(headings[held]), atol=1e-8)
    assert len(route.vertices) == len(points) + held.sum()
    assert route.held.sum() == held.sum()
    assert sum(p.length for p in route.pieces) == pytest.approx(route.length, rel=1e-9)


@quick
@given(rng=generators, radius=st.floats(5.0, 80.0))
def test_from_the_other_end_the_headings_are_the_other_way(
    rng: np.random.Generator, radius: float
) -> None:
    points, headings = held_walk(rng, 5)
    there = fit_arcs(points, min_bend_radius=radius, headings=headings)
    back = fit_arcs(points[::-1], min_bend_radius=radius, headings=-headings[::-1])

    assert back.length == pytest.approx(there.length, rel=1e-8)
    np.testing.assert_allclose(back.turns[::-1], there.turns, atol=1e-6)
    np.testing.assert_allclose(back.length - back.stations[::-1], there.stations, atol=1e-5)


@quick
@given(rng=generators, radius=st.floats(5.0, 80.0))
def test_a_batch_is_its_runs_one_by_one(rng: np.random.Generator, radius: float) -> None:
    points, headings = held_walk(rng, 3, 5)
    batch = fit_arcs(points, min_bend_radius=radius, headings=headings, through=True)

    for i in range(3):
        try:
            one = fit_arcs(points[i], min_bend_radius=radius, headings=headings[i], through=True)
        except GeometryError:  # a heading against the run: in a batch it stops nobody
            assert not batch.fits[i]
            continue
        assert batch.length[i] == pytest.approx(one.length, rel=1e-9)
        np.testing.assert_allclose(batch.turns[i], one.turns, atol=1e-8)
        np.testing.assert_allclose(batch.stations[i], one.stations, rtol=1e-8, atol=1e-8)


def test_a_heading_with_room_ahead_of_it_is_a_bend_that_does_not_fit() -> None:
    points, headings = held_walk(np.random.default_rng(1678), 3, 5)
    route = fit_arcs(points[2], min_bend_radius=70.0, headings=headings[2], through=True)

    assert np.degrees(route.turns[1]) > 150.0  # as the points stand, by a short leg before it
    assert not route.fits
    assert -5.0 < route.slacks.min() < 0.0


@quick
@given(rng=generators, radius=st.floats(5.0, 80.0))
def test_a_heading_the_run_has_anyway_changes_nothing(
    rng: np.random.Generator, radius: float
) -> None:
    points, _ = held_walk(rng, 5)
    free = fit_arcs(points, min_bend_radius=radius, through=True)
    headings = free.tangent(free.stations)
    held = fit_arcs(points, min_bend_radius=radius, headings=headings)

    if free.fits:
        assert held.fits
        assert held.length == pytest.approx(free.length, rel=1e-9)
        assert held.wrap == pytest.approx(free.wrap, abs=1e-7)


# -- known runs ----------------------------------------------------------------------------


def test_leaving_square_to_the_chord_in_closed_form() -> None:
    """Up from the origin, then over: a tangent from (300, 0) to the circle about (100, 0)."""
    headings = [[0.0, 2.0, 0.0], FREE]
    route = fit_arcs([[0, 0, 0], [300, 0, 0]], min_bend_radius=[100, 70], headings=headings)
    turn = np.pi - np.arccos(100 / 200)

    assert route.length == pytest.approx(100 * turn + np.sqrt(200**2 - 100**2), rel=1e-12)
    assert route.wrap == pytest.approx(turn, rel=1e-12)
    assert route.wanted_radii.tolist() == [100.0]
    assert route.owners.tolist() == [0, 0, 1]
    assert route.kept[route.owners].tolist() == [0, 0, 1]
    np.testing.assert_allclose(route.stations, [0.0, route.length])


def test_a_held_point_bends_on_both_sides_of_itself() -> None:
    points = [[0, 0, 0], [300, 0, 0], [600, 0, 0]]
    route = fit_arcs(points, min_bend_radius=50.0, headings=[FREE, [1.0, 1.0, 0.0], FREE])

    assert route.owners.tolist() == [0, 1, 1, 2]
    assert route.turns[0] == pytest.approx(route.turns[1])
    assert route.turns[0] > np.radians(45.0)
    assert route.stations[1] == pytest.approx(0.5 * route.length)
    np.testing.assert_allclose(route.tangent(route.stations[1]), unit(np.array([1.0, 1.0, 0.0])))
    assert np.isfinite(route.slacks[[0, 2]]).all()
    assert route.slacks[1] == np.inf
    assert route.fitting_scale[1] == np.inf


def test_headings_straight_along_a_straight_run_give_no_bend() -> None:
    route = fit_arcs(
        [[0, 0, 0], [100, 0, 0], [300, 0, 0]], min_bend_radius=50.0, headings=[[1.0, 0, 0]] * 3
    )

    assert (route.length, route.wrap, route.fits) == (300.0, 0.0, True)
    assert sum(p.length for p in route.pieces) == pytest.approx(300.0)


def test_bends_onto_headings_shrink_where_there_is_no_room_for_them() -> None:
    headings = [[1.0, 1.0, 0.0], [1.0, -1.0, 0.0]]
    points = [[0, 0, 0], [60, 0, 0]]
    route = fit_arcs(points, min_bend_radius=[60, 60], headings=headings)
    fitting = 60.0 / (2.0 + np.sqrt(2.0)) / np.tan(np.radians(22.5))  # leg = two tangents

    assert not route.fits
    np.testing.assert_allclose(route.radii, fitting, rtol=1e-9)
    assert route.slacks[1] < 0.0
    assert route.off.max() < 1e-6
    smaller = fit_arcs(points, min_bend_radius=0.99 * route.radii, headings=headings)
    assert smaller.fits


def test_twins_share_their_heading() -> None:
    doubled = [ELBOW[0], ELBOW[1], ELBOW[1], ELBOW[2]]
    route = fit_arcs(doubled, min_bend_radius=50.0, headings=[FREE, FREE, [1.0, 1.0, 0.0], FREE])
    plain = fit_arcs(ELBOW, min_bend_radius=50.0, headings=[FREE, [1.0, 1.0, 0.0], FREE])

    assert route.kept.tolist() == [0, 1, 3]
    assert route.length == plain.length


# -- refusals ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("headings", "message"),
    [
        ([FREE, [0.0, 0.0, 0.0], FREE], "point 2: expected a heading of some length"),
        ([FREE, FREE, [1.0, np.nan, 0.0]], "point 3: expected a heading of some length"),
        ([FREE, FREE], "headings: expected numbers of shape"),
        ([FREE, ["up", 0, 0], FREE], "headings: expected numbers of shape"),
        ([[-1.0, 0.0, 0.0], FREE, FREE], "point 1: its heading points against the run"),
        ([FREE, FREE, [0.0, -1.0, 0.0]], "point 3: its heading points against the run"),
    ],
)
def test_headings_that_say_nothing_clear(headings: object, message: str) -> None:
    with pytest.raises(GeometryError, match=message):
        fit_arcs(ELBOW, min_bend_radius=50.0, headings=headings)


def test_a_heading_at_a_point_that_is_not_gone_through_is_refused() -> None:
    headings = [FREE, [1.0, 1.0, 0.0], FREE]
    with pytest.raises(GeometryError, match="point 2: a heading is that of a run through"):
        fit_arcs(ELBOW, min_bend_radius=50.0, headings=headings, through=[True, False, True])


def test_a_batch_that_holds_a_point_in_some_routes_only_is_refused() -> None:
    headings = np.array([[FREE, [1.0, 1.0, 0.0], FREE], [FREE] * 3])
    with pytest.raises(GeometryError, match="route 1 of the batch: point 2 has a heading in some"):
        fit_arcs([ELBOW, ELBOW], min_bend_radius=50.0, headings=headings)


def test_in_a_batch_a_heading_against_the_run_is_a_misfit() -> None:
    points = np.array([[[0, 0, 0], [-80.0, 30, 0]], [[0, 0, 0], [300.0, 30, 0]]])
    headings = [[1.0, 0.0, 0.0], FREE]
    with pytest.raises(GeometryError, match="point 1: its heading points against the run"):
        fit_arcs(points[0], min_bend_radius=[60, 60], headings=headings)
    assert fit_arcs(points, min_bend_radius=[60, 60], headings=headings).fits.tolist() == [
        False,
        True,
    ]


def test_two_ends_alone_need_radii_of_their_own() -> None:
    with pytest.raises(GeometryError, match="one for each of the 2 points, got none"):
        fit_arcs(ELBOW[:2], min_bend_radius=[], headings=[[0.0, 1.0, 0.0], FREE])


@quick
@given(angle=st.floats(152.0, 179.0), far=st.floats(20.0, 150.0))
def test_moved_as_far_as_told_a_point_held_against_the_run_fits(angle: float, far: float) -> None:
    """The start, held at a great angle to the way to the next point, far enough or not."""
    way = np.radians(angle)
    points = np.array([[0.0, 0.0, 0.0], [far * np.cos(way), far * np.sin(way), 0.0]])
    headings = [[1.0, 0.0, 0.0], FREE]
    try:
        assert fit_arcs(points, min_bend_radius=[60, 60], headings=headings).fits
    except GeometryError as error:
        told = re.search(r"move the point at least (\d+) mm back", str(error))
        assert told
        points[0, 0] -= float(told[1]) + 0.51
        assert fit_arcs(points, min_bend_radius=[60, 60], headings=headings).fits
