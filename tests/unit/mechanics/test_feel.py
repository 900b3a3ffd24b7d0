"""The feel of a lever against closed forms, a brute-force chain, energy and limits."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from cableroute.errors import CableRouteError, GeometryError
from cableroute.mechanics._elastic_core import State, cut_core
from cableroute.mechanics._slip_front import stroke
from cableroute.mechanics.far_load import Detent, FarLoad
from cableroute.mechanics.feel import feel_loop
from cableroute.mechanics.felt import FeelLoop
from cableroute.mechanics.lost_motion import lost_motion
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route

STIFF = 212058.0


def even_half_turn() -> Route:
    """2 m of three equal bends without a straight, half a turn in all."""
    radius = 2000.0 / np.pi
    reach = radius * np.tan(np.pi / 6.0)
    heading, point, points = 0.0, np.zeros(2), [np.zeros(2)]
    for i in range(4):
        step = reach * (1.0 if i in (0, 3) else 2.0)
        point = point + step * np.array([np.cos(heading), np.sin(heading)])
        points.append(point)
        heading += np.pi / 3.0
    return fit_arcs(np.c_[points, np.zeros(5)], min_bend_radius=radius * (1 - 1e-12))


def uneven() -> Route:
    """Straights and bends of all sizes."""
    points = [[0, 0, 0], [500, 0, 0], [500, 300, 0], [900, 350, 200], [900, 800, 250]]
    return fit_arcs(points, min_bend_radius=90.0)


def straight() -> Route:
    return fit_arcs([[0, 0, 0], [1000, 0, 0]], min_bend_radius=50.0)


def feel(route: Route | None = None, load: FarLoad | None = None, **changed) -> FeelLoop:
    kwargs = {"travel": 40.0, "friction": 0.15, "axial_stiffness": STIFF, **changed}
    return feel_loop(route or uneven(), far_load=load or FarLoad(preload=30.0, rate=2.0), **kwargs)


def halves(loop: FeelLoop) -> tuple[np.ndarray, np.ndarray]:
    """Hand, force and far travel, out and back."""
    rows = np.stack((loop.hand_travel, loop.hand_force, loop.far_travel))
    return np.split(rows, 2, axis=1)


def area(loop: FeelLoop) -> float:
    x, f = (
        np.append(loop.hand_travel, loop.hand_travel[0]),
        np.append(loop.hand_force, loop.hand_force[0]),
    )
    return float((0.5 * (f[1:] + f[:-1]) * np.diff(x)).sum())


# -- closed forms ----------------------------------------------------------------------------------


def test_lost_motion_at_reversal_matches_the_closed_form() -> None:
    """T L/EA (e^x - 2 + e^-x)/x; model of Kaneko et al. 1991, closed form and numbers our own.

    To = 100 N, L = 2 m, EA = 212058 N, x = 0.1 pi: 1.10810 mm less 0.80936 mm is 0.29874 mm.
    """
    x = 0.1 * np.pi
    exact = 100.0 * 2000.0 / STIFF * (np.exp(x) - 2.0 + np.exp(-x)) / x

    loop = feel(even_half_turn(), FarLoad(dead=100.0), friction=0.1)

    assert loop.lost[0] == pytest.approx(exact, rel=1e-9)
    assert loop.lost[0] == pytest.approx(0.29874, abs=5e-6)
    assert loop.lost[1] == pytest.approx(loop.lost[0], rel=1e-9)
    assert loop.greatest == pytest.approx(100.0 * np.exp(x))
    assert loop.hand_force[-1] == pytest.approx(100.0 * np.exp(-x))
    # what the stretch leaves of 20 mm, counted from a slack core on neither wall
    low, high = loop.far_reach
    assert high == pytest.approx(20.0 - 1.10810, abs=5e-6)
    assert low == pytest.approx(-20.0 - 0.80936, abs=5e-6)


def test_brackets_give_at_both_ends() -> None:
    """At a reversal the hand's bracket springs back by T (e^x - e^-x)/k, the far one by nothing."""
    x = 0.15 * uneven().wrap
    load = FarLoad(dead=80.0)
    stiff, soft = feel(load=load), feel(load=load, bracket_stiffness=(200.0, 50.0))

    more = 80.0 * 2.0 * np.sinh(x) / 200.0
    assert soft.lost[0] - stiff.lost[0] == pytest.approx(more)
    swallowed = stiff.far_reach[1] - soft.far_reach[1]
    assert swallowed == pytest.approx(80.0 * np.exp(x) / 200.0 + 80.0 / 50.0)
    assert soft.hand_force[-1] == pytest.approx(stiff.hand_force[-1])


