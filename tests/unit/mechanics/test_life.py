"""Stress in pulled and pushed cores, and how long they bear it."""

from __future__ import annotations

from math import inf, pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from cableroute.errors import CableRouteError
from cableroute.mechanics.construction import CONSTRUCTIONS, core_section
from cableroute.mechanics.life import fatigue_band, fatigue_share, sheave_ratio
from cableroute.mechanics.pull import pull_forces
from cableroute.mechanics.push import snaking_onset
from cableroute.mechanics.stress import helix_stress, moment_stress, wire_stress
from cableroute.mechanics.wire import bending_stress
from cableroute.route.fillet import fit_arcs

SOLID = core_section("solid", diameter=2.0, modulus=200e3)
STRAND = core_section("7x7", diameter=2.0, modulus=200e3)

quick = settings(max_examples=30)


# -- pulled --------------------------------------------------------------------------------


def test_each_bend_has_its_own_radius_and_its_own_pull() -> None:
    route = fit_arcs(
        [[0, 0, 0], [500, 0, 0], [500, 500, 0], [900, 500, 0]], min_bend_radius=[300, 200]
    )
    tension = pull_forces(route, load=100.0, friction=0.2, weight=0.0)[..., 1:-1:2]

    got = wire_stress(SOLID, radius=route.radii, tension=tension, modulus=200e3, strength=2000.0)

    np.testing.assert_allclose(got.bending, [200e3 * 2 / 600, 200e3 * 2 / 400])
    np.testing.assert_allclose(got.direct, 100 * np.exp([0.2 * pi, 0.1 * pi]) / pi, rtol=1e-6)
    np.testing.assert_allclose(got.share, (got.bending + got.direct) / 2000.0)


def test_a_batch_is_its_bends_one_by_one() -> None:
    radius = np.array([[100.0, 200.0, inf], [150.0, 80.0, 90.0]])
    tension = np.array([[10.0], [200.0]])
    args = {"modulus": 200e3, "strength": 1600.0}

    batch = wire_stress(STRAND, radius=radius, tension=tension, **args).share

    assert batch.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        one = wire_stress(STRAND, radius=radius[i, j], tension=tension[i, 0], **args)
        assert batch[i, j] == float(one.share)


def test_a_straight_bears_the_pull_alone() -> None:
    stress = wire_stress(SOLID, radius=inf, tension=pi * 100, modulus=200e3, strength=1000.0)

    assert float(stress.bending) == 0.0
    assert float(stress.share) == pytest.approx(0.1)


# -- pushed --------------------------------------------------------------------------------


@pytest.mark.parametrize("construction", CONSTRUCTIONS)
def test_the_moment_of_a_bend_gives_the_stress_of_its_curvature(construction: str) -> None:
    core = core_section(construction, diameter=1.5, modulus=190e3)

    from_moment = moment_stress(core, moment=core.bending_stiffness / 80.0)

    expected = bending_stress(core.wire_diameter, radius=80.0, modulus=190e3)
    assert float(from_moment) == pytest.approx(float(expected))


def test_the_helix_moment_is_that_of_its_curve() -> None:
    """A wire wound with pitch^2 = 8 pi^2 EI/F on radius r, curvature from the curve itself."""
    force, r, EI = 200.0, 0.5, SOLID.bending_stiffness
    rise = np.sqrt(8 * pi**2 * EI / force) / (2 * pi)  # per radian
    curvature = r / (r**2 + rise**2)

    got = helix_stress(SOLID, force=force, clearance=2 * r)

    # the exact curve has less by (r/rise)^2, which small slopes leave out
    assert float(got.snaking) == pytest.approx(
        float(moment_stress(SOLID, moment=EI * curvature)), rel=1e-3
    )
    assert float(got.snaking) == pytest.approx(63.66, abs=0.005)
    assert float(got.bend) == 0.0


