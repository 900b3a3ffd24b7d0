"""Return, stress, wear, heat, ageing: each rule speaks just past its limit and is silent at it."""

from __future__ import annotations

from dataclasses import replace
from math import exp, inf

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.hardware.liners import LINERS
from cableroute.measure.job import Cable, Job
from cableroute.measure.load_models import ResistsEntry
from cableroute.verdict.check import Check, findings_of
from cableroute.verdict.lasting import aged_verdict, lasting_checks
from cableroute.verdict.limits import Limits

LIBRARY = load_library()
OVER, UNDER = 1.0 + 1e-9, 1.0 - 1e-9
BEND = [[0, 0, 0], [800, 0, 0], [800, 700, 0]]
STRAIGHT = [[0, 0, 0], [900, 0, 0]]
U_TURN = [[0, 0, 0], [900, 0, 0], [900, 900, 0], [0, 900, 0]]
ZIGZAG = [[300 * (i % 2), 300 * i, 0] for i in range(8)]
LASTING = {
    "return-springs",
    "return-neglected",
    *("return-spring", "return-unknown", "wire-stress", "push-stress", "bend-ratio", "fatigue"),
    *("temperature", "liner-creep", "ageing", "return-without-drag", "load-differs"),
    *("heat-tightens", "strength-assumed", "strength-over-table", "folds-first"),
    "grease-too-cold",
}


def family(name: str = "push-solid-medium", **changes: object) -> Family:
    return Family.model_validate({**LIBRARY[name].model_dump(), **changes})


def cable(points: object = BEND, **changes: object) -> Cable:
    given = {
        "name": "a",
        "points": np.array(points, dtype=float),
        "kind": "push-pull",
        "bend_radius": 160.0,
        "passes": "inside",
        "family": family(),
        "friction": (0.1, 0.2),
        "load": 100.0,
        "travel": 40.0,
    }
    if isinstance(resists := changes.get("resists"), dict):
        changes["resists"] = ResistsEntry.model_validate(resists)
    return Cable(**{**given, **changes})


def judged(one: Cable, limits: Limits | None = None) -> CableAssessment:
    return assess(Job("", (one,), tape_tolerance=0.0), limits=limits).cables[0]


def finding(result: CableAssessment, code: str) -> Check | None:
    return next((one for one in result.findings if one.code == code), None)


def level(result: CableAssessment, code: str) -> str | None:
    one = finding(result, code)
    return one.level if one else None


# -- return ------------------------------------------------------------------------------------


def throttle(**changes: object) -> Cable:
    given = {"kind": "pull", "controls": "throttle", "family": None, "drag": 2.0, "load": 30.0}
    return cable(**{**given, "resists": {"preload": 12.0, "friction": 3.0}, **changes})


def test_the_margin_is_the_spring_over_what_it_drags_back():
    result = judged(throttle())
    warm = result.lasting.returning.warm
    needed = np.exp(0.2 * result.figures.wraps[1]) * 2.0 + 3.0
    assert float(warm.stiff.required) == pytest.approx(needed)
    assert float(warm.stiff.margin) == pytest.approx(12.0 / needed)


def test_a_weak_spring_fails_and_the_danger_is_named():
    needed = float(judged(throttle()).lasting.returning.cold.stiff.required)

    def with_spring(preload: float) -> CableAssessment:
        return judged(throttle(resists={"preload": preload, "friction": 3.0}))

    assert level(with_spring(1.5 * needed * OVER), "return-spring") is None
    slack = with_spring(1.5 * needed * UNDER)
    assert level(slack, "return-spring") == "marginal"
    assert finding(slack, "return-spring").limit == 1.5
    assert level(with_spring(needed * OVER), "return-spring") == "marginal"
    sticks = with_spring(needed * UNDER)
    assert sticks.verdict == "fail"
    found = finding(sticks, "return-spring")
    assert (found.level, found.limit) == ("fail", 1.0)
    assert found.value == pytest.approx(1.0)
    assert "the engine runs on" in found.message
    assert "needed cold" in found.message