@pytest.mark.parametrize("conduit", [None, 5.0e5])
def test_reversal_agrees_with_the_lost_motion_of_any_run(conduit) -> None:
    loop = feel(load=FarLoad(dead=80.0), conduit_stiffness=conduit)
    give = 1.0 / (1.0 / STIFF + (1.0 / conduit if conduit else 0.0))
    lost = lost_motion(uneven(), load=80.0, friction=0.15, clearance=0.0, axial_stiffness=give)

    assert loop.lost[0] == pytest.approx(lost.hysteresis, rel=1e-9)


def test_the_front_walks_in_as_quadrature_says() -> None:
    """Turned back by a force that stops the front half way, on an even wrap.

    With T0 e^x at the hand before and the front at share p of the wrap, the hand goes back
    T0 e^x L/(EA x) ((1 - e^-px) - e^-2px (e^px - 1)).
    """
    x, share = 0.1 * np.pi, 0.5
    loop = feel(even_half_turn(), FarLoad(dead=100.0), friction=0.1, steps=40000)
    _, (hand, force, far) = halves(loop)
    wanted = 100.0 * np.exp(x) * np.exp(-2.0 * share * x)
    went = 20.0 - np.interp(-wanted, -force[:1000], hand[:1000])
    front = np.exp(-share * x)
    exact = 100.0 * np.exp(x) * 2000.0 / (STIFF * x) * ((1 - front) - front**2 * (1 / front - 1))

    assert went == pytest.approx(exact, rel=1e-4)
    assert np.ptp(far[hand > 20.0 - exact]) == 0.0


def test_a_detent_is_felt_by_its_depth_times_the_capstan_ratio() -> None:
    detent = Detent(at=15.0, depth=25.0, width=5.0)
    bare = FarLoad(preload=30.0, rate=2.0, friction=4.0)
    loop = feel(load=FarLoad(30.0, 2.0, 4.0, detents=(detent,)), pull_only=True)
    ratio = np.exp(0.15 * uneven().wrap)

    (felt,) = loop.detents
    assert felt.rise == pytest.approx(25.0 * ratio, rel=1e-3)
    assert felt.far_rise == pytest.approx(25.0, rel=1e-3)
    assert not felt.snaps
    out, without = halves(loop)[0], halves(feel(load=bare, pull_only=True))[0]
    more = np.interp(17.5, out[2], out[1]) - np.interp(17.5, without[2], without[1])
    assert more == pytest.approx(25.0 * ratio, rel=1e-3)
    assert felt.hand == pytest.approx(np.interp(17.5, out[2], out[0]), abs=0.02)


def test_a_soft_core_snaps_out_of_a_steep_detent() -> None:
    """It jumps where the detent falls off faster than core and spring hold: -k + 1/C = 0."""
    load = FarLoad(rate=1.0, detents=(Detent(at=10.0, depth=60.0, width=2.0),))
    loop = feel(straight(), load, pull_only=True, axial_stiffness=20e3, steps=4000)
    hand, _, far = halves(loop)[0]
    jump = int(np.argmax(np.diff(far)))
    # the fold by hand: F'(x) = -EA/L
    x = 10.0 + 2.0 / np.pi * np.arccos(-(20.0 + 1.0) * 2.0 / (np.pi * 60.0))

    lands = brentq(
        lambda y: y + float(load.force(y)) / 20.0 - x - float(load.force(x)) / 20.0, x + 0.1, 20.0
    )

    assert loop.detents[0].snaps
    assert far[jump + 1] == pytest.approx(lands, abs=0.1)
    assert far[jump] == pytest.approx(x, abs=0.1)
    assert hand[jump] == pytest.approx(x + float(load.force(x)) / 20.0, abs=0.02)
    assert loop.detents[0].rise == pytest.approx(60.0, rel=1e-3)
    # no friction, but the jump loses what it lets go
    assert loop.hysteresis > 1.0


