import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from cableroute.errors import GeometryError
from cableroute.linkage.body import Body
from cableroute.linkage.chain import evaluate
from cableroute.linkage.ratio import far_swing, holes, radius_for, with_radius
from cableroute.linkage.slide import Slide

SPAN = {"low": -0.25, "high": 0.25}


@pytest.mark.parametrize(("body", "side"), [(0, "outgoing"), (-1, "incoming")])
def test_the_radius_gives_the_swing_wanted(lever_and_arm, body, side):
    chain = lever_and_arm(lost=1.0)
    radius = radius_for(chain, body=body, side=side, swing=1.2, **SPAN)
    drilled = with_radius(chain, body=body, side=side, radius=radius)
    assert far_swing(drilled, **SPAN) == pytest.approx(1.2, abs=1e-9)

    def miss(r):
        far = evaluate(with_radius(chain, body=body, side=side, radius=r), [-0.25, 0.25]).far
        return abs(far[1] - far[0]) - 1.2

    assert radius == pytest.approx(brentq(miss, radius * 0.8, radius * 1.2), abs=1e-6)


def test_square_rods_by_the_chord(lever_and_arm):
    """Long rods: 2 r sin(a/2) at the lever equals 2 R sin(A/2) at the arm."""
    chain = lever_and_arm(rod=1e5, lever=80)
    radius = radius_for(chain, body=-1, side="incoming", swing=1.0, **SPAN)
    assert radius == pytest.approx(80 * math.sin(0.25) / math.sin(0.5), rel=1e-3)


def test_the_drill_list_brackets_the_wanted_swing(lever_and_arm):
    chain = lever_and_arm()
    exact = radius_for(chain, body=-1, side="incoming", swing=1.2, **SPAN)
    drilled = holes(chain, body=-1, side="incoming", swing=1.2, pitch=6, **SPAN)
    assert [hole.radius for hole in drilled] == [round(exact) + k * 6 for k in (-2, -1, 0, 1, 2)]
    swings = [hole.swing for hole in drilled]
    assert swings == sorted(swings, reverse=True)
    assert swings[1] > 1.2 > swings[3]
    for hole in drilled:
        assert hole.travel == pytest.approx(hole.swing * 60)
        assert hole.ratio == pytest.approx(hole.travel / (0.5 * 300))
        drilled_chain = with_radius(chain, body=-1, side="incoming", radius=hole.radius)
        gain = np.abs(evaluate(drilled_chain, np.linspace(-0.25, 0.25, 501)).gain)
        assert hole.force == pytest.approx(np.max(gain) * 60 / 300, rel=1e-3)
        assert hole.force >= hole.ratio  # the worst place of the stroke is not below its mean
        assert hole.cable == pytest.approx(2 * 80 * math.sin(0.25), rel=0.01)
    assert drilled[0].rod_angle > 0


def test_a_hole_the_chain_cannot_follow_has_no_swing(lever_and_arm):
    chain = lever_and_arm(lever=80, arm=30)
    drilled = holes(chain, body=-1, side="incoming", swing=1.6, pitch=5, each_way=2, **SPAN)
    assert math.isnan(drilled[0].swing)
    assert not math.isnan(drilled[2].swing)


def test_holes_stop_at_the_pivot(lever_and_arm):
    drilled = holes(
        lever_and_arm(), body=0, side="outgoing", swing=0.5, pitch=30, each_way=3, **SPAN
    )
    assert all(hole.radius > 0 for hole in drilled)
    assert len(drilled) < 7


def test_drilling_the_driven_arm_leaves_the_working_point(lever_and_arm):
    chain = with_radius(lever_and_arm(), body=-1, side="incoming", radius=33)
    assert chain.bodies[1].incoming.radius == 33
    assert chain.bodies[1].out.radius == 60


def test_a_link_is_remade_for_the_new_hole(with_crank):
    chain = with_radius(with_crank(), body=1, side="outgoing", radius=41)
    assert evaluate(chain, 0.0).far == pytest.approx(0, abs=1e-9)
    assert not np.isnan(evaluate(chain, [-0.1, 0.1]).far).any()


def test_what_cannot_be_reached_or_drilled(lever_and_arm):
    chain = lever_and_arm()
    with pytest.raises(
        GeometryError, match=r"radius between 10\.0 and 160\.0 mm .* got more with all"
    ):
        radius_for(chain, body=-1, side="incoming", swing=0.01, **SPAN)
    with pytest.raises(GeometryError, match="wanted swing: expected a number above 0"):
        radius_for(chain, body=-1, side="incoming", swing=0, **SPAN)
    with pytest.raises(GeometryError, match="hole pitch: expected a number above 0"):
        holes(chain, body=-1, side="incoming", swing=1.2, pitch=0, **SPAN)


def test_only_arms_are_drilled(with_crank):
    chain = with_crank()
    shaft = Body(name="shaft", incoming=Slide(origin=(0, 0, 0), direction=(1, 0, 0)))
    other = replace(chain, bodies=(*chain.bodies[:-1], shaft))
    with pytest.raises(GeometryError, match="shaft: expected an arm to drill, got a Slide"):
        with_radius(other, body=-1, side="incoming", radius=10)