@pytest.mark.parametrize(
    ("controls", "danger"),
    [
        ("brake", "the brake stays where it was left"),
        ("clutch", "the clutch stays where it was left"),
        ("other", "the lever stays where it was left"),
        (None, "the lever stays where it was left"),
    ],
)
def test_what_sticks_is_called_by_its_name(controls, danger):
    weak = judged(throttle(controls=controls, resists={"preload": 1.0}))
    assert danger in finding(weak, "return-spring").message


def test_cold_follows_the_temperature_and_the_lubricant():
    def cold(**changes: object) -> float:
        ages = judged(throttle(**changes)).lasting.ages
        return next(aged.condition.high for aged in ages if aged.condition.name == "cold")

    mild, hard = cold(temperature=(-10.0, 60.0)), cold(temperature=(-40.0, 60.0))
    assert cold() < mild < hard
    assert cold(temperature=(-10.0, 60.0), lubricant="silicone-2") < mild
    told = family("push-solid-medium", lubricant="silicone-2")
    assert cold(temperature=(-10.0, 60.0), family=told) < mild


def test_cold_that_is_only_feared_is_marginal_and_asks_for_the_lubricant():
    result = judged(throttle(temperature=(-10.0, 60.0), resists={"preload": 12.0}))
    back, found = result.lasting.returning, finding(result, "return-spring")
    assert back.cold.slack.margin > 1.0 > back.cold.stiff.margin
    assert found.level == "marginal"
    assert "lubricant" in found.message
    named = judged(throttle(temperature=(-10.0, 60.0), lubricant="silicone-2"))
    assert level(named, "return-spring") is None


def test_cold_is_worse_than_warm():
    result = judged(throttle())
    returning, most = result.lasting.returning, result.figures.wraps[1]
    assert float(returning.cold.stiff.margin) < float(returning.warm.stiff.margin)
    assert float(returning.cold.stiff.required) == pytest.approx(
        np.exp(0.26 * most) * 1.3 * 2.0 + 3.0
    )


def test_a_throttle_that_comes_back_only_while_it_is_kept_well_is_noted():
    """The need in the liner's dry friction by hand: spring against e^(mu * wrap) * drag."""

    def noted(preload: float) -> Check | None:
        return finding(judged(throttle(resists={"preload": preload}, drag=1.0)), "return-neglected")

    result = judged(throttle(resists={"preload": 400.0}, drag=1.0))
    dry = next(aged.condition for aged in result.lasting.ages if aged.condition.name == "dry")
    need = exp(dry.high * result.figures.wraps[1]) * dry.drag_factor

    assert noted(1.01 * need) is None
    weak = noted(0.99 * need)
    assert weak is not None
    assert (weak.level, weak.value) == ("note", pytest.approx(0.99))
    assert "Well kept it comes back, but dry it may not" in weak.message
    assert noted(0.1) is None  # does not come back at all, which its own check says


@pytest.mark.parametrize("share", [0.99, 1.01])
def test_springs_that_the_cable_cannot_pull_are_called_so(share):
    """Two springs, each 1.5 times e^(mu * wrap) * drag in the cold, against the working load."""
    one = throttle(family=family(), resists={"preload": 0.1}, drag=20.0)
    cold = judged(one).lasting.returning.wanted(1.5)[1]
    most = family(max_pull=share * 2.0 * cold)
    said = finding(judged(replace(one, family=most)), "return-spring").message

    assert ("cold, more than this cable can pull" in said) == (share < 1.0)


def test_what_may_stay_pulled_is_told_before_what_is_as_grave():
    codes = [each.code for each in judged(throttle(resists={"preload": 0.1}, drag=50.0)).findings]

    assert codes[0] == "return-spring"


def test_measured_drag_counts_once_and_instead_of_the_estimate():
    measured = judged(throttle(family=family(), drag=5.0))
    grown = np.exp(0.2 * measured.figures.wraps[1])
    assert float(measured.lasting.returning.warm.stiff.required) == pytest.approx(grown * 5.0 + 3.0)
    estimated = judged(throttle(family=family(), drag=None))
    drag = estimated.figures.drag_estimate
    assert drag > 0.0
    warm = estimated.lasting.returning.warm
    assert float(warm.stiff.required) == pytest.approx(grown * drag + 3.0)