# -- limits ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("route", [uneven(), straight()])
def test_without_friction_the_loop_is_the_load_line(route: Route) -> None:
    mu = 0.0 if float(route.wrap) else 0.3
    loop = feel(route, friction=mu, pull_only=True)
    out, back = halves(loop)
    give = float(route.length) / STIFF
    far = out[2][out[2] > 0.0]

    assert out[1] == pytest.approx(back[1][::-1], abs=1e-9)
    assert out[1][out[2] > 0.0] == pytest.approx(30.0 + 2.0 * far)
    assert out[0][out[2] > 0.0] == pytest.approx(far + give * (30.0 + 2.0 * far))
    assert loop.hysteresis == pytest.approx(0.0, abs=1e-9)
    assert loop.lost[0] == pytest.approx(0.0, abs=1e-9)


def test_without_friction_the_area_is_the_work_of_the_far_friction() -> None:
    loop = feel(load=FarLoad(rate=2.0, friction=6.0), friction=0.0)
    low, high = loop.far_reach

    assert loop.hysteresis == pytest.approx(2.0 * 6.0 * (high - low))
    assert area(loop) == pytest.approx(loop.hysteresis, rel=1e-3)


def test_drag_is_felt_both_ways() -> None:
    free, dragged = feel(), feel(drag=7.0)
    (_, out, _), (_, back, _) = halves(free)
    (_, out_drag, _), (_, back_drag, _) = halves(dragged)

    assert out_drag - out == pytest.approx(7.0)
    assert back_drag - back == pytest.approx(-7.0)
    assert dragged.hysteresis - free.hysteresis == pytest.approx(2.0 * 7.0 * 40.0)


def test_the_clearance_is_crossed_at_no_force() -> None:
    route, c = uneven(), 0.6
    load = FarLoad(preload=20.0, rate=1.0)
    tight, loose = feel(route, load, steps=8000), feel(route, load, clearance=c, steps=8000)
    gap = c * route.wrap

    for half in halves(loose):
        idle = half[0][half[1] == 0.0]
        assert np.ptp(idle) == pytest.approx(gap, abs=2.0 * 40.0 / 8000)
    # the spring is bent less by half the gap either way
    assert loose.far_reach[1] < tight.far_reach[1]
    assert loose.lost[0] == pytest.approx(tight.lost[0], rel=0.1)


def test_pulling_and_pushing_are_alike_for_a_like_load() -> None:
    loop = feel(load=FarLoad(preload=20.0, rate=1.0, friction=3.0), clearance=0.4, drag=2.0)
    out, back = halves(loop)

    assert back[1] == pytest.approx(-out[1], abs=1e-9)
    assert back[2] == pytest.approx(-out[2], abs=1e-9)
    assert loop.returns


# -- a core that only pulls ------------------------------------------------------------------------


@settings(max_examples=30)
@given(
    preload=st.floats(0.0, 60.0),
    friction=st.floats(0.0, 40.0),
    drag=st.floats(0.0, 30.0),
    depth=st.floats(0.0, 80.0),
    mu=st.floats(0.0, 0.4),
)
def test_a_core_that_only_pulls_never_pushes(preload, friction, drag, depth, mu) -> None:
    load = FarLoad(preload, 1.0, friction, detents=(Detent(20.0, depth, 4.0),))
    loop = feel(load=load, friction=mu, drag=drag, pull_only=True, steps=100)

    assert loop.hand_force.min() >= 0.0
    assert loop.far_travel.min() >= 0.0
    assert loop.hysteresis >= 0.0
    gets_back = preload - friction > drag * np.exp(mu * uneven().wrap)
    least = np.min(load.force(np.linspace(0.0, 40.0, 500))) - friction
    if gets_back and least > drag * np.exp(mu * uneven().wrap):
        assert loop.returns
    if preload + 40.0 - friction < 0.0:
        assert not loop.returns


def test_a_weak_spring_leaves_the_far_end_where_it_holds_no_more() -> None:
    """It rests where (P + k x - f) e^-mu*wrap is the drag."""
    route = uneven()
    loop = feel(route, FarLoad(preload=5.0, rate=2.0, friction=20.0), drag=4.0, pull_only=True)
    rest = (20.0 + 4.0 * np.exp(0.15 * route.wrap) - 5.0) / 2.0

    assert not loop.returns
    assert loop.far_reach[0] == pytest.approx(rest)
    assert loop.far_travel[[0, -1]] == pytest.approx(rest)
    assert loop.left_at() == pytest.approx(rest, abs=0.01)
    assert loop.hand_force[0] == 0.0


