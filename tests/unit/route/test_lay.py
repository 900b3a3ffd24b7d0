from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cableroute.errors import GeometryError, SolverError
from cableroute.route._lobatto import bending, derivative, integral, lobatto, value
from cableroute.route.lay import Lay, lay_run, natural_lay

X, Y, Z = np.eye(3)
ORIGIN = np.zeros(3)

few = settings(max_examples=8)
coordinate = st.floats(-1, 1)


def near_x(draw: st.DrawFn) -> np.ndarray:
    """A direction within 50 degrees of x, so that ends in space have one clear lay."""
    return np.array([1.0, *(0.8 * draw(coordinate) for _ in range(2))])


@st.composite
def ends(draw):
    """Start direction, end, end direction and length of a span of about 100 mm, or None."""
    end = 100 * np.array([1.0, 0.5 * draw(coordinate), 0.5 * draw(coordinate)])
    stretch = draw(st.one_of(st.none(), st.floats(1.05, 1.8)))
    length = None if stretch is None else stretch * float(np.linalg.norm(end))
    bent = np.array([0.0, 0.1, 0.2])  # keeps clear of ends in line, whose bow has no preferred side
    return near_x(draw) + bent, end, near_x(draw) - 2 * bent[::-1], length


def rotation(seed: int) -> np.ndarray:
    q, _ = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    return q * np.sign(np.linalg.det(q))


def assert_same_numbers(one: Lay, other: Lay) -> None:
    assert_allclose(one.length, other.length, rtol=1e-7)
    assert_allclose(one.energy, other.energy, rtol=1e-7, atol=1e-12)
    assert_allclose(one.wrap, other.wrap, atol=1e-6)
    assert_allclose(1 / one.min_bend_radius, 1 / other.min_bend_radius, rtol=1e-5, atol=1e-9)


# --- what any lay must be


@few
@given(ends())
def test_curve_joins_its_ends_at_unit_speed(case):
    first, end, last, length = case
    lay = natural_lay(ORIGIN, first, end, last, length=length, points=401)

    assert_allclose(lay.points[0], ORIGIN, atol=1e-12)
    assert_allclose(lay.points[-1], end, atol=1e-8)
    assert_allclose(lay.tangents[0], first / np.linalg.norm(first), atol=1e-9)
    assert_allclose(lay.tangents[-1], last / np.linalg.norm(last), atol=1e-9)
    steps = np.linalg.norm(np.diff(lay.points, axis=0), axis=1)
    assert_allclose(steps.sum(), lay.length, rtol=1e-4)
    assert length is None or lay.length == pytest.approx(length, rel=1e-12)
    turns = np.arccos(np.clip(np.sum(lay.tangents[1:] * lay.tangents[:-1], axis=1), -1, 1))
    assert_allclose(turns.sum(), lay.wrap, rtol=1e-3)
    assert_allclose(1 / lay.min_bend_radius, lay.curvature.max(), rtol=1e-3)
    assert lay.residual < 1e-6


@few
@given(ends(), st.integers(0, 100))
def test_moving_turning_and_mirroring_the_clips_moves_the_lay(case, seed):
    first, end, last, length = case
    turn, shift = rotation(seed), np.array([30.0, -700.0, 12.0])
    lay = natural_lay(ORIGIN, first, end, last, length=length)
    for move in (turn, turn @ np.diag([1, 1, -1])):
        moved = natural_lay(shift, move @ first, shift + move @ end, move @ last, length=length)
        assert_allclose(moved.points, lay.points @ move.T + shift, atol=1e-4)
        assert_same_numbers(moved, lay)


@few
@given(ends())
def test_the_lay_is_the_same_from_the_other_end(case):
    first, end, last, length = case
    lay = natural_lay(ORIGIN, first, end, last, length=length)
    back = natural_lay(end, -last, ORIGIN, -first, length=length)

    assert_allclose(back.points[::-1], lay.points, atol=1e-4)
    assert_same_numbers(back, lay)
    assert_allclose(back.end_force_over_ei, -lay.end_force_over_ei, atol=1e-7)


