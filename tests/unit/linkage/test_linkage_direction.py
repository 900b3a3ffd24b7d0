import itertools

import numpy as np
import pytest

from cableroute.errors import GeometryError
from cableroute.linkage.arms import Arm
from cableroute.linkage.body import Body
from cableroute.linkage.chain import Chain, evaluate
from cableroute.linkage.direction import WAYS, direction, direction_of, turning, way
from cableroute.linkage.drum import Drum
from cableroute.linkage.joints import Cable
from cableroute.linkage.mends import arm_on_other_side, cable_from_other_side, mends

SIDES = ("lever_up", "arm_up", "hand_behind", "far_ahead")


@pytest.mark.parametrize("signs", list(itertools.product((1, -1), repeat=4)))
@pytest.mark.parametrize("hand", [0.2, -0.2])
def test_sign_table(lever_and_arm, signs, hand):
    """All 16 layouts, both ways: the words follow from counting the sides that are reversed.

    Lever forward moves an upper cable arm forward; away from a swivel behind it: the cable pulls.
    A pull draws an upper far arm towards a swivel ahead of it: it goes forward.
    """
    sides = dict(zip(SIDES, signs, strict=True))
    found = direction(lever_and_arm(**sides), hand=hand, wanted="forward")
    way_of_hand = np.sign(hand)
    pulls = way_of_hand * sides["lever_up"] * sides["hand_behind"]
    rod = pulls * sides["far_ahead"]  # which way the rod moves the driven arm
    work = rod * sides["arm_up"]  # the working point is always above the shaft
    assert found.steps[0] == f"lever {'forward' if hand > 0 else 'aft'}"
    assert found.steps[1] == f"cable {'pulls' if pulls > 0 else 'pushes'}"
    assert found.steps[2].startswith(f"arm moves {'forward' if work > 0 else 'aft'} (")
    assert found.mirrored == (work < 0)
    assert not found.across
    assert found.pulls == (pulls > 0)


def test_the_words_read_as_one_line(lever_and_arm):
    found = direction(lever_and_arm(far_ahead=-1), hand=0.2)
    assert found.text == (
        "lever forward -> cable pulls -> arm moves aft (clockwise seen from the left)"
    )
    assert found.agreement is None
    assert not found.mirrored


@pytest.mark.parametrize("count", range(16))
def test_every_mend_turns_it_round_and_two_of_them_do_not(lever_and_arm, count):
    """Exhaustive over the layouts: each change alone reverses the sense; any two restore it."""
    signs = [1 if count >> bit & 1 else -1 for bit in range(4)]
    chain = lever_and_arm(**dict(zip(SIDES, signs, strict=True)))
    before = direction(chain, hand=0.2).far
    wanted = -before
    tried = mends(chain, hand=0.2, wanted=wanted, low=-0.2, high=0.2)
    assert [m.kind for m in tried] == ["cable-side-hand", "cable-side-far", "lever-end", "far-arm"]
    for mend in tried:
        assert mend.mends, mend.what
        assert mend.fault == ""
        again = mends(mend.chain, hand=0.2, wanted=wanted, low=-0.2, high=0.2)
        assert not any(m.mends for m in again)


def test_what_a_mend_does_to_route_and_travel(lever_and_arm):
    chain = lever_and_arm(lever=80, arm=40, rod=250)
    tried = {m.kind: m for m in mends(chain, hand=0.2, wanted="aft", low=-0.2, high=0.3)}
    assert tried["cable-side-far"].moved == pytest.approx(500)
    assert tried["cable-side-far"].turned == pytest.approx(np.pi)
    assert tried["lever-end"].moved == pytest.approx(160)
    assert tried["lever-end"].turned == 0
    for kind in ("lever-end", "far-arm", "cable-side-far", "cable-side-hand"):
        at_neutral = evaluate(tried[kind].chain, 0.0).cable
        assert at_neutral.hand_angle == pytest.approx(0, abs=1e-12)
        assert at_neutral.far_angle == pytest.approx(0, abs=1e-12)
    assert tried["far-arm"].moved == pytest.approx(80)
    far = evaluate(tried["lever-end"].chain, [-0.2, 0.3]).far
    assert tried["lever-end"].travel == pytest.approx(60 * abs(far[1] - far[0]))
    before = evaluate(chain, [-0.2, 0.3]).far
    assert tried["lever-end"].travel_before == pytest.approx(60 * abs(before[1] - before[0]))