def test_a_lever_that_resists_is_left_further_out() -> None:
    route = uneven()
    loop = feel(route, FarLoad(preload=10.0, rate=2.0), pull_only=True, steps=4000)

    assert loop.returns
    assert loop.left_at() == 0.0
    rest = (20.0 * np.exp(0.15 * route.wrap) - 10.0) / 2.0
    assert loop.left_at(20.0) == pytest.approx(rest, abs=0.02)
    assert loop.left_at(1e6) == loop.far_reach[1]


def test_a_detent_holds_what_a_weak_spring_would_bring_back() -> None:
    loop = feel(load=FarLoad(5.0, 1.0, detents=(Detent(20.0, 60.0, 4.0),)), pull_only=True)

    assert not loop.returns
    assert 16.0 < loop.far_reach[0] < 20.0


def test_a_load_that_helps_is_followed_over_the_whole_travel() -> None:
    """A soft core under a weight that draws the far end in: the push is even both ways."""
    load = FarLoad(friction=1.0, dead=-40.0)
    loop = feel(load=load, axial_stiffness=2000.0, friction=0.1)
    (_, out, far_out), (_, back, far_back) = halves(loop)
    x = 0.1 * uneven().wrap

    assert out[-1] == pytest.approx(-39.0 * np.exp(-x))
    assert back[-1] == pytest.approx(-41.0 * np.exp(x))
    assert far_out[-1] - far_out[-2] == pytest.approx(0.1)  # as fast as the hand to the end
    assert far_back[-2] - far_back[-1] == pytest.approx(0.1)
    assert area(loop) == pytest.approx(loop.hysteresis, rel=1e-3)


def test_a_load_beyond_reach_does_not_move() -> None:
    loop = feel(load=FarLoad(preload=1e5), pull_only=True)

    assert loop.far_reach == (0.0, 0.0)
    assert loop.lost == (40.0, 40.0)


# -- properties ------------------------------------------------------------------------------------


@settings(max_examples=30)
@given(
    low=st.floats(0.0, 0.3),
    more=st.floats(0.01, 0.3),
    preload=st.floats(0.0, 40.0),
    rate=st.floats(0.0, 4.0),
    friction=st.floats(0.0, 10.0),
    pull_only=st.booleans(),
)
def test_everything_grows_with_friction(low, more, preload, rate, friction, pull_only) -> None:
    load = FarLoad(preload + 11.0, rate, friction)  # the spring always wins
    less, worse = (
        feel(load=load, friction=mu, pull_only=pull_only, steps=60) for mu in (low, low + more)
    )

    assert worse.greatest > less.greatest
    assert worse.hysteresis > less.hysteresis
    assert worse.lost[0] > less.lost[0]
    assert worse.far_reach[1] <= less.far_reach[1] + 1e-9


@settings(max_examples=30)
@given(
    preload=st.floats(0.0, 60.0),
    rate=st.floats(0.0, 4.0),
    friction=st.floats(0.0, 10.0),
    drag=st.floats(0.0, 10.0),
    clearance=st.floats(0.0, 1.0),
    depth=st.floats(0.0, 60.0),
    pull_only=st.booleans(),
)
def test_the_loop_closes_and_its_area_is_the_loss(
    preload, rate, friction, drag, clearance, depth, pull_only
) -> None:
    load = FarLoad(preload, rate, friction, detents=(Detent(10.0, depth, 4.0),))
    loop = feel(
        load=load, drag=drag, clearance=clearance, pull_only=pull_only, steps=2000, friction=0.1
    )
    (_, _, far_out), (_, _, far_back) = halves(loop)

    assert loop.hysteresis >= 0.0
    assert area(loop) == pytest.approx(loop.hysteresis, abs=0.02 * loop.greatest + 0.5)
    assert far_back[0] == pytest.approx(far_out[-1], abs=1e-4)
    assert far_back[-1] == pytest.approx(far_out[0], abs=1e-4)
    assert (np.diff(far_out) >= -1e-9).all()
    assert (np.diff(far_back) <= 1e-9).all()


