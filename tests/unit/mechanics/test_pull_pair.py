"""The pull pair: closed forms against a loop cut into short elements, and its limits."""

from __future__ import annotations

from math import inf, sinh

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from cableroute.errors import CableRouteError, SolverError
from cableroute.mechanics.lost_motion import lost_motion
from cableroute.mechanics.pair_travel import loose_core, pair_lost_motion
from cableroute.mechanics.pull_pair import least_preload, pull_pair
from cableroute.route.fillet import fit_arcs

ROUTE = fit_arcs(
    [[0, 0, 0], [500, 0, 0], [500, 400, 100], [-200, 400, 300]], min_bend_radius=[90, 150]
)
STRAIGHT = fit_arcs([[0, 0, 0], [800, 0, 0]], min_bend_radius=100)
EA = 2.0e5


def cut_loop(route, *, load, friction, preload, elements=40_000):
    """Far tensions and lead of the hand, by marching along a loop of many short elements.

    Knows no closed form: each core's tension changes by friction on the wall force T * turn of each
    element, always against its own motion, and the slack core's tension at the far end is found
    by a root finder so that the loop keeps its length.
    """
    length = route.length
    step = length / elements
    along = route.tangent(np.linspace(length, 0.0, elements + 1))
    turn = np.linalg.norm(np.diff(along, axis=0), axis=1)

    def stretch(far, sense):
        """Tension summed along the run, growing towards the hand for a core that runs that way."""
        factor = sense * friction * turn
        growth = np.concatenate(([1.0], np.cumprod((1.0 + 0.5 * factor) / (1.0 - 0.5 * factor))))
        tension = far * growth
        total = float(np.sum(0.5 * (tension[:-1] + tension[1:])) * step)
        return total, float(tension[-1])

    def surplus(slack):
        return stretch(load + slack, 1.0)[0] + stretch(slack, -1.0)[0] - 2.0 * preload * length

    slack = 0.0 if surplus(0.0) > 0.0 else brentq(surplus, 0.0, 10.0 * (preload + load), xtol=1e-10)
    pulled, pulled_hand = stretch(load + slack, 1.0)
    _, slack_hand = stretch(slack, -1.0)
    return slack, pulled_hand - slack_hand, (pulled - preload * length) / EA


@pytest.mark.parametrize("friction", [0.0, 0.08, 0.3])
@pytest.mark.parametrize("preload", [30.0, 75.0, 200.0])
def test_as_the_loop_cut_into_elements(friction, preload) -> None:
    slack, hand, lead = cut_loop(ROUTE, load=100.0, friction=friction, preload=preload)

    pair = pull_pair(ROUTE, load=100.0, friction=friction, preload=preload)
    lost = pair_lost_motion(
        ROUTE, load=100.0, friction=friction, preload=preload, axial_stiffness=EA
    )

    assert float(pair.slack_far) == pytest.approx(slack, rel=1e-6, abs=1e-6)
    assert float(pair.hand) == pytest.approx(hand, rel=1e-6)
    assert lost.stretch == pytest.approx(lead, rel=1e-5)


def test_least_preload_is_where_the_slack_core_goes_loose() -> None:
    def slack(preload):
        return cut_loop(ROUTE, load=100.0, friction=0.2, preload=preload)[0]

    least = float(least_preload(ROUTE, load=100.0, friction=0.2))

    assert slack(0.999 * least) == 0.0
    assert 0.0 < slack(1.001 * least) < 0.2


def test_least_preload_with_drag_is_where_the_slack_core_just_gives_its_drag() -> None:
    """The loop cut into elements, which knows no closed form, has the drag in its slack core there."""
    least = float(least_preload(ROUTE, load=100.0, friction=0.2, drag=12.0))
    slack, *_ = cut_loop(ROUTE, load=100.0, friction=0.2, preload=least)

    assert slack == pytest.approx(12.0, rel=1e-5)
    gives = {"load": 100.0, "friction": 0.2, "drag": 12.0, "axial_stiffness": EA}
    assert loose_core(ROUTE, preload=least, **gives) == 0.0
    assert loose_core(ROUTE, preload=0.999 * least, **gives) > 0.0
    with pytest.raises(CableRouteError, match="drag"):
        least_preload(ROUTE, load=100.0, friction=0.2, drag=-1.0)


def test_on_a_straight_run_drag_adds_itself_to_the_least_preload() -> None:
    """Half the load, and what the slack core's far end gives to its drag, in both cores alike."""
    least = float(least_preload(STRAIGHT, load=100.0, friction=0.3, drag=7.0))
    assert least == pytest.approx(50.0 + 7.0)


