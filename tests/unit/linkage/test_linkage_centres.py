import math

import numpy as np
import pytest

from cableroute.errors import GeometryError
from cableroute.linkage.centres import closing_range, dead_centres
from cableroute.linkage.chain import evaluate, walk
from cableroute.linkage.search import bisect, nearest_change


def test_an_over_centre_lever_is_found_where_its_rod_is_in_line(lever_and_arm):
    """Small lever arm, large far arm: the far arm follows, the lever goes over centre."""
    chain = lever_and_arm(lever=30, arm=90)
    hand = chain.cable.end(chain.bodies[0].out, at_hand=True)
    expected = sorted(hand.dead_centres())
    found = dead_centres(chain, low=-math.pi + 0.01, high=math.pi - 0.01)
    assert [c.kind for c in found] == ["over-centre", "over-centre"]
    assert [c.hand for c in found] == pytest.approx(expected, abs=1e-9)
    assert {(c.joint, c.member) for c in found} == {("cable", "lever")}
    assert found[0].coordinate == found[0].hand
    assert evaluate(chain, found[1].hand).gain == pytest.approx(0, abs=1e-8)


def test_a_lock_is_found_where_the_far_arm_runs_out(lever_and_arm):
    chain = lever_and_arm(lever=120, arm=30)
    low, high = closing_range(chain, low=-1.0, high=1.0)
    centres = dead_centres(chain, low=-1.0, high=1.0)
    assert [c.kind for c in centres] == ["lock", "lock"]
    assert [c.hand for c in centres] == [low, high]
    far = chain.cable.end(chain.bodies[1].incoming, at_hand=False)
    expected = sorted(far.dead_centres())
    assert sorted(c.coordinate for c in centres) == pytest.approx(expected, abs=1e-4)
    assert not np.isnan(walk(chain, high).far)
    assert np.isnan(walk(chain, high + 1e-6).far)


def test_a_lock_further_down_names_its_own_rod(with_crank):
    centres = dead_centres(with_crank(arm_out=60, arm=20), low=0.0, high=0.8)
    assert [(c.kind, c.joint, c.member) for c in centres] == [("lock", "rod", "arm")]


def test_a_sound_linkage_has_none_and_its_whole_range(lever_and_arm):
    chain = lever_and_arm(lever=40, arm=60)
    assert dead_centres(chain, low=-0.4, high=0.4) == ()
    assert closing_range(chain, low=-0.4, high=0.4) == (-0.4, 0.4)
    assert closing_range(chain, low=0.0, high=0.4) == (0.0, 0.4)


def test_an_over_centre_exactly_on_a_sample_counts_once(lever_and_arm):
    chain = lever_and_arm(lever=30, arm=90)
    at = max(chain.cable.end(chain.bodies[0].out, at_hand=True).dead_centres())
    assert len(dead_centres(chain, low=-0.1, high=2 * at)) == 1


@pytest.mark.parametrize("span", [(0.1, 0.5), (0.5, -0.5), (-0.5, math.nan)])
def test_bad_ranges(lever_and_arm, span):
    with pytest.raises(GeometryError, match="shift hand range: expected"):
        dead_centres(lever_and_arm(), low=span[0], high=span[1])


def test_a_chain_that_is_open_at_neutral(with_crank):
    with pytest.raises(GeometryError, match="expected it to close at neutral"):
        closing_range(with_crank(length=900.0), low=-0.1, high=0.1)


def test_bisection_ends_on_the_holding_side():
    root = bisect(lambda x: x * x <= 2, holds=1, fails=2)
    assert root**2 <= 2 < (root * (1 + 4e-16)) ** 2 * (1 + 1e-15)


def test_the_nearest_change_is_nearest_by_ratio():
    def inside(x):
        return 0.4 <= x <= 1.5

    assert nearest_change(inside, present=1.0) == pytest.approx(1.5)
    assert nearest_change(inside, present=0.5) == pytest.approx(0.4)
    assert nearest_change(inside, present=100.0) is None
