import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from cableroute.errors import GeometryError
from cableroute.linkage.arms import Arm
from cableroute.linkage.slide import Slide

numbers = st.floats(-1, 1)
vectors = st.tuples(numbers, numbers, numbers).filter(lambda v: np.linalg.norm(v) > 0.2)


def arm_of(axis, lean, radius, pivot=(10, -20, 30)):
    axis = np.array(axis) / np.linalg.norm(axis)
    lean = np.array(lean) - axis * np.dot(axis, lean)
    return Arm(pivot=pivot, axis=axis, neutral=lean, radius=radius)


@settings(max_examples=40)
@given(vectors, vectors, st.floats(5, 200), vectors, st.floats(-3, 3))
def test_solving_an_arm_gives_back_the_angle(axis, lean, radius, away, angle):
    if np.linalg.norm(np.cross(axis, lean)) < 0.05:
        return
    arm = arm_of(axis, lean, radius)
    target = arm.pivot + 400 * np.array(away)
    if np.linalg.norm(np.cross(arm.axis, target - arm.pivot)) < 1:
        return
    rod = arm.at(angle) - target
    leverage = np.dot(rod, arm.rate(angle)) / np.linalg.norm(rod) / radius
    if abs(leverage) < 1e-3:
        return
    reach = arm.solve(target, np.linalg.norm(rod), np.sign(leverage))
    assert reach.shortfall == 0
    assert reach.coordinate == pytest.approx(angle, abs=1e-7)


def test_an_arm_is_solved_as_an_independent_root_finder_does():
    arm = arm_of((0.2, 1, 0.1), (0.3, 0.1, 1), 55.0)
    target = np.array([-300.0, 40.0, 60.0])

    def distance(q):
        return np.linalg.norm(arm.at(q) - target)

    phase = arm.stationary(target)[0]
    for length in (distance(phase) - 20, distance(phase) - 70):
        for side, bracket in ((1, (phase - np.pi, phase)), (-1, (phase, phase + np.pi))):
            root = brentq(lambda q, want=length: distance(q) - want, *bracket, xtol=1e-13)
            got = arm.solve(target, length, side).coordinate
            assert np.cos(got - root) == pytest.approx(1, abs=1e-14)
            assert distance(got) == pytest.approx(length, abs=1e-10)


def test_rates_are_derivatives():
    q, h = np.linspace(-2, 2, 7), 1e-6
    for member in (
        arm_of((0, 1, 0.3), (1, 0, 0), 80),
        Slide(origin=(1, 2, 3), direction=(1, 2, -1)),
    ):
        numeric = (member.at(q + h) - member.at(q - h)) / (2 * h)
        np.testing.assert_allclose(member.rate(q), numeric, atol=1e-6)
        np.testing.assert_allclose(np.linalg.norm(member.rate(q), axis=-1), member.speed)


def test_any_leading_axes():
    arm = arm_of((0, 1, 0), (0, 0, 1), 50)
    assert arm.at(0.3).shape == (3,)
    assert arm.at(np.zeros((2, 5))).shape == (2, 5, 3)
    targets = np.full((2, 5, 3), 200.0)
    assert arm.solve(targets, np.full((2, 5), 330.0), 1.0).coordinate.shape == (2, 5)


@pytest.mark.parametrize(("length", "shortfall"), [(260.0, 10.0), (130.0, -20.0)])
def test_a_rod_that_cannot_meet_the_arm_says_by_how_much(length, shortfall):
    arm = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=50)
    reach = arm.solve(np.array([-200.0, 0, 0]), length, 1)
    assert np.isnan(reach.coordinate)
    assert reach.shortfall == pytest.approx(shortfall)


def test_the_stationary_angles_are_the_farthest_and_the_nearest():
    arm = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=50)
    far, near = arm.stationary(np.array([-200.0, 0, 0]))
    np.testing.assert_allclose(arm.at(far), [50, 0, 0], atol=1e-9)
    np.testing.assert_allclose(arm.at(near), [-50, 0, 0], atol=1e-9)


def test_exactly_at_a_dead_centre_it_still_closes():
    arm = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=50)
    reach = arm.solve(np.array([-200.0, 0, 0]), 250.0 * (1 + 1e-13), 1)
    assert reach.coordinate == pytest.approx(np.pi / 2, abs=1e-6)


def test_a_rod_on_the_axis_turns_nothing():
    arm = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=50)
    with pytest.raises(GeometryError, match="expected the rod's other end off the arm's axis"):
        arm.solve(np.array([0.0, 90.0, 0.0]), 100.0, 1)


def test_a_slide_by_pythagoras():
    slide = Slide(origin=(0, 0, 0), direction=(1, 0, 0))
    target = np.array([10.0, 3.0, 4.0])
    assert slide.solve(target, 13.0, 1).coordinate == pytest.approx(22)
    assert slide.solve(target, 13.0, -1).coordinate == pytest.approx(-2)
    assert slide.stationary(target) == pytest.approx([10])
    short = slide.solve(target, 4.0, 1)
    assert np.isnan(short.coordinate)
    assert short.shortfall == pytest.approx(-1)


def test_tilt_is_out_of_the_plane_of_an_arm_and_off_the_line_of_a_slide():
    rod = np.array([np.cos(0.2), np.sin(0.2), 0])
    arm = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=50)
    assert arm.tilt(rod) == pytest.approx(0.2)
    assert Slide(origin=(0, 0, 0), direction=(-1, 0, 0)).tilt(rod) == pytest.approx(0.2)


def test_through_finds_foot_and_radius():
    arm = Arm.through(pivot=(5, 0, 0), axis=(0, 2, 0), attachment=(5 + 3, 17, 4))
    np.testing.assert_allclose(arm.pivot, [5, 17, 0])
    assert arm.radius == pytest.approx(5)
    np.testing.assert_allclose(arm.at(0.0), [8, 17, 4])


def test_an_arm_a_little_off_square_is_squared_and_one_far_off_is_refused():
    lean = (0, np.sin(np.radians(0.9)), np.cos(np.radians(0.9)))
    arm = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=lean, radius=1)
    assert np.dot(arm.axis, arm.neutral) == pytest.approx(0, abs=1e-15)
    with pytest.raises(GeometryError, match=r"square to the axis within 1 degree, got 85\.0"):
        Arm(
            pivot=(0, 0, 0),
            axis=(0, 1, 0),
            neutral=(0, np.sin(np.radians(5)), np.cos(np.radians(5))),
            radius=1,
        )


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"radius": 0}, "arm radius: expected a number above 0, got 0"),
        ({"radius": np.nan}, "arm radius"),
        ({"axis": (0, 0, 0)}, "arm axis: expected a direction"),
        ({"pivot": (0, 0)}, "arm pivot: expected three finite numbers"),
        ({"neutral": (0, 1, 0)}, "square to the axis"),
    ],
)
def test_bad_arms(change, message):
    good = {"pivot": (0, 0, 0), "axis": (0, 1, 0), "neutral": (0, 0, 1), "radius": 50}
    with pytest.raises(GeometryError, match=message):
        Arm(**good | change)
    with pytest.raises(GeometryError, match="zero vector"):
        Arm.through(pivot=(0, 0, 0), axis=(0, 1, 0), attachment=(0, 8, 0))
