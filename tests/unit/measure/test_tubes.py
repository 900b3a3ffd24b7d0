from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import GeometryError, TapeError
from cableroute.measure.tube_places import along_of
from cableroute.measure.tubes import Tube, clock_frame, parse_clock, point_on_tube

quick = settings(max_examples=30)
coordinate = st.floats(-500, 500)
points = st.tuples(coordinate, coordinate, coordinate).map(np.array)
clocks = st.floats(-360, 360)


@st.composite
def tubes(draw: st.DrawFn) -> Tube:
    start, run = draw(points), draw(points.filter(lambda p: np.linalg.norm(p) > 1))
    return Tube("rail", start=start, end=start + run, diameter=draw(st.floats(1, 80)))


def tube_along(x: float, y: float, z: float) -> Tube:
    return Tube("rail", start=np.zeros(3), end=np.array([x, y, z]), diameter=40)


@pytest.mark.parametrize(
    ("axis", "twelve", "three"),
    [
        ((500, 0, 0), (0, 0, 1), (0, -1, 0)),  # looking forward: right hand is -y
        ((-500, 0, 0), (0, 0, 1), (0, 1, 0)),  # looking aft
        ((0, 500, 0), (0, 0, 1), (1, 0, 0)),  # looking left: right hand is forward
        ((0, 0, 500), (1, 0, 0), (0, 1, 0)),  # looking up, forward at 12
        ((0, 0, -500), (1, 0, 0), (0, -1, 0)),  # looking down, forward at 12
        ((300, 0, 300), (-(0.5**0.5), 0, 0.5**0.5), (0, -1, 0)),  # climbing: 12 leans back
    ],
)
def test_clock_frame_looks_from_start_to_end(axis, twelve, three):
    got = clock_frame(tube_along(*axis))
    np.testing.assert_allclose(got, [twelve, three], atol=1e-12)


@pytest.mark.parametrize(("lean_deg", "forward"), [(0.0, True), (4.9, True), (5.1, False)])
def test_a_tube_within_five_degrees_of_vertical_has_forward_at_twelve(lean_deg, forward):
    lean = np.radians(lean_deg)
    twelve, _ = clock_frame(tube_along(0, 500 * np.sin(lean), 500 * np.cos(lean)))
    assert bool(twelve[0] > 0.9) is forward
    assert bool(twelve[1] < -0.9) is not forward


@pytest.mark.parametrize(
    ("clock", "offset"),
    [(0, (0, 0, 24)), (90, (0, -24, 0)), (180, (0, 0, -24)), ("9 o'clock", (0, 24, 0))],
)
def test_the_conduit_touches_the_tube_at_the_hour(clock, offset):
    got = point_on_tube(tube_along(500, 0, 0), along=350, clock=clock, conduit_od=8)
    np.testing.assert_allclose(got, np.add((350, 0, 0), offset), atol=1e-12)


def test_along_and_clock_broadcast():
    rail = tube_along(100, 200, 300)
    along, clock = np.linspace(0, 300, 4)[:, None], np.array([0, 45, 270])
    got = point_on_tube(rail, along=along, clock=clock, conduit_od=6)
    assert got.shape == (4, 3, 3)
    one = point_on_tube(rail, along=along[2, 0], clock=clock[1], conduit_od=6)
    np.testing.assert_allclose(got[2, 1], one)


@quick
@given(tubes(), st.floats(0, 1), clocks, st.floats(0, 20))
def test_the_offset_is_square_to_the_axis_and_as_long_as_both_radii(tube, part, clock, od):
    along = part * tube.length
    offset = point_on_tube(tube, along=along, clock=clock, conduit_od=od)
    offset = offset - (tube.start + along * tube.axis)
    assert abs(offset @ tube.axis) < 1e-9
    assert np.linalg.norm(offset) == pytest.approx((tube.diameter + od) / 2, abs=1e-9)


@quick
@given(tubes(), st.floats(0, 1), clocks)
def test_along_of_undoes_point_on_tube(tube, part, clock):
    point = point_on_tube(tube, along=part * tube.length, clock=clock, conduit_od=5)
    assert along_of(tube, point) == pytest.approx(part * tube.length, abs=1e-9)


@quick
@given(tubes(), clocks, st.floats(-3, 3))
def test_turning_the_machine_about_the_vertical_turns_the_point(tube, clock, turn):
    upright = np.hypot(*tube.axis[:2])
    if upright < 0.1:  # there the clock starts from forward, which does not turn with the tube
        return
    c, s = np.cos(turn), np.sin(turn)
    about_z = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    turned = Tube("rail", about_z @ tube.start, about_z @ tube.end, tube.diameter)
    want = about_z @ point_on_tube(tube, along=0, clock=clock)
    np.testing.assert_allclose(point_on_tube(turned, along=0, clock=clock), want, atol=1e-8)


@pytest.mark.parametrize(
    ("given", "degrees"),
    [
        ("3 o'clock", 90),
        ("3 o’clock", 90),
        ("12 o'clock", 0),
        ("3:30", 105),
        ("12:30", 15),
        ("7:15 O'Clock", 217.5),
        ("105 deg", 105),
        ("-15°", 345),
        (90, 90),
        (-90.5, 269.5),
        (360, 0),
    ],
)
def test_parse_clock(given, degrees):
    assert parse_clock(given) == pytest.approx(degrees)


@pytest.mark.parametrize(
    "given", ["3", "", "13:00", "3:60", "noon", "400 deg", 361, float("nan"), True]
)
def test_parse_clock_refuses_what_is_no_clock(given):
    with pytest.raises(TapeError, match="clock"):
        parse_clock(given)


@pytest.mark.parametrize("along", [-0.1, 500.1, float("nan")])
def test_along_off_the_tube_is_refused_with_its_length(along):
    with pytest.raises(GeometryError, match=r'tube "rail": along .* length 500\.0 mm'):
        point_on_tube(tube_along(500, 0, 0), along=[100, along], clock=0)


def test_along_may_miss_the_end_by_rounding():
    got = point_on_tube(tube_along(500, 0, 0), along=500 + 9e-7, clock=0)
    np.testing.assert_allclose(got, [500, 0, 20], atol=1e-6)


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"end": np.zeros(3)}, "ends must be apart"),
        ({"diameter": 0}, "diameter must be greater than 0 mm"),
        ({"diameter": float("nan")}, "diameter"),
        ({"end": [1, 2]}, "end: expected three finite numbers"),
        ({"start": [0, 0, float("inf")]}, "start: expected three finite numbers"),
    ],
)
def test_a_tube_that_is_none_is_refused(change, match):
    with pytest.raises(GeometryError, match=match):
        Tube(**({"name": "rail", "start": [0, 0, 0], "end": [500, 0, 0], "diameter": 38} | change))


@pytest.mark.parametrize(
    ("change", "match"), [({"clock": float("nan")}, "clock"), ({"conduit_od": -1}, "conduit_od")]
)
def test_a_placing_that_is_none_is_refused(change, match):
    with pytest.raises(GeometryError, match=match):
        point_on_tube(tube_along(500, 0, 0), **({"along": 1, "clock": 0} | change))


def test_along_of_wants_three_coordinates():
    with pytest.raises(GeometryError, match=r"shape \(\.\.\., 3\), got \(2,\)"):
        along_of(tube_along(500, 0, 0), [1, 2])
