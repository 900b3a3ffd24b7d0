"""Anchors, brackets and clips: each rule speaks just past its limit and is silent at it."""

from __future__ import annotations

from math import ceil

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.hardware.set_screws import set_screw
from cableroute.measure.job import Cable, Job
from cableroute.measure.load_models import AnchorsEntry
from cableroute.verdict.check import Check
from cableroute.verdict.limits import Limits

LIBRARY = load_library()
OVER, UNDER = 1.0 + 1e-9, 1.0 - 1e-9
BEND = [[0, 0, 0], [800, 0, 0], [800, 700, 0]]


def family(name: str = "push-solid-medium", **changes: object) -> Family:
    return Family.model_validate({**LIBRARY[name].model_dump(), **changes})


def cable(points: object = BEND, **changes: object) -> Cable:
    given = {
        "name": "a",
        "points": np.array(points, dtype=float),
        "kind": "pull",
        "bend_radius": 160.0,
        "passes": "inside",
        "family": family(),
        "friction": (0.1, 0.2),
        "load": 100.0,
        "travel": 40.0,
    }
    if isinstance(anchors := changes.get("anchors"), dict):
        changes["anchors"] = AnchorsEntry.model_validate(anchors)
    return Cable(**{**given, **changes})


def judged(one: Cable, limits: Limits | None = None) -> CableAssessment:
    return assess(Job("", (one,), tape_tolerance=0.0), limits=limits).cables[0]


def finding(result: CableAssessment, code: str) -> Check | None:
    return next((one for one in result.findings if one.code == code), None)


def level(result: CableAssessment, code: str) -> str | None:
    one = finding(result, code)
    return one.level if one else None


# -- what holds an anchor ----------------------------------------------------------------------


def clamped(tension: float, **changes: object) -> Cable:
    """A clamp that holds 0.3 of the bolt's tension."""
    return cable(anchors={"hand": {"clamp": {"tension": tension}}}, **changes)


def test_an_anchor_fails_above_its_holding_and_is_marginal_below_twice_the_load():
    load = judged(cable(drag=4.0)).holding.anchors[0].load.greatest
    assert level(judged(clamped(2.0 * load / 0.3 * OVER, drag=4.0)), "anchor-holding") is None
    short = judged(clamped(2.0 * load / 0.3 * UNDER, drag=4.0))
    assert level(short, "anchor-holding") == "marginal"
    assert finding(short, "anchor-holding").limit == pytest.approx(2.0 * load)
    assert level(judged(clamped(load / 0.3 * OVER, drag=4.0)), "anchor-holding") == "marginal"
    slips = judged(clamped(load / 0.3 * UNDER, drag=4.0))
    assert level(slips, "anchor-holding") == "fail"
    assert slips.verdict == "fail"


def test_the_value_of_an_anchor_is_below_the_limit_that_it_missed():
    for tension in (10.0, 600.0):
        one = finding(judged(clamped(tension)), "anchor-holding")
        assert one.value < one.limit
        assert one.unit == "N"
        assert one.where == "hand anchor"


def test_screws_in_a_groove_fail_above_the_higher_table_only():
    screw = set_screw("M5")
    anchors = {"far": {"screws": {"size": "M5", "on": "groove"}}}

    def at(load: float) -> CableAssessment:
        return judged(cable(load=load, anchors=anchors, friction=(0.1, 0.1)))

    assert level(at(0.5 * screw.low * UNDER), "anchor-holding") is None
    between = at(0.5 * (screw.low + screw.high))
    assert level(between, "anchor-holding") == "marginal"
    found = finding(between, "anchor-holding")  # the higher table, its limit scaled by the lower's
    assert found.value == pytest.approx(screw.high)
    assert found.limit / found.value == pytest.approx((screw.low + screw.high) / screw.low)
    assert level(at(screw.high * UNDER), "anchor-holding") == "marginal"
    beyond = at(screw.high * OVER)
    assert level(beyond, "anchor-holding") == "fail"
    assert finding(beyond, "anchor-holding").value == pytest.approx(screw.high)
    assert finding(beyond, "anchor-holding").where == "far anchor"
    assert "1 set screw M5 in a groove" in finding(beyond, "anchor-holding").message


