"""The batch solver of the natural lay: against the dense one, against its own laws, and its end."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cableroute.errors import GeometryError
from cableroute.route._block_chain import Chain, solve_chain
from cableroute.route.lay import lay_run, natural_lay
from cableroute.route.lay_through import STEPS, lay_through

X, Y, Z = np.eye(3)
NAN = np.full(3, np.nan)
CLIPS = np.array([[0.0, 0, 0], [200, 40, 10], [380, -30, 60], [600, 20, 20], [700, 150, 60]])


def end_headings(points: np.ndarray) -> np.ndarray:
    """The first and last leg's directions, the rest free."""
    headings = np.full_like(points, np.nan)
    headings[0], headings[-1] = points[1] - points[0], points[-1] - points[-2]
    return headings


def bent_runs(count: int, seed: int, spread: float = 15.0) -> np.ndarray:
    return CLIPS + np.random.default_rng(seed).normal(0, spread, (count, *CLIPS.shape))


# --- the same lay as the dense solver finds


#: A gear selector's run and a locomotive's, as surveyed; the buggy's third point is 2' 1 1/2" up.
BUGGY = [[180, 260, 210], [-120, 260, 190], [-330, 300, 647.7], [-900, 120, 640], [-1270, 90, 380]]
LOCOMOTIVE = [
    [0, -50, 410], [0, -400, 410], [-400, -600, -150], [-1600, -600, -150], [-1600, -250, -150],
]  # fmt: skip


@pytest.mark.parametrize(("run", "length"), [(BUGGY, 1966), (LOCOMOTIVE, 2991)])
def test_surveyed_runs_lie_as_the_dense_solver_lays_them(run, length):
    """Regression: the lengths that the dense solver gave, and its figures within 0.1 %."""
    points = np.asarray(run, dtype=float)
    headings = end_headings(points)

    lay = lay_through(points, headings=headings)
    dense = lay_run(points, directions=[headings[0], *[None] * (len(points) - 2), headings[-1]])

    assert lay.settled
    assert_allclose(lay.length, length, atol=1)
    assert_allclose(lay.length, sum(each.length for each in dense), rtol=1e-6)
    assert_allclose(lay.wrap, sum(each.wrap for each in dense), rtol=1e-4)
    assert_allclose(lay.min_radius, min(each.min_bend_radius for each in dense), rtol=1e-3)


@settings(max_examples=5)
@given(st.integers(0, 10_000), st.lists(st.booleans(), min_size=5, max_size=5))
def test_headings_at_any_point_as_the_dense_solver_takes_them(seed, which):
    points = bent_runs(1, seed)[0]
    rng = np.random.default_rng(seed)
    ways = unit_rows(np.gradient(points, axis=0) + rng.normal(0, 30, points.shape))
    headings = np.where(np.array(which)[:, None], ways, np.nan)

    lay = lay_through(points, headings=headings)
    dense = lay_run(
        points, directions=[w if on else None for w, on in zip(ways, which, strict=True)]
    )

    assert lay.settled
    assert_allclose(lay.span_lengths, [each.length for each in dense], rtol=1e-5)
    assert_allclose(lay.wrap, sum(each.wrap for each in dense), rtol=1e-3)
    assert_allclose(lay.tangents[which], ways[which], atol=1e-12)
    places = np.array([each.points for each in dense])
    assert_allclose(lay.places(201), places, atol=2e-3)


def unit_rows(rows: np.ndarray) -> np.ndarray:
    return rows / np.linalg.norm(rows, axis=-1, keepdims=True)


@pytest.mark.parametrize("stretch", [0.985, 1.02, 1.08])
def test_a_total_length_is_shared_with_one_pull(stretch):
    """What it draws in is minus the change of energy with length, whichever span the length is in."""
    free = lay_through(CLIPS)
    lay = lay_through(CLIPS, length=stretch * free.length)
    assert lay.settled
    assert_allclose(lay.length, stretch * free.length, rtol=2e-8)
    assert np.sign(lay.pull_over_ei) == np.sign(1 - stretch)
    for i, length in enumerate(lay.span_lengths):
        ends = CLIPS[i], lay.tangents[i], CLIPS[i + 1], lay.tangents[i + 1]
        alone = natural_lay(*ends, length=float(length))
        assert_allclose(alone.pull_over_ei, lay.pull_over_ei, rtol=1e-3)
        assert_allclose(alone.wrap, lay.wraps[i], rtol=1e-3)