def test_a_slack_core_that_hangs_loose_is_drawn_by_the_far_end_through_the_bends() -> None:
    """By hand: the pulled core carries load and the other's drag, and nothing helps at the hand."""
    pair = pull_pair(ROUTE, load=100.0, friction=0.2, preload=10.0)
    grows = float(np.exp(0.2 * ROUTE.wrap))
    assert float(pair.slack_far) == 0.0

    hand, taut, far = map(float, pair.dragging(6.0))
    assert far == pytest.approx(106.0)
    assert taut == hand == pytest.approx(106.0 * grows + 6.0)

    stiff, bears, far = map(float, pair.dragging(6.0, pulled=3.0, slack=4.0))
    assert stiff == bears == pytest.approx(hand + 7.0)
    assert far == pytest.approx(106.0 + 4.0)


def test_a_slack_core_that_is_taut_gives_its_drag_out_of_its_own_tension() -> None:
    pair = pull_pair(ROUTE, load=100.0, friction=0.2, preload=300.0)

    hand, taut, far = pair.dragging(6.0)
    assert float(far) == float(pair.pulled_far)
    assert float(taut) == pytest.approx(float(pair.pulled_hand) + 6.0)
    assert float(hand) == pytest.approx(float(pair.hand) + 12.0)


def test_without_friction_each_side_gives_half_the_load() -> None:
    pair = pull_pair(ROUTE, load=100.0, friction=0.0, preload=80.0)

    assert float(least_preload(ROUTE, load=100.0, friction=0.0)) == pytest.approx(50.0)
    assert float(pair.pulled_far) == pytest.approx(130.0)
    assert float(pair.slack_far) == pytest.approx(30.0)
    assert float(pair.hand) == pytest.approx(100.0)
    assert float(pair.added) == 0.0


def test_without_friction_a_pair_is_twice_as_stiff_as_one_core() -> None:
    one = lost_motion(ROUTE, load=100, friction=0, clearance=0, axial_stiffness=EA)
    two = pair_lost_motion(ROUTE, load=100, friction=0, preload=50, axial_stiffness=EA)

    assert two.stretch == pytest.approx(0.5 * one.stretch)
    assert two.hysteresis == pytest.approx(0.0, abs=1e-12)
    assert two.clearance == 0.0


def test_a_straight_pair_has_no_friction() -> None:
    pair = pull_pair(STRAIGHT, load=100.0, friction=0.3, preload=60.0)

    assert float(pair.hand) == pytest.approx(100.0)
    assert float(pair.added) == 0.0
    assert float(least_preload(STRAIGHT, load=100.0, friction=0.3)) == pytest.approx(50.0)


def test_without_preload_a_pair_is_a_single_core() -> None:
    one = lost_motion(
        ROUTE, load=100, friction=0.2, clearance=0, axial_stiffness=EA, conduit_stiffness=3 * EA
    )
    two = pair_lost_motion(
        ROUTE, load=100, friction=0.2, preload=0, axial_stiffness=EA, conduit_stiffness=3 * EA
    )

    assert (two.stretch, two.conduit) == pytest.approx((one.stretch, one.conduit))
    assert two.hysteresis == pytest.approx(one.hysteresis)


def test_an_empty_pair_still_drags() -> None:
    pair = pull_pair(ROUTE, load=0.0, friction=0.2, preload=60.0)

    twice = 2.0 * float(pair.slack_far) * sinh(0.2 * ROUTE.wrap)
    assert float(pair.hand) == pytest.approx(twice)
    assert float(pair.hand) == pytest.approx(float(pair.added))


def test_brackets_carry_both_conduits() -> None:
    pair = pull_pair(ROUTE, load=100.0, friction=0.2, preload=90.0)

    assert float(pair.bracket_hand) == pytest.approx(float(pair.pulled_hand + pair.slack_hand))
    assert float(pair.bracket_far) == pytest.approx(100.0 + 2.0 * float(pair.slack_far))


def test_what_hangs_loose() -> None:
    least = float(least_preload(ROUTE, load=100.0, friction=0.2))
    given = {"load": 100.0, "friction": 0.2, "axial_stiffness": EA}

    assert loose_core(ROUTE, preload=least, **given) == 0.0
    # all that the pulled core stretches, less what either core was stretched as assembled
    lead = pair_lost_motion(ROUTE, preload=0.5 * least, **given).stretch
    loose = loose_core(ROUTE, preload=0.5 * least, **given)
    assert loose == pytest.approx(lead - 0.5 * least * ROUTE.length / EA)
    soft = loose_core(ROUTE, preload=0.5 * least, conduit_stiffness=EA, **given)
    assert soft == pytest.approx(2.0 * loose)