def test_screws_on_a_sleeve_have_the_lower_table_only_and_add_up():
    anchors = {"hand": {"screws": {"size": "M5", "count": 2}}}
    low = set_screw("M5").low
    assert judged(cable(anchors=anchors)).holding.anchors[0].band == (2.0 * low, 2.0 * low)
    assert level(judged(cable(load=2.0 * low, anchors=anchors)), "anchor-holding") == "fail"


def test_a_clamp_s_tension_comes_from_torque_in_newton_metres():
    by_torque = {"hand": {"clamp": {"torque": 5.0, "diameter": 6.0, "bolts": 2}}}
    low, high = judged(cable(anchors=by_torque)).holding.anchors[0].band
    assert low == high == pytest.approx(2 * 0.15 * 2 * 5000.0 / (0.2 * 6.0))


def test_a_bulkhead_nut_is_half_the_diameter_high_if_not_given():
    bands = [
        judged(cable(anchors={"far": {"bulkhead": {"diameter": 10, "pitch": 1, **nut}}}))
        .holding.anchors[1]
        .band
        for nut in ({}, {"nut": 5}, {"nut": 8})
    ]
    assert bands[0] == bands[1] != bands[2]
    assert bands[0][0] == pytest.approx(9705.0, abs=1.0)


def test_each_end_is_judged_by_the_force_at_its_own_end():
    clamp = {"clamp": {"tension": 110.0 / 0.3}}
    result = judged(
        cable(load=100.0, drag=0.0, friction=(0.3, 0.3), anchors={"hand": clamp, "far": clamp})
    )
    hand, far = result.holding.anchors
    most = result.figures.wraps[1]  # as it lies it turns more than drawn tight
    assert hand.load.pull == pytest.approx(100.0 * np.exp(0.3 * most), rel=0.01)
    assert far.load.pull == 100.0
    levels = {one.where: one.level for one in result.findings if one.code == "anchor-holding"}
    assert levels == {"hand anchor": "fail", "far anchor": "marginal"}


def test_measured_drag_is_carried_by_the_hand_anchor_alone():
    hand, far = judged(cable(drag=7.0)).holding.anchors
    bare = judged(cable(drag=0.0)).holding.anchors[0]
    assert hand.load.pull == pytest.approx(bare.load.pull + 7.0)
    assert far.load.pull == 100.0


def test_a_push_above_the_pull_draws_the_conduit_off_its_anchor():
    pushed = clamped(1000.0, kind="push-pull", load=10.0, push_load=300.0)
    found = finding(judged(pushed), "anchor-holding")
    assert "is drawn off it" in found.message
    assert "presses on it" in finding(judged(clamped(500.0)), "anchor-holding").message


def test_an_anchor_whose_hold_is_not_said_is_not_judged():
    for anchors in (None, {}, {"hand": {}}, {"far": {"bracket": {"stiffness": 1e6}}}):
        result = judged(cable(load=1e5, anchors=anchors))
        assert level(result, "anchor-holding") is None
        assert result.holding.anchors[1].safety is None


def test_a_locked_up_push_leaves_its_anchors_to_the_rule_about_pushing():
    zigzag = [[300 * (i % 2), 300 * i, 0] for i in range(8)]
    soft = family(construction="7x19", core_od=2.0, conduit_id=3.0, min_bend_radius=100.0)
    result = judged(clamped(1.0, points=zigzag, kind="push-pull", family=soft, push_load=1e5))
    assert level(result, "push-lock-up") == "fail"
    assert level(result, "anchor-holding") is None


# -- brackets ----------------------------------------------------------------------------------


