"""Travel lost while pushing, against integration of the law of wall force and at its limits."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from cableroute.errors import CableRouteError
from cableroute.mechanics.lost_motion import pull_integral
from cableroute.mechanics.push import push_force, push_forces, snaking_onset
from cableroute.mechanics.push_travel import push_travel
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route

SOFT = {"friction": 0.12, "bending_stiffness": 7850.0, "clearance": 1.0}
EA = 1.0e5

quick = settings(max_examples=30)
generators = st.integers(0, 2**32 - 1).map(np.random.default_rng)


def random_route(rng: np.random.Generator, *shape: int) -> Route:
    steps = rng.normal(size=(*shape, 5, 3)) * rng.uniform(50, 300, (*shape, 5, 1))
    return fit_arcs(np.cumsum(steps, axis=-2), min_bend_radius=150)


def integrated(
    route: Route, *, load: float, friction: float, bending_stiffness: float, clearance: float
) -> tuple[float, float, float]:
    """Push at the hand, its integral and the snaking, from far end to hand, by a general solver.

    A bend that the core starts to snake in is stopped and taken up again there.
    """
    k = 0.5 * clearance / (4.0 * bending_stiffness)
    state = np.array([load, 0.0, 0.0])
    for piece in reversed(route.pieces):
        onset = piece.curvature / k

        def rates(_, x, onset=onset, bend=piece.curvature):
            snakes = x[0] >= onset
            wall = k * x[0] ** 2 if snakes else bend * x[0]
            return [friction * wall, x[0], 0.5 * clearance * k * x[0] * snakes]

        def reached(_, x, onset=onset):
            return x[0] - onset

        reached.terminal, reached.direction = True, 1.0
        done = 0.0
        while done < piece.length:
            run = solve_ivp(
                rates, (done, piece.length), state, events=reached, rtol=1e-10, atol=1e-12
            )
            done, state = run.t[-1], run.y[:, -1]
            if run.status == 1:
                state[0] = max(state[0], onset * (1 + 1e-13))
    return tuple(state)


@pytest.mark.parametrize("load", [20.0, 270.0, 600.0])
def test_held_crossing_and_snaking_bends_agree_with_integration(load: float) -> None:
    route = fit_arcs(
        [[0, 0, 0], [150, 0, 0], [150, 400, 0], [400, 400, 60]], min_bend_radius=[140, 100]
    )
    hand, whole, snaking = integrated(route, load=load, **SOFT)
    onset = snaking_onset(route.radii, bending_stiffness=7850.0, clearance=1.0)
    forces = push_forces(route, load=load, **SOFT)
    crossing = (forces[1:-1:2] > onset) & (onset > forces[2::2])

    assert crossing.any() == (load == 270.0)
    assert push_force(route, load=load, **SOFT) == pytest.approx(hand, rel=1e-8)
    lost = push_travel(route, load=load, axial_stiffness=1.0, **SOFT)
    assert lost.stretch == pytest.approx(whole, rel=1e-8)
    assert lost.snaking == pytest.approx(snaking, rel=1e-7)


@settings(max_examples=10)
@given(rng=generators, load=st.floats(5.0, 150.0))
def test_any_route_agrees_with_integration(rng: np.random.Generator, load: float) -> None:
    route = random_route(rng)
    assume(push_force(route, load=load, **SOFT) < 20 * load)

    _, whole, snaking = integrated(route, load=load, **SOFT)

    lost = push_travel(route, load=load, axial_stiffness=1.0, **SOFT)
    assert lost.stretch == pytest.approx(whole, rel=1e-7)
    assert lost.snaking == pytest.approx(snaking, rel=1e-6)


def test_two_metres_of_straight_at_200_newtons() -> None:
    """Our own number with Lubinski's shortening r^2 F L/(4EI): 0.159 mm at an even 200 N."""
    route = fit_arcs([[0, 0, 0], [2000, 0, 0]], min_bend_radius=100)
    cable = {"bending_stiffness": 157079.6, "axial_stiffness": EA, "clearance": 1.0}

    even = push_travel(route, load=200.0, friction=0.0, **cable).snaking
    rising = push_travel(route, load=190.886, friction=0.15, **cable).snaking

    assert even == pytest.approx(0.15915, abs=5e-6)
    assert even * 190.886 / 200.0 < rising < even


def test_a_full_helix_is_that_much_longer_than_its_axis() -> None:
    """Arc length of a helix of pitch^2 = 8 pi^2 EI/F, less its rise, over a metre."""
    force, EI, r = 300.0, 7850.0, 0.5
    pitch = np.sqrt(8 * np.pi**2 * EI / force)
    longer = np.hypot(1.0, 2 * np.pi * r / pitch) - 1.0
    route = fit_arcs([[0, 0, 0], [1000, 0, 0]], min_bend_radius=100)

    cable = {"bending_stiffness": EI, "axial_stiffness": EA, "clearance": 2 * r}

    got = push_travel(route, load=force, friction=0.0, **cable).snaking

    assert got == pytest.approx(1000 * longer, rel=2e-3)


@quick
@given(rng=generators)
def test_no_friction_is_an_even_push(rng: np.random.Generator) -> None:
    route = random_route(rng)
    lost = push_travel(route, load=80.0, axial_stiffness=EA, **{**SOFT, "friction": 0.0})
    onset = snaking_onset(route.radii, bending_stiffness=7850.0, clearance=1.0)
    waves = route.straights.sum() + route.arc_lengths[onset <= 80.0].sum()

    assert lost.stretch == pytest.approx(80.0 * route.length / EA)
    assert lost.snaking == pytest.approx(0.25 / (4 * 7850.0) * 80.0 * waves)