def test_a_return_without_drag_is_told_where_neither_scale_nor_data_give_one():
    blind = judged(throttle(drag=None))
    assert level(blind, "return-without-drag") == "marginal"
    assert level(judged(throttle(drag=None, controls="other")), "return-without-drag") == "note"
    assert float(blind.lasting.returning.warm.stiff.required) == pytest.approx(3.0)
    for known in (throttle(), throttle(drag=0.0), throttle(drag=None, family=family())):
        assert level(judged(known), "return-without-drag") is None
    assert level(judged(throttle(drag=None, resists=None)), "return-without-drag") is None


def test_the_pedal_s_resistance_is_dragged_through_the_bends():
    bare, pedal = judged(throttle()), judged(throttle(hand_resists=4.0))
    more = pedal.lasting.returning.warm.stiff.required - bare.lasting.returning.warm.stiff.required
    assert float(more) == pytest.approx(np.exp(0.2 * bare.figures.wraps[1]) * 4.0)


def test_a_pass_rests_on_a_measured_drag_or_on_locked_wires():
    """The buggy's case: what free wires need is there, what locked ones need is not."""
    strand = family("throttle-thin")

    def with_spring(preload: float, **changes: object) -> CableAssessment:
        spring = {"preload": preload, "friction": 3.0}
        return judged(throttle(family=strand, resists=spring, **{"drag": None, **changes}))

    back = with_spring(1.0).lasting.returning
    free, locked = (float(end.required) for end in (back.warm.slack, back.cold.stiff))
    assert locked > 2.0 * free
    assert level(with_spring(1.5 * locked * OVER), "return-spring") is None
    unsure = with_spring(0.5 * (free + locked))
    found = finding(unsure, "return-spring")
    assert (found.level, found.failing) == ("marginal", None)
    assert "read the drag at the hand" in found.message.lower()
    decides = unsure.lasting.returning.most_reading
    assert f"up to {decides:.1f} N" in found.message
    assert level(with_spring(free * UNDER), "return-spring") == "fail"
    spring = 0.5 * (free + locked)
    assert level(with_spring(spring, drag=decides * UNDER), "return-spring") == "marginal"
    assert level(with_spring(spring, drag=decides * OVER), "return-spring") == "fail"
    assert level(with_spring(spring, drag=0.0), "return-spring") is None


def test_a_spring_counts_where_it_is_weakest_and_a_detent_holds_on():
    growing = judged(throttle(resists={"preload": 12.0, "spring": 1.0})).lasting.returning.warm
    assert float(growing.stiff.available) == 12.0
    detent = {"at": 20.0, "depth": 15.0, "width": 3.0}
    caught = judged(throttle(resists={"preload": 12.0, "detents": [detent]}))
    assert float(caught.lasting.returning.warm.stiff.available) == 0.0
    assert level(caught, "return-spring") == "fail"
    weight = judged(throttle(resists={"dead": 12.0})).lasting.returning.warm
    assert float(weight.stiff.available) == 12.0


def test_each_of_two_springs_must_bring_it_back_alone():
    one, two = (
        judged(throttle(resists={"preload": 14.0, "spring": 0.2, "springs": n})) for n in (1, 2)
    )
    assert float(two.lasting.returning.warm.stiff.available) == pytest.approx(7.0)
    assert two.lasting.returning.alone == pytest.approx((7.0, 7.0 + 0.1 * 40.0))
    assert float(one.lasting.returning.warm.stiff.available) == pytest.approx(14.0)
    assert one.figures.pull.load == two.figures.pull.load  # the hand works against both


def test_a_spring_bought_as_asked_for_passes_and_one_a_little_weaker_does_not():
    wanted = max(judged(throttle()).lasting.returning.wanted(1.5))
    for force, expected in ((wanted * OVER, None), (wanted * UNDER, "marginal")):
        resists = {"preload": 2.0 * force, "friction": 3.0, "springs": 2}
        assert level(judged(throttle(resists=resists)), "return-spring") == expected


