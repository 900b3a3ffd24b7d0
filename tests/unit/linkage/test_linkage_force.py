import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import GeometryError
from cableroute.linkage.chain import evaluate, walk
from cableroute.linkage.force import Efficiency, far_load, hand_force

FREE = Efficiency(pull=1, push=1)
HAND = np.radians(np.linspace(-15, 15, 7))


@settings(max_examples=30)
@given(st.floats(-0.3, 0.3), st.floats(100, 9000), st.sampled_from([1, -1]), st.floats(0.3, 3.0))
def test_virtual_work(with_crank, q, load, moving, between):
    """Without friction the work of the hand is the work on the load."""
    chain = with_crank(between=between)
    far = walk(chain, [q - 1e-5, q + 1e-5]).far
    stroke = walk(chain, q)
    if np.isnan(far).any() or min(abs(j.end_leverage) for j in stroke.joints) < 0.15:
        return
    force = hand_force(chain, stroke, cable=FREE, moving=moving, load=load).grip
    work_of_hand = force * chain.grip_speed * 2e-5
    assert work_of_hand == pytest.approx(load * abs(far[1] - far[0]), rel=1e-5)


def test_force_ratio_is_minus_the_derivative_of_travel(lever_and_arm):
    """The far end pulls back on the arm: a force F_far asks F_hand = -F_far ds_far/ds_hand."""
    chain = lever_and_arm()
    h = 1e-6
    slope = (walk(chain, HAND + h).far - walk(chain, HAND - h).far) / (2 * h)
    spring = -100.0 * np.ones_like(HAND)  # the spring pushes the far arm to growing angles
    stroke = evaluate(chain, HAND)
    up = hand_force(chain, stroke, cable=FREE, moving=1, spring=spring).grip
    down = hand_force(chain, stroke, cable=FREE, moving=-1, spring=spring).grip
    np.testing.assert_allclose(up, -100 * slope / chain.grip_speed, rtol=1e-6)
    np.testing.assert_allclose(down, -up)


def test_friction_costs_more_whichever_way_it_goes(lever_and_arm):
    """At neutral, square rods: torque / arm / efficiency + drag, times lever arm over grip."""
    chain, cable = lever_and_arm(), Efficiency(pull=0.8, push=0.5, drag=6)
    stroke = evaluate(chain, 0.0)
    pull = hand_force(chain, stroke, cable=cable, moving=1, load=4000.0)
    push = hand_force(chain, stroke, cable=cable, moving=-1, load=4000.0)
    assert (pull.core_far, push.core_far) == pytest.approx((100, -100))
    assert (pull.core_hand, push.core_hand) == pytest.approx((131, -206))
    assert pull.grip == pytest.approx(131 * 80 / 300)
    assert push.grip == pytest.approx(206 * 80 / 300)


def test_a_spring_that_drives_back_loses_by_friction_too(lever_and_arm):
    """Core always in tension: more than the spring on the way out, less on the way home."""
    chain, cable = lever_and_arm(), Efficiency(pull=0.8, push=0.5, drag=6)
    stroke = evaluate(chain, 0.0)
    out = hand_force(chain, stroke, cable=cable, moving=1, spring=4000.0)
    home = hand_force(chain, stroke, cable=cable, moving=-1, spring=4000.0)
    assert out.core_hand == pytest.approx(100 / 0.8 + 6)
    assert home.core_hand == pytest.approx(100 * 0.8 - 6)
    assert home.grip == pytest.approx(-74 * 80 / 300)


@settings(max_examples=40)
@given(
    st.floats(-500, 500),
    st.sampled_from([1.0, -1.0]),
    st.floats(0.2, 1),
    st.floats(0.2, 1),
    st.floats(0, 30),
)
def test_far_undoes_hand(far, moving, pull, push, drag):
    cable = Efficiency(pull=pull, push=push, drag=drag)
    hand = cable.hand(np.array(far), np.array(moving))
    assert cable.far(hand, np.array(moving)) == pytest.approx(far, abs=1e-9)
    assert hand * moving >= far * moving - 1e-9


def test_a_limited_hand_moves_a_limited_load(with_crank):
    chain, cable = with_crank(between=2.2), Efficiency(pull=0.7, push=0.6, drag=4)
    stroke = evaluate(chain, HAND)
    for moving in (1, -1):
        load = far_load(chain, stroke, cable=cable, moving=moving, grip=90.0, spring=300.0)
        back = hand_force(chain, stroke, cable=cable, moving=moving, load=load, spring=300.0)
        np.testing.assert_allclose(back.grip, 90.0)


def test_over_centre_no_load_reaches_the_grip_and_any_load_is_held(lever_and_arm):
    chain = lever_and_arm(lever=30, arm=90)
    over = max(chain.cable.end(chain.bodies[0].out, at_hand=True).dead_centres())
    stroke = evaluate(chain, over)
    force = hand_force(chain, stroke, cable=FREE, moving=1, load=1e5).grip
    assert force == pytest.approx(0, abs=1e-6)
    assert far_load(chain, stroke, cable=FREE, moving=1, grip=50.0) > 1e9


def test_at_a_lock_no_force_is_enough(lever_and_arm):
    chain = lever_and_arm(lever=80, arm=80)
    stroke = evaluate(chain, 0.0)
    locked = type(stroke)(
        coordinates=stroke.coordinates,
        joints=stroke.joints,
        cable=stroke.cable,
        hand_to_cable=stroke.hand_to_cable,
        cable_to_far=np.array(np.inf),
    )
    assert hand_force(chain, locked, cable=FREE, moving=1, load=1.0).grip == math.inf
    assert hand_force(chain, locked, cable=FREE, moving=1).grip == 0
    assert far_load(chain, locked, cable=FREE, moving=1, grip=50.0) == 0


def test_any_cable_map_will_do(lever_and_arm):
    class LockedUp:
        def hand(self, far, moving):
            return np.where(far < 0, -np.inf, far)

        def far(self, hand, moving):
            return hand

    chain = lever_and_arm()
    stroke = evaluate(chain, 0.0)
    assert hand_force(chain, stroke, cable=LockedUp(), moving=-1, load=1.0).grip == math.inf


@pytest.mark.parametrize(
    "numbers", [{"pull": 0, "push": 1}, {"pull": 1, "push": 1.2}, {"pull": math.nan, "push": 1}]
)
def test_bad_efficiency(numbers):
    with pytest.raises(GeometryError, match="expected above 0 and up to 1, got"):
        Efficiency(**numbers)


def test_bad_drag_and_bad_way(lever_and_arm):
    with pytest.raises(GeometryError, match="drag: expected 0 or more"):
        Efficiency(pull=1, push=1, drag=-1)
    chain = lever_and_arm()
    with pytest.raises(GeometryError, match="moving: expected 1 or -1, got 0"):
        hand_force(chain, evaluate(chain, 0.0), cable=FREE, moving=0)