@pytest.mark.parametrize("between", [np.pi, 0.5 * np.pi, 0.2])
def test_the_driving_arm_of_a_crank_on_the_other_side_of_its_pivot(with_crank, between):
    chain = with_crank(between=between)
    wanted = -direction(chain, hand=0.15).far
    (mend,) = [
        m
        for m in mends(chain, hand=0.15, wanted=wanted, low=-0.15, high=0.15)
        if m.kind == "crank-pivot"
    ]
    assert mend.mends
    assert mend.what == "put the driving arm of crank on the other side of its pivot"
    before, after = chain.bodies[1].out.neutral, mend.chain.bodies[1].out.neutral
    assert after == pytest.approx(-before)
    assert mend.moved == 0


def test_a_mend_that_cannot_close_says_so(with_crank):
    chain = with_crank(between=0.6, arm=20.0, arm_out=60.0)
    tried = mends(chain, hand=0.1, wanted="forward", low=-0.3, high=0.3)
    (broken,) = [m for m in tried if m.fault]
    assert broken.kind == "crank-pivot"
    assert "expected arm to follow rod, got a rod too long by" in broken.fault
    assert np.isnan(broken.travel)
    assert not broken.mends


def test_motion_across_the_wanted_sense(lever_and_arm):
    found = direction(lever_and_arm(), hand=0.2, wanted="left")
    assert found.across
    assert not found.mirrored


def test_drums_and_grips_speak_too():
    grip = Body(
        name="grip",
        incoming=Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=16),
        outgoing=Drum(angles=[0, 1.5], radii=[12, 12]),
    )
    quadrant = Body(
        name="throttle",
        incoming=Drum(angles=[-1.5, 1.5], radii=[24, 24], sense=-1),
        outgoing=Arm(pivot=(-900, 0, 0), axis=(0, 1, 0), neutral=(1, 0, 0), radius=24),
    )
    chain = Chain(name="throttle", bodies=(grip, quadrant), joints=(Cable(name="cable"),))
    found = direction(chain, hand=0.2, wanted="down")
    assert found.steps == (
        "grip forward",
        "cable pulls",
        "throttle moves down (anticlockwise seen from the left)",
    )
    assert mends(chain, hand=0.2, wanted="up", low=0.0, high=0.5) == ()
    with pytest.raises(GeometryError, match="expected a swivel to move, got a drum on grip"):
        cable_from_other_side(chain, at_hand=True)
    with pytest.raises(GeometryError, match="grip: expected an arm to swap, got a Drum"):
        arm_on_other_side(chain, body=0, side="outgoing")


@pytest.mark.parametrize("word", WAYS)
def test_the_six_words_go_both_ways(word):
    assert way(direction_of(word)) == word
    assert np.linalg.norm(direction_of(word)) == 1


@pytest.mark.parametrize(("x", "y", "z"), list(itertools.product((-1, 0, 1), repeat=3)))
def test_way_enumerated(x, y, z):
    words = way((x, y, z)).split(" and ")
    expected = [word for word, unit in WAYS.items() if np.dot(unit, (x, y, z)) > 0]
    assert sorted(words) == sorted(expected or ["nowhere"])


def test_the_larger_component_is_said_first_and_small_ones_not_at_all():
    assert way((3, 0, -5)) == "down and forward"
    assert way((3, 1, 0)) == "forward"


def test_turning_is_the_right_hand_rule():
    assert turning((0, 0, 1), 0.1) == "anticlockwise seen from above"
    assert turning((0, 0, -1), 0.1) == "anticlockwise seen from below"
    assert turning((-1, 0.2, 0), -0.1) == "clockwise seen from behind"
    assert turning((0, 1, 0), 0.0) == "nowhere seen from the left"


def test_wanted_words_joined():
    np.testing.assert_allclose(direction_of("Aft and up"), np.array([-1, 0, 1]) / np.sqrt(2))


@pytest.mark.parametrize("wanted", ["backwards", "", "forward and sideways"])
def test_strange_words(wanted):
    with pytest.raises(GeometryError, match="wanted sense: expected forward, aft, left"):
        direction_of(wanted)


def test_words_that_cancel():
    with pytest.raises(GeometryError, match="expected a direction, got the zero vector"):
        direction_of("left and right")


def test_bad_hand_movements(lever_and_arm):
    with pytest.raises(GeometryError, match="a hand movement other than 0, got 0"):
        direction(lever_and_arm(), hand=0)
    with pytest.raises(GeometryError, match=r"got 0\.80 mm of cable travel, none of it beyond"):
        direction(lever_and_arm(lost=2.0), hand=0.01)