def test_what_a_weight_brings_back_a_spring_need_not():
    bare, helped = (
        judged(throttle(resists={"preload": 12.0, "friction": 3.0, "dead": dead}))
        for dead in (0.0, 2.0)
    )
    assert max(helped.lasting.returning.wanted(1.5)) == pytest.approx(
        max(bare.lasting.returning.wanted(1.5)) - 2.0
    )


@pytest.mark.parametrize(
    ("controls", "springs", "expected"),
    [
        ("throttle", None, "note"),
        ("throttle", 1, "marginal"),
        ("throttle", 2, None),
        ("brake", 1, "note"),
        ("clutch", None, "note"),
        ("other", 1, None),
        (None, None, None),
    ],
)
def test_two_springs_are_wanted_where_sticking_hurts(controls, springs, expected):
    given = {"preload": 60.0, "friction": 3.0, "springs": springs}
    result = judged(throttle(controls=controls, resists=given))
    assert level(result, "return-springs") == expected
    if expected:
        assert "two springs, each of at least" in finding(result, "return-springs").message


def test_springs_that_are_not_given_are_asked_for_with_their_force():
    result = judged(cable(kind="pull", controls="throttle", drag=2.0))
    most = np.exp(0.2 * 1.3 * result.figures.wraps[1]) * 2.0 * 1.3 * 1.5
    said = finding(result, "return-unknown").message
    assert "two springs, each of at least" in said
    assert f"{np.ceil(10.0 * most) / 10.0:.1f} N cold" in said


@pytest.mark.parametrize("controls", ["throttle", "brake", "clutch", "steering", "selector", None])
@pytest.mark.parametrize("kind", ["pull", "push-pull", "pull-pair"])
def test_a_spring_that_is_not_given_matters_where_sticking_hurts(kind, controls):
    result = judged(cable(kind=kind, controls=controls))
    matters = kind == "pull" and controls in ("throttle", "brake", "clutch")
    assert level(result, "return-unknown") == ("marginal" if matters else None)
    if matters:
        assert controls in finding(result, "return-unknown").message


def test_the_return_is_judged_of_pull_cables_only():
    for kind in ("push-pull", "pull-pair"):
        result = judged(throttle(kind=kind, resists={"preload": 0.1, "friction": 9.0}))
        assert result.lasting.returning is None
        assert level(result, "return-spring") is None


# -- stress and wear ---------------------------------------------------------------------------


def test_stress_is_that_of_the_worst_bend_not_of_the_tightest():
    points = [[0, 0, 0], [400, 0, 0], [400, 400, 0], [800, 400, 0], [800, 800, 0]]
    one = cable(
        points,
        kind="pull",
        family=family("pull-slick-medium", core_strength=1500.0),
        bend_radius=100.0,
        point_radii=(None, None, None, 95.0, None),
        friction=(0.4, 0.4),
        load=800.0,
    )
    strain = judged(one).lasting.strain
    assert np.argmin(judged(one).figures.route.radii) == 2
    assert strain.corner == 0
    light = judged(replace(one, load=1.0)).lasting.strain
    assert light.corner == 2


def test_stress_adds_the_pull_at_the_hand_side_of_the_bend_and_the_drag():
    result = judged(cable(friction=(0.2, 0.2), drag=11.0))
    strain, core = result.lasting.strain, result.figures.core
    pull = 100.0 * np.exp(0.2 * result.figures.wraps[1]) + 11.0
    assert strain.direct * core.area == pytest.approx(pull, rel=0.01)
    assert strain.bending == pytest.approx(200e3 * 2.0 / (2 * 160.0))