def bracketed(share_of_travel: float, **changes: object) -> Cable:
    """Brackets that give that share of 40 mm in all, under 100 N without friction."""
    stiffness = 2.0 * 100.0 / (share_of_travel * 40.0)
    bracket = {"bracket": {"stiffness": stiffness}}
    still = {"friction": (0.0, 0.0), "family": family(core_od=0.1, conduit_id=1.0)}
    return cable(anchors={"hand": bracket, "far": bracket}, **{**still, **changes})


def test_brackets_are_marginal_past_a_twentieth_of_the_travel():
    assert level(judged(bracketed(0.05 * UNDER)), "bracket-gives") is None
    result = judged(bracketed(0.0501))
    assert level(result, "bracket-gives") == "marginal"
    found = finding(result, "bracket-gives")
    assert found.limit == 2.0
    assert found.value == pytest.approx(2.004, rel=1e-3)
    assert found.unit == "mm"


def test_brackets_are_judged_without_the_cable_s_data_too():
    assert level(judged(bracketed(0.1, family=None)), "bracket-gives") == "marginal"
    assert level(judged(bracketed(0.1, family=None, travel=None)), "bracket-gives") is None


def test_brackets_add_to_the_travel_lost():
    with_brackets, without = judged(bracketed(0.02)).figures, judged(cable()).figures
    assert without.lost.bracket is None
    lost = with_brackets.lost
    assert lost.bracket == pytest.approx(0.02 * 40.0, rel=1e-3)
    conduit = lost.conduit + lost.shift[1]
    assert lost.total == pytest.approx(
        lost.bracket + lost.clearance + lost.stretch + lost.hysteresis + conduit
    )


def test_a_bracket_at_one_end_is_the_sum():
    one = {"bracket": {"stiffness": 50.0}}
    figures = judged(cable(anchors={"hand": one})).figures
    assert figures.lost.bracket == pytest.approx(figures.pull.inputs[1] / 50.0)
    far = judged(cable(anchors={"far": one})).figures
    assert far.lost.bracket == pytest.approx(100.0 / 50.0)


def test_a_plate_is_the_bracket_of_its_stiffness():
    plate = {"length": 60.0, "width": 40.0, "thickness": 3.0}  # 250 N/mm in steel
    gives = [
        judged(cable(anchors={"hand": {"bracket": bracket}})).figures.lost.bracket
        for bracket in (plate, {"stiffness": 250.0}, {**plate, "modulus": 100_000.0})
    ]
    assert gives[0] == pytest.approx(gives[1])
    assert gives[2] == pytest.approx(2.0 * gives[0])


def test_brackets_count_in_the_lost_motion_that_is_judged():
    one = cable(anchors={"hand": {"bracket": {"stiffness": 30.0}}})
    figures = judged(one).figures
    share = figures.lost_share
    assert share == pytest.approx(judged(cable()).figures.lost_share + figures.lost.bracket / 40.0)

    def at(marginal: float, failing: float) -> CableAssessment:
        return judged(one, Limits(lost_motion=(marginal, failing)))

    assert level(at(share * OVER, 1.0), "lost-motion") is None
    assert level(at(share * UNDER, 1.0), "lost-motion") == "marginal"
    failed = at(share * UNDER**2, share * UNDER)
    assert level(failed, "lost-motion") == "fail"
    found = finding(failed, "lost-motion")
    assert (found.value, found.unit) == (pytest.approx(figures.lost.total), "mm")
    assert "most of it in brackets" in found.message
    assert "Stiffen the brackets" in found.message


# -- clips -------------------------------------------------------------------------------------


def test_a_bend_that_nothing_holds_is_a_note_that_leaves_the_verdict():
    stocked = family(stock_lengths=(1850.0,))
    bare = judged(cable(family=stocked, kind="push-pull", push_load=80.0, drag=0.0))
    assert level(bare, "bend-unclipped") == "note"
    assert finding(bare, "bend-unclipped").where == "point 2"
    assert bare.verdict == "pass"
    held = judged(cable(fixes=(None, "clip", None)))
    assert level(held, "bend-unclipped") is None


