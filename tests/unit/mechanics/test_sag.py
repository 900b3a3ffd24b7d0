"""Bending stiffness from sag, against an integration of the rod of our own and known truths."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from cableroute.errors import CableRouteError
from cableroute.mechanics.sag import sag_of_clamped, stiffness_by_sag, stiffness_of_sag


def integrated_sag(L: float, EI: float, w: float, P: float) -> float:
    """Sag of a clamped length by a boundary value solver: slope, curvature, height."""

    def rates(s: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack((y[1], -(w * (L - s) + P) * np.cos(y[0]) / EI, np.sin(y[0])))

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([a[0], b[1], a[2]])

    s = np.linspace(0.0, L, 200)
    start = np.vstack((0.5 * s / L, 0.5 * np.ones_like(s) / L, 0.2 * s))
    found = solve_bvp(rates, ends, s, start, tol=1e-8, max_nodes=20000)
    assert found.success
    return float(found.y[2, -1])


@pytest.mark.parametrize(
    ("L", "EI", "w", "P"),
    [(300.0, 1000.0, 8e-5, 0.0), (300.0, 400.0, 8e-5, 0.0), (250.0, 1000.0, 8e-5, 0.05)],
)
def test_stiffness_comes_back_from_a_rod_integrated_otherwise(L, EI, w, P):
    sag = integrated_sag(L, EI, w, P)

    assert sag > 0.1 * L
    assert stiffness_of_sag(L, sag=sag, weight=w, tip_load=P) == pytest.approx(EI, rel=1e-3)


def test_small_sags_agree_with_small_slopes_and_large_ones_do_not():
    cable = {"weight": 8e-5, "tip_load": 0.01}
    small, large = (
        float(stiffness_of_sag(300.0, sag=y, **cable) / _small(y, **cable)) for y in (3.0, 150.0)
    )

    assert small == pytest.approx(1.0, abs=1e-3)
    assert large < 0.9


def _small(sag, *, weight, tip_load):
    return float(sag_of_clamped(300.0, stiffness=1.0, weight=weight, tip_load=tip_load)) / sag


def test_batches_give_what_single_readings_give():
    L, y = np.array([[200.0], [300.0]]), np.array([20.0, 60.0, 100.0])
    batch = stiffness_of_sag(L, sag=y, weight=1e-4)

    assert batch.shape == (2, 3)
    assert float(batch[1, 2]) == pytest.approx(
        float(stiffness_of_sag(300.0, sag=100.0, weight=1e-4)), rel=1e-12
    )


def test_the_band_holds_the_truth_and_the_friction_of_the_wires():
    """100 invented cores: 0.7 and 1.3 times EI come up and let down, every reading off by 1 mm."""
    rng = np.random.default_rng(3)
    held = 0
    for _ in range(100):
        EI = 10 ** rng.uniform(4.0, 5.0)
        L = np.cbrt(0.05 * 8.0 * EI / 8e-5) * np.repeat(rng.uniform(0.8, 1.2, 3), 2)
        sag = sag_of_clamped(L, stiffness=np.tile([0.7 * EI, 1.3 * EI], 3), weight=8e-5)
        rule = rng.normal(0.0, 0.5, (3, 6))
        found = stiffness_by_sag(length=L + rule[0], sag=sag + rule[1] - rule[2], weight=8e-5)
        held += found.low <= 0.7 * EI and found.high >= 1.3 * EI
    assert held >= 95


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"sag": 250.0}, r"at most 0.7 of the free length"),
        ({"sag": 0.0}, "sag: expected"),
        ({"length": -1.0}, "length: expected"),
        ({"weight": 0.0}, "expected a weight of the core or a load on its end"),
        ({"sag": 1.0}, "too little to tell from what the rule is off by"),
    ],
)
def test_readings_that_say_nothing_are_refused(change, message):
    with pytest.raises(CableRouteError, match=message):
        stiffness_by_sag(**({"length": 300.0, "sag": 60.0, "weight": 8e-5} | change))
