import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, root

from cableroute.errors import GeometryError
from cableroute.linkage.arms import Arm
from cableroute.linkage.body import Body, bellcrank
from cableroute.linkage.chain import Chain, evaluate, needed_travel, nonlinearity, walk
from cableroute.linkage.drum import Drum
from cableroute.linkage.ends import Swivel
from cableroute.linkage.follow import follow_link
from cableroute.linkage.joints import Cable, Link
from cableroute.linkage.slide import Slide

HAND = np.radians(np.linspace(-18, 18, 13))


def test_a_two_to_one_crank_turns_40_mm_into_20_mm():
    """Arms 60 and 30 mm on one pivot, between its rods: 40 mm forward comes out as 20 mm aft."""
    crank = bellcrank(
        name="idler",
        pivot=(-1000, 0, 0),
        axis=(0, 1, 0),
        neutral=(0, 0, 1),
        radius_in=60,
        radius_out=30,
        between=math.pi,
    )
    chain = Chain(
        name="two to one",
        bodies=(
            Body(name="grip", incoming=Slide(origin=(0, 0, 0), direction=(1, 0, 0))),
            crank,
            Body(
                name="shaft",
                incoming=Slide(origin=(-1200, 0, -30), direction=(1, 0, 0)),
            ),
        ),
        joints=(
            Cable(
                name="cable",
                hand=Swivel(point=(-100, 0, 0), axis=(1, 0, 0)),
                far=Swivel(point=(-600, 0, 60), axis=(-1, 0, 0)),
            ),
            Link(name="rod"),
        ),
    )
    stroke = evaluate(chain, np.linspace(-20, 20, 9))
    assert stroke.cable.pulled == pytest.approx(np.linspace(-20, 20, 9))
    # the rods differ in length, and so in how much they lean over the stroke
    assert stroke.far[-1] - stroke.far[0] == pytest.approx(-20, abs=0.05)


def test_a_two_to_one_crank_with_mirrored_rods_is_exact():
    """Scaled by -1/2 about the pivot, cable rod into shaft rod: the shaft goes exactly half."""
    crank = bellcrank(
        name="idler",
        pivot=(0, 0, 0),
        axis=(0, 1, 0),
        neutral=(0, 0, 1),
        radius_in=60,
        radius_out=30,
        between=math.pi,
    )
    driver = Slide(origin=(400, 0, 60), direction=(1, 0, 0))
    shaft = Slide(origin=(-200, 0, -30), direction=(1, 0, 0))
    pulled = np.linspace(-20, 20, 11)
    turned, _ = follow_link(Link(name="first"), driver, crank.incoming, pulled)
    moved, _ = follow_link(Link(name="second"), crank.out, shaft, turned)
    np.testing.assert_allclose(moved, -pulled / 2, atol=1e-10)


def test_the_chain_agrees_with_a_solver_on_its_constraint_equations(with_crank):
    chain = with_crank(between=math.radians(130), lost=1.5)
    stroke = evaluate(chain, HAND)
    lever, crank, arm = chain.bodies
    cable = chain.cable

    def constraints(unknown, q):
        theta, phi = unknown
        hand = [np.linalg.norm(lever.out.at(a) - cable.hand.point) for a in (q, 0.0)]
        far = [np.linalg.norm(crank.incoming.at(a) - cable.far.point) for a in (theta, 0.0)]
        rod = [
            np.linalg.norm(crank.out.at(a) - arm.incoming.at(b)) for a, b in ((theta, phi), (0, 0))
        ]
        u = hand[0] - hand[1]
        v = np.sign(u) * max(abs(u) - 0.75, 0)
        return [far[0] - far[1] + v, rod[0] - rod[1]]

    for i, q in enumerate(HAND):
        found = root(constraints, [0.0, 0.0], args=(q,), tol=1e-12)
        assert np.max(np.abs(found.fun)) < 1e-8
        theta, phi = found.x
        assert stroke.coordinates[1][i] == pytest.approx(theta, abs=1e-9)
        assert stroke.far[i] == pytest.approx(phi, abs=1e-9)


@settings(max_examples=30)
@given(
    st.floats(-0.35, 0.35),
    st.floats(30, 90),
    st.floats(40, 90),
    st.floats(20, 45),
    st.sampled_from([0.2, 1.8, 2.6, math.pi]),
)
def test_gains_are_derivatives(with_crank, q, arm_in, arm, arm_out, between):
    """Virtual work rests on this: force ratio = derivative of travel."""
    chain = with_crank(arm_in=arm_in, arm=arm, arm_out=arm_out, between=between)
    h = 1e-5
    far = walk(chain, [q - h, q, q + h]).far
    if np.isnan(far).any():
        return
    stroke = walk(chain, q)
    if min(abs(j.end_leverage) for j in stroke.joints) < 0.15:
        return
    assert stroke.gain == pytest.approx((far[2] - far[0]) / (2 * h), rel=1e-5, abs=1e-6)


