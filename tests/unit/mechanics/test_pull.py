"""The pull at the hand, weightless and with the core's weight."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.mechanics.pull import pull_force, pull_forces
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route

ELBOW = [[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 300.0, 0.0]]

quick = settings(max_examples=30)
generators = st.integers(0, 2**32 - 1).map(np.random.default_rng)


def random_route(rng: np.random.Generator, *shape: int) -> Route:
    steps = rng.normal(size=(*shape, 6, 3)) * rng.uniform(50, 400, (*shape, 6, 1))
    return fit_arcs(np.cumsum(steps, axis=-2), min_bend_radius=50)


# -- weightless ----------------------------------------------------------------------------


@quick
@given(rng=generators, friction=st.floats(0.0, 0.4))
def test_efficiency_is_the_wraps_alone(rng: np.random.Generator, friction: float) -> None:
    route = random_route(rng)
    hand = pull_force(route, load=100.0, friction=friction)

    assert 100.0 / hand == pytest.approx(np.exp(-friction * route.wrap), rel=1e-12)


def test_efficiency_falls_as_wrap_grows() -> None:
    turns = np.radians([5.0, 30.0, 60.0, 90.0, 120.0, 150.0])
    far = np.stack((np.cos(turns), np.sin(turns), 0.0 * turns), axis=-1)
    points = np.stack((np.tile([-1.0, 0, 0], (6, 1)), np.zeros((6, 3)), far), axis=1) * 500
    hand = pull_force(fit_arcs(points, min_bend_radius=50), load=100.0, friction=0.15)

    assert (np.diff(hand) > 0.0).all()


@quick
@given(rng=generators)
def test_no_friction_no_loss(rng: np.random.Generator) -> None:
    assert pull_force(random_route(rng), load=60.0, friction=0.0) == 60.0


def test_load_friction_and_routes_broadcast() -> None:
    batch = random_route(np.random.default_rng(3), 4)
    hand = pull_force(batch, load=np.array([[10.0], [20.0]]), friction=0.1)

    assert hand.shape == (2, 4)
    np.testing.assert_allclose(hand[1], 2 * hand[0])
    assert isinstance(pull_force(fit_arcs(ELBOW, min_bend_radius=9), load=1, friction=0), float)


# -- with weight ---------------------------------------------------------------------------


@quick
@given(rng=generators, weight=st.floats(1e-6, 1e-2))
def test_without_friction_weight_costs_the_climb(rng: np.random.Generator, weight: float) -> None:
    route = random_route(rng)
    climb = route.points[0, 2] - route.points[-1, 2]

    hand = pull_force(route, load=100.0, friction=0.0, weight=weight)

    assert hand == pytest.approx(100.0 + weight * climb, rel=3e-8)  # the rule's own error


@quick
@given(rng=generators, friction=st.floats(0.0, 0.4))
def test_a_weight_of_next_to_nothing_is_the_capstan(
    rng: np.random.Generator, friction: float
) -> None:
    route = random_route(rng)
    heavy = pull_force(route, load=50.0, friction=friction, weight=1e-13)

    assert heavy == pytest.approx(pull_force(route, load=50.0, friction=friction), rel=3e-8)


def test_a_slope_adds_its_sine_and_its_cosine() -> None:
    """300 along and 400 up to the hand, w 0.01 N/mm: wL(sin + mu cos) = 5 (0.8 + 0.2 * 0.6)."""
    route = fit_arcs([[300, 0, 400], [0, 0, 0]], min_bend_radius=50)

    assert pull_force(route, load=7, friction=0.2, weight=0.01) == pytest.approx(7 + 4.6)


def test_downhill_the_weight_helps() -> None:
    route = fit_arcs([[0, 0, 0], [300, 0, 400]], min_bend_radius=50)

    assert pull_force(route, load=7, friction=0.2, weight=0.01) == pytest.approx(7 - 4.0 + 0.6)


def test_direction_of_pull_matters_once_there_is_weight() -> None:
    points = np.array([[0, 0, 0], [2000, 0, 0], [2000, 300, 0]])
    there = fit_arcs(points, min_bend_radius=100)
    back = fit_arcs(points[::-1], min_bend_radius=100)
    long_way_last = pull_force(there, load=5, friction=0.3, weight=0.01)
    long_way_first = pull_force(back, load=5, friction=0.3, weight=0.01)

    assert long_way_first > long_way_last + 1.0


@quick
@given(rng=generators)
def test_a_batch_is_its_routes_one_by_one(rng: np.random.Generator) -> None:
    batch = random_route(rng, 2, 3)
    loads = rng.uniform(20.0, 100.0, (2, 3))
    for weight in (0.0, 1e-3):
        hand = pull_force(batch, load=loads, friction=0.15, weight=weight)
        assert hand.shape == (2, 3)
        for i in np.ndindex(2, 3):
            single = fit_arcs(batch.points[i], min_bend_radius=50)
            alone = pull_force(single, load=loads[i], friction=0.15, weight=weight)
            assert hand[i] == pytest.approx(alone, rel=1e-12)


def test_tensions_at_the_joints_run_from_the_hand_to_the_load() -> None:
    route = fit_arcs(ELBOW, min_bend_radius=100)
    forces = pull_forces(route, load=100.0, friction=0.12, weight=0.0)

    assert forces.shape == (4,)
    bend = 100.0 * np.exp(0.12 * np.pi / 2)
    np.testing.assert_allclose(forces, [bend, bend, 100.0, 100.0], rtol=1e-9)


@pytest.mark.parametrize(
    ("wrong", "name"),
    [({"load": -1.0}, "load"), ({"friction": -0.1}, "friction"), ({"weight": np.nan}, "weight")],
)
def test_what_cannot_be_is_refused(wrong: dict[str, float], name: str) -> None:
    route = fit_arcs(ELBOW, min_bend_radius=100)

    with pytest.raises(CableRouteError, match=f"^{name}: expected"):
        pull_force(route, **{"load": 1.0, "friction": 0.1, "weight": 0.0, **wrong})