# -- the discretisation, and another way -----------------------------------------------------------


def test_second_order_in_the_elements() -> None:
    """A travel that turns the front back half way: the force where it turns is read off."""

    def forces(elements: int) -> np.ndarray:
        loops = [
            feel(
                even_half_turn(),
                FarLoad(dead=100.0),
                travel=0.2 + 0.0037 * i,
                friction=0.1,
                elements=elements,
                steps=1,
            )
            for i in range(12)
        ]
        assert all(np.ptp(loop.far_travel) < 1e-9 for loop in loops)  # it never arrives
        return np.array([loop.hand_force[1] for loop in loops])

    best = forces(20000)
    errors = np.array([np.abs(forces(count) - best).max() for count in (12, 48, 192)])

    assert np.log2(errors[:-1] / errors[1:]) / 2.0 == pytest.approx(2.0, abs=0.4)
    assert errors[-1] < 1e-3


def test_the_places_of_the_hand_do_not_change_the_figures() -> None:
    coarse, fine = feel(steps=3), feel(steps=999)

    assert coarse.hysteresis == pytest.approx(fine.hysteresis, rel=1e-12)
    assert coarse.lost == pytest.approx(fine.lost, rel=1e-12)
    assert coarse.hand_force[:4] == pytest.approx(fine.hand_force[:1000:333], rel=1e-9)


def test_the_area_is_the_work_that_friction_takes_along_the_core() -> None:
    """Summed over every element and many small moves: friction T_i - T_i+1 times its slide."""
    load = FarLoad(preload=15.0, rate=3.0, friction=5.0)
    loop = feel(load=load, axial_stiffness=3e4, travel=20.0)
    core = cut_core(
        uneven(),
        friction=0.15,
        give=1 / 3e4,
        ends=(0.0, 0.0),
        clearance=0.0,
        pull_only=False,
        elements=400,
    )
    state = State(np.zeros_like(core.exponent), far=0.0, side=0.0)
    out = np.linspace(-10.0, 10.0, 501)
    work, tension, place = 0.0, state.tension, np.zeros_like(state.tension)
    for i, hand in enumerate([10.0, *out[::-1], *out[1:], *out[-2::-1]]):
        way = 1 if hand > place[0] else -1
        state = stroke(core, load, state, way=way, target=hand).cut(hand).state(core)
        stretch = core.stretches(state.tension)
        now = state.far + np.append(np.cumsum(stretch[::-1])[::-1], 0.0)
        if i > len(out):  # the cycle from the pushed end on, as it repeats
            held = -0.5 * (np.diff(tension) + np.diff(state.tension))
            slide = 0.5 * (now[1:] + now[:-1] - place[1:] - place[:-1])
            work += float((held * slide).sum()) + load.friction * abs(now[-1] - place[-1])
        tension, place = state.tension, now

    assert work == pytest.approx(loop.hysteresis, rel=5e-3)
    assert work > 1.2 * 2.0 * load.friction * np.ptp(loop.far_travel)


def chain(route: Route, load: FarLoad, *, path, mu: float, stiffness: float, count: int):
    """Brute force: beads on springs, each stuck until one side pulls e^(mu*turn) times the other.

    Every bead moves in its turn by what it lacks, over and over, until none moves.
    """
    s = np.linspace(0.0, float(route.length), count + 1)
    ends = [0.0]
    for piece in route.pieces:
        ends.append(ends[-1] + piece.length)
    wraps = np.concatenate(([0.0], np.cumsum([p.length * p.curvature for p in route.pieces])))
    wrap = np.interp(0.5 * (s[1:] + s[:-1]), ends, wraps)
    ratio = np.exp(mu * np.diff(wrap))  # of the beads between two springs
    k = stiffness / (s[1] - s[0])
    last = np.exp(mu * (wraps[-1] - wrap[-1])), np.exp(mu * wrap[0])
    u = np.zeros(count + 1)
    felt = []
    for hand in path:
        u[0] = hand
        for _ in range(4000):
            before = u.copy()
            for parity in (1, 2):
                i = np.arange(parity, count, 2)
                r = ratio[i - 1]
                toward, away = u[i - 1], u[i + 1]
                # tension on the hand's side between the far side's over and times the ratio
                most, least = (toward + r * away) / (1 + r), (r * toward + away) / (1 + r)
                u[i] = np.clip(u[i], np.minimum(most, least), np.maximum(most, least))
            w = last[0]
            base, rate, f = float(load.dead), load.rate, load.friction
            # far end: spring and friction at the bead, the last bit of wrap to the middle of a spring
            pulled = (k * u[-2] / w - base - f) / (k / w + rate)
            let = (k * u[-2] * w - base + f) / (k * w + rate)
            u[-1] = np.clip(u[-1], pulled, let)
            if np.abs(u - before).max() < 1e-8:
                break
        felt.append((k * (u[0] - u[1]), u[-1]))
    return np.array(felt).T, last[1]


