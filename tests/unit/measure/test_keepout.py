"""Distances from boxes, balls and bars against points sampled on their surfaces."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from cableroute.measure.keepout import Box, Capsule

BOX = Box(np.array([0.0, 0.0, 0.0]), np.array([100.0, 60.0, 40.0]))
BAR = Capsule(np.array([0.0, 0.0, 0.0]), np.array([200.0, 0.0, 0.0]), 30.0)
BALL = Capsule(np.array([10.0, 20.0, 30.0]), np.array([10.0, 20.0, 30.0]), 30.0)

places = st.lists(st.floats(-300.0, 300.0), min_size=3, max_size=3).map(np.array)
few = settings(max_examples=30)


def box_surface(n: int = 41) -> np.ndarray:
    """Points all over the faces of the box."""
    share = np.linspace(0.0, 1.0, n)
    u, v = (grid.ravel() for grid in np.meshgrid(share, share))
    faces = []
    for axis in range(3):
        for end in (0.0, 1.0):
            face = np.empty((n * n, 3))
            face[:, axis] = end
            face[:, axis - 2], face[:, axis - 1] = u, v
            faces.append(face)
    return BOX.low + np.vstack(faces) * (BOX.high - BOX.low)


SURFACE = box_surface()


@pytest.mark.parametrize(
    ("point", "expected"),
    [
        ([50, 30, 50], 10.0),  # over a face
        ([103, 64, 20], 5.0),  # off an edge
        ([102, 63, 46], 7.0),  # off a corner
        ([50, 30, 40], 0.0),  # on the surface
        ([50, 30, 35], -5.0),  # inside, nearest to the top
        ([3, 30, 20], -3.0),  # inside, nearest to an end
    ],
)
def test_box(point, expected):
    assert BOX.distance(np.array(point, dtype=float)) == pytest.approx(expected, abs=1e-12)


@few
@given(places)
def test_box_agrees_with_its_surface(point):
    nearest = np.linalg.norm(SURFACE - point, axis=1).min()
    inside = bool(np.all((point > BOX.low) & (point < BOX.high)))
    assert BOX.distance(point) == pytest.approx(-nearest if inside else nearest, abs=2.0)


@pytest.mark.parametrize(
    ("point", "expected"),
    [
        ([100, 0, 50], 20.0),  # abreast
        ([240, 0, 0], 10.0),  # beyond the round end
        ([-30, 40, 0], 20.0),  # beyond the other, off the axis
        ([100, 0, 0], -30.0),  # on the axis
        ([100, 10, 0], -20.0),
    ],
)
def test_capsule(point, expected):
    assert BAR.distance(np.array(point, dtype=float)) == pytest.approx(expected, abs=1e-12)


def test_sphere_is_a_bar_without_length():
    points = np.array([[10, 20, 70], [10, 20, 30], [40, 20, 30]], dtype=float)
    assert BALL.distance(points) == pytest.approx([10.0, -30.0, 0.0], abs=1e-12)


@few
@given(places, places, places, st.integers(0, 1000))
def test_capsule_moves_with_its_surroundings(start, end, point, seed):
    turn = Rotation.random(random_state=seed)
    shift = np.array([5.0, -7.0, 11.0])
    here = Capsule(start, end, 12.0).distance(point)
    moved = Capsule(turn.apply(start) + shift, turn.apply(end) + shift, 12.0)
    assert moved.distance(turn.apply(point) + shift) == pytest.approx(here, abs=1e-9)


@few
@given(places, places)
def test_distance_changes_no_faster_than_the_place(one, other):
    for shape in (BOX, BAR, BALL):
        change = abs(shape.distance(one) - shape.distance(other))
        assert change <= np.linalg.norm(one - other) + 1e-9


@pytest.mark.parametrize("shape", [BOX, BAR, BALL])
def test_many_points_at_once(shape):
    points = np.random.default_rng(1).uniform(-200, 200, (4, 5, 3))
    each = [[shape.distance(point) for point in row] for row in points]
    assert shape.distance(points) == pytest.approx(np.array(each), abs=1e-12)
