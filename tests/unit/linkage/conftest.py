"""Linkages laid out once: a lever standing up, a cable running aft, an arm standing up behind."""

import math

import pytest

from cableroute.linkage.arms import Arm
from cableroute.linkage.body import Body
from cableroute.linkage.chain import Chain
from cableroute.linkage.ends import Swivel
from cableroute.linkage.joints import Cable, Link


@pytest.fixture(scope="session")
def lever_and_arm():
    """Factory: hand lever on a cable to one far arm; every side that can be swapped is a sign."""

    def make(
        *,
        lever=80.0,
        arm=40.0,
        lever_up=1,
        arm_up=1,
        hand_behind=1,
        far_ahead=1,
        lost=0.0,
        rod=250.0,
        off=0.0,
    ):
        grip = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=300)
        cable_arm = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, lever_up), radius=lever)
        driven = Arm(pivot=(-2000, 0, 0), axis=(0, 1, 0), neutral=(0, 0, arm_up), radius=arm)
        work = Arm(pivot=(-2000, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=60)
        hand_swivel = Swivel(
            point=(-hand_behind * rod, off, lever_up * lever), axis=(hand_behind, 0, 0)
        )
        far_swivel = Swivel(
            point=(-2000 + far_ahead * rod, off, arm_up * arm), axis=(-far_ahead, 0, 0)
        )
        return Chain(
            name="shift",
            bodies=(
                Body(name="lever", incoming=grip, outgoing=cable_arm),
                Body(name="arm", incoming=driven, outgoing=work),
            ),
            joints=(Cable(name="cable", hand=hand_swivel, far=far_swivel, lost=lost),),
        )

    return make


@pytest.fixture(scope="session")
def with_crank():
    """Factory: lever, cable, crank (arms in and out, angle between), rod, far arm."""

    def make(*, arm_in=60.0, arm_out=30.0, between=math.pi, arm=50.0, lost=0.0, length=None):
        grip = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=300)
        cable_arm = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=70)
        crank_in = Arm(pivot=(-1500, 40, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=arm_in)
        out = (math.sin(between), 0, math.cos(between))
        crank_out = Arm(pivot=(-1500, 40, 0), axis=(0, 1, 0), neutral=out, radius=arm_out)
        side = 1 if out[2] > 0 else -1
        far = Arm(
            pivot=(-1800, 60, crank_out.at(0.0)[2] - side * arm),
            axis=(0, 1, 0),
            neutral=(0, 0, side),
            radius=arm,
        )
        return Chain(
            name="cranked",
            bodies=(
                Body(name="lever", incoming=grip, outgoing=cable_arm),
                Body(name="crank", incoming=crank_in, outgoing=crank_out),
                Body(name="arm", incoming=far),
            ),
            joints=(
                Cable(
                    name="cable",
                    hand=Swivel(point=(-220, 10, 68), axis=(1, 0, 0)),
                    far=Swivel(point=(-1250, 50, 62), axis=(-1, 0, 0)),
                    lost=lost,
                ),
                Link(name="rod", length=length),
            ),
        )

    return make