def test_a_chain_of_beads_feels_the_same() -> None:
    """Out, a little back, a little out and all the way back: fronts turn, meet and pass through."""
    route, EA, mu = even_half_turn(), 4.0e4, 0.2
    load = FarLoad(dead=60.0, rate=3.0, friction=5.0)
    turns = [12.0, 11.2, 11.8, 11.5, 13.0, 4.0]
    core = cut_core(
        route,
        friction=mu,
        give=1 / EA,
        ends=(0.0, 0.0),
        clearance=0.0,
        pull_only=False,
        elements=200,
    )
    state = State(np.zeros_like(core.exponent), far=0.0, side=0.0)
    path, force, far = [], [], []
    for start, stop in pairwise([0.0, *turns]):
        way = 1 if stop > start else -1
        moved = stroke(core, load, state, way=way, target=stop).cut(stop)
        state = moved.state(core)
        places = np.linspace(start, stop, 9)[1:]
        path.append(places)
        force.append(moved.at(moved.tension, places))
        far.append(moved.at(moved.far, places))
    hand = np.concatenate(path)
    way = np.sign(np.diff(hand, prepend=0.0))
    (beads, beads_far), half = chain(route, load, path=hand, mu=mu, stiffness=EA, count=24)

    # the first pull starts from a load that has no stop: it is not at rest
    later = np.concatenate(far) > 1.0
    assert later.sum() > 40
    assert np.concatenate(far)[later] == pytest.approx(beads_far[later], abs=0.02)
    settled = later & (np.diff(way, prepend=1.0) == 0.0)
    assert np.concatenate(force)[settled] == pytest.approx((beads * half**way)[settled], rel=0.01)


# -- the door --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"travel": 0.0}, "travel: expected mm above 0, got 0.0"),
        ({"travel": float("inf")}, "travel"),
        ({"friction": -0.1}, "friction: expected a number of 0 or more, got -0.1"),
        ({"friction": 50.0}, "friction times wrap: expected at most 30, got"),
        ({"axial_stiffness": 0.0}, "axial stiffness of the core: expected N above 0, got 0.0"),
        ({"conduit_stiffness": -1.0}, "axial stiffness of the conduit"),
        ({"bracket_stiffness": (0.0, None)}, "bracket at the hand: expected N/mm above 0, got 0.0"),
        ({"bracket_stiffness": (None, -1.0)}, "bracket at the far end"),
        ({"clearance": -0.1}, "clearance"),
        ({"drag": float("nan")}, "drag"),
        ({"elements": 0}, "elements: expected 1 or more, got 0"),
        ({"steps": 0}, "steps"),
    ],
)
def test_bad_input_is_refused(changed, said) -> None:
    with pytest.raises(CableRouteError, match=said):
        feel(**changed)


def test_a_batch_is_refused() -> None:
    points = np.array([[[0, 0, 0], [400, 0, 0], [400, 300, 0]]] * 2, dtype=float)
    with pytest.raises(GeometryError, match="batch"):
        feel(fit_arcs(points, min_bend_radius=50.0))


def test_a_lever_cannot_help() -> None:
    with pytest.raises(CableRouteError, match="lever"):
        feel().left_at(-1.0)


def test_both_halves_of_a_cycle_can_be_looked_at() -> None:
    out, back = halves(feel(steps=5))
    assert len(list(pairwise(out[0]))) == 5
    assert back[0] == pytest.approx(out[0][::-1])
