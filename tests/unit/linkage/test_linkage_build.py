from dataclasses import replace
from math import pi, radians

import numpy as np
import pytest

from cableroute.errors import GeometryError
from cableroute.linkage.bind import box_unit, build_selector
from cableroute.linkage.build import build_linkage, hand_way
from cableroute.linkage.chain import evaluate
from cableroute.linkage.drum import Drum
from cableroute.linkage.joints import Cable as Core
from cableroute.linkage.joints import Link
from cableroute.measure.job import Cable
from cableroute.measure.linkage_models import LinkageEntry, SelectorEntry

CABLE = Cable(
    name="c",
    points=np.array([[-250.0, 0, 80], [-600, 0, 80], [-1400, 0, 40], [-1750, 0, 40]]),
    kind="push-pull",
    bend_radius=100.0,
)


def entry(*, hand=None, far=None, wanted=None, **more):
    """A lever standing up, its cable running aft to an arm standing up."""
    lever = {
        "pivot": [0, 0, 0],
        "axis": "left",
        "handle": {"radius": 300, "direction": "up"},
        "cable": {"radius": 80, "direction": "up"},
        "range_deg": [-20, 20],
    }
    arm = {
        "travel": 15,
        "load": 100,
        "arm": {"pivot": [-2000, 0, 0], "axis": "left", "neutral": "up", "radius": 40},
    }
    lever |= hand or {}
    return LinkageEntry.model_validate(
        {
            "name": "shift",
            "cable": "c",
            "hand": {key: value for key, value in lever.items() if value is not None},
            "far": {k: v for k, v in (arm | (far or {})).items() if v is not None},
            "wanted": {"hand": "forward", "far": "forward"} | (wanted or {}),
            **more,
        }
    )


def built(lost=0.0, **changes):
    return build_linkage(entry(**changes), cable=CABLE, lost=lost)


def test_the_swivels_are_the_ends_of_the_cable():
    cable = built().chain.cable
    np.testing.assert_allclose(cable.hand.point, [-250, 0, 80])
    np.testing.assert_allclose(cable.hand.axis, [1, 0, 0])
    np.testing.assert_allclose(cable.far.point, [-1750, 0, 40])
    np.testing.assert_allclose(cable.far.axis, [-1, 0, 0])


def test_points_at_one_place_do_not_hide_the_line_of_the_cable():
    twice = replace(CABLE, points=CABLE.points[[0, 0, 1, 2, 3, 3]])
    cable = build_linkage(entry(), cable=twice, lost=0.0).chain.cable
    np.testing.assert_allclose(cable.hand.axis, [1, 0, 0])
    np.testing.assert_allclose(cable.far.axis, [-1, 0, 0])


def test_a_swivel_as_stated_goes_before_the_cable_s_end():
    cable = built(hand={"swivel": {"at": [-240, 5, 80], "out": "forward and up"}}).chain.cable
    np.testing.assert_allclose(cable.hand.point, [-240, 5, 80])
    np.testing.assert_allclose(cable.hand.axis, np.array([1, 0, 1]) / np.sqrt(2))


def test_two_to_one_turns_forty_into_twenty():
    """A crank of arms 2:1 between cable and far slide turns 40 mm into 20 mm."""
    crank = {
        "pivot": [-2000, 0, 0],
        "axis": "left",
        "neutral": "up",
        "radius_in": 40,
        "radius_out": 20,
        "between_deg": 180,
    }
    slide = {"origin": [-20_000, 0, -20], "direction": "forward"}
    chain = built(
        crank=[crank],
        far={"arm": None, "slide": slide, "travel": 10, "load": 5},
    ).chain
    assert [type(joint) for joint in chain.joints] == [Core, Link]
    stroke = evaluate(chain, np.array([-0.25, 0.25]))
    core = np.ptp(stroke.cable.pulled)
    assert np.ptp(stroke.far) / core == pytest.approx(0.5, rel=0.01)


def test_a_crank_before_the_cable_stands_before_it():
    crank = {
        "pivot": [-250, 0, 0],
        "axis": "left",
        "neutral": "up",
        "radius_in": 80,
        "radius_out": 80,
        "between_deg": 0,
        "before_cable": True,
    }
    points = CABLE.points - [[250, 0, 0], [250, 0, 0], [0, 0, 0], [0, 0, 0]]
    end = Cable(name="c", points=points, kind="push-pull", bend_radius=100.0)
    chain = build_linkage(entry(crank=[crank]), cable=end, lost=0.0).chain
    assert [type(joint) for joint in chain.joints] == [Link, Core]
    assert chain.cable.ends[0] == f"hand end, at {chain.bodies[1].name}"
    stroke = evaluate(chain, [0.2])
    np.testing.assert_allclose(stroke.coordinates[1], 0.2, atol=1e-9)  # a parallelogram


def test_a_drum_winds_the_core_on():
    grip = built(hand={"cable": None, "drum": {"table": [[0, 12], [60, 14]]}, "range_deg": [0, 60]})
    assert isinstance(grip.chain.bodies[0].out, Drum)
    assert grip.chain.cable.hand is None
    pulled = evaluate(grip.chain, [grip.high]).cable.pulled
    np.testing.assert_allclose(pulled, 13 * pi / 3)


def test_handle_travel_is_an_angle():
    found = built(hand={"range_deg": None, "travel": [-60, 90]})
    assert (found.low, found.high) == pytest.approx((-0.2, 0.3))