@pytest.mark.parametrize("way", ["wire", "push"])
def test_a_stress_is_marginal_past_one_share_of_the_strength_and_fails_past_another(way):
    one = cable(push_load=80.0, drag=4.0)
    strain = judged(one).lasting.strain
    share = strain.share if way == "wire" else strain.pushed / strain.strength

    def at(marginal: float, failing: float) -> CableAssessment:
        return judged(one, Limits(**{f"{way}_stress": (marginal, failing)}))

    code = f"{way}-stress"
    assert level(at(share * OVER, inf), code) is None
    assert level(at(share * UNDER, share * OVER), code) == "marginal"
    failed = at(share * UNDER**2, share * UNDER)
    assert level(failed, code) == "fail"
    found = finding(failed, code)
    assert found.unit == "MPa"
    assert found.value == pytest.approx(found.limit)
    assert found.value > found.limit


def test_the_radius_advised_against_stress_is_wide_enough():
    one = cable(bend_radius=120.0, family=family(core_strength=1800.0))
    found = finding(judged(one), "wire-stress")
    wider = float(found.message.split("Widen that bend to ")[1].split(" mm")[0])
    assert found.level == "fail"
    assert level(judged(replace(one, bend_radius=wider)), "wire-stress") != "fail"


def test_a_pull_alone_too_great_is_not_mended_by_a_wider_bend():
    message = finding(judged(cable(load=1e5)), "wire-stress").message
    assert "Widen" not in message
    assert "lower the load" in message


def test_measured_drag_strains_the_pushed_core_too():
    bare, dragging = (
        judged(cable(push_load=80.0, drag=drag)).lasting.strain.pushed for drag in (None, 50.0)
    )
    assert dragging > bare


def test_a_pushed_core_is_stressed_by_the_push_at_the_hand_side():
    result = judged(cable(push_load=80.0, friction=(0.2, 0.2)))
    core, onset = result.figures.core, result.figures.push.snaking_onset
    push = 80.0 * np.exp(0.2 * result.figures.wraps[1])
    assert push < onset  # so bend and helix do not meet
    inertia = np.pi * 2.0**4 / 64.0
    bend = push / core.area + 200e3 * 2.0 / (2 * 160.0)
    straight = push / core.area + 0.5 * push * 0.3 * 1.0 / inertia
    assert bend > straight
    assert result.lasting.strain.pushed == pytest.approx(bend, rel=1e-3)


def test_a_locked_up_push_has_no_stress():
    soft = family(construction="7x19", core_od=2.0, conduit_id=3.0, min_bend_radius=100.0)
    result = judged(cable(ZIGZAG, family=soft, bend_radius=100.0, push_load=1e5))
    assert result.figures.push.lockup
    assert result.lasting.strain.pushed is None


def strand(radius: float, **changes: object) -> Cable:
    own = family("pull-slick-medium", min_bend_radius=5.0, core_od=2.0, conduit_id=2.8)
    return cable(kind="pull", family=own, bend_radius=radius, **changes)


@pytest.mark.parametrize(
    ("radius", "expected"),
    [(20.0 * OVER, None), (20.0 * UNDER, "marginal"), (10.5, "marginal"), (9.9, "fail")],
)
def test_a_strand_wants_twenty_diameters_and_ten_at_least(radius, expected):
    result = judged(strand(radius, load=1.0, friction=(0.01, 0.01), drag=0.0))
    assert level(result, "bend-ratio") == expected
    if expected:
        found = finding(result, "bend-ratio")
        assert found.value == pytest.approx(radius)
        assert found.value < found.limit
        assert found.limit == (10.0 if expected == "fail" else 20.0)
        assert "Widen it to 20 mm" in found.message


def test_a_loaded_strand_wants_more_and_beyond_a_fifth_is_extrapolated():
    core = judged(strand(75.0)).figures.core
    breaking = core.area * judged(strand(75.0)).figures.cable.family.core_strength
    still = {"friction": (0.0, 0.0)}
    fifth = judged(strand(75.0, load=0.2 * breaking * UNDER, **still)).lasting.strain
    assert fifth.least_ratio == pytest.approx(28.0)
    assert not fifth.extrapolated
    beyond = judged(strand(20.0, load=0.3 * breaking, **still))
    assert beyond.lasting.strain.least_ratio == pytest.approx(36.0)
    assert "extrapolation" in finding(beyond, "bend-ratio").message


