"""A fitted route asked for its pieces, its points and its room."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import GeometryError
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route, at_both_ends
from cableroute.route.segments import Arc, Line, bend_normals

quick = settings(max_examples=30)
generators = st.integers(0, 2**32 - 1).map(np.random.default_rng)


def random_route(rng: np.random.Generator) -> Route:
    points = np.cumsum(rng.normal(size=(7, 3)) * rng.uniform(50, 400, (7, 1)), axis=0)
    return fit_arcs(points, min_bend_radius=rng.uniform(10, 80, 5))


@pytest.fixture(name="elbow")
def quarter_turn() -> Route:
    return fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)


# -- the pieces ----------------------------------------------------------------------------


def test_line_arc_line(elbow: Route) -> None:
    first, arc, last = elbow.pieces

    assert isinstance(first, Line)
    assert isinstance(arc, Arc)
    assert isinstance(last, Line)
    assert [p.length for p in elbow.pieces] == pytest.approx([300, 50 * np.pi, 200])
    assert [p.curvature for p in elbow.pieces] == [0.0, 0.01, 0.0]
    np.testing.assert_allclose(arc.start, [300, 0, 0], atol=1e-12)
    np.testing.assert_allclose(arc.centre, [300, 100, 0], atol=1e-12)
    np.testing.assert_allclose(arc.end, [400, 100, 0], atol=1e-12)
    np.testing.assert_allclose(last.end, [400, 300, 0], atol=1e-12)


def test_pieces_of_no_length_are_left_out() -> None:
    route = fit_arcs([[0, 0, 0], [100, 0, 0], [100, 200, 0], [0, 200, 0]], min_bend_radius=100)
    kinds = [type(piece) for piece in route.pieces]

    assert kinds == [Arc, Arc]


def test_a_point_on_a_straight_parts_it_in_two_lines() -> None:
    route = fit_arcs([[0, 0, 0], [100, 0, 0], [300, 0, 0]], min_bend_radius=50)

    assert [type(p) for p in route.pieces] == [Line, Line]
    assert [p.length for p in route.pieces] == [100.0, 200.0]


def test_two_points_make_one_line() -> None:
    (line,) = (route := fit_arcs([[0, 0, 0], [0, 0, 70]], min_bend_radius=50)).pieces

    assert line.length == route.length == 70.0
    np.testing.assert_allclose(route.point([0.0, 35.0, 70.0])[:, 2], [0, 35, 70])
    np.testing.assert_array_equal(route.curvature([0.0, 70.0]), [0, 0])
    np.testing.assert_array_equal(route.tangent(10.0), [0, 0, 1])


@quick
@given(rng=generators)
def test_pieces_add_up_to_length_and_wrap(rng: np.random.Generator) -> None:
    route = random_route(rng)

    assert sum(p.length for p in route.pieces) == pytest.approx(route.length, rel=1e-9)
    turns = [p.turn for p in route.pieces if isinstance(p, Arc)]
    assert sum(turns) == pytest.approx(route.wrap, rel=1e-9)


# -- at an arc length ----------------------------------------------------------------------


@quick
@given(rng=generators)
def test_point_tangent_and_curvature_agree_with_the_pieces(rng: np.random.Generator) -> None:
    route = random_route(rng)
    begin = 0.0
    for piece in route.pieces:
        along = begin + piece.length * np.array([1e-6, 0.3, 0.5, 1 - 1e-6])
        offset = along - begin
        if isinstance(piece, Line):
            points = piece.start + offset[:, None] * piece.direction
            tangents = np.broadcast_to(piece.direction, (4, 3))
        else:
            angle = offset[:, None] / piece.radius
            spoke = np.sin(angle) * piece.direction - np.cos(angle) * piece.normal
            points = piece.centre + piece.radius * spoke
            tangents = np.cos(angle) * piece.direction + np.sin(angle) * piece.normal
        np.testing.assert_allclose(route.point(along), points, atol=1e-8)
        np.testing.assert_allclose(route.tangent(along), tangents, atol=1e-8)
        np.testing.assert_allclose(route.curvature(along), piece.curvature, rtol=1e-12)
        begin += piece.length


@quick
@given(rng=generators)
def test_tangents_are_the_slope_of_the_points(rng: np.random.Generator) -> None:
    route = random_route(rng)
    s = rng.uniform(0.01, 0.99, 20) * route.length
    step = 1e-3
    slope = (route.point(s + step) - route.point(s - step)) / (2 * step)

    np.testing.assert_allclose(slope, route.tangent(s), atol=2e-4)
    np.testing.assert_allclose(np.linalg.norm(route.tangent(s), axis=-1), 1.0, atol=1e-12)


def test_ends_and_shapes(elbow: Route) -> None:
    np.testing.assert_allclose(elbow.point(0.0), [0, 0, 0])
    np.testing.assert_allclose(elbow.point(elbow.length), [400, 300, 0], atol=1e-9)
    assert elbow.point(np.zeros((2, 5))).shape == (2, 5, 3)
    assert elbow.tangent([]).shape == (0, 3)
    assert elbow.curvature(np.zeros((2, 5))).shape == (2, 5)


def test_curvature_at_a_joint_is_that_of_the_piece_after_it(elbow: Route) -> None:
    np.testing.assert_array_equal(
        elbow.curvature([299.999, 300.0, 400.0, 500.0]), [0, 0.01, 0.01, 0]
    )


@pytest.mark.parametrize("s", [-1.0, 658.0, np.nan, [10.0, 700.0]])
def test_an_arc_length_outside_the_route_is_refused(elbow: Route, s: object) -> None:
    for ask in (elbow.point, elbow.tangent, elbow.curvature):
        with pytest.raises(GeometryError, match="expected 0 to 657"):
            ask(s)


def test_a_batch_has_no_pieces_and_no_points() -> None:
    batch = fit_arcs(np.random.default_rng(1).normal(size=(4, 5, 3)) * 100, min_bend_radius=5)

    with pytest.raises(GeometryError, match=r"expected one route.*got a batch of \(4,\)"):
        _ = batch.pieces
    for ask in (batch.point, batch.tangent, batch.curvature):
        with pytest.raises(GeometryError, match="expected one route"):
            ask(0.0)


# -- room ----------------------------------------------------------------------------------


def test_slack_and_scale_of_each_leg() -> None:
    route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 150, 0], [700, 150, 0]], min_bend_radius=100)

    np.testing.assert_allclose(route.slacks, [300, -50, 200])
    assert route.misfits.tolist() == [False, True, False]
    np.testing.assert_allclose(route.fitting_scale, [4.0, 0.75, 3.0])
    np.testing.assert_allclose(route.straights, [325, 0, 225], atol=1e-12)
    assert route.corner_fits.tolist() == [False, False]
    refit = fit_arcs(route.points, min_bend_radius=100 * route.fitting_scale.min())
    assert refit.fits


def test_a_straight_route_fits_at_any_scale() -> None:
    route = fit_arcs([[0, 0, 0], [100, 0, 0]], min_bend_radius=100)

    assert route.fitting_scale.tolist() == [np.inf]
    assert (route.fits, route.min_radius) == (True, np.inf)


def test_what_corners_take_off_legs() -> None:
    np.testing.assert_array_equal(at_both_ends(np.array([1.0, 10.0])), [1, 11, 10])
    assert at_both_ends(np.empty((2, 0))).tolist() == [[0.0], [0.0]]


def test_normals_point_to_the_inside_and_vanish_where_there_is_no_turn() -> None:
    legs = np.array([[1.0, 0, 0], [0, 1, 0], [0, 1, 0], [0, 0, -1]])
    normals = bend_normals(legs, np.radians([90.0, 0.0, 90.0]))

    np.testing.assert_allclose(normals, [[0, 1, 0], [0, 0, 0], [0, 0, -1]], atol=1e-15)


def test_a_turn_too_small_to_be_a_bend_has_no_normal() -> None:
    legs = np.array([[1.0, 0, 0], [1.0, 5e-10, 0]])

    assert bend_normals(legs, np.array([5e-10])).tolist() == [[0, 0, 0]]


@pytest.mark.parametrize("corners", [12_000, 20_000, 30_000])
def test_the_end_of_a_run_of_many_corners_lies_on_it(corners):
    """A running sum of so many pieces is out by more than a millionth of a millimetre."""
    steps = np.tile([[1000.0, 0.1, 0], [0.1, 1000.0, 0.3]], (corners // 2, 1))
    route = fit_arcs(np.cumsum(steps, axis=0), min_bend_radius=33.3)
    end = route.point(route.length)
    np.testing.assert_allclose(end, route.points[-1], atol=1e-3)