# --- a batch is its members


def test_a_batch_gives_what_each_cable_gives_alone():
    runs = bent_runs(6, 1).reshape(2, 3, 5, 3)
    headings = np.full_like(runs, np.nan)
    headings[0, :, 0], headings[1, 1, 2] = X, X + 0.2 * Y
    together = lay_through(runs, headings=headings)

    assert together.settled.shape == together.length.shape == (2, 3)
    for at in np.ndindex(2, 3):
        alone = lay_through(runs[at], headings=headings[at])
        assert_allclose(together.span_lengths[at], alone.span_lengths, rtol=1e-6)
        assert_allclose(together.min_radius[at], alone.min_radius, rtol=2e-3)
        assert_allclose(together.places()[at], alone.places(), atol=1e-2)


def test_size_and_place_do_not_matter():
    lay = lay_through(CLIPS)
    moved = lay_through(1e-2 * CLIPS - 50.0)
    assert_allclose(moved.places(), 1e-2 * lay.places() - 50.0, atol=1e-6)
    assert_allclose(moved.min_radius, 1e-2 * lay.min_radius, rtol=1e-6)


def test_the_chain_of_clips_solves_as_a_dense_matrix():
    rng = np.random.default_rng(2)
    for n in (1, 2, 3, 8, 13):
        diagonal = rng.normal(size=(2, n, 2, 2))
        diagonal = diagonal + np.swapaxes(diagonal, -1, -2) + 8 * np.eye(2)
        beside, sides = rng.normal(size=(2, n - 1, 2, 2)), rng.normal(size=(2, n, 2, 2))
        corner, gap = rng.normal(size=(2, 2)), rng.normal(size=2)
        clips, border, _ = solve_chain(Chain(diagonal, beside, sides, corner), gap)
        for b in range(2):
            full = np.zeros((2 * n + 1, 2 * n + 1))
            for i in range(n):
                full[2 * i : 2 * i + 2, 2 * i : 2 * i + 2] = diagonal[b, i]
            for i in range(n - 1):
                full[2 * i : 2 * i + 2, 2 * i + 2 : 2 * i + 4] = beside[b, i]
                full[2 * i + 2 : 2 * i + 4, 2 * i : 2 * i + 2] = beside[b, i].T
            full[:-1, -1] = full[-1, :-1] = sides[b, :, :, 0].ravel()
            full[-1, -1] = corner[b, 0]
            right = np.append(sides[b, :, :, 1].ravel(), corner[b, 1] + gap[b])
            solved = np.linalg.solve(full, right)
            assert_allclose(np.append(clips[b].ravel(), border[b]), solved, rtol=1e-8)


# --- straight, long, and without end


def test_points_in_line_lie_straight():
    lay = lay_through([[0, 0, 0], [100, 0, 0], [250, 0, 0]])
    assert lay.settled
    assert_allclose(lay.length, 250)
    assert lay.min_radius == np.inf
    assert lay.wrap < 1e-9


def test_a_straight_cable_pushed_together_bows():
    """Two spans in line: each the bow of a pinned column, to opposite sides."""
    lay = lay_through([[0, 0, 0], [100, 0, 0], [200, 0, 0]], length=202)
    alone = natural_lay([0, 0, 0], None, [100, 0, 0], None, length=101)
    assert lay.settled
    assert_allclose(lay.wrap, 2 * alone.wrap, rtol=1e-4)
    assert_allclose(lay.pull_over_ei, alone.pull_over_ei, rtol=1e-5)


def test_a_thousand_points_settle_in_a_few_steps():
    s = 60.0 * np.arange(1000)
    points = np.stack([s, 300 * np.sin(s / 400), 200 * np.cos(s / 700)], axis=-1)
    lay = lay_through(points)
    part = lay_through(points[480:520])  # an end is not felt twenty points on
    assert lay.settled
    assert lay.steps < 10
    assert_allclose(lay.span_lengths[499], part.span_lengths[19], rtol=1e-6)


def test_a_cable_without_a_length_of_its_own_says_so_and_still_goes_through_its_points():
    lay = lay_through([[[0, 0, 0], [1, 0, 0]], [[0, 0, 0], [1, 1, 0]]], headings=[[-X, -X], [X, Y]])
    assert lay.settled.tolist() == [False, True]
    assert "grow without end" in lay.doubt[0]
    assert lay.doubt[1] == ""
    assert (lay.steps <= STEPS).all()
    assert_allclose(lay.places()[:, 0, -1], [[1, 0, 0], [1, 1, 0]], atol=1e-6)