def test_solid_wire_has_no_bend_ratio():
    result = judged(cable(bend_radius=10.0))
    assert result.lasting.strain.least_ratio is None
    assert level(result, "bend-ratio") is None


def test_a_wire_flexed_short_of_its_elastic_limit_is_a_note():
    one = cable(bend_radius=160.0, load=10.0, kind="pull")
    strength = judged(one).lasting.strain.bending / 0.6
    tired = judged(replace(one, family=family(core_strength=strength)))
    assert tired.lasting.strain.life == "short"
    assert level(tired, "fatigue") == "note"
    assert finding(tired, "fatigue").value == pytest.approx(0.6)
    sound = judged(replace(one, family=family(core_strength=1.5 * strength)))
    assert sound.lasting.strain.life == "long"
    assert level(sound, "fatigue") is None
    spent = judged(replace(one, family=family(core_strength=0.8 * strength)))
    assert level(spent, "wire-stress") is not None
    assert level(spent, "fatigue") is None


def test_without_bends_or_cable_data_there_is_no_strain():
    assert judged(cable(STRAIGHT)).lasting.strain is None
    assert judged(cable(family=None)).lasting.strain is None


# -- heat --------------------------------------------------------------------------------------


def test_the_cable_s_own_range_is_no_finding():
    result = judged(cable())
    assert result.lasting.heat is not None
    assert not result.lasting.heat.given
    assert not {"temperature", "liner-creep"} & {one.code for one in result.findings}


@pytest.mark.parametrize(
    ("span", "expected", "value"),
    [
        ((-30.0, 55.0), None, None),
        ((-30.1, 55.0), "marginal", -30.1),
        ((-30.0, 55.1), "marginal", 55.1),  # other sources let the liner go to 80
        ((-30.0, 80.0), "marginal", 80.0),
        ((-50.0, 80.1), "fail", 80.1),
    ],
)
def test_temperature_outside_what_the_cable_stands(span, expected, value):
    result = judged(cable(temperature=span))
    assert level(result, "temperature") == expected
    if expected:
        found = finding(result, "temperature")
        assert (found.value, found.unit) == (value, "degC")
        assert found.limit == (-30.0 if value < 0.0 else 55.0)
        told = "let the liner go to 80 degC" in found.message
        assert told == (55.0 < value <= LINERS["hdpe"].quoted_temperature[1])
        assert ("shield" in found.message) == (value > 0.0)


def test_a_liner_that_is_not_known_fails_where_it_is_too_hot():
    unknown = family(liner="felt")
    assert level(judged(cable(family=unknown, temperature=(0.0, 56.0))), "temperature") == "fail"


def test_a_free_liner_that_creeps_is_a_note():
    result = judged(cable(temperature=(0.0, 50.0)))
    length = result.figures.order.conduit
    creep = (120e-6 - 12e-6) * length * 30.0
    assert result.lasting.heat.creep[1] == pytest.approx(creep)
    assert (
        level(judged(cable(temperature=(0.0, 50.0)), Limits(creep=creep * OVER)), "liner-creep")
        is None
    )
    past = judged(cable(temperature=(0.0, 50.0)), Limits(creep=creep * UNDER))
    assert level(past, "liner-creep") == "note"
    assert finding(past, "liner-creep").value == pytest.approx(creep)


def test_steel_in_steel_neither_slackens_nor_creeps():
    heat = judged(cable(temperature=(0.0, 50.0), family=family(liner="none"))).lasting.heat
    assert heat.free_play == (0.0, 0.0)
    assert heat.creep is None


def test_a_conduit_without_steel_tightens_the_cable_in_the_heat():
    plastic = family(conduit_expansion=90e-6)
    cold, hot = judged(cable(temperature=(0.0, 50.0), family=plastic)).lasting.heat.free_play
    assert cold > 0.0 > hot


# -- friction that changes ---------------------------------------------------------------------