@few
@given(ends(), st.floats(0.01, 100))
def test_energy_falls_as_one_over_size(case, size):
    first, end, last, length = case
    lay = natural_lay(ORIGIN, first, end, last, length=length)
    scaled = natural_lay(
        ORIGIN, size * first, size * end, last, length=None if length is None else size * length
    )

    assert_allclose(scaled.points, size * lay.points, atol=1e-6 * size * lay.length)
    assert_allclose(scaled.energy, lay.energy / size, rtol=1e-8)
    assert_allclose(scaled.min_bend_radius, size * lay.min_bend_radius, rtol=1e-6)
    assert_allclose(scaled.wrap, lay.wrap, atol=1e-6)


@few
@given(ends(), st.integers(0, 1000))
def test_no_nearby_curve_through_the_same_ends_bends_less(case, seed):
    """The lay shaken and closed again: its bending energy, by finite differences, only rises."""
    first, end, last, length = case
    lay = natural_lay(ORIGIN, first, end, last, length=length, points=801)
    s = np.linspace(0, 1, 801)[:, None]
    bump = (s * (1 - s)) ** 2  # leaves the ends and their directions alone
    shake = sum(
        bump * np.sin(k * np.pi * s) * row
        for k, row in enumerate(np.random.default_rng(seed).normal(size=(4, 3)), start=1)
    )
    shaken = lay.points + 0.2 * lay.length * shake
    speed = np.gradient(shaken, s[:, 0], axis=0, edge_order=2)
    longer = np.trapezoid(np.linalg.norm(speed, axis=1), s[:, 0])

    def least(points: np.ndarray) -> float:
        velocity = np.gradient(points, s[:, 0], axis=0, edge_order=2)
        change = np.gradient(velocity, s[:, 0], axis=0, edge_order=2)
        speed = np.linalg.norm(velocity, axis=1)
        curvature = np.linalg.norm(np.cross(velocity, change), axis=1) / speed**3
        return float(np.trapezoid(curvature**2 / 2 * speed, s[:, 0]))

    # At fixed length the comparison owes the pull times the length the shake has added.
    owed = lay.pull_over_ei * (longer - lay.length)
    assert least(shaken) + owed > lay.energy * (1 - 1e-4)


def test_end_force_and_pull_are_slopes_of_the_energy():
    def energy(end, length):
        return natural_lay(ORIGIN, X, end, [0, 1, 1], length=length).energy

    end, length, step = np.array([80.0, 40.0, 20.0]), 130.0, 1e-3
    lay = natural_lay(ORIGIN, X, end, [0, 1, 1], length=length)

    moved = [
        energy(end + step * axis, length) - energy(end - step * axis, length) for axis in (X, Y, Z)
    ]
    fed = energy(end, length + step) - energy(end, length - step)
    assert_allclose(lay.end_force_over_ei, np.array(moved) / (2 * step), rtol=1e-5)
    assert_allclose(lay.pull_over_ei, -fed / (2 * step), rtol=1e-5)


def test_pull_is_the_same_all_along():
    """Half the squared curvature plus the tension is constant on any elastica."""
    lay = natural_lay(ORIGIN, X, [80, 40, 20], [0, 1, 1], length=130)

    pull = lay.tangents @ lay.end_force_over_ei + lay.curvature**2 / 2
    assert_allclose(pull, lay.pull_over_ei, rtol=1e-6)


# --- the length of a free cable


def test_a_free_cable_between_ends_in_line_is_straight():
    lay = natural_lay([10, 20, 30], [2, 2, 1], [30, 40, 40], [4, 4, 2])

    assert lay.length == pytest.approx(30, rel=1e-12)
    assert lay.wrap < 1e-9
    assert lay.min_bend_radius == np.inf
    assert_allclose(lay.points, np.linspace([10, 20, 30], [30, 40, 40], 201), atol=1e-9)


def test_a_free_cable_between_free_ends_is_straight():
    lay = natural_lay(ORIGIN, None, [0, 0, 50], None, points=3)
    assert_allclose(lay.points, [[0, 0, 0], [0, 0, 25], [0, 0, 50]], atol=1e-9)


@pytest.mark.parametrize("degrees", [1e-4, 1.0, 20.0])
def test_a_slight_bend_is_as_a_beam_bends(degrees):
    """Small angles: a clamped beam turned at one end, energy 2 angle^2 / length."""
    angle = np.radians(degrees)
    lay = natural_lay(ORIGIN, [np.cos(angle), np.sin(angle), 0], 100 * X, X)
    assert_allclose(lay.energy * 100, 2 * angle**2, rtol=0.2 * angle**2 + 1e-7)
    assert_allclose(lay.length - 100, 100 * angle**2 / 15, rtol=0.1 * angle + 1e-3, atol=1e-9)


