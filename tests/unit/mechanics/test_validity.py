"""Each limit is passed just beyond it and not before, and ordinary cases pass none."""

from __future__ import annotations

from math import pi
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from cableroute.errors import CableRouteError, GeometryError
from cableroute.mechanics.construction import core_section
from cableroute.mechanics.surplus import surplus_wrap
from cableroute.mechanics.validity import SMALL_BOW, Extrapolation, extrapolations
from cableroute.route.fillet import fit_arcs

CORNER = fit_arcs([[0, 0, 0], [600, 0, 0], [600, 600, 0]], min_bend_radius=160)
SOLID = core_section("solid", diameter=2.0, modulus=200e3)  # stress 1250 MPa at 160 mm
ORDINARY: dict[str, Any] = {
    "load": 100.0,
    "push_load": 80.0,
    "friction": 0.25,
    "core": SOLID,
    "clearance": 0.6,
    "strength": 2000.0,
    "surplus_share": 0.05,
    "stiffness_share": 0.05,
}


def find(route=CORNER, **changed: Any) -> tuple[Extrapolation, ...]:
    return extrapolations(route, **{**ORDINARY, **changed})


def codes(route=CORNER, **changed: Any) -> list[str]:
    return [found.code for found in find(route, **changed)]


def test_an_ordinary_case_has_none() -> None:
    assert codes() == []


@pytest.mark.parametrize(
    ("within", "beyond", "code"),
    [
        ({"friction": 0.5}, {"friction": 0.501}, "friction-untested"),
        ({"stiffness_share": 0.1}, {"stiffness_share": 0.101}, "stiff-core"),
        ({"strength": 1667.0}, {"strength": 1666.0}, "plastic-bend"),
        ({"clearance": 3.19}, {"clearance": 3.21}, "wide-conduit"),
        ({"surplus_share": 0.1}, {"surplus_share": 0.101}, "large-bow"),
    ],
)
def test_a_limit_is_passed_just_beyond_it(
    within: dict[str, float], beyond: dict[str, float], code: str
) -> None:
    assert codes(**within) == []
    assert codes(**beyond) == [code]


def test_more_wrap_than_was_tested() -> None:
    corners = np.array([[0, 0, 0], [400, 0, 0], [400, 400, 0], [0, 400, 0]])
    coil = np.concatenate([corners, corners + np.array([0, 0, 50]), corners + np.array([0, 0, 99])])
    within, beyond = (fit_arcs(coil[:n], min_bend_radius=100) for n in (7, 9))
    assert within.wrap < 3 * pi < beyond.wrap

    assert "wrap-untested" not in codes(within)
    assert "wrap-untested" in codes(beyond)


def test_a_conduit_too_wide_by_far_says_so() -> None:
    (wide,) = find(clearance=10.0)
    (by_far,) = find(clearance=33.0)

    assert (wide.limit, by_far.limit) == (0.01, 0.1)
    assert "2 % too high" in wide.message
    assert "says nothing" in by_far.message


def test_straights_too_short_to_snake() -> None:
    """Clamped at both ends 50 mm hold 2480 N; 1500 N would lose 9.5 % to a helix."""
    short = fit_arcs([[0, 0, 0], [50, 0, 0]], min_bend_radius=100)
    case = {"friction": 0.4, "clearance": 4.0}
    (found,) = find(short, push_load=1500.0, **case)

    assert found.code == "short-straights"
    # the push at the hand, where the straight begins, is higher by the loss itself
    far = 0.4 * 2.0 * 50.0 * 1500.0 / (4 * SOLID.bending_stiffness)
    assert found.value == pytest.approx(far / (1 - far))
    assert codes(short, push_load=2600.0, **case) == []  # it can snake
    assert codes(short, push_load=500.0, **case) == []  # not worth a word


def test_a_cable_that_only_pulls_is_not_judged_as_pushed() -> None:
    assert codes(clearance=33.0, push_load=None) == []


def test_what_is_not_known_is_not_judged() -> None:
    assert codes(strength=None) == []
    assert codes(core=None, strength=1.0, load=1e-9) == []
    assert codes(core=None, clearance=33.0) == ["wide-conduit"]


def test_no_load_asks_for_no_pull_and_a_straight_bends_nothing() -> None:
    straight = fit_arcs([[0, 0, 0], [600, 0, 0]], min_bend_radius=160)

    assert codes(load=0.0) == []
    assert codes(straight, load=1e-6, strength=1.0, clearance=50.0, push_load=0.0) == []


def test_a_locked_core_is_no_extrapolation() -> None:
    strand = core_section("7x19", diameter=1.5, modulus=200e3)
    closed_up = fit_arcs([[0, 0, 0], [160, 0, 0], [160, 160, 0]], min_bend_radius=160)

    assert codes(core=strand, push_load=5000.0) == []
    assert codes(closed_up, core=strand, push_load=5000.0) == []


@settings(max_examples=30)
@given(
    load=st.floats(0.0, 20.0),
    push=st.floats(0.0, 3000.0, allow_subnormal=False),
    friction=st.floats(0.0, 1.5),
    clearance=st.floats(0.0, 40.0),
    strength=st.floats(500.0, 3000.0),
    surplus=st.floats(0.0, 0.5),
)
def test_every_one_is_beyond_its_limit_and_named_once(
    load: float, push: float, friction: float, clearance: float, strength: float, surplus: float
) -> None:
    found = find(
        load=load,
        push_load=push,
        friction=friction,
        clearance=clearance,
        strength=strength,
        surplus_share=surplus,
    )

    names = [each.code for each in found]
    assert len(set(names)) == len(names)
    for each in found:
        assert each.value > each.limit
        assert each.message.endswith(".")


def test_the_limit_of_the_bow_is_where_its_wrap_is_4_per_cent_off() -> None:
    """Four arcs of turn a are a/sin(a) times their span."""
    exact = 4 * brentq(lambda a: a / np.sin(a) - 1 - SMALL_BOW, 0.1, 1.5)

    off = float(surplus_wrap(SMALL_BOW, span=1.0)) / exact - 1

    assert 0.03 < off < 0.04


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"load": -1.0}, r"load: expected .* got -1\.0"),
        ({"push_load": -1.0}, "push load: expected"),
        ({"friction": float("nan")}, "friction: expected"),
        ({"clearance": -0.1}, "clearance: expected"),
        ({"surplus_share": -0.1}, "surplus over span: expected"),
        ({"strength": 0.0}, r"strength of the wire: expected MPa above 0, got 0\.0"),
    ],
)
def test_what_cannot_be_is_refused(wrong: dict[str, float], message: str) -> None:
    with pytest.raises(CableRouteError, match=message):
        find(**wrong)


def test_a_batch_is_refused() -> None:
    batch = fit_arcs(np.stack([CORNER.points, CORNER.points]), min_bend_radius=160)
    with pytest.raises(GeometryError, match=r"expected one route, got a batch of shape \(2,\)"):
        find(batch)