def test_a_cable_that_fails_only_when_dirty_dry_or_cold_is_noted():
    # exp(-mu theta): it turns by 203 degrees as it lies, 0.41 at 0.25, 0.34 at 0.3
    one = cable(U_TURN, family=None, kind="pull", friction=(0.25, 0.25))
    result = judged(one)
    most = result.figures.wraps[1]
    assert result.verdict == "marginal"
    found = finding(result, "ageing")
    assert found.level == "note"
    assert "dirty or dry or cold" in found.message
    assert "at friction 0.5" in found.message
    assert found.value == pytest.approx(np.exp(-0.5 * most))
    assert found.value < found.limit == 0.4


def test_a_cable_that_fails_as_it_is_needs_no_note_of_ageing():
    for friction in ((0.35, 0.35), (0.05, 0.35)):
        result = judged(cable(U_TURN, family=None, kind="pull", friction=friction))
        assert level(result, "efficiency-low") == "fail"
        assert level(result, "ageing") is None
    assert level(judged(cable(friction=(0.05, 0.05))), "ageing") is None


def test_a_push_that_locks_up_only_when_dry_says_that_and_holds_no_share_against_a_limit():
    soft = family("pull-slick-medium", kind=None, max_push=None, liner=None, core_strength=None)
    run = [[0, 0, 0], [1500, 0, 0], [1500, 300, 0]]
    low, high = 1.0, 1e5
    for _ in range(60):  # a push that just gets through as given
        middle = 0.5 * (low + high)
        push = judged(cable(run, family=soft, push_load=middle)).figures.push
        low, high = (low, middle) if push.lockup else (middle, high)
    result = judged(cable(run, family=soft, push_load=0.9 * low))
    assert not result.figures.push.lockup
    found = finding(result, "ageing")
    assert "a push locks up" in found.message
    assert "of the pull" not in found.message
    assert (found.value, found.limit) == (None, None)


def test_conditions_agree_with_the_figures_at_the_friction_given():
    for own in (family(), None):
        result = judged(cable(family=own, push_load=80.0, drag=6.0))
        worn = next(aged for aged in result.lasting.ages if aged.condition.name == "worn")
        assert worn.pull == pytest.approx(result.figures.pull.inputs[1])
        assert worn.push == pytest.approx(result.figures.push.through.inputs[1])
        assert worn.passed == pytest.approx(result.figures.pull.passed[0])
        dirty = next(aged for aged in result.lasting.ages if aged.condition.name == "dirty")
        assert dirty.push > worn.push


def test_a_condition_s_verdict_is_that_of_the_share_that_arrives():
    aged = judged(cable()).lasting.ages[0]
    limits = Limits()
    for passed, expected in ((0.6, "pass"), (0.59, "marginal"), (0.4, "marginal"), (0.39, "fail")):
        assert aged_verdict(replace(aged, passed=passed, by_bends=passed), limits) == expected
    stiff = replace(aged, passed=0.39, by_bends=0.4)
    assert aged_verdict(stiff, limits) == "marginal"  # only stiffness would fail it
    assert aged_verdict(replace(aged, passed=0.9, push=inf), limits) == "fail"


# -- all of them -------------------------------------------------------------------------------


def test_every_message_has_three_sentences_at_most():
    bad = (
        throttle(resists={"preload": 0.1}, temperature=(-60.0, 70.0), family=family()),
        cable(kind="pull", controls="brake", bend_radius=20.0, temperature=(-60.0, 200.0)),
        cable(push_load=400.0, bend_radius=90.0, temperature=(-60.0, 20.0)),
        strand(9.0, load=900.0),
        cable(U_TURN, family=None, kind="pull", friction=(0.25, 0.25)),
        cable(kind="pull", load=10.0, family=family(core_strength=2080.0)),
        throttle(drag=None),
        throttle(load=1.0),
        cable(family=family(core_strength=None)),
        cable(family=family(core_strength=3000.0)),
        cable(kind="pull", family=family(conduit_expansion=90e-6), temperature=(0.0, 60.0)),
    )
    codes = set()
    for one in bad:
        result = judged(one)
        for found in findings_of(lasting_checks(result.figures, result.lasting, Limits())):
            codes.add(found.code)
            assert found.message.count(". ") <= 2, found
            assert found.message.endswith(".")
            assert "inf" not in found.message.split()
    assert codes == LASTING