@quick
@given(rng=generators)
def test_no_clearance_is_what_a_pull_stretches(rng: np.random.Generator) -> None:
    route = random_route(rng)
    lost = push_travel(route, load=80.0, axial_stiffness=EA, **{**SOFT, "clearance": 0.0})

    stretch = float(pull_integral(route, load=80.0, friction=0.12)) / EA
    assert lost.stretch == pytest.approx(stretch, rel=1e-12)
    assert lost.snaking == 0.0


@quick
@given(rng=generators)
def test_more_load_or_friction_loses_more(rng: np.random.Generator) -> None:
    route = random_route(rng)
    loads, mus = np.linspace(0.0, 300.0, 40), np.linspace(0.0, 0.4, 20)[:, None]
    cable = {**SOFT, "friction": mus, "axial_stiffness": EA}
    lost = push_travel(route, load=loads, conduit_stiffness=3 * EA, **cable)

    for part in (lost.stretch, lost.conduit, lost.snaking, lost.total):
        for axis in (0, 1):
            more, less = np.moveaxis(part, axis, 0)[1:], np.moveaxis(part, axis, 0)[:-1]
            assert (more >= less * (1 - 1e-12)).all()
    assert not lost.total[:, 0].any()
    np.testing.assert_allclose(lost.conduit, lost.stretch / 3)


def test_crossing_the_onset_leaves_no_step_in_the_integral() -> None:
    route = fit_arcs([[0, 0, 0], [150, 0, 0], [150, 300, 0]], min_bend_radius=150)
    onset = float(snaking_onset(150.0, bending_stiffness=7850.0, clearance=1.0))
    loads = onset * np.exp(-0.12 * np.pi / 2) * np.array([1 - 1e-9, 1 + 1e-9])
    low, high = push_travel(route, load=loads, axial_stiffness=1.0, **SOFT).stretch

    assert high == pytest.approx(low, rel=1e-7)


@pytest.mark.parametrize("rise", [9e-6, 2e-5])
def test_hardly_any_friction_keeps_its_digits(rise: float) -> None:
    """The push rises by this share along a straight, along a bend: half of it on the average."""
    straight = fit_arcs([[0, 0, 0], [1000, 0, 0]], min_bend_radius=100)
    bend = fit_arcs([[0, 0, 0], [150, 0, 0], [150, 150, 0]], min_bend_radius=150)
    soft, stiff = {**SOFT, "friction": 0.628 * rise}, {**SOFT, "friction": rise * 2 / np.pi}

    along = push_travel(
        straight, load=100.0, axial_stiffness=1.0, **soft
    ).stretch  # mu r L F/(4EI) is the rise
    around = push_travel(
        bend, load=100.0, axial_stiffness=1.0, **stiff
    ).stretch  # mu theta is the rise

    assert along / 1e5 - 1.0 == pytest.approx(rise / 2, rel=1e-4)
    assert around / (100.0 * bend.length) - 1.0 == pytest.approx(rise / 2, rel=1e-4)


def test_locked_is_infinite_and_says_so_for_that_route_alone() -> None:
    route = fit_arcs([[0, 0, 0], [300, 0, 0], [300, 5000, 0]], min_bend_radius=100)
    lost = push_travel(
        route, load=[0.0, 10.0, 200.0], axial_stiffness=EA, conduit_stiffness=EA, **SOFT
    )

    assert np.isfinite(lost.total).tolist() == [True, True, False]
    assert lost.stretch[2] == lost.snaking[2] == lost.conduit[2] == inf


def test_one_route_gives_plain_numbers() -> None:
    route = fit_arcs([[0, 0, 0], [300, 0, 0], [300, 500, 0]], min_bend_radius=100)
    lost = push_travel(route, load=50.0, axial_stiffness=EA, **SOFT)

    assert isinstance(lost.stretch, float)
    assert isinstance(lost.snaking, float)
    assert lost.conduit is None
    assert lost.total == lost.stretch + lost.snaking


def test_a_batch_is_its_routes_one_by_one() -> None:
    rng = np.random.default_rng(5)
    batch, loads = random_route(rng, 2, 3), rng.uniform(1.0, 60.0, (2, 3))
    lost = push_travel(batch, load=loads, axial_stiffness=EA, **SOFT)

    for i in np.ndindex(2, 3):
        alone = push_travel(
            fit_arcs(batch.points[i], min_bend_radius=150),
            load=loads[i],
            axial_stiffness=EA,
            **SOFT,
        )
        assert lost.stretch[i] == pytest.approx(alone.stretch, rel=1e-10)
        assert lost.snaking[i] == pytest.approx(alone.snaking, rel=1e-10)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"load": -1.0}, "load: expected"),
        ({"friction": -0.1}, "friction: expected"),
        ({"clearance": -1.0}, "clearance: expected"),
        ({"bending_stiffness": 0.0}, "bending stiffness: expected"),
        ({"axial_stiffness": 0.0}, r"stiffness of the core: expected N above 0, got 0\.0"),
        ({"conduit_stiffness": -2.0}, r"of the conduit: expected N above 0, got -2\.0"),
    ],
)
def test_what_cannot_be_is_refused(wrong: dict[str, float], message: str) -> None:
    route = fit_arcs([[0, 0, 0], [300, 0, 0]], min_bend_radius=100)
    with pytest.raises(CableRouteError, match=message):
        push_travel(route, **{"load": 10.0, "axial_stiffness": EA, **SOFT, **wrong})
