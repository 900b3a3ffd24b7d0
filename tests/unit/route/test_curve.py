"""A smooth curve as a route of small arcs: against a circle, a helix and a straight."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import GeometryError
from cableroute.route.curve import route_along


def circle(steps: int, *, radius: float = 200.0, turn: float = np.pi) -> np.ndarray:
    angle = np.linspace(0.0, turn, steps + 1)
    return radius * np.stack([np.sin(angle), 1.0 - np.cos(angle), 0.0 * angle], axis=-1)


@pytest.mark.parametrize("steps", [20, 40, 80])
def test_a_circle_keeps_its_radius_everywhere(steps: int) -> None:
    route = route_along(circle(steps))
    assert route.fits
    half = np.pi / steps / 2.0  # half the turn of each chord: the arc touches the chords' middles
    assert route.radii == pytest.approx(200.0 * np.cos(half), rel=1e-9)


def test_length_and_wrap_close_in_by_the_square_of_the_spacing() -> None:
    # of the first and last half chord the turn is missing
    coarse, fine = route_along(circle(20)), route_along(circle(40))
    short = [float(200.0 * np.pi - route.length) for route in (coarse, fine)]
    assert 0.0 < short[1] < short[0] < 2.0
    assert short[0] / short[1] == pytest.approx(4.0, rel=0.05)
    missing = [float(np.pi - route.wrap) for route in (coarse, fine)]
    assert missing == pytest.approx([np.pi / 20, np.pi / 40])


def test_a_helix_turns_by_its_curvature() -> None:
    angle = np.linspace(0.0, 2.0 * np.pi, 401)
    helix = np.stack([100.0 * np.cos(angle), 100.0 * np.sin(angle), 40.0 * angle], axis=-1)
    route = route_along(helix)
    rise = np.hypot(100.0, 40.0)
    assert float(route.length) == pytest.approx(2.0 * np.pi * rise, rel=1e-4)
    assert float(route.min_radius) == pytest.approx(rise**2 / 100.0, rel=1e-3)


def test_it_follows_the_places_and_lies_between_them() -> None:
    places = circle(40)
    route = route_along(places)
    along = route.point(np.linspace(0.0, float(route.length), 999))
    middle = np.array([0.0, 200.0, 0.0])
    off = np.abs(np.linalg.norm(along - middle, axis=-1) - 200.0)
    assert off.max() < 0.2
    assert along[[0, -1]] == pytest.approx(places[[0, -1]])


def test_a_straight_has_no_bend_and_a_place_told_twice_counts_once() -> None:
    straight = np.linspace([0.0, 0, 0], [500.0, 0, 0], 6)
    twice = np.repeat(straight, 2, axis=0)
    for places in (straight, twice, straight[[0, -1]]):
        route = route_along(places)
        assert float(route.length) == pytest.approx(500.0)
        assert float(route.wrap) == pytest.approx(0.0, abs=1e-9)


def test_one_place_is_refused() -> None:
    with pytest.raises(GeometryError, match="two distinct"):
        route_along(np.zeros((4, 3)))


def test_with_its_tangents_a_circle_keeps_length_turn_and_radius() -> None:
    """Clamped at both ends, too, where half a step of turn would be missing without them."""
    angle = np.append(np.linspace(0.0, 1.0, 9), np.linspace(1.0, np.pi, 12))  # one place twice
    places = 200.0 * np.stack([np.sin(angle), 1.0 - np.cos(angle), 0.0 * angle], axis=-1)
    ways = np.stack([np.cos(angle), np.sin(angle), 0.0 * angle], axis=-1)
    route = route_along(places, ways=ways)
    assert route.fits
    assert float(route.wrap) == pytest.approx(np.pi, rel=1e-9)
    assert float(route.length) == pytest.approx(200.0 * np.pi, rel=1e-6)
    assert route.radii == pytest.approx(200.0, rel=1e-6)
    assert route.tangent(np.array([0.0, float(route.length)])) == pytest.approx(ways[[0, -1]])