def test_many_bare_bends_are_counted_not_all_named():
    zigzag = [[600 * (i % 2), 600 * i, 0] for i in range(9)]
    found = finding(judged(cable(zigzag)), "bend-unclipped")
    assert found.value == 7.0
    assert found.where.endswith("point 5 and 3 more")


@pytest.mark.parametrize(("length", "expected"), [(609.6, None), (609.7, "note")])
def test_clips_further_apart_than_two_feet_are_a_note(length, expected):
    straight = cable([[0, 0, 0], [length, 0, 0]], family=None)
    result = judged(straight)
    assert level(result, "clip-spacing") == expected
    if expected:
        found = finding(result, "clip-spacing")
        assert (found.value, found.unit) == (pytest.approx(length), "mm")
        assert found.where == "point 1 to point 2"


@pytest.mark.parametrize(("length", "wanted"), [(612.5, 0), (612.7, 1)])
def test_no_clip_is_asked_for_where_the_gap_passes_within_the_tape(length, wanted):
    straight = cable([[0, 0, 0], [length, 0, 0]], family=None)
    result = assess(Job("", (straight,), tape_tolerance=3.0)).cables[0]

    assert (finding(result, "clip-spacing") is None) == (not wanted)
    assert sum(clip.kind == "suggested" for clip in result.holding.clips) == wanted


def test_a_clip_between_breaks_the_gap():
    run = [[0, 0, 0], [600, 0, 0], [1200, 0, 0]]
    assert level(judged(cable(run, family=None)), "clip-spacing") == "note"
    clipped = cable(run, family=None, fixes=(None, "clip", None))
    assert level(judged(clipped), "clip-spacing") is None


def test_clips_carry_the_push_even_where_the_cable_s_data_are_not_known():
    forces = [
        max(clip.force for clip in judged(one).holding.clips if clip.kind == "suggested")
        for one in (
            cable(family=None, kind="push-pull", load=10.0, push_load=200.0, friction=(0.1, 0.1)),
            cable(family=None, kind="pull", load=200.0, friction=(0.1, 0.1)),
        )
    ]
    assert forces[0] == pytest.approx(forces[1])


def test_every_message_has_three_sentences_at_most():
    codes = set()
    for one in (bracketed(0.5), clamped(10.0, kind="push-pull", push_load=500.0)):
        for found in judged(one).findings:
            codes.add(found.code)
            assert found.message.count(". ") <= 2, found
    assert {"anchor-holding", "bracket-gives", "bend-unclipped", "clip-spacing"} <= codes


@pytest.mark.parametrize("size", ["M3", "M6", "1/4"])
def test_the_screws_that_would_hold_twice_the_load_are_told(size):
    one = cable(load=900.0, anchors={"far": {"screws": {"size": size}}})
    hand, far = judged(one).holding.anchors
    assert far.screws == (size, ceil(2.0 * far.load.greatest / set_screw(size).low))
    assert hand.screws[0] == "M5"


def test_more_screws_than_anybody_sets_are_not_told():
    _, far = judged(cable(load=1e6)).holding.anchors
    assert far.screws is None


def test_a_failing_anchor_names_the_screws_it_wants():
    one = cable(load=3000.0, anchors={"far": {"screws": {"size": "M6"}}})
    assert "set screws M6, " in finding(judged(one), "anchor-holding").message


@pytest.mark.parametrize(("controls", "expected"), [(None, "marginal"), ("brake", "fail")])
def test_where_letting_go_hurts_the_lower_table_counts(controls, expected):
    low, high = set_screw("M5").low, set_screw("M5").high
    grooved = {"far": {"screws": {"size": "M5", "on": "groove"}}}
    one = cable(load=0.5 * (low + high), anchors=grooved, controls=controls)
    assert level(judged(one), "anchor-holding") == expected
    if expected == "fail":
        assert finding(judged(one), "anchor-holding").value == pytest.approx(low)
