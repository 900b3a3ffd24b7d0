"""The elastica of Euler against the natural lay through points, headings clamped or free.

S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd ed., sec. 2.7 (from memory,
recomputed with elliptic integrals); the right-angle elastica with its constants K = 1.854075 and
E = 1.350644.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq
from scipy.special import ellipe, ellipk

from cableroute.route.lay_through import lay_through

X, Y, Z = np.eye(3)
FREE = np.full(3, np.nan)


def column(alpha: float) -> tuple[float, float, float]:
    """Load P l^2/EI, place x/l and y/l of the free end of a column whose end turns by alpha."""
    modulus = np.sin(alpha / 2)
    K, E = ellipk(modulus**2), ellipe(modulus**2)
    return K**2, 2 * E / K - 1, 2 * modulus / K


@pytest.mark.parametrize(
    ("degrees", "x", "y"),
    [(20, 0.9697, 0.2194), (40, 0.8812, 0.4222), (60, 0.7410, 0.5932), (80, 0.5594, 0.7195)],
)
def test_table_of_the_buckled_column_clamped_and_free(degrees, x, y):
    """Sec. 2.7: x/l and y/l; with its far end clamped at alpha or free it is one curve."""
    alpha = np.radians(degrees)
    load, exact_x, exact_y = column(alpha)
    assert_allclose([exact_x, exact_y], [x, y], atol=5.1e-5)
    tip = [np.cos(alpha), np.sin(alpha), 0]
    lays = lay_through(
        np.broadcast_to([[0, 0, 0], [400 * exact_x, 400 * exact_y, 0]], (2, 2, 3)),
        headings=[[X, tip], [X, FREE]],
        length=400,
    )
    assert lays.settled.all()
    assert_allclose(lays.tangents[:, -1], [tip, tip], atol=1e-4)
    assert_allclose(lays.wrap, alpha, rtol=1e-4)
    assert_allclose(lays.pull_over_ei * 400**2, -load * np.cos(alpha), atol=0.003 * load)
    assert_allclose(lays.min_radius, 400 / (2 * np.sin(alpha / 2) * np.sqrt(load)), rtol=2e-3)


@pytest.mark.parametrize("surplus", [1e-4, 0.01, 0.1])
def test_pinned_and_clamped_columns_bow_as_eulers(surplus):
    """Between pins two quarters of the buckled column, between clamps four."""
    stretch = 1 + surplus
    alpha = brentq(lambda a: column(a)[1] - 1 / stretch, 1e-6, 3, xtol=1e-15)
    lays = lay_through(
        np.broadcast_to([0 * X, X], (2, 2, 3)), headings=[[FREE, FREE], [X, X]], length=stretch
    )
    assert lays.settled.all()
    quarters = np.array([2, 4])
    assert_allclose(lays.wrap, quarters * alpha, rtol=1e-3)
    thrust = column(alpha)[0] * (quarters / stretch) ** 2
    assert_allclose(lays.pull_over_ei, -thrust * np.cos(alpha), rtol=1e-3)


@pytest.mark.parametrize("degrees", [1.0, 45.0, 90.0, 150.0])
def test_headings_on_a_circle_with_its_length_give_the_circle(degrees):
    """Three points of a circle, clamped along it or free between: end moments alone."""
    turn, radius = np.radians(degrees), 150.0
    at = np.array([0.0, 0.4, 1.0]) * turn
    points = radius * np.stack([np.sin(at), 1 - np.cos(at), 0 * at], axis=-1)
    ways = np.stack([np.cos(at), np.sin(at), 0 * at], axis=-1)
    free = np.where([[False], [True], [False]], np.nan, ways)
    lays = lay_through(
        np.broadcast_to(points, (2, 3, 3)), headings=[ways, free], length=turn * radius
    )
    assert lays.settled.all()
    assert_allclose(lays.radii, radius, rtol=1e-4)
    assert_allclose(lays.wrap, turn, rtol=1e-6)
    assert_allclose(np.linalg.norm(lays.places() - [0, radius, 0], axis=-1), radius, rtol=1e-6)


def test_u_turn_through_its_crown_is_the_right_angle_elastica():
    """x/l = 0.456947, y/l = 0.762760 for each quarter; the crown's heading is across, given or not.

    Clamped two by two, so that each half has a length of its own.
    """
    quarter = 50 / 0.456947
    crown = 0.762760 * quarter
    points = np.broadcast_to([[0, 0, 0], [crown, 50, 0], [0, 100, 0]], (2, 3, 3))
    lays = lay_through(points, headings=[[X, Y, -X], [X, FREE, -X]])
    assert lays.settled.all()
    assert_allclose(lays.length, 2 * quarter, rtol=2e-6)
    assert_allclose(lays.wrap, np.pi, rtol=1e-4)
    assert_allclose(lays.tangents[1, 1], Y, atol=1e-4)
    assert_allclose(lays.min_radius / quarter, 1 / (np.sqrt(2) * 1.854075), rtol=1e-3)
