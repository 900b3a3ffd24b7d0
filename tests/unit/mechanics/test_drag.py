"""Wall forces of an unloaded core where straight and arc meet, integrated by a general solver.

The thrust with which a core enters a bend, EI/2R^2, presses it off the inner wall by a twentieth.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from cableroute.mechanics.stiff_core import unloaded_drag
from cableroute.route.fillet import fit_arcs


def wall_forces(*, radius: float, turn: float, clearance: float) -> float:
    """Sum of the wall forces of one bend between long straights, of a core of EI = 1."""
    far = 5000.0 * np.array([np.cos(turn), np.sin(turn), 0.0])
    route = fit_arcs([[-5000, 0, 0], [0, 0, 0], far], min_bend_radius=radius)
    mu = 1e-9
    drag = unloaded_drag(route, friction=mu, bending_stiffness=1.0, clearance=clearance)
    return float(drag[1]) / mu


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
    assert wall_forces(radius=R, turn=np.pi / 2, clearance=c) == pytest.approx(per_bend, rel=0.05)


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
    got = wall_forces(radius=10.0, turn=turn, clearance=c)
    assert got == pytest.approx(4.0 * peak / a, rel=0.05)
