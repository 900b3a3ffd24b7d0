"""Where clips stand, which are wanted, and what each carries."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.mechanics._bends import REACH, Bends, find_bends, greatest_over
from cableroute.mechanics.anchors import anchor_loads
from cableroute.mechanics.clip_places import BESIDE, clip_list, unclipped_bends
from cableroute.mechanics.clips import spring_back, turning_force
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route

quick = settings(max_examples=40)
ENDS = anchor_loads(hand_pull=150.0, far_pull=100.0)
ONE_BEND = np.array([[0, 0, 0], [500, 0, 0], [500, 500, 0]], dtype=float)


def listed(route: Route, **kwargs):
    return clip_list(route, **({"ends": ENDS, "pull": 150.0, "spacing": 600.0} | kwargs))


def random_route(seed: int, radius: float) -> tuple[Route, list[str | None]]:
    rng = np.random.default_rng(seed)
    n = rng.integers(2, 9)
    fixes = rng.choice(np.array([None, None, None, "clip", "anchor"], dtype=object), n)
    return fit_arcs(rng.uniform(0, 900, (n, 3)), min_bend_radius=radius), fixes.tolist()


def near_matrix(bends: Bends, at: np.ndarray) -> np.ndarray:
    """Which clips (rows) are on or near which bends (columns), every one against every other."""
    reach = np.clip(bends.radius, *REACH)
    return (at[:, None] >= bends.start - reach) & (at[:, None] <= bends.end + reach)


def scan(seed: int) -> Route:
    """Some hundred points in all directions, so close that dozens of bends share a clip."""
    rng = np.random.default_rng(seed)
    steps = rng.normal(0.0, rng.choice([2.0, 10.0, 60.0]), (rng.integers(2, 200), 3))
    steps[:, 0] += 1.0
    return fit_arcs(np.cumsum(steps, axis=0), min_bend_radius=60.0)


# -- what holds for every route ------------------------------------------------------------


@quick
@given(seed=st.integers(0, 10_000), radius=st.floats(20.0, 300.0), spacing=st.floats(100.0, 900.0))
def test_every_list(seed: int, radius: float, spacing: float) -> None:
    route, fixes = random_route(seed, radius)
    clips = listed(route, fixes=fixes, spacing=spacing, conduit_stiffness=300e3)
    at = np.array([clip.at for clip in clips])

    # in order, end to end, nowhere further apart than the spacing, on the run
    assert at[0] == 0.0
    assert at[-1] == pytest.approx(route.length)
    assert (np.diff(at) > 0.0).all()
    assert np.diff(at).max() <= spacing * (1 + 1e-6)
    assert {clips[0].kind, clips[-1].kind} == {"anchor"}
    np.testing.assert_allclose(
        [clip.point for clip in clips], route.point(np.minimum(at, route.length)), atol=1e-9
    )
    # what the user marked is there, once
    marked = [fixes[i] for i in route.kept[1:-1] if fixes[i]]
    assert [clip.kind for clip in clips[1:-1] if clip.kind != "suggested"] == marked
    # no force above twice the core's
    assert all(0.0 <= clip.force <= 300.0 for clip in clips)
    assert all(clip.spring_back >= 0.0 for clip in clips)


@quick
@given(seed=st.integers(0, 10_000), radius=st.floats(20.0, 300.0))
def test_every_bend_is_held_once_the_suggestions_are_in(seed: int, radius: float) -> None:
    route, fixes = random_route(seed, radius)
    at = np.array([clip.at for clip in listed(route, fixes=fixes, spacing=1e6)])
    bends = find_bends(route)
    on = [np.arange(i, j + 1) for i, j in zip(bends.first, bends.last, strict=True)]

    # each corner that turns is in one bend, and each bend has a clip near
    corners = np.concatenate([[], *on]).tolist()
    assert len(corners) == len(set(corners))
    assert set(np.flatnonzero(route.turns > np.radians(10.0))) <= set(corners)
    assert near_matrix(bends, at).any(0).all()


@quick
@given(seed=st.integers(0, 10_000))
def test_forces_are_those_of_every_clip_against_every_bend(seed: int) -> None:
    route, rng = scan(seed), np.random.default_rng(seed)
    pull, push = rng.integers(0, 5, (2, len(route.turns))) * 40.0  # many alike, some nothing
    inner = listed(route, pull=pull, push=push)[1:-1]
    at, bends = np.array([clip.at for clip in inner]), find_bends(route)
    near, on = near_matrix(bends, at), list(zip(bends.first, bends.last, strict=True))

    pulling, pushing = (
        turning_force([force[i : j + 1].max() for i, j in on], turn=bends.turn)
        for force in (pull, push)
    )
    bounds = np.where(near, np.maximum(pulling, pushing), 0.0)
    np.testing.assert_array_equal([clip.force for clip in inner], bounds.max(1, initial=0.0))
    for clip, bound in zip(inner, bounds, strict=True):
        sign = np.where(pulling >= pushing, 1.0, -1.0)
        direction = (sign[:, None] * bends.inward)[bound.argmax()] if clip.force else np.zeros(3)
        np.testing.assert_array_equal(clip.direction, direction)
    held = np.array([0.0, route.length])
    bare = ~near_matrix(bends, held).any(0)
    np.testing.assert_array_equal(unclipped_bends(route), bends.middle[bare])


@quick
@given(seed=st.integers(0, 10_000))
def test_spring_back_is_that_of_every_bend_against_every_clip(seed: int) -> None:
    route = scan(seed)
    clips = listed(route, conduit_stiffness=300e3)
    at, bends = np.array([clip.at for clip in clips]), find_bends(route)

    force = np.zeros(len(at))
    for column, turn, radius in zip(
        near_matrix(bends, at).T, bends.turn, bends.radius, strict=True
    ):
        first, last = np.flatnonzero(column)[[0, -1]]
        before, after = max(first - 1, 0), min(last + 1, len(at) - 1)
        spans = np.diff(at[[before, first, last, after]])
        names = dict(zip(("before", "between", "after"), spans, strict=True))
        sides = spring_back(turn, radius=radius, **names, conduit_stiffness=300e3)
        for side, both in zip(sides, ((before, first), (last, after)), strict=True):
            for clip in both:
                force[clip] += side
    np.testing.assert_allclose([clip.spring_back for clip in clips], force, rtol=1e-12)


@quick
@given(
    ranges=st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), max_size=30),
    size=st.integers(40, 50),
)
def test_greatest_of_ranges_that_overlap_and_nest(ranges, size: int) -> None:
    first, stop = np.sort(np.array(ranges, dtype=np.intp).reshape(-1, 2), axis=1).T
    value = np.random.default_rng(len(ranges)).permutation(len(ranges))
    covering = [value[(first <= place) & (place < stop)] for place in range(size)]

    np.testing.assert_array_equal(
        greatest_over(first, stop, value, size=size), [each.max(initial=-1) for each in covering]
    )


@quick
@given(seed=st.integers(0, 10_000), radius=st.floats(20.0, 300.0))
def test_from_the_other_end_the_same_places(seed: int, radius: float) -> None:
    route, fixes = random_route(seed, radius)
    back = fit_arcs(route.points[::-1], min_bend_radius=radius)
    kept = [fixes[i] for i in route.kept]
    there = [clip.at for clip in listed(route, fixes=fixes)]
    here = [clip.at for clip in listed(back, fixes=kept[::-1])]

    np.testing.assert_allclose(route.length - np.array(here[::-1]), there, atol=1e-4)


# -- suggestions ---------------------------------------------------------------------------


def test_one_clip_on_each_side_of_a_bend_that_has_none() -> None:
    route = fit_arcs(ONE_BEND, min_bend_radius=100)
    _, before, after, _ = listed(route, names=["lever", "sill", "box"])
    start, end = 400.0, 400.0 + 100.0 * np.pi / 2

    assert (before.kind, after.kind) == ("suggested", "suggested")
    assert (before.name, after.name) == ("sill", "sill")
    assert before.at == pytest.approx(start - BESIDE)
    assert after.at == pytest.approx(end + BESIDE)
    np.testing.assert_allclose(after.point, [500.0, 100.0 + BESIDE, 0.0], atol=1e-9)


@pytest.mark.parametrize("fix", ["clip", "anchor"])
def test_a_marked_corner_is_held_at_the_middle_of_its_arc(fix: str) -> None:
    route = fit_arcs(ONE_BEND, min_bend_radius=100)
    _, clip, _ = listed(route, fixes=(None, fix, None), names=["lever", "sill", "box"])

    assert (clip.kind, clip.name) == (fix, "sill")
    assert clip.at == pytest.approx(400.0 + 100.0 * np.pi / 4)
    np.testing.assert_allclose(
        clip.point, [400.0 + 100.0 / 2**0.5, 100.0 - 100.0 / 2**0.5, 0.0], atol=1e-9
    )


def test_two_bends_close_together_share_a_clip() -> None:
    """An S with 60 mm of straight between its bends: before, between, after."""
    s_bend = fit_arcs([[0, 0, 0], [500, 0, 0], [500, 260, 0], [1000, 260, 0]], min_bend_radius=100)
    at = [clip.at for clip in listed(s_bend)][1:-1]
    quarter = 100.0 * np.pi / 2

    assert at == pytest.approx(
        [400 - BESIDE, 400 + quarter + 30, 460 + 2 * quarter + BESIDE], abs=1e-6
    )


def test_a_sweep_measured_at_many_points_is_one_bend() -> None:
    one = fit_arcs([[0, 0, 0], [800, 0, 0], [800, 800, 0]], min_bend_radius=300)
    traced = fit_arcs(one.point(np.linspace(0.0, one.length, 41)), min_bend_radius=300)
    there, here = listed(traced, spacing=1e6), listed(one, spacing=1e6)

    assert (traced.turns > 0.01).sum() > 10
    assert unclipped_bends(traced).shape == (1,)
    assert [clip.kind for clip in there] == [clip.kind for clip in here]
    assert there[1].force == pytest.approx(here[1].force, rel=1e-6)
    np.testing.assert_allclose(there[1].direction, here[1].direction, atol=0.1)


def test_a_slight_kink_wants_no_clip() -> None:
    kink = np.array([[0, 0, 0], [250, 0, 0], [500, 20, 0]], dtype=float)

    assert [clip.kind for clip in listed(fit_arcs(kink, min_bend_radius=100))] == ["anchor"] * 2


def test_a_long_straight_is_split_evenly() -> None:
    clips = listed(fit_arcs([[0, 0, 0], [2000, 0, 0]], min_bend_radius=100))

    assert [clip.at for clip in clips] == pytest.approx([0.0, 500.0, 1000.0, 1500.0, 2000.0])
    assert [clip.name for clip in clips] == ["point 1", "", "", "", "point 2"]
    # a whole number of spacings needs no clip more
    assert len(listed(fit_arcs([[0, 0, 0], [1800, 0, 0]], min_bend_radius=100))) == 4


def test_names_and_fixes_are_those_of_the_points_given() -> None:
    doubled = ONE_BEND[[0, 0, 1, 2]]
    route = fit_arcs(doubled, min_bend_radius=100)
    clips = listed(route, fixes=(None, None, "clip", None), names=["a", "b", "c", "d"])

    assert [(clip.kind, clip.name) for clip in clips] == [
        ("anchor", "a"),
        ("clip", "c"),
        ("anchor", "d"),
    ]


def test_unclipped_bends() -> None:
    points = [[0, 0, 0], [600, 0, 0], [600, 600, 0], [600, 600, 600], [660, 1200, 600]]
    route = fit_arcs(points, min_bend_radius=100)

    assert unclipped_bends(route).tolist() == [0, 1, 2]
    assert unclipped_bends(route, fixes=(None, None, "clip", None, None)).tolist() == [0, 2]
    # an anchor at the end of a short leg holds the bend beside it
    short = fit_arcs([[0, 0, 0], [180, 0, 0], [180, 600, 0]], min_bend_radius=100)
    assert unclipped_bends(short).tolist() == []


# -- forces --------------------------------------------------------------------------------


def test_the_bound_and_where_the_conduit_presses() -> None:
    route = fit_arcs(ONE_BEND, min_bend_radius=100)
    inward = np.array([-1.0, 1.0, 0.0]) / 2**0.5
    pulled = listed(route, pull=150.0, push=100.0)
    pushed = listed(route, pull=100.0, push=[150.0])

    for clip in (*pulled[1:3], *pushed[1:3]):
        assert clip.force == pytest.approx(150.0 * 2**0.5)
    np.testing.assert_allclose(pulled[1].direction, inward, atol=1e-12)
    np.testing.assert_allclose(pushed[1].direction, -inward, atol=1e-12)


def test_the_anchors_carry_the_core_s_force_along_the_run() -> None:
    route = fit_arcs(ONE_BEND, min_bend_radius=100)
    hand, *_, far = listed(route)
    assert (hand.force, far.force) == (150.0, 100.0)
    np.testing.assert_allclose(hand.direction, [-1.0, 0.0, 0.0])  # pressed out of the run
    np.testing.assert_allclose(far.direction, [0.0, 1.0, 0.0])

    ends = anchor_loads(hand_pull=1.0, far_pull=0.0, hand_push=120.0, far_push=80.0)
    hand, *_, far = listed(route, ends=ends)
    assert (hand.force, far.force) == (120.0, 80.0)
    np.testing.assert_allclose(hand.direction, [1.0, 0.0, 0.0])  # drawn off the anchor
    np.testing.assert_allclose(far.direction, [0.0, -1.0, 0.0])


def test_a_straight_route_asks_nothing_but_of_its_anchors() -> None:
    route = fit_arcs([[0, 0, 0], [900, 0, 0], [2000, 0, 0]], min_bend_radius=100)
    clips = listed(route, fixes=(None, "clip", None), conduit_stiffness=300e3)

    assert unclipped_bends(route).tolist() == []
    assert len(clips) > 3
    for clip in clips[1:-1]:
        assert (clip.force, clip.spring_back) == (0.0, 0.0)
        np.testing.assert_array_equal(clip.direction, 0.0)
    assert {clip.spring_back for clip in listed(route)} == {None}


def test_spring_back_of_a_bend_over_four_clips() -> None:
    """Clips at 0, 375, 582, 957 mm (25 mm beside the bend): EI theta/(b + (a1 + a2)/3) over a."""
    route = fit_arcs([[0, 0, 0], [500, 0, 0], [500, 500, 0]], min_bend_radius=100)
    clips = listed(route, conduit_stiffness=300e3)
    b = clips[2].at - clips[1].at
    force = 300e3 * (np.pi / 2) / (b + 2 * 375.0 / 3) / 375.0

    assert [clip.at for clip in clips] == pytest.approx([0.0, 375.0, 582.08, 957.08], abs=0.01)
    assert [clip.spring_back for clip in clips] == pytest.approx([force] * 4)


def test_spring_back_adds_up_on_a_clip_between_two_spans() -> None:
    route = fit_arcs(ONE_BEND, min_bend_radius=100)
    hand, clip, far = listed(route, fixes=(None, "clip", None), conduit_stiffness=300e3)

    assert clip.spring_back == pytest.approx(hand.spring_back + far.spring_back)


# -- errors --------------------------------------------------------------------------------


def test_what_cannot_be() -> None:
    route = fit_arcs(ONE_BEND, min_bend_radius=100)
    with pytest.raises(CableRouteError, match="clip spacing"):
        listed(route, spacing=0.0)
    with pytest.raises(CableRouteError, match="force of the core"):
        listed(route, pull=-1.0)
    with pytest.raises(CableRouteError, match="one for each of 1 corners"):
        listed(route, push=[1.0, 2.0])
    with pytest.raises(CableRouteError, match="conduit stiffness"):
        listed(route, conduit_stiffness=-1.0)
    batch = fit_arcs(np.stack([ONE_BEND, 2 * ONE_BEND]), min_bend_radius=100)
    with pytest.raises(CableRouteError, match="expected one route, got a batch"):
        unclipped_bends(batch)
    with pytest.raises(CableRouteError, match="expected one route, got a batch"):
        listed(batch)
