"""Forces on the anchors of a conduit and the give of their brackets."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from cableroute.errors import CableRouteError
from cableroute.mechanics.anchors import (
    anchor_loads,
    bracket_stiffness,
    bracket_travel,
)
from cableroute.mechanics.capstan import capstan_ratio

sizes = st.floats(0.5, 500.0)


@given(load=st.floats(0.0, 1e4), wrap=st.floats(0.0, 10.0), friction=st.floats(0.0, 0.4))
@settings(max_examples=30)
def test_the_anchors_differ_by_the_friction_along_the_run(load, wrap, friction) -> None:
    """The whole cable in balance: hand, far end and anchors; friction stays inside."""
    hand_force = load * float(capstan_ratio(wrap, friction=friction))
    hand, far = anchor_loads(hand_pull=hand_force, far_pull=load)

    assert hand.pull - far.pull == pytest.approx(hand_force - load)
    assert (hand.end, far.end) == ("hand", "far")
    assert hand.push == far.push == 0.0


def test_the_greater_of_pull_and_push() -> None:
    hand, far = anchor_loads(hand_pull=150.0, far_pull=100.0, hand_push=math.inf, far_push=80.0)

    assert (hand.greatest, far.greatest) == (math.inf, 100.0)


@pytest.mark.parametrize("bad", [-1.0, math.nan])
@pytest.mark.parametrize("name", ["hand_pull", "far_pull", "hand_push", "far_push"])
def test_a_force_that_cannot_be(name: str, bad: float) -> None:
    forces = {"hand_pull": 1.0, "far_pull": 1.0, "hand_push": 1.0, "far_push": 1.0}
    with pytest.raises(CableRouteError, match=f"{name.replace('_', ' ')}: expected"):
        anchor_loads(**{**forces, name: bad})


@given(length=sizes, width=sizes, thickness=sizes)
@settings(max_examples=30)
def test_stiffness_by_integrating_the_beam(length, width, thickness) -> None:
    """Twice integrated M/EI of a unit load at the tip, I = b t^3/12."""
    x = np.linspace(0.0, length, 2001)
    curvature = (length - x) / (200e3 * width * thickness**3 / 12.0)
    tip = trapezoid(curvature * (length - x), x)
    k = bracket_stiffness(length=length, width=width, thickness=thickness)

    assert bracket_travel(1.0, stiffness=k) == pytest.approx(tip, rel=1e-6)


def test_twice_the_thickness_is_eight_times_as_stiff_and_twice_the_length_an_eighth() -> None:
    k = bracket_stiffness(length=[60.0, 60.0, 120.0], width=40.0, thickness=[3.0, 6.0, 3.0])

    np.testing.assert_allclose(k / k[0], [1.0, 8.0, 0.125])


@pytest.mark.parametrize("name", ["length", "width", "thickness", "modulus"])
def test_a_bracket_that_cannot_be(name: str) -> None:
    sizes = {"length": 60.0, "width": 40.0, "thickness": 3.0, "modulus": 200e3}
    with pytest.raises(CableRouteError, match=f"bracket {name}: expected a number above 0"):
        bracket_stiffness(**{**sizes, name: 0.0})


def test_travel_refuses_what_cannot_be() -> None:
    with pytest.raises(CableRouteError, match="load on the bracket"):
        bracket_travel(-1.0, stiffness=250.0)
    with pytest.raises(CableRouteError, match="bracket stiffness"):
        bracket_travel(1.0, stiffness=0.0)
