"""Each rule speaks just past its limit and is silent at it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import degrees, inf

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.route.fillet import fit_arcs
from cableroute.verdict.check import Check
from cableroute.verdict.limits import Limits

LIBRARY = load_library()
OVER, UNDER = 1.0 + 1e-9, 1.0 - 1e-9
BEND = [[0, 0, 0], [800, 0, 0], [800, 700, 0]]
ZIGZAG = [[300 * (i % 2), 300 * i, 0] for i in range(8)]


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
        "push_load": 80.0,
        "travel": 40.0,
    }
    return Cable(**{**given, **changes})


def judged(one: Cable, limits: Limits | None = None, **job: object) -> CableAssessment:
    job = {"tape_tolerance": 0.0, **job}
    return assess(Job("", (one,), **job), limits=limits).cables[0]


def finding(result: CableAssessment, code: str) -> Check | None:
    found = [one for one in result.findings if one.code == code]
    return found[0] if found else None


def level(result: CableAssessment, code: str) -> str | None:
    one = finding(result, code)
    return one.level if one else None


def test_a_good_cable_passes_with_notes_only():
    result = judged(cable(drag=2.0, family=family(stock_lengths=(1850.0,))))
    assert result.verdict == "pass"
    assert {one.level for one in result.findings} <= {"note"}


SHARES: dict[str, tuple[str, Callable[[CableAssessment], float], bool]] = {
    # limit's name: finding's code, the figure held against it, whether large is good
    "efficiency": ("efficiency-low", lambda r: r.figures.pull.efficiencies[0], True),
    "rod_safety": ("rod-buckling", lambda r: r.figures.push.rod_safety, True),
    "wire_stress": (
        "wire-stress",
        lambda r: r.lasting.strain.share,
        False,
    ),
    "stroke": ("stroke", lambda r: r.figures.cable.travel / r.figures.cable.family.stroke, False),
}


@pytest.mark.parametrize("name", SHARES)
def test_a_pair_of_limits_is_marginal_past_the_first_and_fails_past_the_second(name):
    code, figure, large_is_good = SHARES[name]
    one = cable(drag=0.0)
    value = figure(judged(one))
    inside, outside = (UNDER, OVER) if large_is_good else (OVER, UNDER)
    far = 0.0 if large_is_good else inf

    def with_limits(marginal: float, failing: float) -> str | None:
        return level(judged(one, Limits(**{name: (marginal, failing)})), code)

    assert with_limits(value * inside, far) is None
    assert with_limits(value * outside, far) == "marginal"
    assert with_limits(value * outside, value * inside) == "marginal"
    assert with_limits(value * outside**2, value * outside) == "fail"


@pytest.mark.parametrize("way", ["pull", "push"])
@pytest.mark.parametrize(
    ("share", "expected"), [(0.8 * UNDER, None), (0.8 * OVER, "marginal"), (OVER, "fail")]
)
def test_the_working_load_is_marginal_from_four_fifths(way, share, expected):
    figures = judged(cable(drag=0.0)).figures
    hand = (figures.pull if way == "pull" else figures.push.through).inputs[1]
    one = cable(drag=0.0, family=family(**{f"max_{way}": hand / share}))
    result = judged(one)
    assert level(result, f"working-load-{way}") == expected
    if expected == "fail":
        assert result.verdict == "fail"
    if expected:
        load = (
            f"the cable's working load {'is' if expected == 'fail' else 'of'} {hand / share:.0f} N"
        )
        message = finding(result, f"working-load-{way}").message
        assert message.startswith(f"The {way} at the hand reaches {hand:.0f} N")
        assert load in message
        assert "longer arm at the far end, which takes more travel" in message
        assert ("over 80 % of" in message) == (expected == "marginal")


@pytest.mark.parametrize(
    ("changes", "most", "mend"),
    [
        ({"load": 300.0, "push_load": 0.0}, "core stretch", "Take a heavier family"),
        ({"load": 1.0, "push_load": 1.0}, "clearance", "Take out bends"),
    ],
)
def test_what_is_lost_is_mended_by_its_largest_part(changes, most, mend):
    thin = family("push-strand-light", conduit_axial=1e7)
    result = judged(cable(family=thin, travel=1.0, **changes))
    message = finding(result, "lost-motion").message

    assert f"in {most} (" in message
    assert f". {mend}" in message
    assert "brings back the travel, not the feel" in message


@pytest.mark.parametrize(
    ("wanted", "expected"), [(67.5, None), (67.6, "marginal"), (75.0, "marginal"), (75.1, "fail")]
)
def test_the_stroke_of_the_family_and_nine_tenths_of_it(wanted, expected):
    assert level(judged(cable(travel=wanted)), "stroke") == expected


@pytest.mark.parametrize(("leg", "expected"), [(160.0 * OVER, None), (159.0, "fail")])
def test_a_bend_that_does_not_fit_names_leg_shortfall_and_radius(leg, expected):
    one = cable([[0, 0, 0], [800, 0, 0], [800, leg, 0]], labels=("lever", "sill", "box"))
    result = judged(one)
    assert level(result, "bend-does-not-fit") == expected
    if expected:
        found = finding(result, "bend-does-not-fit")
        assert found.where == "sill to box"
        assert found.value == pytest.approx(-1.0)
        assert found.limit == 0.0
        assert "1 mm" in found.message
        assert "159 mm" in found.message


@pytest.mark.parametrize(("radius", "expected"), [(160.0, None), (159.9, "fail")])
def test_a_radius_below_the_family_s_fails(radius, expected):
    result = judged(cable(bend_radius=radius))
    assert level(result, "radius-below-family") == expected


def test_a_radius_of_one_point_below_the_family_s_fails():
    assert level(judged(cable(point_radii=(None, 150.0, None))), "radius-below-family") == "fail"


def test_a_straight_run_has_no_bend_to_complain_of():
    straight = cable([[0, 0, 0], [900, 0, 0]], bend_radius=5.0)
    assert level(judged(straight), "radius-below-family") is None


def limp(**changes: object) -> Cable:
    """A core of thin wires with room to snake."""
    soft = family(construction="7x19", core_od=2.0, conduit_id=3.0, min_bend_radius=100.0)
    return cable(ZIGZAG, family=soft, bend_radius=100.0, **changes)


def test_snaking_starts_at_its_onset_and_lock_up_fails():
    low, high = 0.1, 1e4
    for _ in range(50):
        middle = 0.5 * (low + high)
        push = judged(limp(push_load=middle)).figures.push
        low, high = (low, middle) if push.lockup or push.snaking_use > 1.0 else (middle, high)
    assert level(judged(limp(push_load=low)), "snaking") is None
    past = judged(limp(push_load=high * OVER))
    assert level(past, "snaking") == "marginal"
    assert finding(past, "snaking").value == pytest.approx(finding(past, "snaking").limit)
    jammed = judged(limp(push_load=high * 1e3))
    assert level(jammed, "push-lock-up") == "fail"
    assert level(jammed, "snaking") is None
    assert jammed.figures.push.through.inputs[1] == inf
    assert jammed.verdict == "fail"


def test_a_pull_cable_is_not_judged_on_its_push():
    result = judged(limp(kind="pull", push_load=None, load=5.0))
    assert result.figures.push is None
    assert not {"snaking", "push-lock-up", "rod-buckling"} & {one.code for one in result.findings}


def test_surplus_is_marginal_past_the_wrap_it_may_add():
    one = cable(family=family(stock_lengths=(4000.0,), stock_lengths_ft=()))
    wrap = judged(one).figures.shapes.surplus_wrap
    assert wrap > 0.0
    assert level(judged(one, Limits(surplus_wrap=wrap * OVER)), "stock-surplus") is None
    result = judged(one, Limits(surplus_wrap=wrap * UNDER))
    assert level(result, "stock-surplus") == "marginal"
    assert finding(result, "stock-surplus").value == pytest.approx(degrees(wrap))


def test_the_core_s_weight_is_a_note_past_its_share():
    climb = cable([[0, 0, 9000], [100, 0, 4500], [0, 0, 0]], load=1.0)
    figures = judged(climb).figures
    share = figures.weight_force / figures.pull.inputs[1]
    assert share > 0.0
    assert level(judged(climb, Limits(weight_share=share * OVER)), "core-weight") is None
    result = judged(climb, Limits(weight_share=share * UNDER))
    assert level(result, "core-weight") == "note"


def test_a_stroke_that_stands_for_a_travel_is_told():
    def told(**changes: object) -> str:
        found = judged(cable(**changes)).findings
        return " ".join(one.message for one in found if one.code == "assumed")

    stroke = family().stroke
    words = f"no travel is given: the cable's stroke, {stroke:g} mm, is taken for it"
    assert words in told(travel=None)
    assert judged(cable(travel=None)).figures.travel == stroke
    assert "travel" not in told(travel=40.0)
    assert "travel" not in told(travel=None, family=family(stroke=None))


def test_what_is_assumed_is_told():
    bare = cable(family=None, friction=None, load=None, push_load=None)
    told = " ".join(one.message for one in judged(bare).findings if one.code == "assumed")
    for words in ("no friction is given", "no load is given", "no cable data are given"):
        assert words in told
    given = [one for one in judged(cable()).findings if one.code == "assumed"]
    assert given == []


def test_findings_come_gravest_first():
    bad = replace(cable(), travel=500.0, push_load=None, bend_radius=80.0)
    levels = [one.level for one in judged(bad).findings]
    assert levels == sorted(levels, key=("fail", "marginal", "note").index)
    assert levels[0] == "fail"
    assert levels[-1] == "note"


def test_every_message_is_a_sentence_that_says_what_to_do():
    bad = limp(travel=500.0, push_load=1e5, load=1e5)
    for one in judged(bad).findings:
        assert one.message[0].isupper() or one.message[0].isdigit() or one.level == "note"
        if one.level != "note":
            assert one.message.endswith(".")
            assert one.where


def test_a_misfit_within_the_doubt_of_a_smoothed_survey_is_marginal():
    short = cable([[0, 0, 0], [316, 0, 0], [316, 316, 0], [632, 316, 0]], family=None)
    assert level(judged(short), "bend-does-not-fit") == "fail"
    assert level(judged(short, tape_tolerance=3.0), "bend-does-not-fit") == "fail"

    rng = np.random.default_rng(1)
    true = fit_arcs([[0, 0, 0], [600, 0, 0], [600, 700, 0]], min_bend_radius=160.0)
    traced = np.round(true.point(np.arange(0.0, true.length, 48.0)) + rng.normal(size=(26, 3)))
    close = cable(traced, family=None, bend_radius=164.0)
    found = judged(close, tape_tolerance=2.0)
    assert level(found, "bend-does-not-fit") == "marginal"
    assert "within the tape's doubt" in finding(found, "bend-does-not-fit").message


def test_the_radius_advised_for_mixed_radii_fits_everywhere():
    points = [[0, 0, 0], [150, 0, 0], [150, 250, 0], [400, 250, 0]]
    mixed = cable(points, family=None, point_radii=(None, 200.0, None, None))
    found = [one for one in judged(mixed).findings if one.code == "bend-does-not-fit"]
    advised = float(found[0].message.split("may bend to ")[1].split(" mm")[0])

    assert "160 and 200 mm" in " ".join(one.message for one in found)
    assert judged(cable(points, family=None, bend_radius=advised)).figures.route.fits
    assert not judged(cable(points, family=None, bend_radius=1.02 * advised)).figures.route.fits


@pytest.mark.parametrize("way", ["pull", "push"])
def test_a_working_load_that_stiffness_alone_passes_is_marginal_and_asks_for_the_drag(way):
    def through(result: CableAssessment):
        return result.figures.pull if way == "pull" else result.figures.push.through

    one = cable(load=20.0, push_load=20.0)
    held = through(judged(one))
    assert held.stiffness > 0.0
    bare = held.inputs[1] - held.stiffness
    between = family(**{f"max_{way}": bare + 0.5 * held.stiffness})
    unsure = judged(replace(one, family=between))
    found = finding(unsure, f"working-load-{way}")
    assert (found.level, found.failing) == ("marginal", None)
    assert "measure the drag at the hand" in found.message
    assert level(
        judged(replace(one, family=family(**{f"max_{way}": bare * UNDER}))), found.code
    ) == ("fail")
    measured = judged(replace(one, family=between, drag=0.9 * held.stiffness))
    assert through(measured).stiffness == 0.0
    assert level(measured, found.code) == "fail"  # it is measured now


def test_a_share_that_stiffness_alone_makes_too_small_is_marginal():
    pull = judged(cable(load=20.0)).figures.pull
    share = 0.5 * (pull.passed[0] + pull.by_bends[0])
    limits = Limits(efficiency=(share, share))
    found = finding(judged(cable(load=20.0), limits), "efficiency-low")
    assert (found.level, found.failing) == ("marginal", None)
    assert found.value == pytest.approx(pull.passed[0])
    limits = Limits(efficiency=(0.99, pull.by_bends[0] * OVER))
    assert level(judged(cable(load=20.0), limits), "efficiency-low") == "fail"


def test_what_stiffness_adds_fades_under_a_push_and_the_drag_is_told_as_a_band():
    figures = judged(cable(load=120.0, push_load=120.0)).figures
    low, high = figures.drag_band
    assert 0.0 < low < figures.pull.stiffness < high == figures.drag
    assert figures.push.through.stiffness < 0.2 * figures.pull.stiffness
    assert figures.pull.inputs[0] == pytest.approx(120.0 * np.exp(0.1 * np.pi / 2), rel=0.01)