# -- load and heat against what is said of them --------------------------------------------------


@pytest.mark.parametrize(("share", "expected"), [(1.05 * UNDER, None), (1.05 * OVER, "marginal")])
def test_a_load_below_what_the_far_end_resists_with_is_marginal(share, expected):
    one = throttle(load=100.0, resists={"preload": 100.0 * share})
    assert level(judged(one), "load-differs") == expected


def test_of_a_load_that_is_left_out_nothing_differs():
    assert level(judged(throttle(load=None)), "load-differs") is None


@pytest.mark.parametrize("kind", ["pull", "push-pull"])
@pytest.mark.parametrize(("share", "expected"), [(UNDER, None), (OVER, "marginal")])
def test_a_pull_cable_that_heat_pulls_tight_is_marginal(kind, share, expected):
    own = family(conduit_expansion=50e-6, core_expansion=12e-6)
    one = cable(kind=kind, family=own, temperature=(20.0, 60.0))
    tighter = 38e-6 * judged(one).figures.order.conduit * 40.0
    result = judged(one, Limits(tightening=tighter / share))
    assert level(result, "heat-tightens") == (expected if kind == "pull" else None)
    if kind == "pull" and expected:
        assert finding(result, "heat-tightens").value == pytest.approx(tighter)
        assert "Hot," in finding(result, "heat-tightens").message


def test_a_stiff_conduit_in_the_cold_says_cold():
    own = family(conduit_expansion=50e-6, core_expansion=60e-6)
    one = cable(kind="pull", family=own, temperature=(-100.0, 20.0))
    assert "Cold," in finding(judged(one), "heat-tightens").message


def test_beyond_the_table_a_bend_ratio_fails_no_cable():
    strand = family("pull-slick-medium", core_strength=200.0)
    one = cable(kind="pull", family=strand, bend_radius=20.0, load=200.0)
    result = judged(one)
    assert result.lasting.strain.extrapolated
    assert level(result, "bend-ratio") == "marginal"


def test_a_table_that_says_nothing_of_a_spring_leaves_the_return_unknown():
    assert level(judged(throttle(resists={"friction": 2.0})), "return-unknown") == "marginal"


# -- strength of the wire ------------------------------------------------------------------------


def test_a_strength_that_is_not_given_is_the_lower_of_two_tables():
    own = family("push-solid-medium", core_strength=None)
    result = judged(cable(family=own))
    assert result.lasting.strain.strength == pytest.approx(2060.0 / 2.0**0.163)
    assert level(result, "strength-assumed") == "note"
    assert level(judged(cable()), "strength-assumed") is None


@pytest.mark.parametrize("wire", ["A228", "A313"])
def test_a_strand_of_unknown_strength_is_taken_for_control_cable_not_for_music_wire(wire):
    """Wire as thin as a strand's is beyond the table of stainless, and judged all the same."""
    own = family("pull-slick-medium", core_strength=None, core_wire=wire)
    result = judged(cable(kind="pull", family=own))
    assert result.lasting.strain.strength == 1500.0
    assert "control cable" in finding(result, "strength-assumed").message


def test_a_stainless_core_is_held_against_its_own_table():
    own = family("push-solid-medium", core_strength=None, core_wire="A313")
    assert judged(cable(family=own)).lasting.strain.strength == pytest.approx(1867.0 / 2.0**0.146)


@pytest.mark.parametrize(("share", "expected"), [(1.05 * UNDER, None), (1.05 * OVER, "marginal")])
def test_a_strength_beyond_its_table_is_marginal(share, expected):
    own = family("push-solid-medium", core_strength=share * 2211.0 / 2.0**0.145)
    assert level(judged(cable(family=own)), "strength-over-table") == expected


def test_a_wire_beyond_the_tables_and_without_a_strength_is_not_judged():
    own = family("push-solid-medium", core_od=9.0, conduit_id=10, conduit_od=14, core_strength=None)
    assert judged(cable(family=own)).lasting.strain is None