def test_leading_axes_and_rod_angles(with_crank):
    chain = with_crank()
    flat = evaluate(chain, HAND[:12])
    square = evaluate(chain, HAND[:12].reshape(3, 4))
    np.testing.assert_array_equal(square.far.ravel(), flat.far)
    assert square.joints[0].start.shape == (3, 4, 3)
    lever, swivel = chain.bodies[0].out, chain.cable.hand
    rod = lever.at(HAND[0]) - swivel.point
    expected = math.acos(rod @ swivel.axis / np.linalg.norm(rod))
    assert flat.cable.hand_angle[0] == pytest.approx(expected)
    out_of_plane = abs(rod[1]) / np.linalg.norm(rod)
    assert flat.joints[0].start_tilt[0] == pytest.approx(math.asin(out_of_plane))


def test_lost_motion_comes_off_both_sides(lever_and_arm):
    stroke = evaluate(lever_and_arm(lost=3.0), [-0.2, 0.0, 0.01, 0.2])
    u, v = stroke.cable.pulled, stroke.cable.arrived
    np.testing.assert_allclose(u - v, [-1.5, 0, u[2], 1.5])


def test_a_link_of_its_own_length_shifts_the_driven_member(with_crank):
    laid_out = with_crank()
    natural = np.linalg.norm(laid_out.bodies[1].out.at(0.0) - laid_out.bodies[2].incoming.at(0.0))
    chain = with_crank(length=natural + 4)
    stroke = evaluate(chain, 0.0)
    rod = stroke.joints[1].end - stroke.joints[1].start
    assert np.linalg.norm(rod) == pytest.approx(natural + 4)
    assert abs(stroke.far) > 0.05


def test_needed_travel_is_the_chain_run_backwards(with_crank):
    chain = with_crank(between=math.radians(140))
    stroke = evaluate(chain, HAND)
    np.testing.assert_allclose(needed_travel(chain, stroke.far), stroke.cable.arrived, atol=1e-9)


def test_needed_travel_that_a_link_cannot_give(with_crank):
    chain = with_crank()
    with pytest.raises(GeometryError, match="crank cannot bring arm there: expected rod to close"):
        needed_travel(chain, [0.0, 2.5])


def test_a_crank_before_the_cable(lever_and_arm):
    """A rod from the lever to a bellcrank whose other arm draws the cable."""
    simple = lever_and_arm()
    lever, arm = simple.bodies
    crank = bellcrank(
        name="bellcrank",
        pivot=(-300, 0, 140),
        axis=(0, 1, 0),
        neutral=(0, 0, -1),
        radius_in=60,
        radius_out=60,
        between=math.pi / 2,
    )
    chain = Chain(
        name="angled",
        bodies=(lever, crank, arm),
        joints=(
            Link(name="rod"),
            Cable(
                name="cable",
                hand=Swivel(point=crank.out.at(0.0) - [0, 0, 300], axis=(0, 0, 1)),
                far=simple.cable.far,
            ),
        ),
    )
    stroke = evaluate(chain, HAND)
    h = 1e-6
    slope = (walk(chain, HAND + h).far - walk(chain, HAND - h).far) / (2 * h)
    np.testing.assert_allclose(stroke.gain, slope, rtol=1e-6)
    core = (walk(chain, HAND + h).cable.pulled - walk(chain, HAND - h).cable.pulled) / (2 * h)
    np.testing.assert_allclose(stroke.hand_to_cable, core, rtol=1e-6)
    for i, joint in enumerate(stroke.joints):
        before, after = (
            (high - low) / (2 * h)
            for high, low in zip(
                walk(chain, HAND + h).coordinates[i : i + 2],
                walk(chain, HAND - h).coordinates[i : i + 2],
                strict=True,
            )
        )
        np.testing.assert_allclose(joint.gain, after / before, rtol=1e-6)


def test_a_twist_grip_on_a_quadrant():
    """Throttle: 12 mm grip drum, 24 mm quadrant, so half the angle; both drums, no swivels."""
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
    stroke = evaluate(chain, [0.0, 0.7, 1.4])
    np.testing.assert_allclose(stroke.far, [0, 0.35, 0.7])
    np.testing.assert_allclose(stroke.gain, 0.5)
    assert np.isnan(stroke.joints[0].start).all()