def test_in_a_bend_the_helix_comes_at_the_onset() -> None:
    onset = float(snaking_onset(150.0, bending_stiffness=STRAND.bending_stiffness, clearance=1.0))
    force = onset * np.array([1 - 1e-9, 1 + 1e-9])

    got = helix_stress(STRAND, force=force, clearance=1.0, radius=150.0)

    assert got.snaking[0] == 0.0
    assert got.snaking[1] == pytest.approx(float(moment_stress(STRAND, moment=onset / 4)))
    np.testing.assert_allclose(got.bend, bending_stress(2 / 9, radius=150.0, modulus=200e3))
    np.testing.assert_allclose(got.total, got.compression + got.snaking + got.bend)


def test_without_clearance_or_push_there_is_no_helix() -> None:
    tight = helix_stress(SOLID, force=500.0, clearance=0.0, radius=[inf, 100.0])
    idle = helix_stress(SOLID, force=0.0, clearance=1.0, radius=[inf, 100.0])

    assert not tight.snaking.any()
    assert not (idle.snaking + idle.compression).any()


# -- sheaves -------------------------------------------------------------------------------


@quick
@given(one=st.floats(0.0, 1.0), other=st.floats(0.0, 1.0))
def test_more_load_never_allows_a_tighter_bend(one: float, other: float) -> None:
    less, more = sheave_ratio(sorted((one, other))).least

    assert 10.0 <= less <= more


def test_beyond_the_table_is_marked_and_goes_on_without_a_step() -> None:
    ratio = sheave_ratio([0.0, 0.2, 0.2 + 1e-9, 0.3])

    assert ratio.extrapolated.tolist() == [False, False, True, True]
    assert ratio.least.tolist() == pytest.approx([10.0, 28.0, 28.0, 36.0])


# -- fatigue -------------------------------------------------------------------------------


@quick
@given(share=st.floats(0.0, 1.9))
def test_bending_from_nothing_is_its_own_share(share: float) -> None:
    assert float(fatigue_share(share * 1700.0, strength=1700.0)) == pytest.approx(share)


@quick
@given(amplitude=st.floats(0.01, 0.6), mean=st.floats(0.0, 0.9))
def test_gerber_against_a_root_finder(amplitude: float, mean: float) -> None:
    wanted = amplitude / (1.0 - mean**2)
    half = brentq(lambda x: x / (1.0 - x * x) - wanted, 0.0, 1.0 - 1e-9, xtol=1e-15)

    got = fatigue_share(2 * amplitude * 1500.0, strength=1500.0, mean=mean * 1500.0)

    assert float(got) == pytest.approx(2.0 * half, rel=1e-6)


def test_a_pull_on_top_tires_more_and_a_swing_about_nothing_less() -> None:
    shares = fatigue_share(900.0, strength=2000.0, mean=[0.0, 450.0, 700.0, 2000.0])

    assert (np.diff(shares) > 0.0).all()
    assert shares[1] == pytest.approx(0.45)
    assert shares[3] == inf


def test_bands() -> None:
    ranges = 2000.0 * np.array([[0.0, 0.499], [0.501, 0.529], [0.531, 5.0]])

    got = fatigue_band(ranges, strength=2000.0)

    assert got.tolist() == [["long", "long"], ["limited", "limited"], ["short", "short"]]


# -- the door ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: sheave_ratio(-0.1), r"load over breaking load: expected .* got -0\.1"),
        (lambda: fatigue_share(-1.0, strength=1.0), r"stress range: expected .* got -1\.0"),
        (lambda: fatigue_band(1.0, strength=0.0), r"strength of the wire: expected .* got 0\.0"),
        (lambda: helix_stress(SOLID, force=-1.0, clearance=1.0), "force: expected"),
        (lambda: helix_stress(SOLID, force=1.0, clearance=-1.0), "clearance: expected"),
        (
            lambda: helix_stress(SOLID, force=1.0, clearance=1.0, radius=0.0),
            "bend radius: expected",
        ),
        (
            lambda: wire_stress(SOLID, radius=-5.0, tension=1.0, modulus=2e5, strength=1.0),
            r"bend radius: expected mm above 0, got -5\.0",
        ),
        (
            lambda: wire_stress(SOLID, radius=5.0, tension=-1.0, modulus=2e5, strength=1.0),
            "tension: expected",
        ),
    ],
)
def test_what_cannot_be_is_refused(call, message: str) -> None:
    with pytest.raises(CableRouteError, match=message):
        call()