def test_a_longer_or_shorter_cable_than_the_free_one_bends_more():
    free = natural_lay(ORIGIN, X, [100, 60, 20], Y)
    for stretch in (0.99, 1.01):
        lay = natural_lay(ORIGIN, X, [100, 60, 20], Y, length=stretch * free.length)
        assert lay.energy > free.energy * (1 + 1e-6)
        assert lay.pull_over_ei * (1 - stretch) > 0


def test_free_length_has_no_jump_at_the_u_turn():
    def length(degrees):
        turn = np.radians(degrees)
        return natural_lay(ORIGIN, X, 100 * Y, [np.cos(turn), np.sin(turn), 0]).length

    assert_allclose(length(179.99), length(180), rtol=0.01)
    assert_allclose(length(180.01), length(180), rtol=1e-3)
    assert length(180) < length(185)


def test_ends_that_turn_too_far_ask_for_a_length():
    with pytest.raises(GeometryError, match=r"up to 10 times their distance.*give the length"):
        natural_lay(ORIGIN, -X, X, -X)


# --- runs through clips


CLIPS = np.array([[0.0, 0, 0], [200, 40, 10], [380, -30, 60], [600, 20, 20]])


def curvature_vector(lay: Lay, at: int) -> np.ndarray:
    step = lay.length / (len(lay.points) - 1)
    return np.gradient(lay.tangents, step, axis=0, edge_order=2)[at]


@pytest.mark.parametrize("lengths", [None, [215.0, 212, 240], [None, 212.0, None]])
def test_direction_and_moment_run_on_through_a_pass_through_clip(lengths):
    spans = lay_run(CLIPS, directions=[X, None, None, [1, 0, 0.3]], lengths=lengths, samples=2001)

    assert len(spans) == 3
    for before, after, clip in zip(spans[:-1], spans[1:], CLIPS[1:-1], strict=True):
        assert_allclose(before.points[-1], clip, atol=1e-7)
        assert_allclose(after.points[0], clip, atol=1e-7)
        assert_allclose(before.tangents[-1], after.tangents[0], atol=1e-9)
        assert_allclose(curvature_vector(before, -1), curvature_vector(after, 0), atol=1e-6)
    for lay, length in zip(spans, lengths or [None] * 3, strict=True):
        if length is None:
            assert abs(lay.pull_over_ei) < 1e-12
        else:
            assert lay.length == pytest.approx(length, rel=1e-12)


def test_no_other_direction_at_the_clips_bends_the_run_less():
    lengths = [215.0, 212.0, 240.0]
    spans = lay_run(CLIPS, lengths=lengths)
    least = sum(lay.energy for lay in spans)
    at_clips = [None, spans[1].tangents[0], spans[2].tangents[0], None]

    held = lay_run(CLIPS, directions=at_clips, lengths=lengths)
    assert sum(lay.energy for lay in held) == pytest.approx(least, rel=1e-8)
    for clip in (1, 2):
        for aside in (Y, -Z):
            turned = list(at_clips)
            turned[clip] = turned[clip] + 0.02 * aside
            other = lay_run(CLIPS, directions=turned, lengths=lengths)
            assert sum(lay.energy for lay in other) > least * (1 + 1e-5)


def test_clip_with_a_direction_cuts_the_run_in_two():
    run = lay_run(CLIPS[:3], directions=[X, [1, 0.2, 0], None], lengths=[210, 220])
    first = natural_lay(CLIPS[0], X, CLIPS[1], [1, 0.2, 0], length=210)
    second = natural_lay(CLIPS[1], [1, 0.2, 0], CLIPS[2], None, length=220)

    for lay, alone in zip(run, (first, second), strict=True):
        assert_allclose(lay.points, alone.points, atol=1e-9)


def test_two_spans_in_line_buckle_as_two_pinned_columns():
    """Over a middle clip that leaves the direction free the bow simply alternates."""
    run = lay_run([[0, 0, 0], [100, 0, 0], [200, 0, 0]], lengths=[104, 104])
    alone = natural_lay([0, 0, 0], None, [100, 0, 0], None, length=104)

    assert_allclose([lay.energy for lay in run], alone.energy, rtol=1e-8)
    assert_allclose(run[0].points[100] - [50, 0, 0], [150, 0, 0] - run[1].points[100], atol=1e-5)


