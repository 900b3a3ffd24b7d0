"""Lost motion against quadrature, the closed form, and its limits."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from cableroute.errors import CableRouteError
from cableroute.mechanics.lost_motion import (
    clearance_travel,
    lost_motion,
    pull_integral,
    worn_clearance,
)
from cableroute.route.fillet import fit_arcs


def bends(seed: int = 3):
    rng = np.random.default_rng(seed)
    points = np.cumsum(rng.normal(size=(6, 3)) * 120 + [300, 0, 0], axis=0)
    return fit_arcs(points, min_bend_radius=50.0)


def even_wrap(*, length: float, wrap: float):
    """A closed-up arc: one bend whose straights have no length."""
    radius = length / wrap
    reach = radius * np.tan(0.5 * wrap)
    end = [reach + reach * np.cos(wrap), reach * np.sin(wrap), 0.0]
    return fit_arcs([[0, 0, 0], [reach, 0, 0], end], min_bend_radius=radius * (1 - 1e-12))


@pytest.mark.parametrize("friction", [0.15, -0.15, 0.0])
def test_pull_integral_agrees_with_quadrature(friction: float) -> None:
    route = bends()
    total, beyond = 0.0, 0.0
    for piece in reversed(route.pieces):
        start = 70.0 * np.exp(friction * beyond)
        rate = friction * piece.curvature
        total += quad(lambda s, f=start, k=rate: f * np.exp(k * s), 0.0, piece.length)[0]
        beyond += piece.length * piece.curvature

    assert pull_integral(route, load=70.0, friction=friction) == pytest.approx(total, rel=1e-10)


def test_stretch_and_hysteresis_of_an_even_wrap_match_the_closed_form() -> None:
    """x = mu*theta; recomputed by quadrature from the model of Kaneko et al. 1991 (our own).

    To = 100 N, L = 2 m, EA = 212058 N, x = 0.1 pi: pulling 1.10810 mm, letting back 0.80936 mm,
    hysteresis 0.29874 mm.
    """
    # a half turn has no corner point: three equal bends spread the wrap evenly as well
    third = np.pi / 3.0
    radius = 2000.0 / np.pi
    reach = radius * np.tan(0.5 * third)
    heading, point, points = 0.0, np.zeros(2), [np.zeros(2)]
    for i in range(4):
        step = reach * (1.0 if i in (0, 3) else 2.0)
        point = point + step * np.array([np.cos(heading), np.sin(heading)])
        points.append(point)
        heading += third
    route = fit_arcs(np.c_[points, np.zeros(5)], min_bend_radius=radius * (1 - 1e-12))
    lost = lost_motion(route, load=100.0, friction=0.1, clearance=0.5, axial_stiffness=212058.0)

    assert route.wrap == pytest.approx(np.pi)
    assert lost.stretch == pytest.approx(1.10810, abs=5e-6)
    assert lost.stretch - lost.hysteresis == pytest.approx(0.80936, abs=5e-6)
    assert lost.hysteresis == pytest.approx(0.29874, abs=5e-6)
    assert lost.clearance == pytest.approx(1.5708, abs=5e-5)
    assert lost.conduit is None
    assert lost.total == pytest.approx(lost.clearance + lost.stretch + lost.hysteresis)


def test_closed_form_holds_for_any_even_wrap() -> None:
    length, wrap, mu, load, EA = 900.0, 1.9, 0.22, 60.0, 5.0e4
    route = even_wrap(length=length, wrap=wrap)
    x = mu * wrap
    expected = load * length / EA * (np.exp(x) - 2.0 + np.exp(-x)) / x

    lost = lost_motion(
        route, load=load, friction=mu, clearance=0.0, axial_stiffness=EA, conduit_stiffness=2 * EA
    )

    # the conduit, half as much again, turns with the core
    assert lost.hysteresis == pytest.approx(1.5 * expected, rel=1e-9)
    assert lost.conduit == pytest.approx(0.5 * lost.stretch)


def test_limits() -> None:
    straight = fit_arcs([[0, 0, 0], [1000, 0, 0]], min_bend_radius=50.0)
    lost = lost_motion(straight, load=100.0, friction=0.3, clearance=1.0, axial_stiffness=1e5)

    assert (lost.clearance, lost.hysteresis) == (0.0, 0.0)
    assert lost.stretch == pytest.approx(1.0)
    assert lost_motion(
        bends(), load=50.0, friction=0.0, clearance=0.0, axial_stiffness=1e5
    ).hysteresis == pytest.approx(0.0, abs=1e-12)


def test_bad_input_is_refused() -> None:
    with pytest.raises(CableRouteError, match="friction"):
        lost_motion(bends(), load=1.0, friction=-0.1, clearance=0.0, axial_stiffness=1e5)
    with pytest.raises(CableRouteError, match="conduit"):
        lost_motion(
            bends(), load=1.0, friction=0.1, clearance=0.0, axial_stiffness=1, conduit_stiffness=-2
        )
    with pytest.raises(CableRouteError, match="clearance"):
        clearance_travel(1.0, clearance=-0.1)


def test_a_worn_liner_loses_in_proportion() -> None:
    both = worn_clearance([0.4, 0.6], factor=1.5)
    assert both == pytest.approx(np.array([[0.4, 0.6], [0.6, 0.9]]))
    assert clearance_travel(np.pi, clearance=both)[0, 1] == pytest.approx(0.6 * np.pi)
    with pytest.raises(CableRouteError, match="worn"):
        worn_clearance(0.5, factor=0.9)
    with pytest.raises(CableRouteError, match="clearance"):
        worn_clearance(-0.5)
