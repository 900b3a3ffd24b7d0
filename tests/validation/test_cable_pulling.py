"""Pulling power cable into conduit: straight runs mu w L, bends exp(mu theta), wall load T/R.

The formulas are those of IEEE Std 1185 and AEIC CG5 (from memory; the text was not seen). The
numbers are our own arithmetic with them: no printed example was available. Pounds and feet.
"""

from __future__ import annotations

from math import pi

import pytest

from cableroute.mechanics.capstan import capstan_ratio
from cableroute.mechanics.pull import pull_force, pull_forces
from cableroute.route.fillet import fit_arcs

WEIGHT, FRICTION, RADIUS = 1.5, 0.3, 2.0  # lb/ft, -, ft


def test_level_straight_run() -> None:
    """200 ft at 1.5 lb/ft, mu 0.3, nothing at the far end: 90 lb."""
    route = fit_arcs([[200, 0, 0], [0, 0, 0]], min_bend_radius=RADIUS)

    assert pull_force(route, load=0, friction=FRICTION, weight=WEIGHT) == pytest.approx(90)


def test_bend_after_the_straight_run() -> None:
    """A level quarter turn of 2 ft multiplies 90 lb to 144.178 lb, 72.089 lb/ft on the wall."""
    bend = fit_arcs([[0, 0, 0], [2, 0, 0], [2, 2, 0]], min_bend_radius=RADIUS)
    tension = pull_force(bend, load=90, friction=FRICTION)

    assert tension == pytest.approx(144.178, abs=5e-4)
    assert tension / RADIUS == pytest.approx(72.089, abs=5e-4)


def test_the_weight_in_the_bend_which_the_rule_leaves_out_adds_little() -> None:
    """The rule neglects the bend's own weight: 3 lb across 90 lb of wall force adds under 0.1 %."""
    route = fit_arcs([[0, 0, 0], [2, 0, 0], [2, 202, 0]], min_bend_radius=RADIUS)
    forces = pull_forces(route, load=0.0, friction=FRICTION, weight=WEIGHT)

    assert forces[2] == pytest.approx(90)
    assert 144.178 < forces[0] < 144.178 * 1.001


def test_order_of_straight_and_bend_matters() -> None:
    """Pulled from the other end, the bend comes first and multiplies next to nothing."""
    route = fit_arcs([[2, 202, 0], [2, 0, 0], [0, 0, 0]], min_bend_radius=RADIUS)
    hand = pull_force(route, load=0, friction=FRICTION, weight=WEIGHT)
    bend_alone = FRICTION * WEIGHT * RADIUS * pi / 2

    assert 90 + bend_alone < hand < 90 + 1.5 * bend_alone


def test_post_tension_loss_with_wobble() -> None:
    """P/P0 = exp(-(mu a + K x)): mu 0.10, a = pi, K 0.005 /m, x = 2 m give 0.7231 (our own)."""
    wobble, length, friction = 0.005, 2.0, 0.10
    share = 1 / capstan_ratio(pi + wobble * length / friction, friction=friction)

    assert share == pytest.approx(0.7231, abs=5e-5)
