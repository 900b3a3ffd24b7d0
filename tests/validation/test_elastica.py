"""The elastica of Euler, in closed form, against the natural lay.

S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd ed., sec. 2.7, table of the
cantilever loaded along its axis (from memory, recomputed with elliptic integrals); K. E. Bisshopp
and D. C. Drucker, Large deflection of cantilever beams, Quart. Appl. Math. 3 (1945) 272-275, and
K. Mattiasson, Int. J. Numer. Methods Eng. 17 (1981) 145-153, for the load across it (from memory,
recomputed).
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import solve_bvp, solve_ivp
from scipy.optimize import brentq
from scipy.special import ellipe, ellipk

from cableroute.route.lay import Lay, natural_lay

X, Y, Z = np.eye(3)
ORIGIN = np.zeros(3)


def column(alpha: float) -> tuple[float, float, float, float]:
    """Load P l^2/EI, place x/l and y/l of the free end, and energy U l/EI of a buckled column.

    Clamped along x, the free end turned by alpha under a load along the axis.
    """
    modulus = np.sin(alpha / 2)
    K, E = ellipk(modulus**2), ellipe(modulus**2)
    x, y = 2 * E / K - 1, 2 * modulus / K
    return K**2, x, y, K**2 * (x - np.cos(alpha))


def is_flat(lay: Lay) -> bool:
    spread = np.linalg.svd(lay.points - lay.points.mean(axis=0), compute_uv=False)
    return bool(spread[2] < 1e-7 * spread[0])


COLUMNS = pytest.mark.parametrize(
    ("degrees", "load", "x", "y"),
    [
        (20, 1.0154, 0.9697, 0.2194),
        (40, 1.0637, 0.8812, 0.4222),
        (60, 1.1517, 0.7410, 0.5932),
        (80, 1.2939, 0.5594, 0.7195),
    ],
)


@COLUMNS
def test_table_of_the_buckled_column(degrees, load, x, y):
    """Sec. 2.7: P/Pcr, x/l, y/l to the four places given; the solver to eight."""
    alpha, length = np.radians(degrees), 400.0
    exact_load, exact_x, exact_y, energy = column(alpha)
    assert_allclose([exact_load / (np.pi / 2) ** 2, exact_x, exact_y], [load, x, y], atol=5.1e-5)

    lay = natural_lay(ORIGIN, X, [exact_x * length, exact_y * length, 0], None, length=length)

    assert_allclose(lay.end_force_over_ei * length**2, [-exact_load, 0, 0], atol=1e-7)
    assert_allclose(lay.tangents[-1], [np.cos(alpha), np.sin(alpha), 0], atol=1e-8)
    assert_allclose(lay.energy * length, energy, rtol=1e-9)
    assert_allclose(lay.wrap, alpha, atol=1e-8)
    assert lay.curvature[-1] * length < 1e-7  # no moment at the free end


@COLUMNS
def test_printed_end_places_give_the_printed_angle(degrees, load, x, y):
    """The same table entered with its own four digits, which fix the tip's angle to its last one.

    The thrust is no test here: a last digit in x/l is worth several per cent of it.
    """
    lay = natural_lay(ORIGIN, X, [x, y, 0], None, length=1.0)

    assert_allclose(np.degrees(np.arccos(lay.tangents[-1] @ X)), degrees, atol=0.1)


@pytest.mark.parametrize("degrees", [20, 40, 60, 80, 90, 120, 150])
def test_column_held_in_direction_at_both_ends_is_the_same_curve(degrees):
    alpha = np.radians(degrees)
    load, x, y, energy = column(alpha)
    end = [x, y, 0]

    lay = natural_lay(ORIGIN, X, end, [np.cos(alpha), np.sin(alpha), 0], length=1.0)
    free = natural_lay(ORIGIN, X, end, None, length=1.0)

    assert_allclose(lay.points, free.points, atol=1e-8)
    assert_allclose(lay.energy, energy, rtol=1e-9)
    assert_allclose(lay.end_force_over_ei, [-load, 0, 0], atol=1e-6)
    assert_allclose(1 / lay.min_bend_radius, 2 * np.sin(alpha / 2) * np.sqrt(load), rtol=1e-8)


@pytest.mark.parametrize(
    ("load", "deflection", "shortening", "slope"),
    [
        (0.2, 0.06636, 0.00265, 0.09964),
        (1.0, 0.30172, 0.05643, 0.46135),
        (2.0, 0.49346, 0.16064, 0.78175),
        (3.0, 0.60325, 0.25442, 0.98602),
    ],
)
def test_cantilever_with_a_dead_load_across_its_tip(load, deflection, shortening, slope):
    """Bisshopp and Drucker; Mattiasson: P L^2/EI, deflection/L, shortening/L, tip slope."""

    def shape(_, state):
        theta, curvature, *_ = state
        return [curvature, -load * np.cos(theta), np.cos(theta), np.sin(theta)]

    def tip(root):
        exact = {"rtol": 1e-12, "atol": 1e-13}
        return solve_ivp(shape, (0, 1), [0, root, 0, 0], method="DOP853", **exact).y[:, -1]

    theta, _, x, y = tip(brentq(lambda root: tip(root)[1], 0, load + 0.1, xtol=1e-13))
    assert_allclose([y, 1 - x, theta], [deflection, shortening, slope], atol=5.1e-6)

    lay = natural_lay(ORIGIN, X, [x, y, 0], None, length=1.0)

    assert_allclose(lay.end_force_over_ei, [0, load, 0], atol=1e-6)
    assert_allclose(np.arctan2(lay.tangents[-1, 1], lay.tangents[-1, 0]), theta, atol=1e-8)


def test_right_angle_elastica_is_the_u_turn_of_a_free_cable():
    """K = 1.854075, E = 1.350644: x/l = 0.456947, y/l = 0.762760, P l^2/EI = 3.437593.

    Two such quarters lie over the gap; the force on a free end is across the cable.
    """
    gap = 100.0
    lay = natural_lay(ORIGIN, X, [0, gap, 0], -X)

    quarter = lay.length / 2
    assert_allclose(gap / 2 / quarter, 0.456947, atol=2e-6)
    assert_allclose(lay.points[:, 0].max() / quarter, 0.762760, atol=2e-6)
    assert_allclose(np.linalg.norm(lay.end_force_over_ei) * quarter**2, 3.437593, rtol=1e-5)
    assert_allclose(lay.pull_over_ei * gap**2, 0, atol=1e-8)
    assert_allclose(lay.wrap, np.pi, atol=1e-6)
    # The least radius is neither the half gap nor above it: the bulge bends harder at its crown.
    assert_allclose(lay.min_bend_radius / quarter, 1 / (np.sqrt(2) * 1.854075), rtol=1e-5)
    assert lay.min_bend_radius < 0.84 * gap / 2


def test_quarter_turn_of_a_free_cable_is_a_piece_of_the_right_angle_elastica():
    """On it kappa^2 = 2 F cos(angle to the crown), F the force along the chord: no pull."""
    lay = natural_lay(ORIGIN, X, [100, 100, 0], Y)

    along_force = lay.tangents @ lay.end_force_over_ei
    assert_allclose(lay.curvature**2 / 2, -along_force, rtol=1e-7)
    assert_allclose(lay.pull_over_ei * 100**2, 0, atol=1e-8)
    assert_allclose(lay.wrap, np.pi / 2, atol=1e-9)


@pytest.mark.parametrize("degrees", [1.0, 45.0, 90.0, 180.0, 270.0, 350.0])
def test_end_moments_alone_give_a_circular_arc(degrees):
    turn, radius = np.radians(degrees), 150.0
    end = radius * np.array([np.sin(turn), 1 - np.cos(turn), 0])
    direction = [np.cos(turn), np.sin(turn), 0]

    lay = natural_lay(ORIGIN, X, end, direction, length=turn * radius)

    assert_allclose(lay.min_bend_radius, radius, rtol=1e-8)
    assert_allclose(lay.curvature, 1 / radius, rtol=1e-8)
    assert_allclose(lay.wrap, turn, rtol=1e-10)
    assert_allclose(lay.energy, turn / (2 * radius), rtol=1e-9)
    assert_allclose(np.linalg.norm(lay.points - [0, radius, 0], axis=1), radius, rtol=1e-10)
    assert_allclose(lay.end_force_over_ei * lay.length**2, 0, atol=1e-6)


def test_a_turn_too_far_for_a_free_cable_lies_in_the_roundest_shape():
    """Turned by 240 degrees, ends on a circle: length times energy is least on the arc itself."""
    turn = np.radians(240)
    lay = natural_lay(
        ORIGIN, X, [np.sin(turn), 1 - np.cos(turn), 0], [np.cos(turn), np.sin(turn), 0]
    )

    assert_allclose(lay.length, turn, rtol=1e-6)
    assert_allclose(lay.min_bend_radius, 1, rtol=1e-5)
    assert_allclose(lay.pull_over_ei, 0.5, rtol=1e-5)  # half the squared curvature


@pytest.mark.parametrize("surplus", [1e-8, 1e-4, 0.01, 0.1, 0.5])
def test_pinned_and_clamped_columns_bow_as_eulers(surplus):
    """Between pins two quarters of the buckled column, between clamps four; thrust in proportion."""
    stretch = 1 + surplus
    alpha = brentq(lambda a: column(a)[1] - 1 / stretch, 1e-6, 3, xtol=1e-15)
    load, _, _, energy = column(alpha)

    pinned = natural_lay(ORIGIN, None, X, None, length=stretch)
    clamped = natural_lay(ORIGIN, X, X, X, length=stretch)

    for lay, quarters in ((pinned, 2), (clamped, 4)):
        quarter = stretch / quarters
        assert_allclose(lay.end_force_over_ei, [-load / quarter**2, 0, 0], rtol=1e-5, atol=1e-4)
        assert_allclose(lay.energy, quarters * energy / quarter, rtol=1e-6)
        assert is_flat(lay)


@pytest.mark.parametrize("stretch", [2.0, 2.5, 3.0])
def test_long_surplus_leaves_the_plane(stretch):
    """Below both flat shapes of clamped ends in line: the bow, in closed form, and the loop."""
    alpha = brentq(lambda a: column(a)[1] - 1 / stretch, 0.1, 3, xtol=1e-15)
    bow = 16 * column(alpha)[3] / stretch
    loop = flat_energy(X, stretch, lambda s: 2 * np.pi * s)

    lay = natural_lay(ORIGIN, X, X, X, length=stretch)

    assert lay.energy < 0.99 * min(bow, loop)
    assert not is_flat(lay)


def flat_energy(end, length, first_theta) -> float:
    """Least energy of a flat elastica, x axis to a total turn, by a boundary-value solver."""
    solved = flat_elastica(end, length, first_theta)
    s = np.linspace(0, 1, 4001)
    return float(np.trapezoid(solved.sol(s)[1] ** 2, s) / (2 * length))


def flat_elastica(end, length, first_theta):
    """Solve theta'' = Fx sin(theta) - Fy cos(theta) for the force that closes the curve."""

    def shape(_, state, force):
        theta, curvature = state[:2]
        turned = force[0] * np.sin(theta) - force[1] * np.cos(theta)
        return np.array([curvature, turned, np.cos(theta), np.sin(theta)])

    def ends(a, b, _):
        gap = [b[2] - end[0] / length, b[3] - end[1] / length]
        return np.array([a[0] - first_theta(0.0), a[2], a[3], b[0] - first_theta(1.0), *gap])

    s = np.linspace(0, 1, 101)
    theta = first_theta(s)
    step = s[1]
    x, y = (np.cumsum(each) * step for each in (np.cos(theta), np.sin(theta)))
    guess = np.array([theta, np.gradient(theta, s), x, y])
    solved = solve_bvp(shape, ends, s, guess, p=[0.0, 0.0], tol=1e-9, max_nodes=20000)
    assert solved.success
    return solved


def test_flat_case_against_a_boundary_value_solver():
    end, length, turn = np.array([140.0, 60.0, 0.0]), 240.0, np.radians(130)
    solved = flat_elastica(end, length, lambda s: turn * s)

    lay = natural_lay(ORIGIN, X, end, [np.cos(turn), np.sin(turn), 0], length=length)

    s = np.linspace(0, 1, len(lay.points))
    assert_allclose(lay.points[:, :2], length * solved.sol(s)[2:].T, atol=1e-5)
    assert_allclose(lay.end_force_over_ei[:2] * length**2, solved.p, rtol=1e-6)


def test_case_in_space_against_a_boundary_value_solver():
    """Rod without twist: r' = t, t' = v, v' = (F.t - v.v) t - F for a constant force F.

    Followed in small steps from a circular arc, which needs no force, to ends out of any plane.
    """
    length, end = 420.0, np.array([250.0, 80.0, -60.0])
    direction = np.array([0.2, -0.5, 0.8]) / np.sqrt(0.93)
    turn, s = 1.5, np.linspace(0, 1, 61)
    cos, sin, nil = np.cos(turn * s), np.sin(turn * s), 0 * s
    curve = np.array(
        [sin / turn, (1 - cos) / turn, nil, cos, sin, nil, -turn * sin, turn * cos, nil]
    )
    arc_end, arc_direction, force = curve[:3, -1], curve[3:6, -1], np.zeros(3)

    def shape(_, state, force):
        t, v = state[3:6], state[6:9]
        return np.vstack([t, v, (force @ t - np.sum(v * v, axis=0)) * t - force[:, None]])

    for part in np.linspace(0.1, 1, 10):
        place = (1 - part) * arc_end + part * end / length
        aim = (1 - part) * arc_direction + part * direction
        across = np.linalg.svd(aim[None])[2][1:]

        def ends(a, b, _, place=place, across=across):
            return np.hstack([a[:3], a[3:6] - X, a[6:9] @ a[3:6], b[:3] - place, across @ b[3:6]])

        solved = solve_bvp(shape, ends, s, curve, p=force, tol=1e-7 if part == 1 else 1e-4)
        assert solved.success
        s, curve, force = solved.x, solved.y, solved.p

    lay = natural_lay(ORIGIN, X, end, direction, length=length)

    state = solved.sol(np.linspace(0, 1, len(lay.points)))
    assert_allclose(lay.points, length * state[:3].T, atol=1e-4)
    assert_allclose(lay.curvature * length, np.linalg.norm(state[6:9], axis=0), rtol=1e-6)
    assert_allclose(lay.end_force_over_ei * length**2, force, rtol=1e-6)
    assert not is_flat(lay)
