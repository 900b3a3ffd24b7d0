"""Zero-load drag: our own derivation, held to its worked numbers and to its limits."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from cableroute.errors import CableRouteError
from cableroute.mechanics.drag import wedging_force, zero_load_drag
from cableroute.route.fillet import fit_arcs


@pytest.mark.parametrize(
    ("diameter", "radius", "clearance", "expected"),
    [(2.0, 150.0, 0.5, 98.73), (1.5, 100.0, 0.5, 57.39), (3.0, 200.0, 1.0, 229.6)],
)
def test_worked_numbers(diameter, radius, clearance, expected) -> None:
    stiffness = 200e3 * np.pi * diameter**4 / 64.0

    got = float(wedging_force(radius, turn=np.pi, bending_stiffness=stiffness, clearance=clearance))

    assert got == pytest.approx(expected, abs=0.05)


def test_the_bridge_just_spans_the_clearance() -> None:
    """Integrated by a general solver: curvature rising evenly from 0 to 1/R over -a to +a.

    The core leaves one wall along it and meets the other along it, so that its offset from the
    conduit's centreline changes by the whole clearance and its slope by nothing.
    """
    R, c = 150.0, 0.5
    a = np.sqrt(6.0 * R * c)

    def offset(x, y):
        return [y[1], (x + a) / (2.0 * a * R) - (1.0 / R if x > 0.0 else 0.0)]

    end = solve_ivp(offset, (-a, a), [0.0, 0.0], max_step=a / 5000.0).y[:, -1]

    assert abs(end[0]) == pytest.approx(c, rel=1e-3)
    assert end[1] == pytest.approx(0.0, abs=1e-5)
    # the moment EI*curvature rises by EI/R over 2 a: that is the wall force at each end
    per_bend = 4.0 * (1.0 / R) / (2.0 * a)
    got = float(wedging_force(R, turn=np.pi, bending_stiffness=1.0, clearance=c))
    assert got == pytest.approx(per_bend)


def test_a_short_bend_is_crossed_as_a_corner() -> None:
    """Integrated by a general solver: curvature a triangle that turns theta over -a to +a."""
    turn, c = 0.05, 0.5
    a = 6.0 * c / turn
    peak = turn / a

    def beam(x, y):
        return [y[1], peak * (x + a) / a]

    middle = solve_ivp(beam, (-a, 0.0), [0.0, 0.0], rtol=1e-10).y[:, -1]

    assert middle[0] == pytest.approx(c)  # from the outer wall to the inner
    assert 2.0 * middle[1] == pytest.approx(turn)
    # moment slopes at the three places: peak/a, 2 peak/a, peak/a
    got = float(wedging_force(10.0, turn=turn, bending_stiffness=1.0, clearance=c))
    assert got == pytest.approx(4.0 * peak / a)


def test_a_sweep_measured_at_many_points_counts_as_a_sweep() -> None:
    kwargs = {"friction": 0.15, "bending_stiffness": 157080.0, "clearance": 0.5}
    one = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 400, 0]], min_bend_radius=150)
    s = np.linspace(0.0, one.length, 41)
    traced = fit_arcs(one.point(s), min_bend_radius=150)

    assert len(traced.turns) > 10
    # the traced polyline begins its turn a little early, so its radius comes out a little wide
    drag = zero_load_drag(traced, **kwargs)
    assert drag == pytest.approx(zero_load_drag(one, **kwargs), rel=0.2)


def test_a_straight_has_none_and_bends_add_up() -> None:
    kwargs = {"friction": 0.15, "bending_stiffness": 157080.0, "clearance": 0.5}
    straight = fit_arcs([[0, 0, 0], [900, 0, 0]], min_bend_radius=150)
    one = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 400, 0]], min_bend_radius=150)
    two = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 400, 0], [800, 400, 0]], min_bend_radius=150)

    assert zero_load_drag(straight, **kwargs) == 0.0
    assert zero_load_drag(one, **kwargs) == pytest.approx(14.81, abs=0.01)
    assert zero_load_drag(two, **kwargs) == pytest.approx(2.0 * zero_load_drag(one, **kwargs))
    assert zero_load_drag(one, **{**kwargs, "friction": 0.0}) == 0.0


def test_bad_input_is_refused() -> None:
    route = fit_arcs([[0, 0, 0], [900, 0, 0]], min_bend_radius=150)
    with pytest.raises(CableRouteError, match="friction"):
        zero_load_drag(route, friction=-1.0, bending_stiffness=1.0, clearance=0.5)
    with pytest.raises(CableRouteError, match="stiffness"):
        wedging_force(100.0, turn=1.0, bending_stiffness=-1.0, clearance=0.5)
