"""The push at the hand: capstan below the snaking onset, lock-up beyond."""

from __future__ import annotations

from math import inf, pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.mechanics.pull import pull_force
from cableroute.mechanics.push import push_force, push_forces, snaking_onset
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route

HALF_TURN = [[0, 0, 0], [150, 0, 0], [150, 300, 0], [0, 300, 0]]  # R = 150, no straights
SOFT = {"friction": 0.12, "bending_stiffness": 7850.0, "clearance": 1.0}

quick = settings(max_examples=30)
generators = st.integers(0, 2**32 - 1).map(np.random.default_rng)


def random_route(rng: np.random.Generator, *shape: int) -> Route:
    steps = rng.normal(size=(*shape, 6, 3)) * rng.uniform(50, 400, (*shape, 6, 1))
    return fit_arcs(np.cumsum(steps, axis=-2), min_bend_radius=50)


@pytest.fixture(name="half_turn")
def bend_only() -> Route:
    return fit_arcs(HALF_TURN, min_bend_radius=150)


# -- the onset -----------------------------------------------------------------------------


def test_onset_falls_with_radius_and_radial_clearance() -> None:
    onset = snaking_onset([100.0, 200.0], bending_stiffness=1000.0, clearance=[[0.5], [1.0]])

    np.testing.assert_allclose(onset, [[160, 80], [80, 40]])


def test_onset_at_its_ends() -> None:
    assert snaking_onset(100.0, bending_stiffness=1000.0, clearance=0.0) == inf
    assert snaking_onset(inf, bending_stiffness=1000.0, clearance=1.0) == 0.0
    with pytest.raises(CableRouteError, match="clearance: expected"):
        snaking_onset(100.0, bending_stiffness=1000.0, clearance=-1.0)


# -- bends ---------------------------------------------------------------------------------


def test_below_the_onset_push_costs_what_pull_costs(half_turn: Route) -> None:
    onset = snaking_onset(150.0, bending_stiffness=7850.0, clearance=1.0)
    load = 0.99 * onset * np.exp(-0.12 * pi)

    hand = push_force(half_turn, load=load, **SOFT)

    assert hand == pytest.approx(pull_force(half_turn, load=load, friction=0.12), rel=1e-12)


def test_above_the_onset_the_bend_is_as_bad_as_a_straight_of_its_length(half_turn: Route) -> None:
    straight = fit_arcs([[0, 0, 0], [0, 0, 150 * pi]], min_bend_radius=150)

    bend = push_force(half_turn, load=600.0, **SOFT)

    assert bend == pytest.approx(push_force(straight, load=600.0, **SOFT), rel=1e-12)
    assert bend > pull_force(half_turn, load=600.0, friction=0.12)


def test_crossing_the_onset_leaves_no_step(half_turn: Route) -> None:
    """As the load grows, the crossing moves through the bend from the hand to the far end."""
    onset = float(snaking_onset(150.0, bending_stiffness=7850.0, clearance=1.0))
    loads = np.linspace(onset * np.exp(-0.12 * pi) - 5.0, onset + 5.0, 400)
    hand = push_force(half_turn, load=loads, **SOFT)
    slope = np.diff(hand) / np.diff(loads)

    assert (slope > 0.0).all()
    assert (np.diff(slope) > -1e-9).all()
    assert (np.diff(slope) < 0.02).all()


# -- straights and lock-up -----------------------------------------------------------------


def test_the_pole_is_lock_up_not_a_negative_force() -> None:
    route = fit_arcs([[0, 0, 0], [2000, 0, 0]], min_bend_radius=100)
    ceiling = 4 * 7850.0 / (0.12 * 0.5 * 2000.0)

    hand = push_force(route, load=ceiling * np.array([0.5, 1 - 1e-9, 1 + 1e-9, 2, 100]), **SOFT)

    assert hand[0] == pytest.approx(2 * 0.5 * ceiling)
    assert ceiling * 1e6 < hand[1] < inf
    assert (hand[2:] == inf).all()


def test_a_core_locked_in_one_straight_stays_locked_to_the_hand() -> None:
    route = fit_arcs([[0, 0, 0], [300, 0, 0], [300, 5000, 0]], min_bend_radius=100)
    forces = push_forces(route, load=200.0, **SOFT)

    assert forces.tolist() == [inf, inf, inf, 200.0]
    assert push_force(route, load=200.0, **SOFT) == inf


@quick
@given(rng=generators)
def test_more_load_needs_more_push_and_never_less_than_the_capstan(
    rng: np.random.Generator,
) -> None:
    route = random_route(rng)
    loads = np.linspace(1.0, 400.0, 60)
    hand = push_force(route, load=loads, **SOFT)
    free = np.isfinite(hand)

    assert (np.diff(hand[free]) > 0.0).all()
    assert not free[np.argmin(free) :].any() or free.all()  # once locked, locked for good
    assert (hand >= pull_force(route, load=loads, friction=0.12) * (1 - 1e-12)).all()


# -- limits --------------------------------------------------------------------------------


@quick
@given(rng=generators)
def test_no_friction_no_loss(rng: np.random.Generator) -> None:
    hand = push_force(
        random_route(rng), load=80.0, friction=0.0, bending_stiffness=1e3, clearance=2.0
    )

    assert hand == pytest.approx(80.0, rel=1e-14)


@quick
@given(rng=generators)
def test_no_clearance_is_the_capstan(rng: np.random.Generator) -> None:
    route = random_route(rng)
    hand = push_force(route, load=80.0, friction=0.2, bending_stiffness=1e3, clearance=0.0)

    assert hand == pytest.approx(pull_force(route, load=80.0, friction=0.2), rel=1e-12)


def test_no_load_no_push(half_turn: Route) -> None:
    assert push_force(half_turn, load=0.0, **SOFT) == 0.0


@quick
@given(rng=generators)
def test_a_batch_is_its_routes_one_by_one(rng: np.random.Generator) -> None:
    batch = random_route(rng, 2, 3)
    loads = rng.uniform(1.0, 200.0, (2, 3))
    hand = push_force(batch, load=loads, **SOFT)

    assert hand.shape == (2, 3)
    for i in np.ndindex(2, 3):
        single = fit_arcs(batch.points[i], min_bend_radius=50)
        alone = push_force(single, load=loads[i], **SOFT)
        assert isinstance(alone, float)
        assert hand[i] == pytest.approx(alone, rel=1e-10)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"load": -1.0}, "load: expected"),
        ({"friction": -0.1}, "friction: expected"),
        ({"clearance": np.nan}, "clearance: expected"),
        ({"bending_stiffness": 0.0}, r"bending stiffness: expected N\*mm\^2 above 0, got 0.0"),
        ({"bending_stiffness": np.inf}, "bending stiffness: expected"),
    ],
)
def test_what_cannot_be_is_refused(half_turn: Route, wrong: dict[str, float], message: str) -> None:
    with pytest.raises(CableRouteError, match=message):
        push_force(half_turn, **{"load": 10.0, **SOFT, **wrong})


def test_a_wrap_that_passes_all_numbers_locks_up():
    turns = np.array([[10.0 * i, 4.0 * (i % 2), 0.0] for i in range(2000)])
    route = fit_arcs(turns, min_bend_radius=2.0)
    assert route.wrap * 0.5 > 600.0
    forces = push_forces(
        route, load=40.0, friction=[0.0, 0.5], bending_stiffness=1e9, clearance=0.1
    )
    assert np.isfinite(forces[0]).all()
    assert np.isinf(forces[1, 0])
