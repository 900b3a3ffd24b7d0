"""Runs through points against searches for the shortest curve of bounded curvature.

L. E. Dubins, "On curves of minimal length with a constraint on average curvature, and with
prescribed initial and terminal positions and tangents", American Journal of Mathematics 79 (1957),
497-516 (from memory): in the plane, the shortest curve between two places with given directions that
nowhere bends tighter than R is three pieces at most, arcs of R (L, R) and a straight (S): one of
LSL, RSR, LSR, RSL, LRL, RLR. Through points with free directions, the shortest is found here by
searching over the directions, each leg the best of the six.

In space the length of the run is written out from tangent vectors at the points and minimised
outright.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize

from cableroute.route.fillet import fit_arcs

TURN = 2.0 * np.pi


def words(far: float, alpha: float, beta: float) -> list[tuple[float, float, float]]:
    """Lengths of the pieces of each word between (0, 0) and (far, 0) at a radius of one."""
    found = []

    def circles(side: float, angle: float) -> np.ndarray:
        return side * np.array([-np.sin(angle), np.cos(angle)])

    for first in (1.0, -1.0):
        for last in (1.0, -1.0):
            between = np.array([far, 0.0]) + circles(last, beta) - circles(first, alpha)
            reach, way = np.hypot(*between), np.arctan2(between[1], between[0])
            if first == last:
                straight, lean = reach, 0.0
            elif reach >= 2.0:
                straight = np.sqrt(reach**2 - 4.0)
                lean = first * np.arctan2(2.0, straight)
            else:
                continue
            along = way + lean
            found.append(
                ((first * (along - alpha)) % TURN, straight, (last * (beta - along)) % TURN)
            )
        between = np.array([far, 0.0]) + circles(first, beta) - circles(first, alpha)
        reach, way = np.hypot(*between), np.arctan2(between[1], between[0])
        if reach <= 4.0:
            lean = np.arccos(reach / 4.0)
            for bend in (1.0, -1.0):
                at = way + bend * lean
                joint = at + first * np.pi / 2
                other = way - bend * lean + np.pi
                leaving = other + first * np.pi / 2
                middle = (-first * (leaving - joint)) % TURN
                found.append(
                    ((first * (joint - alpha)) % TURN, middle, (first * (beta - leaving)) % TURN)
                )
    return found


def shortest_leg(start: np.ndarray, end: np.ndarray, *, leave: float, arrive: float) -> float:
    """Length of the shortest curve from place to place, directions given, at a radius of one."""
    step = end - start
    chord = np.arctan2(step[1], step[0])
    return min(sum(word) for word in words(np.hypot(*step), leave - chord, arrive - chord))


def shortest_run(points: np.ndarray) -> float:
    """Length of the shortest run, free directions searched from several starts, those at the ends too.

    A run that may leave its end in any direction leaves it straight, so an end's direction is one
    more to search over.
    """
    chords = np.arctan2(*np.diff(points, axis=0).T[::-1])
    between = np.concatenate((chords[:1], chords[:-1], chords[-1:]))
    after = np.concatenate((chords[:1], chords[1:], chords[-1:]))
    between = between + 0.5 * ((after - between + np.pi) % TURN - np.pi)

    def total(angles: np.ndarray) -> float:
        return sum(
            shortest_leg(points[i], points[i + 1], leave=angles[i], arrive=angles[i + 1])
            for i in range(len(points) - 1)
        )

    rng = np.random.default_rng(3)
    starts = [between, *(between + rng.normal(scale=0.5, size=(3, len(points))))]
    best = np.inf
    for start in starts:
        found = minimize(total, start, method="Nelder-Mead", options=NELDER_MEAD)
        best = min(best, float(found.fun))
    return best


NELDER_MEAD = {"xatol": 1e-8, "fatol": 1e-10, "maxiter": 4000, "maxfev": 4000, "adaptive": True}


@pytest.mark.parametrize(
    ("far", "alpha", "beta", "length"),
    [
        (5.0, 0.0, 0.0, 5.0),
        (4.0, np.pi / 2, np.pi / 2, 2 * np.pi),
        (4.0, np.pi / 2, -np.pi / 2, np.pi + 2.0),
        (0.0, 0.0, np.pi, 7 * np.pi / 3),
    ],
)
def test_the_search_knows_the_words(far: float, alpha: float, beta: float, length: float) -> None:
    """Straight on; across by two half circles; over by RSR; about turn on the spot by RLR."""
    found = min(sum(word) for word in words(far, alpha, beta))
    assert found == pytest.approx(length, rel=1e-12)


@pytest.mark.parametrize("seed", range(6))
def test_in_the_plane_no_shorter_run_is_found_by_searching(seed: int) -> None:
    """Legs long enough for the radius; to five digits and more."""
    rng = np.random.default_rng(seed)
    count = 3 + seed % 3
    turns = rng.uniform(-1.6, 1.6, count).cumsum()
    legs = rng.uniform(3.5, 7.0, (count, 1))
    points = np.cumsum(legs * np.stack((np.cos(turns), np.sin(turns)), axis=-1), axis=0)
    points = np.concatenate(([[0.0, 0.0]], points))
    run = fit_arcs(np.pad(points, ((0, 0), (0, 1))), min_bend_radius=1.0, through=True)

    assert run.fits
    assert run.length == pytest.approx(shortest_run(points), rel=2e-7)


@pytest.mark.parametrize("seed", range(6))
def test_in_the_plane_a_run_along_headings_is_the_best_word_on_each_leg(seed: int) -> None:
    rng = np.random.default_rng(seed)
    ways = rng.uniform(-0.8, 0.8, 4)
    steps = rng.uniform(5.0, 8.0, (4, 1)) * np.stack((np.cos(ways), np.sin(ways)), axis=-1)
    points = np.concatenate((np.zeros((1, 2)), np.cumsum(steps, axis=0)))
    angles = rng.uniform(-1.0, 1.0, 5)
    headings = np.stack((np.cos(angles), np.sin(angles), 0.0 * angles), axis=-1)
    run = fit_arcs(np.pad(points, ((0, 0), (0, 1))), min_bend_radius=1.0, headings=headings)
    best = sum(
        shortest_leg(points[i], points[i + 1], leave=angles[i], arrive=angles[i + 1])
        for i in range(4)
    )

    assert run.fits
    assert run.length == pytest.approx(best, rel=1e-10)


def free_length(points: np.ndarray, tangents: np.ndarray) -> float:
    """Length of the run of arc, straight, arc from point to point with these directions there."""
    return sum(
        directed_leg(points[i], points[i + 1], leave=tangents[i], arrive=tangents[i + 1])
        for i in range(len(points) - 1)
    )


def directed_leg(
    start: np.ndarray, end: np.ndarray, *, leave: np.ndarray, arrive: np.ndarray
) -> float:
    """Length of arc, straight, arc at a radius of one: a leg's two tangent lengths by bisection.

    The straight leaves ``start + a leave`` for ``end - b arrive`` with ``a`` and ``b`` the tangents
    of half its turns, found by putting them back in.
    """
    a = b = 0.0
    for _ in range(400):
        way = (end - b * arrive) - (start + a * leave)
        size = np.linalg.norm(way)
        along = way / size
        before = a, b
        a, b = (np.linalg.norm(along - t) / np.linalg.norm(along + t) for t in (leave, arrive))
        if abs(a - before[0]) + abs(b - before[1]) < 1e-13:
            break
    return size - a - b + 2.0 * (np.arctan(a) + np.arctan(b))


@pytest.mark.parametrize("seed", range(4))
def test_in_space_no_shorter_run_is_found_by_minimising(seed: int) -> None:
    rng = np.random.default_rng(seed)
    ways = rng.normal(size=(4, 3)) * 0.8 + np.array([1.0, 0.0, 0.0])
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    points = np.concatenate((np.zeros((1, 3)), np.cumsum(6.0 * ways, axis=0)))
    run = fit_arcs(points, min_bend_radius=1.0, through=True)

    def total(flat: np.ndarray) -> float:
        tangents = flat.reshape(-1, 3)
        return free_length(points, tangents / np.linalg.norm(tangents, axis=1)[:, None])

    at_points = run.tangent(run.stations)
    start = at_points + rng.normal(scale=0.15, size=at_points.shape)
    found = minimize(total, start.ravel(), method="BFGS", options={"gtol": 1e-7})

    assert run.fits
    assert found.fun < total(start.ravel())
    assert run.length == pytest.approx(found.fun, rel=1e-6)
    assert run.length <= found.fun * (1.0 + 1e-9)