def in_a_plane(count: int, seed: int) -> np.ndarray:
    """Flat runs of four points, at least 100 apart, in the xy plane or stood upright."""
    rng = np.random.default_rng(seed)
    ways = np.cumsum(rng.uniform(-1.4, 1.4, (count, 4)), axis=1)
    legs = rng.uniform(100.0, 600.0, (count, 4))[..., None]
    steps = legs * np.stack([np.cos(ways), np.sin(ways), np.zeros_like(ways)], axis=-1)
    flat = np.concatenate([np.zeros((count, 1, 3)), np.cumsum(steps, axis=1)], axis=1)
    flat[1::2] = flat[1::2][..., [0, 2, 1]]
    return flat


@pytest.mark.parametrize("stretch", [None, 1.03, 1.1, 1.3])
def test_a_flat_run_turns_on_at_its_clips_without_a_kink(stretch):
    """Where z is nothing its sign is chance, and must not tell two spans to turn about other ways."""
    points = in_a_plane(60, seed=5)
    legs = np.linalg.norm(np.diff(points, axis=1), axis=-1).sum(-1)
    lay = lay_through(points, length=None if stretch is None else stretch * legs)
    assert lay.settled.mean() > 0.8
    kinks = np.linalg.norm(lay.nodes[:, 1:, 0] - lay.nodes[:, :-1, -1], axis=-1)
    assert_allclose(kinks[lay.settled], 0.0, atol=1e-9)


def test_an_s_whose_ends_turn_freely_has_no_length_of_its_own_and_with_headings_it_has():
    """It draws in more cable at every length, and takes the same shape from either end."""
    points = np.array([[0.0, 0, 0], [300, 0, 0], [300, 400, 0], [900, 400, 0]])
    assert "grow without end" in lay_through(points).doubt.item()
    assert lay_through(points, headings=[X, NAN, NAN, X]).settled
    lengths = 1300.0 * np.array([1.03, 1.05, 1.1, 1.15, 1.2, 1.25, 1.3, 1.5, 2.0, 3.0])
    many = np.broadcast_to(points, (10, 4, 3))
    lay, back = lay_through(many, length=lengths), lay_through(many[:, ::-1], length=lengths)
    assert lay.settled.all()
    assert (lay.pull_over_ei > 0.0).all()
    assert_allclose(back.wraps[:, ::-1], lay.wraps, rtol=1e-3)


def test_a_cable_hardly_longer_than_its_legs_says_that_it_bends_too_sharply():
    legs = np.linalg.norm(np.diff(CLIPS, axis=0), axis=1).sum()
    lay = lay_through(CLIPS, length=legs * (1 + 1e-5))
    assert not lay.settled
    assert lay.doubt != ""
    assert np.isfinite(lay.length)


def test_wild_points_and_headings_end_within_the_steps_allowed():
    rng = np.random.default_rng(11)
    points = np.cumsum(rng.normal(0, 100, (40, 6, 3)), axis=1)
    headings = np.where(rng.random((40, 6, 1)) < 0.5, rng.normal(size=(40, 6, 3)), np.nan)
    lay = lay_through(points, headings=headings)
    assert (lay.steps <= STEPS).all()
    assert np.isfinite(lay.length).all()
    assert np.isfinite(lay.wrap).all()
    assert ((lay.doubt == "") == lay.settled).all()


def test_scipy_is_not_loaded():
    code = (
        "import sys; from cableroute.route.lay_through import lay_through;"
        "lay_through([[0,0,0],[300,100,0],[600,0,0]]);"
        "assert not any(name.startswith('scipy') for name in sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: lay_through([[0, 0, 0]]), "at least two"),
        (lambda: lay_through([[0, 0, 0], [0, 0, 0], X]), "points 1 and 2: expected them apart"),
        (lambda: lay_through([0 * X, X], headings=[X]), "one for each of 2 points"),
        (lambda: lay_through([0 * X, X], headings=[0 * X, X]), "a length above 0"),
        (lambda: lay_through([0 * X, 9 * X], length=8), "more than the straight legs, 9 mm, got 8"),
        (lambda: lay_through([0 * X, X], length=np.nan), "got nan mm"),
    ],
)
def test_refuses_and_says_what_it_expected(call, message):
    with pytest.raises(GeometryError, match=message):
        call()