def test_taut_span_is_straight_and_holds_its_clips():
    taut, bent = lay_run([[0, 0, 0], [200, 0, 0], [300, 100, 0]], lengths=[200, None])

    assert taut.min_bend_radius == np.inf
    assert_allclose(taut.points[:, 1:], 0)
    assert_allclose(bent.tangents[0], X, atol=1e-12)
    assert bent.wrap > np.pi / 4


def test_run_that_cannot_lie_free_still_shares_one_pull():
    there, back = lay_run([[0, 0, 0], [200, 0, 0], [0, 0, 0]])
    assert there.pull_over_ei == pytest.approx(back.pull_over_ei, rel=1e-6)
    total = there.length + back.length
    assert there.energy + back.energy == pytest.approx(total * there.pull_over_ei, rel=1e-6)


def test_loop_back_to_the_same_clip_is_a_circle():
    lay = natural_lay(ORIGIN, X, ORIGIN, X, length=300)
    assert_allclose(lay.min_bend_radius, 300 / (2 * np.pi), rtol=1e-7)
    assert_allclose(lay.wrap, 2 * np.pi, rtol=1e-9)


# --- what is refused


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: natural_lay(ORIGIN, X, 100 * X, X, length=90), "distance 100 mm, got 90 mm"),
        (lambda: natural_lay(ORIGIN, X, 100 * X, Y, length=100), "turn 90 degrees at point 2"),
        (lambda: natural_lay(ORIGIN, X, 100 * X, X, length=np.nan), "got nan mm"),
        (lambda: natural_lay(ORIGIN, X, 100 * X, X, length=np.inf), "got inf mm"),
        (lambda: natural_lay(ORIGIN, X, ORIGIN, Y), "which coincide, got none"),
        (lambda: natural_lay(ORIGIN, 0 * X, X, X), "direction at point 1, got a vector of length"),
        (lambda: natural_lay(ORIGIN, X, X, [1, np.nan, 0]), "the direction at point 2 as three"),
        (lambda: natural_lay([0, 0], X, X, X), "start as three finite numbers"),
        (lambda: natural_lay(ORIGIN, X, [0, np.inf, 0], X), "end as three finite numbers"),
        (lambda: natural_lay(ORIGIN, X, X, X, points=1), "at least 2 points along a span, got 1"),
        (lambda: lay_run([[0, 0, 0]]), r"n at least 2, got \(1, 3\)"),
        (lambda: lay_run([[0, 0, 0], [np.nan, 0, 0]]), "expected finite points"),
        (lambda: lay_run(CLIPS, directions=[X]), "expected 4 directions.*got 1"),
        (lambda: lay_run(CLIPS, lengths=[1.0]), "expected 3 lengths.*got 1"),
    ],
)
def test_refuses_and_says_what_it_expected(call, message):
    with pytest.raises(GeometryError, match=message):
        call()


def test_a_kink_it_cannot_resolve_is_an_error_with_its_residual():
    """A right angle on a cable one part in ten thousand longer than straight."""
    with pytest.raises(SolverError, match=r"tangents \d\.\de-\d+ off unit length, expected 1e-06"):
        natural_lay(ORIGIN, X, [100, 100, 0], Y, length=np.sqrt(2e4) * (1 + 1e-4))


def test_a_cable_too_nearly_taut_to_close_is_an_error():
    with pytest.raises(SolverError, match="too nearly taut for its directions"):
        natural_lay(ORIGIN, X, [100, 100, 0], Y, length=np.sqrt(2e4) * (1 + 1e-6))


# --- the polynomials underneath


def test_polynomials_at_the_nodes_are_smooth_functions_to_rounding():
    mesh, s = lobatto(24), np.linspace(0, 1, 7)
    nodal = np.stack([np.sin(3 * mesh.s), np.exp(mesh.s)], axis=1)

    assert_allclose(value(nodal, s), np.stack([np.sin(3 * s), np.exp(s)], axis=1), atol=1e-13)
    assert_allclose(derivative(nodal, s)[:, 0], 3 * np.cos(3 * s), atol=1e-11)
    assert_allclose(integral(nodal, s)[:, 1], np.exp(s) - 1, atol=1e-13)
    assert_allclose(mesh.w.sum(), 1)
    assert_allclose(bending(nodal[:, 1:]), (np.exp(2) - 1) / 2, rtol=1e-12)