@pytest.mark.parametrize(
    ("facing", "hand", "machine"),
    [
        ("forward", "forward", (1, 0, 0)),
        ("aft", "forward", (-1, 0, 0)),
        ("aft", "left", (0, -1, 0)),
        ("aft", "up", (0, 0, 1)),
        ("left", "forward", (0, 1, 0)),
        ("left", "left", (-1, 0, 0)),
        ("right", "left", (1, 0, 0)),
    ],
)
def test_the_hand_s_words_are_the_driver_s(facing, hand, machine):
    way = hand_way(entry(hand={"facing": facing}, wanted={"hand": hand}))
    np.testing.assert_allclose(way, machine, atol=1e-12)


@pytest.mark.parametrize("axis", ["left", "right"])
@pytest.mark.parametrize("far_axis", ["left", "right"])
@pytest.mark.parametrize("wanted", ["forward", "aft"])
def test_signs_for_every_lay_of_the_axes(axis, far_axis, wanted):
    arm = {"pivot": [-2000, 0, 0], "axis": far_axis, "neutral": "up", "radius": 40}
    found = built(hand={"axis": axis}, far={"arm": arm, "travel": [20, 10]}, wanted={"far": wanted})
    assert found.hand_sense == (1 if axis == "left" else -1)
    assert found.far_sense == (1 if (far_axis == "left") == (wanted == "forward") else -1)
    assert found.judged * found.hand_sense > 0
    need = (-10 / 40, 20 / 40) if found.far_sense > 0 else (-20 / 40, 10 / 40)
    assert found.need == pytest.approx(need)


def test_load_is_a_torque_about_an_arm():
    assert built().load == pytest.approx(100 * 40)
    for torque in (900, 25000.0):
        assert built(far={"load": None, "torque_nmm": torque}).load == torque
    arm = {"pivot": [-2000, 0, 0], "axis": "left", "neutral": "up", "radius": 40}
    work = {"radius": 60, "direction": "down", "offset": 12}
    assert built(far={"arm": {**arm, "work": work}}).load == pytest.approx(100 * 60)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"wanted": {"hand": "left"}}, "wanted.hand: expected a way that lever can go, forward"),
        ({"wanted": {"far": "up"}}, "wanted.far: expected a way that arm can go, forward or aft"),
        ({"hand": {"range_deg": [-20, 0]}}, "got none on that side of neutral"),
        ({"hand": {"axis": "up"}}, "square to the axis"),
    ],
)
def test_what_cannot_be_built_names_the_linkage(changes, said):
    with pytest.raises(GeometryError, match=f'linkage "shift": .*{said}'):
        built(**changes)


def selector_entry(**changes):
    return SelectorEntry.model_validate(
        {
            "name": "box",
            "select": "across",
            "shift": "along",
            "columns": [["1", "2"], ["R", ""]],
            "lever_columns_deg": [8, -8],
            "lever_rows_deg": [15, -15],
            "box_columns": [10, -10],
            "box_rows": [12, -12],
            "tolerance": [2, 3],
        }
        | changes
    )


def across(**hand):
    slide = {"origin": [-2000, 0, 40], "direction": "right"}
    return built(
        hand={"axis": "aft", "cable": {"radius": 60, "direction": "down"}}
        | {"swivel": {"at": [0, -200, -60], "out": "left"}}
        | hand,
        far={"arm": None, "slide": slide, "travel": 8, "load": 10}
        | {"swivel": {"at": [-2000, -200, 40], "out": "left"}},
        wanted={"hand": "left", "far": "left"},
    )


def test_a_pattern_is_laid_out_in_the_members_coordinates():
    select, shift = across(), built(wanted={"far": "aft"})
    selector, gates = build_selector(selector_entry(press=["R"]), select=select, shift=shift)
    assert [gate.name for gate in gates] == ["1", "2", "R"]
    one = gates[0]
    assert one.lever == pytest.approx((radians(8), radians(15)))
    assert one.box == pytest.approx((-10, -radians(12)))  # the slide runs right, the arm forward
    assert one.tolerance == pytest.approx((2, radians(3)))
    assert gates[2].press
    assert (box_unit(select), box_unit(shift)) == (1.0, radians(1))
    np.testing.assert_allclose(selector.lever.knob, [0, 0, 300])
    np.testing.assert_allclose(selector.select.point, [0, 0, -60], atol=1e-9)


def test_a_driver_facing_aft_turns_the_lever_round():
    select, shift = across(facing="aft"), built(hand={"facing": "aft"}, wanted={"far": "aft"})
    one = build_selector(selector_entry(), select=select, shift=shift)[1][0]
    assert one.lever == pytest.approx((-radians(8), -radians(15)))
    assert one.box == pytest.approx((-10, -radians(12)))


@pytest.mark.parametrize(
    ("changes", "hand", "said"),
    [
        ({}, {"pivot": [0, 0, 5]}, "both linkages on one lever"),
        ({"lever_rows_deg": [15]}, {}, "lever rows: expected 2 offsets, got 1"),
        ({"lever_rows_deg": [25, -15]}, {}, "gates within the range of linkage .shift., -20 to 20"),
        ({"press": ["9"]}, {}, "press: expected names of gates"),
        ({"columns": [["1", "2"], ["1", ""]]}, {}, "every name once"),
    ],
)
def test_what_is_no_selector_names_it(changes, hand, said):
    with pytest.raises(GeometryError, match=f'selector "box": .*{said}'):
        build_selector(selector_entry(**changes), select=across(**hand), shift=built())


def test_a_drum_makes_no_selector():
    drum = {"cable": None, "drum": {"table": [[-30, 12], [30, 12]]}}
    with pytest.raises(GeometryError, match="got a crank or a drum"):
        build_selector(selector_entry(), select=across(), shift=built(hand=drum))
