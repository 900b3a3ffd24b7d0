"""Forces along a route against a numerical integration of the law of wall force.

An independent check: it walks the pieces one after the other with its own vectors and a general
solver for differential equations, and shares no formula with the package.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from cableroute.mechanics.pull import pull_force
from cableroute.mechanics.push import push_forces
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route
from cableroute.route.segments import Arc, Line

RADIUS = 60.0

#: Growth of force per length, of force, unit tangent towards the hand, and curvature vector.
Law = Callable[[float, np.ndarray, np.ndarray], float]


def random_route(seed: int) -> Route:
    rng = np.random.default_rng(seed)
    points = np.cumsum(rng.normal(size=(7, 3)) * rng.uniform(40, 120, (7, 1)), axis=0)
    return fit_arcs(points, min_bend_radius=RADIUS)


def force_at_hand(route: Route, load: float, law: Law) -> float:
    force = load
    for piece in reversed(route.pieces):

        def growth(u: float, f: np.ndarray, piece: Line | Arc = piece) -> list[float]:
            angle = (piece.length - u) * piece.curvature
            if isinstance(piece, Line):
                return [law(f[0], -piece.direction, np.zeros(3))]
            tangent = np.cos(angle) * piece.direction + np.sin(angle) * piece.normal
            inward = np.cos(angle) * piece.normal - np.sin(angle) * piece.direction
            return [law(f[0], -tangent, piece.curvature * inward)]

        solution = solve_ivp(  # short steps: a long one would stride over a kink unawares
            growth,
            (0.0, piece.length),
            [force],
            method="DOP853",
            rtol=1e-11,
            atol=1e-12,
            max_step=piece.length / 50,
        )
        force = solution.y[0, -1]
    return float(force)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(("friction", "weight"), [(0.1, 1e-4), (0.3, 5e-3)])
def test_pull_with_weight(seed: int, friction: float, weight: float) -> None:
    route = random_route(seed)
    w = np.array([0.0, 0.0, -weight])

    def law(tension: float, tangent: np.ndarray, curvature: np.ndarray) -> float:
        across = w - (w @ tangent) * tangent
        wall = np.linalg.norm(tension * curvature + across)
        return float(friction * wall - w @ tangent)

    expected = force_at_hand(route, 40.0, law)

    hand = pull_force(route, load=40.0, friction=friction, weight=weight)
    assert hand == pytest.approx(expected, rel=1e-8)
    assert abs(hand / pull_force(route, load=40.0, friction=friction) - 1.0) > 1e-5


@pytest.mark.parametrize("seed", [3, 4, 5, 11, 15])
@pytest.mark.parametrize(
    ("share", "snaking_at_far_side", "snaking_at_hand_side"),
    [
        pytest.param(0.01, False, False, id="held by the wall in every bend"),
        pytest.param(0.90, False, True, id="soft, crossing the onset inside a bend"),
        pytest.param(1.10, True, True, id="soft, beyond the onset all through a bend"),
    ],
)
def test_push(
    seed: int, share: float, snaking_at_far_side: bool, snaking_at_hand_side: bool
) -> None:
    """The load is a share of the onset in a bend of the radius wanted."""
    route, friction, r, stiffness = random_route(seed), 0.05, 0.5, 1173.0
    load = share * 4.0 * stiffness / (RADIUS * r)

    def law(push: float, _: np.ndarray, curvature: np.ndarray) -> float:
        bend, snake = push * np.linalg.norm(curvature), r * push**2 / (4.0 * stiffness)
        return float(friction * max(bend, snake))

    forces = push_forces(
        route, load=load, friction=friction, bending_stiffness=stiffness, clearance=2.0 * r
    )

    assert forces[0] == pytest.approx(force_at_hand(route, load, law), rel=1e-8)
    onset = 4.0 * stiffness / (route.radii * r)
    far_side, hand_side = forces[2::2] > onset, forces[1:-1:2] > onset
    as_meant = (far_side == snaking_at_far_side) & (hand_side == snaking_at_hand_side)
    assert as_meant.any()
