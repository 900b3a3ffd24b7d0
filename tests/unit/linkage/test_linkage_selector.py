import itertools
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from cableroute.errors import GeometryError
from cableroute.linkage.arms import Arm
from cableroute.linkage.drum import Drum
from cableroute.linkage.ends import RodEnd, Swivel
from cableroute.linkage.gate_mends import MOST_HOLES, Thread, mend_gates
from cableroute.linkage.gates import selector_table
from cableroute.linkage.lever import TwoAxisLever
from cableroute.linkage.pattern import Gate, facing_aft, gate_pattern, spread
from cableroute.linkage.search import SCAN
from cableroute.linkage.selector import (
    Selector,
    SelectorCable,
    arrives,
    at_box,
    drawn,
)
from cableroute.linkage.selector_holes import with_box_radius
from cableroute.linkage.slide import Slide

LEVER = TwoAxisLever(
    pivot=(0, 0, 0), knob=(0, 0, 300), select_axis=(-1, 0, 0), shift_axis=(0, 1, 0)
)
LEVER_ROWS, LEVER_COLUMNS = (0.25, -0.25), spread(3, step=0.15)


def selector(
    *,
    hand_behind=1,
    hand_beside=1,
    box_ahead=1,
    rod=250.0,
    lost=0.0,
    joint="ball",
    crossed=False,
    rides=False,
    box_arm=40.0,
):
    """A lever standing up: shift rod runs aft, select rod runs right; box arm and shaft far aft."""
    shift_swivel = Swivel(point=(-hand_behind * rod, 0, -60), axis=(hand_behind, 0, 0))
    select_swivel = Swivel(point=(0, -hand_beside * rod, -50), axis=(0, hand_beside, 0))
    arm = Arm(pivot=(-2000, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=box_arm)
    shaft = Slide(origin=(-2000, 0, 0), direction=(0, 1, 0))
    shift_box = RodEnd(
        member=arm,
        swivel=Swivel(point=(-2000 + box_ahead * rod, 0, box_arm), axis=(-box_ahead, 0, 0)),
    )
    select_box = RodEnd(member=shaft, swivel=Swivel(point=(-2000, -rod, 0), axis=(0, 1, 0)))
    ends = [(select_box, (0, 0, -50), select_swivel), (shift_box, (0, 0, -60), shift_swivel)]
    if crossed:
        ends = [(select_box, (0, 0, -60), shift_swivel), (shift_box, (0, 0, -50), select_swivel)]
    select, shift = (
        SelectorCable(name=name, point=point, hand=swivel, box=box, lost=lost)
        for name, (box, point, swivel) in zip(("select cable", "shift cable"), ends, strict=True)
    )
    lever = TwoAxisLever(
        pivot=LEVER.pivot,
        knob=LEVER.knob,
        select_axis=LEVER.select_axis,
        shift_axis=LEVER.shift_axis,
        joint=joint,
    )
    return Selector(name="selector", lever=lever, select=select, shift=shift, shift_rides=rides)


def gates_for(chosen, tolerance=(1.5, 0.06)):
    """Gates whose wanted box positions are those of a distant-swivel lever: no crosstalk."""
    ideal = arrives(chosen, np.array(LEVER_COLUMNS), np.array(LEVER_COLUMNS) * 0)[0]
    rows = arrives(chosen, np.zeros(2), np.array(LEVER_ROWS))[1]
    return gate_pattern(
        [("1", "2"), ("3", "4"), ("5", "R")],
        lever_columns=LEVER_COLUMNS,
        lever_rows=LEVER_ROWS,
        box_columns=[float(x) for x in ideal],
        box_rows=[float(x) for x in rows],
        tolerance=tolerance,
        press=["R"],
    )


GATES = gates_for(selector())


@pytest.mark.parametrize("joint", ["ball", "shift-outer", "select-outer"])
def test_the_lever_carries_points_as_rotations_do(joint):
    lever = selector(joint=joint).lever
    s, t, point = 0.3, -0.4, np.array([20.0, 30.0, -60.0])
    select = Rotation.from_rotvec([-s, 0, 0])
    shift = Rotation.from_rotvec([0, t, 0])
    turn = {
        "ball": Rotation.from_rotvec([-s, t, 0]),
        "shift-outer": shift * select,
        "select-outer": select * shift,
    }[joint]
    np.testing.assert_allclose(lever.carried(point, s, t), turn.apply(point), atol=1e-12)
    np.testing.assert_allclose(lever.carried(point, 0, 0), point)
    assert lever.carried(point, np.zeros((2, 3)), 0.1).shape == (2, 3, 3)


def test_growing_select_goes_left_and_growing_shift_goes_forward():
    assert LEVER.carried(LEVER.knob, 0.1, 0.0)[1] > 0
    assert LEVER.carried(LEVER.knob, 0.0, 0.1)[0] > 0


def test_what_arrives_agrees_with_a_root_finder():
    chosen = selector(joint="shift-outer", lost=1.0)
    s, t = 0.15, 0.25
    turn = Rotation.from_rotvec([0, t, 0]) * Rotation.from_rotvec([-s, 0, 0])
    got = arrives(chosen, s, t)
    for cable, value, bracket in zip(
        (chosen.select, chosen.shift), got, ((-40, 40), (-1, 1)), strict=True
    ):
        rods = [
            np.linalg.norm(p - cable.hand.point) for p in (turn.apply([*cable.point]), cable.point)
        ]
        u = rods[0] - rods[1]
        v = np.sign(u) * max(abs(u) - 0.5, 0)
        member, swivel = cable.box.member, cable.box.swivel.point

        def gap(q, member=member, swivel=swivel, v=v):
            return (
                np.linalg.norm(member.at(q) - swivel) - np.linalg.norm(member.at(0.0) - swivel) + v
            )

        assert value == pytest.approx(brentq(gap, *bracket, xtol=1e-13), abs=1e-10)


def test_crosstalk_is_the_true_geometry_and_dies_with_rod_length():
    """Swing a across a rod of length L changes it by a^2 / 2L: halved by doubling the rod."""
    near, far = selector(rod=300), selector(rod=600)
    u_near, u_far = (drawn(chosen, 0.15, 0.0)[1] for chosen in (near, far))
    sideways, drop = 60 * np.sin(0.15), 60 * (1 - np.cos(0.15))
    assert u_near == pytest.approx(np.hypot(300, np.hypot(sideways, drop)) - 300)
    assert u_near / u_far == pytest.approx(2, rel=1e-2)
    table = selector_table(near, [Gate(name="3", lever=(0.15, 0.0), box=(8, 0), tolerance=(9, 1))])
    assert table.rows[0].shift.crosstalk == pytest.approx(u_near)
    assert table.rows[0].shift.drawn == pytest.approx(u_near)
    both = Gate(name="1", lever=(0.15, 0.25), box=(8, 0.2), tolerance=(9, 1))
    (row,) = selector_table(near, [both]).rows
    alone = [drawn(near, 0.15, 0.0)[0], drawn(near, 0.0, 0.25)[1]]
    assert row.select.crosstalk == pytest.approx(row.select.drawn - alone[0])
    assert row.shift.crosstalk == pytest.approx(row.shift.drawn - alone[1])


def test_a_good_pattern_reaches_every_gate():
    table = selector_table(selector(), GATES)
    assert table.sense.text == "as wanted"
    assert [row.gate.name for row in table.rows] == ["1", "2", "3", "4", "5", "R"]
    assert all(row.reached for row in table.rows)
    first = table.rows[0]
    np.testing.assert_allclose(first.knob, LEVER.carried(LEVER.knob, 0.15, 0.25) - [0, 0, 300])
    assert first.select.low == first.select.high == pytest.approx(first.select.arrives)
    assert first.select.shortfall == 0
    assert table.rows[-1].gate.press


@pytest.mark.parametrize("signs", list(itertools.product((1, -1), repeat=3)))
def test_sign_table_of_the_selector(signs):
    """Enumerated: each cable brought from its other side mirrors its own axis, and only that."""
    behind, beside, ahead = signs
    chosen = selector(hand_behind=behind, hand_beside=beside, box_ahead=ahead)
    sense = selector_table(chosen, GATES).sense
    assert not sense.swapped
    assert sense.mirrored_shift == (behind * ahead < 0)
    assert sense.mirrored_select == (beside < 0)


@pytest.mark.parametrize(("behind", "beside"), list(itertools.product((1, -1), repeat=2)))
def test_crossed_cables_come_out_swapped(behind, beside):
    """On the wrong rods: select is moved fore and aft, shift side to side.

    Laid out right, a lever forward (aft below its pivot) pushes the shift core, which wants a
    negative angle at the box; on the select shaft the same push is positive: mirrored.
    """
    table = selector_table(
        selector(crossed=True, hand_behind=behind, hand_beside=beside), gates_for(selector())
    )
    assert table.sense.swapped
    assert table.sense.text.startswith("axes swapped")
    assert table.sense.mirrored_select == (behind > 0)
    assert table.sense.mirrored_shift == (beside > 0)


def test_a_driver_facing_aft_finds_it_mirrored_both_ways_and_the_mend_puts_it_right():
    aft = facing_aft(GATES)
    assert selector_table(selector(), aft).sense.text == "mirrored both ways"
    mended = selector(hand_behind=-1, hand_beside=-1)
    table = selector_table(mended, aft)
    assert table.sense.right
    assert all(row.reached for row in table.rows)


def test_wrong_way_short_over_and_off_are_told_apart():
    box = [row.shift.arrives for row in selector_table(selector(), GATES).rows]
    wanted = {"short": 1.5 * box[0], "over": 0.5 * box[0], "wrong way": -box[0], "off": 0.0}
    for outcome, value in wanted.items():
        gate = Gate(
            name="1", lever=GATES[0].lever, box=(GATES[0].box[0], value), tolerance=(2, 0.03)
        )
        result = selector_table(selector(), [gate]).rows[0].shift
        assert result.outcome == outcome
        assert result.shortfall == pytest.approx(abs(box[0] - value) - 0.03)


def test_lost_motion_widens_the_band_and_lags_behind():
    table = selector_table(selector(lost=2.0), GATES)
    tight = selector_table(selector(), GATES)
    for loose, exact in zip(table.rows, tight.rows, strict=True):
        assert loose.shift.low < exact.shift.arrives < loose.shift.high
        assert abs(loose.shift.arrives) < abs(exact.shift.arrives)
        assert loose.select.high - loose.select.low == pytest.approx(2.0, rel=1e-6)


LEANS = {"select": (1.5, 1.5), "shift": (1.5, 1.5)}
FREE = {"select": Thread(), "shift": Thread()}


@pytest.mark.parametrize("axis", ["select", "shift"])
def test_a_pattern_out_of_scale_is_reached_by_another_hole(axis):
    at = 0 if axis == "select" else 1
    scaled = []
    for gate in GATES:
        box = list(gate.box)
        box[at] *= 1.3
        scaled.append(replace(gate, box=tuple(box), tolerance=(0.5, 0.03)))
    found = mend_gates(selector(), scaled, axes=[axis], threads=FREE, leans=LEANS)
    [way] = found.ways
    assert way.reaches
    assert way.lever_radius == pytest.approx(1.3 * (50 if axis == "select" else 60), abs=1)
    assert all(getattr(row, axis).outcome == "reached" for row in found.table.rows)


def test_a_pattern_off_to_one_side_is_reached_at_the_adjuster():
    off = [replace(gate, box=(gate.box[0] + 6.0, gate.box[1])) for gate in GATES]
    found = mend_gates(selector(), off, axes=["select"], threads=FREE, leans=LEANS)
    [way] = found.ways
    assert way.lever_radius is way.box_radius is None
    assert abs(way.let_out) == pytest.approx(6, abs=0.5)
    assert all(row.reached for row in found.table.rows)


def test_where_the_lever_has_no_hole_a_box_arm_is_tried():
    """The rod may lean at the lever as far as it does now, which a longer arm there would pass."""
    far = [replace(gate, box=(gate.box[0], 1.3 * gate.box[1])) for gate in GATES]
    chosen = selector()
    least = float(chosen.shift.rod_angle(chosen.lever, *np.array([g.lever for g in GATES]).T).max())
    tight = {"shift": (least, 1.5)}
    [way] = mend_gates(chosen, far, axes=["shift"], threads=FREE, leans=tight).ways
    assert way.reaches
    assert way.lever_radius is None
    assert way.box_radius == pytest.approx(40 / 1.3, abs=1.5)


@pytest.mark.parametrize("arm", [300.0, 60_000.0, 1e6])
def test_not_every_hole_of_an_arm_without_end_is_tried(monkeypatch, arm):
    tried = []

    def counted(chosen, axis, radius):
        tried.append(radius)
        return with_box_radius(chosen, axis, radius)

    monkeypatch.setattr("cableroute.linkage.gate_mends.with_box_radius", counted)
    mend_gates(selector(box_arm=arm), GATES, axes=["shift"], threads=FREE, leans=LEANS)
    assert len(SCAN) < len(tried) <= len(SCAN) + MOST_HOLES + 1


def test_nothing_mends_too_much_play():
    gates = [replace(gate, tolerance=(0.2, 0.01)) for gate in GATES]
    [way] = mend_gates(selector(lost=3.0), gates, axes=["shift"], threads=FREE, leans=LEANS).ways
    assert not way.reaches
    assert way.play > 0.01


def test_an_arm_that_rides_on_the_selecting_shaft_is_carried_along():
    """The same core travel turns the carried arm a little differently: its rod has swung."""
    fixed, riding = selector(), selector(rides=True)
    _, still = at_box(fixed, 8.0, 10.0)
    across, carried = at_box(riding, 8.0, 10.0)
    arm, swivel = riding.shift.box.member, riding.shift.box.swivel.point
    tip = arm.at(carried.coordinate) + np.array([0, float(across.coordinate), 0])
    assert np.linalg.norm(tip - swivel) == pytest.approx(riding.shift.box.neutral_length - 10)
    assert carried.coordinate != pytest.approx(float(still.coordinate), abs=1e-5)


def test_a_box_that_cannot_follow_names_the_cable():
    with pytest.raises(GeometryError, match="expected the box to follow shift cable, got"):
        selector_table(selector(box_arm=10.0), GATES)


def test_a_dead_centre_within_the_play_is_not_passed_over():
    chosen = selector(box_arm=16.0, lost=2.0)
    pulled = drawn(chosen, 0.0, -0.27)[1]
    left = chosen.shift.box.neutral_length - (np.hypot(250, 16) - 16)
    assert pulled - 1 < left < pulled + 1
    gate = Gate(name="2", lever=(0, -0.27), box=(0, 1), tolerance=(1, 1))
    with pytest.raises(GeometryError, match="got a dead centre within it"):
        selector_table(chosen, [gate])


def test_a_drum_at_the_box():
    drum = Drum(angles=[-2, 2], radii=[10, 10], sense=-1)
    plain = selector()
    chosen = Selector(
        name="s",
        lever=plain.lever,
        select=plain.select,
        shift=SelectorCable(name="shift cable", point=(0, 0, -60), hand=plain.shift.hand, box=drum),
    )
    _, angle = arrives(chosen, 0.0, 0.25)
    assert angle == pytest.approx(drawn(chosen, 0.0, 0.25)[1] / 10)
    with pytest.raises(GeometryError, match="expected an arm at the box, got a drum or a slide"):
        with_box_radius(chosen, "shift", 10)
    with pytest.raises(GeometryError, match="expected the shifting arm to ride on a shaft"):
        Selector(
            name="s", lever=plain.lever, select=plain.select, shift=chosen.shift, shift_rides=True
        )


GOOD = {"pivot": (0, 0, 0), "knob": (0, 0, 1), "select_axis": (1, 0, 0), "shift_axis": (0, 1, 0)}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"shift_axis": (1, 1, 0)}, "square within 1 degree, got 45"),
        ({"knob": (0, 0, 0)}, "pivot to knob: expected a direction"),
        ({"joint": "cardan"}, "expected ball, shift-outer or select-outer, got 'cardan'"),
        ({"pivot": (0, 0)}, "lever pivot: expected three finite numbers"),
    ],
)
def test_bad_levers(change, message):
    with pytest.raises(GeometryError, match=message):
        TwoAxisLever(**GOOD | change)


def test_bad_selectors():
    good = selector().shift
    with pytest.raises(
        GeometryError, match="shift: expected its hole in the lever clear of the swivel"
    ):
        SelectorCable(name="shift", point=good.hand.point, hand=good.hand, box=good.box)
    with pytest.raises(GeometryError, match="shift lost motion: expected 0 or more"):
        SelectorCable(name="shift", point=good.point, hand=good.hand, box=good.box, lost=-1)
    with pytest.raises(GeometryError, match="selector: expected one gate or more, got none"):
        selector_table(selector(), [])