def test_what_cannot_close_names_the_member_and_the_shortfall(lever_and_arm, with_crank):
    chain = lever_and_arm(lever=120, arm=30)
    with pytest.raises(GeometryError) as caught:
        evaluate(chain, np.radians([0, 30]))
    far = chain.cable.end(chain.bodies[1].incoming, at_hand=False)
    u = walk(chain, math.radians(30)).cable.pulled
    most = far.neutral_length - np.linalg.norm(
        chain.bodies[1].incoming.at(far.dead_centres()[1]) - far.swivel.point
    )
    assert str(caught.value) == (
        "shift: with lever at 30.0 degrees, expected arm to follow cable, got "
        f"{u - most:.2f} mm of travel left over at its dead centre"
    )
    cranked = with_crank(arm_out=60, arm=20)
    with pytest.raises(
        GeometryError, match=r"expected arm to follow rod, got a rod too long by \d"
    ):
        evaluate(cranked, np.radians([0, 35]))


def test_nonlinearity_is_measured_from_the_chord():
    x = np.linspace(0, 1, 101)
    assert nonlinearity(x, x**2) == pytest.approx(0.25, abs=1e-12)
    assert nonlinearity(x, 3 - 2 * x) == pytest.approx(0, abs=1e-15)
    assert np.isnan(nonlinearity(x, x * (1 - x)))
    assert nonlinearity(np.stack([x, x]), np.stack([x, x**2])).shape == (2,)


SQUARE = {"pivot": (0, 0, 0), "axis": (0, 1, 0), "neutral": (0, 0, 1), "radius": 50}


@pytest.mark.parametrize(
    ("incoming", "outgoing", "message"),
    [
        (Arm(**SQUARE), Arm(**SQUARE | {"axis": (0, -1, 0)}), "both arms on one axis"),
        (Arm(**SQUARE), Arm(**SQUARE | {"pivot": (5, 0, 0)}), r"5 mm apart"),
        (Arm(**SQUARE), Slide(origin=(0, 0, 0), direction=(1, 0, 0)), "a turning and a sliding"),
        (
            Slide(origin=(0, 0, 0), direction=(1, 0, 0)),
            Slide(origin=(0, 0, 0), direction=(0, 1, 0)),
            "both slides in one direction",
        ),
        (Drum(angles=[0, 1], radii=[1, 1]), None, "expected an arm besides the drum"),
    ],
)
def test_a_body_moves_as_one(incoming, outgoing, message):
    with pytest.raises(GeometryError, match=message):
        Body(name="lever", incoming=incoming, outgoing=outgoing)


def test_arms_may_stand_apart_along_one_axis():
    shaft = Body(
        name="cross shaft", incoming=Arm(**SQUARE), outgoing=Arm(**SQUARE | {"pivot": (0, 300, 0)})
    )
    assert shaft.out.at(0.0)[1] == 300


def test_bad_chains(lever_and_arm):
    chain = lever_and_arm()
    lever, arm = chain.bodies
    with pytest.raises(
        GeometryError, match="one joint between each two members, got 2 members and 2"
    ):
        Chain(name="x", bodies=chain.bodies, joints=chain.joints * 2)
    with pytest.raises(GeometryError, match="exactly one cable, got 0"):
        Chain(name="x", bodies=chain.bodies, joints=(Link(name="rod"),))
    with pytest.raises(GeometryError, match="cable: expected a swivel at its far end, got none"):
        evaluate(
            Chain(
                name="x", bodies=(lever, arm), joints=(Cable(name="cable", hand=chain.cable.hand),)
            ),
            0.0,
        )
    with pytest.raises(GeometryError, match="rod length: expected a number above 0"):
        Link(name="rod", length=0)
    with pytest.raises(GeometryError, match="cable lost motion: expected 0 or more"):
        Cable(name="cable", lost=-1)


def test_bad_links():
    arm = Arm(**SQUARE)
    with pytest.raises(GeometryError, match="expected an arm or a slide at both ends, got a drum"):
        follow_link(Link(name="rod"), Drum(angles=[0, 1], radii=[1, 1]), arm, np.array(0.0))
    with pytest.raises(GeometryError, match="ends apart at neutral"):
        follow_link(Link(name="rod"), arm, arm, np.array(0.0))
    above = Slide(origin=(0, 0, 200), direction=(1, 0, 0))
    with pytest.raises(GeometryError, match="rod: expected the rod across the driven member"):
        follow_link(Link(name="rod"), above, arm, np.array(0.0))


def test_closing_finds_the_same_root_as_brentq(with_crank):
    chain = with_crank(between=1.9)
    q = math.radians(12)
    stroke = evaluate(chain, q)
    crank, arm = chain.bodies[1:]
    tail = crank.out.at(stroke.coordinates[1])
    length = np.linalg.norm(crank.out.at(0.0) - arm.incoming.at(0.0))
    angle = brentq(lambda b: np.linalg.norm(arm.incoming.at(b) - tail) - length, -0.9, 0.9)
    assert stroke.far == pytest.approx(angle, abs=1e-9)
