import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from cableroute.errors import GeometryError
from cableroute.linkage import vectors


def test_turned_is_the_right_hand_rotation():
    rng = np.random.default_rng(1)
    axis = rng.normal(size=3)
    axis /= np.linalg.norm(axis)
    vector = rng.normal(size=(5, 3))
    angle = rng.uniform(-4, 4, size=5)
    expected = np.stack(
        [Rotation.from_rotvec(q * axis).apply(v) for q, v in zip(angle, vector, strict=True)]
    )
    np.testing.assert_allclose(vectors.turned(vector, axis, angle), expected, atol=1e-12)


def test_wrapped_keeps_the_angle_within_half_a_turn():
    q = np.array([-7.0, -3.0, 0.0, 3.0, 7.0])
    got = vectors.wrapped(q)
    assert np.all((got >= -np.pi) & (got < np.pi))
    np.testing.assert_allclose(np.exp(1j * got), np.exp(1j * q))


@pytest.mark.parametrize("value", [(1, 2), (1, 2, np.nan), "abc", (1, 2, np.inf), None])
def test_a_point_is_three_finite_numbers(value):
    with pytest.raises(GeometryError, match="pin: expected three finite numbers, got"):
        vectors.check_point(value, "pin")


def test_a_direction_is_not_zero():
    with pytest.raises(GeometryError, match="axis: expected a direction, got the zero vector"):
        vectors.check_direction((0, 0, 0), "axis")


@pytest.mark.parametrize("value", [0, -1, np.nan, np.inf])
def test_positive(value):
    with pytest.raises(GeometryError, match="radius: expected a number above 0, got"):
        vectors.check_positive(value, "radius")


@pytest.mark.parametrize("value", [-1e-9, np.nan, np.inf])
def test_not_negative(value):
    with pytest.raises(GeometryError, match="play: expected 0 or more, got"):
        vectors.check_not_negative(value, "play")


@pytest.mark.parametrize("span", [(1, 1), (2, 1), (np.nan, 1), (0, np.inf)])
def test_span(span):
    with pytest.raises(GeometryError, match="range: expected low below high"):
        vectors.check_span(*span, "range")


def test_checked_vectors_cannot_be_written_to():
    with pytest.raises(ValueError, match="read-only"):
        vectors.check_direction((1, 0, 0), "axis")[0] = 2
