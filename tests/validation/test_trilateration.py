"""Locating against closed figures and against a general least-squares library.

Independent checks, not published examples: integer coordinates whose distances are whole by
Pythagoras, and `scipy.optimize.least_squares` on the same readings from several starts.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from cableroute.measure.locate import locate
from cableroute.measure.network import fit_network


def test_pythagorean_triples_in_a_box():
    nodes = {"O": [0, 0, 0], "P": [240, 0, 0], "Q": [0, 320, 0]}
    got = locate(nodes, dict.fromkeys(nodes, 250), side="up")
    # the circumcentre of a 240 x 320 right triangle is 200 from each corner; 150-200-250 upright
    np.testing.assert_allclose(got.point, [120, 160, 150], atol=1e-9)


def test_a_3_4_5_floor_squares_itself():
    sides = {("A", "B"): 300, ("B", "C"): 400, ("C", "D"): 300, ("D", "A"): 400}
    got = fit_network(sides | {("A", "C"): 500, ("B", "D"): 500}, planar=True)
    np.testing.assert_allclose(got.points["C"], [300, 400, 0], atol=1e-9)
    np.testing.assert_allclose(got.points["D"], [0, 400, 0], atol=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_locate_is_the_least_squares_point(seed):
    rng = np.random.default_rng(seed)
    k = int(rng.integers(4, 9))
    nodes, truth = rng.uniform(-500, 500, (k, 3)), rng.uniform(-700, 700, 3)
    sigma = rng.uniform(0.5, 2.0, k)
    tape = np.linalg.norm(nodes - truth, axis=1) + rng.normal(0, 0.5 * sigma)
    got = locate(nodes, tape, sigma=sigma)

    def misfit(p):
        return (np.linalg.norm(nodes - p, axis=1) - tape) / sigma

    starts = [truth, *rng.uniform(-700, 700, (5, 3))]
    tight = {"xtol": 1e-14, "ftol": 1e-14, "gtol": 1e-14}
    peer = min((least_squares(misfit, p, **tight) for p in starts), key=lambda fit: fit.cost)
    twins = [got.point] if got.mirror is None else [got.point, got.mirror]
    nearest = min(twins, key=lambda p: np.linalg.norm(p - peer.x))
    np.testing.assert_allclose(nearest, peer.x, atol=1e-5)
    if not got.weak and nearest is got.point:
        want = np.linalg.inv(peer.jac.T @ peer.jac)
        np.testing.assert_allclose(got.covariance, want, rtol=1e-4, atol=1e-4 * want.max())


def test_a_frame_of_known_and_unknown_nodes_is_the_least_squares_fit():
    rng = np.random.default_rng(8)
    places = dict(zip("ABCDEFG", rng.uniform(0, 900, (7, 3)), strict=True))
    known = {name: places[name] for name in "ABCD"}
    pairs = [(a, b) for a in "EFG" for b in "ABCDEFG" if a > b]
    tape = np.array([np.linalg.norm(places[a] - places[b]) for a, b in pairs])
    tape += rng.normal(0, 1.0, len(pairs))
    got = fit_network(dict(zip(pairs, tape, strict=True)), known=known)

    def misfit(unknown):
        at = known | dict(zip("EFG", unknown.reshape(3, 3), strict=True))
        return np.array([np.linalg.norm(at[a] - at[b]) for a, b in pairs]) - tape

    start = np.concatenate([places[name] for name in "EFG"])
    peer = least_squares(misfit, start, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    found = np.concatenate([got.points[name] for name in "EFG"])
    np.testing.assert_allclose(found, peer.x, atol=1e-5)
    want = np.linalg.inv(peer.jac.T @ peer.jac)
    np.testing.assert_allclose(got.covariance["F"], want[3:6, 3:6], rtol=1e-4, atol=1e-4)