@settings(max_examples=30)
@given(
    friction=st.floats(0.0, 0.6),
    preload=st.floats(0.0, 300.0),
    load=st.floats(0.0, 300.0),
    more=st.floats(0.1, 50.0),
)
def test_more_of_anything_takes_more_force(friction, preload, load, more) -> None:
    def hand(load, friction, preload):
        return float(pull_pair(ROUTE, load=load, friction=friction, preload=preload).hand)

    here = hand(load, friction, preload)

    assert here >= load - 1e-9
    assert hand(load + more, friction, preload) > here
    assert hand(load, friction, preload + more) >= here - 1e-9
    assert hand(load, friction + 0.01 * more, preload) >= here - 1e-9


@settings(max_examples=30)
@given(friction=st.floats(0.0, 0.6), share=st.floats(1.0, 4.0))
def test_the_closed_form_of_the_hysteresis(friction, share) -> None:
    preload = share * float(least_preload(ROUTE, load=100.0, friction=friction))
    lost = pair_lost_motion(
        ROUTE, load=100.0, friction=friction, preload=preload, axial_stiffness=EA
    )

    one = lost_motion(ROUTE, load=1.0, friction=friction, clearance=0.0, axial_stiffness=1.0)
    rising, falling = one.stretch, one.stretch - one.hysteresis
    expected = 2 * preload * ROUTE.length / EA * (rising - falling) / (rising + falling)
    assert lost.hysteresis == pytest.approx(expected, abs=1e-12)


def test_a_batch_is_worked_out_as_its_members() -> None:
    loads, frictions = np.array([[40.0], [90.0], [150.0]]), np.array([0.05, 0.2])
    many = pull_pair(ROUTE, load=loads, friction=frictions, preload=70.0)

    assert many.hand.shape == (3, 2)
    one = pull_pair(ROUTE, load=90.0, friction=0.2, preload=70.0)
    assert many.hand[1, 1] == pytest.approx(float(one.hand), rel=1e-14)

    points = np.stack([ROUTE.points, ROUTE.points + np.array([0, 0, 7]), 1.5 * ROUTE.points])
    routes = fit_arcs(points, min_bend_radius=90)
    batch = pull_pair(routes, load=90.0, friction=0.2, preload=70.0)
    alone = pull_pair(fit_arcs(points[2], min_bend_radius=90), load=90, friction=0.2, preload=70)
    assert batch.slack_hand[2] == pytest.approx(float(alone.slack_hand), rel=1e-12)


@pytest.mark.parametrize("bad", [-1.0, inf, np.nan])
@pytest.mark.parametrize("name", ["load", "friction", "preload"])
def test_refused(name, bad) -> None:
    values = {"load": 100.0, "friction": 0.1, "preload": 60.0, name: bad}
    for work_out, more in (
        (pull_pair, {}),
        (pair_lost_motion, {"axial_stiffness": EA}),
        (loose_core, {"axial_stiffness": EA}),
    ):
        with pytest.raises(CableRouteError, match=name):
            work_out(ROUTE, **values, **more)


def test_bends_that_no_force_overcomes_are_told() -> None:
    turns = np.arange(2000.0)
    coil = fit_arcs(
        np.column_stack((100.0 * np.cos(turns), 100.0 * np.sin(turns), turns)), min_bend_radius=10
    )
    with pytest.raises(SolverError, match="beyond all bounds"):
        pull_pair(coil, load=1.0, friction=0.9, preload=1.0)
    with pytest.raises(SolverError, match="beyond all bounds"):
        least_preload(coil, load=1.0, friction=0.9)


@pytest.mark.parametrize("stiffness", [(0.0, None), (-1.0, EA), (EA, 0.0), (EA, np.nan)])
def test_stiffness_is_above_zero(stiffness) -> None:
    core, conduit = stiffness
    for work_out in (pair_lost_motion, loose_core):
        with pytest.raises(CableRouteError, match="axial stiffness"):
            work_out(
                ROUTE,
                load=1.0,
                friction=0.1,
                preload=1.0,
                axial_stiffness=core,
                conduit_stiffness=conduit,
            )
