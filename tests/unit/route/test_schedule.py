"""The bend schedule, by hand for simple runs and rebuilt into points for any."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import GeometryError
from cableroute.route.fillet import fit_arcs
from cableroute.route.schedule import bend_schedule, rebuild, wire_frame

quick = settings(max_examples=30)
generators = st.integers(0, 2**32 - 1).map(np.random.default_rng)


def again(route):
    start, direction, normal = wire_frame(route)
    return rebuild(bend_schedule(route), start=start, direction=direction, normal=normal)


def test_two_elbows_by_hand():
    route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0], [400, 300, 200]], min_bend_radius=60)
    schedule = bend_schedule(route)
    arc = 30 * np.pi
    np.testing.assert_allclose(schedule.straights, [340, 180, 140], atol=1e-9)
    np.testing.assert_allclose(schedule.starts, [340, 520 + arc], atol=1e-9)
    np.testing.assert_allclose(schedule.ends, [340 + arc, 520 + 2 * arc], atol=1e-9)
    np.testing.assert_allclose(np.degrees(schedule.angles), [90, 90], atol=1e-9)
    assert schedule.length == pytest.approx(660 + 2 * arc)


@pytest.mark.parametrize(
    ("last", "rotation"),
    [
        # going along +y after a left turn: the first bend's centre lies to the left (-x)
        ([-200, 300, 0], 0.0),
        ([1000, 300, 0], 180.0),
        # right-handed about +y takes -x to +z
        ([400, 300, 200], 90.0),
        ([400, 300, -200], -90.0),
    ],
)
def test_rotation_is_right_handed_about_the_way_to_the_far_end(last, rotation):
    route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0], last], min_bend_radius=60)
    assert np.degrees(bend_schedule(route).rotations) == pytest.approx([0.0, rotation])


def test_an_s_in_a_tilted_plane_turns_by_plus_half_a_turn():
    turn, _ = np.linalg.qr(np.random.default_rng(3).normal(size=(3, 3)))
    zigzag = np.array([[i * 200.0, (i % 2) * 150.0, 0.0] for i in range(9)]) @ turn
    rotations = bend_schedule(fit_arcs(zigzag, min_bend_radius=20)).rotations
    np.testing.assert_allclose(rotations[1:], np.pi, atol=1e-9)


def test_points_on_a_straight_are_no_bends():
    points = [[0, 0, 0], [100, 0, 0], [400, 0, 0], [400, 90, 0], [400, 300, 0], [400, 400, 0]]
    route = fit_arcs(points, min_bend_radius=50)
    schedule = bend_schedule(route)
    assert schedule.corners.tolist() == [1]
    np.testing.assert_allclose(schedule.straights, [350, 350])
    np.testing.assert_allclose(again(route), [points[0], points[2], points[-1]], atol=1e-9)


def test_a_straight_wire_has_no_bends():
    route = fit_arcs([[0, 0, 0], [30, 40, 0]], min_bend_radius=50)
    schedule = bend_schedule(route)
    assert len(schedule.starts) == 0
    assert schedule.length == pytest.approx(50)
    np.testing.assert_allclose(again(route), route.points, atol=1e-12)


@quick
@given(generators)
def test_the_schedule_rebuilds_the_route(rng):
    points = np.cumsum(rng.normal(size=(12, 3)) * rng.uniform(20, 900, (12, 1)), axis=0)
    route = fit_arcs(points, min_bend_radius=rng.uniform(10, 120, 10))
    assert bend_schedule(route).length == pytest.approx(route.length)
    assert np.abs(again(route) - route.points).max() < 1e-6


@quick
@given(generators)
def test_marks_stand_where_the_arcs_begin(rng):
    points = np.cumsum(rng.normal(size=(8, 3)) * 300, axis=0)
    route = fit_arcs(points, min_bend_radius=30)
    schedule = bend_schedule(route)
    arcs = [piece for piece in route.pieces if piece.curvature]
    np.testing.assert_allclose(route.point(schedule.starts), [a.start for a in arcs], atol=1e-6)
    np.testing.assert_allclose(route.point(schedule.ends), [a.end for a in arcs], atol=1e-6)


def test_a_batch_is_refused():
    batch = fit_arcs(np.random.default_rng(0).normal(size=(2, 4, 3)) * 100, min_bend_radius=1)
    with pytest.raises(GeometryError, match="one route"):
        bend_schedule(batch)
