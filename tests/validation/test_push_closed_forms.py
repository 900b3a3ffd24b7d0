"""Push through a conduit after Lubinski (1962) and Mitchell (1986), both from memory.

The closed forms are the standard ones; the numbers are our own, found by integrating the law of
wall force apart from this package. No published numeric example was available.
"""

from __future__ import annotations

from math import inf, pi

import pytest

from cableroute.mechanics.push import push_force, snaking_onset
from cableroute.route.fillet import fit_arcs

SOLID_2 = 200e3 * pi * 2.0**4 / 64  # N mm^2
SOLID_3 = 200e3 * pi * 3.0**4 / 64


def push_on_a_straight(length: float, load: float) -> float:
    route = fit_arcs([[0, 0, 0], [0, 0, length]], min_bend_radius=100)
    force = push_force(
        route, load=load, friction=0.15, bending_stiffness=SOLID_2, clearance=2 * 0.5
    )
    return float(force)


@pytest.mark.parametrize(
    ("length", "hand", "far"),
    [(2000.0, 200.0, 190.886), (2000.0, 500.0, 446.681), (5000.0, 500.0, 385.085)],
)
def test_snaking_on_a_straight(length: float, hand: float, far: float) -> None:
    assert push_on_a_straight(length, far) == pytest.approx(hand, rel=2e-6)


@pytest.mark.parametrize(("length", "ceiling"), [(2000.0, 4188.8), (5000.0, 1675.5)])
def test_lock_up_on_a_straight(length: float, ceiling: float) -> None:
    assert push_on_a_straight(length, ceiling - 0.06) < inf
    assert push_on_a_straight(length, ceiling + 0.06) == inf


@pytest.mark.parametrize(
    ("stiffness", "radius", "clearance", "onset"),
    [
        (SOLID_2, 150.0, 0.5, 16755.2),
        (SOLID_2, 150.0, 1.0, 8377.6),
        (SOLID_3, 200.0, 1.0, 31808.6),
        (7850.0, 150.0, 1.0, 418.667),
    ],
)
def test_onset_of_snaking_in_a_bend(
    stiffness: float, radius: float, clearance: float, onset: float
) -> None:
    found = snaking_onset(radius, bending_stiffness=stiffness, clearance=clearance)

    assert found == pytest.approx(onset, rel=4e-6)


def test_half_turn_that_starts_above_the_onset() -> None:
    """1000 N at the hand leaves 526.189 N; the onset, 418.667 N, is not reached within the bend."""
    points = [[0, 0, 0], [150, 0, 0], [150, 300, 0], [0, 300, 0]]
    route = fit_arcs(points, min_bend_radius=150)
    hand = push_force(route, load=526.189, friction=0.12, bending_stiffness=7850.0, clearance=1.0)

    assert route.wrap == pytest.approx(pi)
    assert hand == pytest.approx(1000, rel=2e-6)
