"""Linkages judged: the figures from entries and cable, and what the rules make of them."""

import copy
import tomllib
from dataclasses import replace
from math import radians
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.errors import GeometryError
from cableroute.figures.cable import work_out
from cableroute.figures.linkage import work_out_linkage
from cableroute.figures.reach import Reaches
from cableroute.measure.linkage_models import LinkageEntry
from cableroute.measure.reading import read_job
from cableroute.measure.wording import Words
from cableroute.table.figure import facts
from cableroute.table.linkage import ROWS
from cableroute.verdict.check import findings_of
from cableroute.verdict.linkage import linkage_checks
from cableroute.verdict.reach import reach_checks

DATA = Path(__file__).parents[2] / "data"
BUGGY = DATA / "grass_track_buggy_selector.toml"
ENTRY = tomllib.loads(BUGGY.read_text(encoding="utf-8"))["linkage"][0]


@pytest.fixture(scope="module")
def cable():
    job = read_job(BUGGY)
    return work_out(job.cables[0], job=job)


def entry(**changes):
    """The buggy's linkage with keys changed, as hand__range_deg; None takes a key out."""
    data = copy.deepcopy(ENTRY)
    for path, value in changes.items():
        *tables, key = path.split("__")
        table = data
        for name in tables:
            table = table[name]
        table.pop(key, None)
        if value is not None:
            table[key] = value
    return LinkageEntry.model_validate(data)


def codes(figures):
    return {finding.code: finding.level for finding in findings_of(linkage_checks(figures))}


def test_the_buggy_s_linkage_passes(cable):
    figures = work_out_linkage(entry(), cable=cable)
    assert codes(figures) == {}
    assert figures.budget.lost == cable.lost.total
    assert figures.direction.steps[:2] == ("lever forward", "cable pulls")
    assert not figures.direction.mirrored
    assert figures.far_needed == pytest.approx(40.0)
    assert figures.far_travel > figures.far_needed


def test_hand_force_is_that_of_virtual_work(cable):
    """At neutral: load x (far radius/grip radius) x d(far)/d(hand), over the cable's efficiency.

    At high friction what its drag or its core's stiffness adds comes on top, at the arm of 70 mm.
    """
    figures = work_out_linkage(entry(lost=0), cable=cable)
    middle = int(np.flatnonzero(figures.hand == 0)[0])
    step = slice(middle - 1, middle + 2, 2)
    gain = float(np.diff(figures.far[step])[0] / np.diff(figures.hand[step])[0])
    ideal = 120 * 60 * abs(gain) / 300
    (high, low), (pushed, _) = cable.pull.by_bends, cable.push.through.by_bends
    held = [each * 70 / 300 for each in cable.pull.held]
    assert min(held) > 1
    assert figures.pulling[1, middle] == pytest.approx(ideal / high + held[1], rel=1e-3)
    assert figures.pulling[0, middle] == pytest.approx(ideal / low + held[0], rel=1e-3)
    assert figures.pushing[1, middle] == pytest.approx(ideal / pushed + held[1], rel=1e-3)


def test_what_arrives_at_the_limit_of_the_hand_takes_the_hand_to_its_limit(cable):
    figures = work_out_linkage(entry(), cable=cable)
    again = work_out_linkage(entry(far__load=figures.far_at_limit), cable=cable)
    assert again.hand_forces[1] == pytest.approx(figures.hand_limit.low, rel=1e-6)


def test_a_mirrored_motion_fails_with_its_mends(cable):
    figures = work_out_linkage(entry(wanted__far="aft"), cable=cable)
    [finding] = findings_of(linkage_checks(figures))
    assert (finding.code, finding.level) == ("linkage-mirrored", "fail")
    assert {mend.kind for mend in figures.mends} == {
        "cable-side-hand",
        "cable-side-far",
        "lever-end",
    }
    for mend in figures.mends:
        assert mend.what in finding.message


def test_a_driver_turned_round_mirrors_it(cable):
    assert "linkage-mirrored" in codes(work_out_linkage(entry(hand__facing="aft"), cable=cable))


@pytest.mark.parametrize(
    ("changes", "code", "level"),
    [
        ({"hand__range_deg": [-10, 10]}, "linkage-travel-short", "fail"),
        ({"hand__range_deg": [-1, 0.5]}, "geometry-does-not-close", "fail"),
        ({"hand__range_deg": [-34, 34]}, "linkage-stroke", "fail"),
        ({"hand__swivel": {"limit_deg": 1.5}}, "rod-swings-too-far", "fail"),
        ({"far__swivel": {"limit_deg": 1.5}}, "rod-swings-too-far", "fail"),
        ({"hand__swivel": {"fitting": 18}}, "rod-reach", "fail"),
        ({"far__swivel": {"fitting": 150}}, "rod-reach", "fail"),
        ({"adjusters": [10, 10], "hand__swivel": {"fitting": 105}}, "rods-together", "fail"),
        ({"hand__handle": {"radius": 90, "direction": "up"}}, "hand-force", "marginal"),
        ({"hand__handle": {"radius": 40, "direction": "up"}}, "hand-force", "fail"),
        ({"hand__range_deg": [-10, 34]}, "adjuster-setting", "note"),
        ({"hand__range_deg": [-5, 40], "adjusters": [3]}, "adjuster-short", "fail"),
        ({"far__load": 200}, "linkage-load", "marginal"),
        (
            {"hand__cable": {"radius": 20, "direction": "up"}, "hand__range_deg": [-40, 130]},
            "linkage-over-centre",
            "marginal",
        ),
        ({"hand__range_deg": [-75, 75]}, "linkage-lock", "fail"),
    ],
)
def test_each_rule_finds_its_fault(cable, changes, code, level):
    assert codes(work_out_linkage(entry(**changes), cable=cable)).get(code) == level


def said(figures, code):
    return next(each.message for each in findings_of(linkage_checks(figures)) if each.code == code)


def test_the_band_of_a_rod_is_that_of_its_stroke(cable):
    """By hand: 100 mm out at full stroke, 75 mm of stroke, 88 mm of fitting, adjuster +/- 12.5.

    All of the swing s must lie within 100 - 75 + 88 = 113 and 100 + 88 = 188 mm of the anchor, and
    the adjuster shifts both by 12.5; the pin stands sqrt(150^2 + 10^2) off at neutral.
    """
    lever, arm = work_out_linkage(entry(), cable=cable).reaches.ends
    half = (lever.most - lever.least) / 2
    assert lever.low - half == pytest.approx(113 - 12.5)
    assert lever.high + half == pytest.approx(188 + 12.5)
    assert lever.middle == pytest.approx(np.hypot(150, 10), abs=0.5)
    assert arm.thread == 0
    assert not arm.assumed


def test_a_rod_that_bottoms_and_one_that_does_not_reach_are_told_apart(cable):
    bottoms = work_out_linkage(entry(far__swivel={"fitting": 150}), cable=cable)
    short = work_out_linkage(entry(hand__swivel={"fitting": 18}), cable=cable)
    assert said(bottoms, "rod-reach").startswith("The rod bottoms in its guide")
    end = bottoms.reaches.ends[1]
    assert f"Move the anchor {-end.beyond:.0f} mm back" in said(bottoms, "rod-reach")
    assert f"{end.low:.0f} to {end.high:.0f} mm from the pin" in said(bottoms, "rod-reach")
    assert said(short, "rod-reach").startswith("The rod does not reach its pin")


def test_the_move_that_is_advised_brings_the_rod_within_reach(cable):
    short = work_out_linkage(entry(hand__swivel={"fitting": 18}), cable=cable)
    lever = short.reaches.ends[0]
    longer = work_out_linkage(
        entry(hand__swivel={"fitting": 18 + lever.beyond + 0.01}), cable=cable
    )
    assert lever.beyond > 40
    assert longer.reaches.ends[0].beyond == 0


def test_what_is_not_known_of_the_rods_is_said(cable):
    assumed = work_out_linkage(entry(hand__swivel={}, far__swivel={}), cable=cable)
    assert [end.fitting for end in assumed.reaches.ends] == [18, 18]
    assert "(taken as three rod diameters)" in said(assumed, "rod-reach")
    family = cable.cable.family.model_copy(update={"rod_exposed": None})
    blank = replace(cable, cable=replace(cable.cable, family=family))
    figures = work_out_linkage(entry(), cable=blank)
    assert "as rod_exposed of the cable is not known" in said(figures, "rod-reach-unknown")


def test_an_extension_rod_is_held_as_a_column_out_to_its_pin(cable):
    """Euler by hand for 6 mm of steel: pi^2 E I / L^2 with I = pi 6^4 / 64."""
    lever = work_out_linkage(entry(), cable=cable).reaches.ends[0]
    inertia = np.pi * 6**4 / 64
    assert lever.folds == pytest.approx(np.pi**2 * 200_000 * inertia / lever.most**2)
    heavy = replace(lever, push=lever.folds / 1.2, sure=lever.folds / 1.2)
    levels = {each.code: each.level for each in reach_checks(Reaches(ends=(heavy,)), Words())}
    assert levels["rod-extension-folds"] == "fail"


@pytest.mark.parametrize(
    "changes",
    [
        {"hand__swivel": {"fitting": 18}},
        {"adjusters": [10, 10], "hand__swivel": {"fitting": 105}},
        {"hand__range_deg": [-10, 10]},
        {"hand__range_deg": [-34, 34]},
        {"hand__range_deg": [-5, 40], "adjusters": [3]},
    ],
)
def test_a_linkage_is_told_in_the_length_unit_of_its_tape(cable, changes):
    """In inches every length is, and says the same as in millimetres."""
    figures = work_out_linkage(entry(**changes), cable=cable)
    inches = replace(figures, words=Words("in"))
    for one in findings_of(linkage_checks(figures)):
        (other,) = [
            c
            for c in findings_of(linkage_checks(inches))
            if c.code == one.code and c.where == one.where
        ]
        assert " mm" in one.message or "mm" not in one.unit
        assert " mm" not in other.message
    told = dict(facts(ROWS, inches, inches.words))
    assert not any(" mm" in each for each in told.values())
    assert '"' in told["travel"]


def test_what_does_not_close_names_the_member_and_the_shortfall(cable):
    figures = work_out_linkage(entry(hand__range_deg=[-75, 75]), cable=cable)
    fault = next(
        f for f in findings_of(linkage_checks(figures)) if f.code == "geometry-does-not-close"
    )
    assert "expected box arm to follow cable" in fault.message
    assert "mm of travel left over" in fault.message
    assert np.all(np.isfinite(figures.far))
    assert figures.hand[-1] < radians(75)


@pytest.mark.parametrize("onward", [150.0, 9e4])
def test_a_need_past_the_dead_centre_is_not_met_by_little_core(cable, onward):
    """Half a turn and more of an arm of 60 mm takes hardly any core, yet no cable brings it there.

    The dead centre: the rod in line with its arm, a quarter turn off and what the rod leans.
    """
    figures = work_out_linkage(entry(far__travel=[onward, 20]), cable=cable)
    assert figures.budget is None
    fault = next(
        f for f in findings_of(linkage_checks(figures)) if f.code == "geometry-does-not-close"
    )
    assert "box arm: expected the cable to bring it through" in fault.message
    reach = float(fault.message.split("after about ")[1].split(",")[0])
    short = float(fault.message.split(" mm short")[0].split()[-1])
    assert reach + short == pytest.approx(onward + 20, abs=0.2)
    assert 60 < reach - 20 < 60 * np.pi / 2


def test_what_cannot_be_built_is_refused_by_name(cable):
    said = r"""linkage "gear": hand end, at lever: expected the hole of the cable's rod clear"""
    with pytest.raises(GeometryError, match=said):
        work_out_linkage(entry(hand__swivel={"at": [330, 260, 220]}), cable=cable)
    in_line = {"at": [-1358, 80, 100]}
    with pytest.raises(GeometryError, match=r"far end, at box arm: .*in line with the pivot"):
        work_out_linkage(entry(far__swivel=in_line, far__arm__neutral="up"), cable=cable)


def test_no_limit_is_known_for_a_foot(cable):
    short = {"radius": 40, "direction": "up"}
    figures = work_out_linkage(entry(hand__by="foot", hand__handle=short), cable=cable)
    assert figures.hand_limit is None
    assert figures.far_at_limit is None
    assert "hand-force" not in codes(figures)


def test_a_sideways_lever_has_the_lower_limit(cable):
    figures = work_out_linkage(entry(hand__facing="left", wanted__hand="right"), cable=cable)
    assert figures.hand_limit.effort == "sideways"
    two = work_out_linkage(entry(hand__by="two hands"), cable=cable)
    assert two.hand_limit.low > figures.hand_limit.low


def test_a_cable_that_locks_up_takes_no_finite_force(cable):
    through = replace(cable.push.through, inputs=(200.0, float("inf")))
    stuck = replace(cable, push=replace(cable.push, through=through))
    figures = work_out_linkage(entry(), cable=stuck)
    assert figures.hand_forces[1] == float("inf")
    assert np.isfinite(figures.pulling).all()
    assert codes(figures)["hand-force"] == "fail"


def test_without_a_load_the_cable_s_share_is_that_of_its_bends(cable):
    idle = replace(cable.pull, load=0.0, inputs=(0.5, 1.0))
    figures = work_out_linkage(entry(), cable=replace(cable, pull=idle))
    loaded = work_out_linkage(entry(), cable=cable)
    np.testing.assert_allclose(figures.pulling, loaded.pulling, rtol=0.02)


def test_a_pull_cable_is_judged_pulling_only():
    """A twist grip on the buggy's throttle; a spring brings it back."""
    job = read_job(DATA / "grass_track_buggy.toml")
    throttle = work_out(job.cables[1], job=job)
    spool = {
        "name": "spool",
        "travel": [24, 0],
        "load": 20,
        "slide": {"origin": [-852, 80, 560], "direction": [4, 20, 0]},
        "swivel": {"limit_deg": 89, "out": [4, 20, 0]},
    }
    grip = {
        "pivot": [530, -120, 250],
        "axis": "left",
        "handle": {"radius": 40, "direction": "up"},
        "drum": {"table": [[0, 16], [100, 16]]},
        "range_deg": [0, 100],
    }
    wanted = {"hand": "forward", "far": "right"}
    figures = work_out_linkage(
        LinkageEntry.model_validate(
            {"name": "gas", "cable": "throttle", "hand": grip, "far": spool, "wanted": wanted}
        ),
        cable=throttle,
    )
    assert np.isnan(figures.pushing).all()
    assert figures.budget.given == pytest.approx(radians(100) * 16)
    assert not figures.direction.mirrored
    assert figures.hand_forces[1] == pytest.approx(
        (20 / throttle.pull.by_bends[0] + throttle.pull.held[1]) * 16 / 40, rel=0.02
    )
    assert codes(figures) == {}


def locomotive(tmp_path, *changes):
    text = (DATA / "works_locomotive_forward.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    file = tmp_path / "loco.toml"
    file.write_text(text, encoding="utf-8")
    return assess(read_job(file))


def test_the_locomotive_facing_forward_reaches_every_gate(tmp_path):
    found = locomotive(tmp_path)
    assert found.selectors[0].verdict == "pass"
    assert all(row.reached for row in found.selectors[0].figures.table.rows)


def test_an_unreachable_gate_names_shortfall_and_a_radius_that_reaches(tmp_path):
    found = locomotive(
        tmp_path, ("lever_columns_deg = [8, 0, -8]", "lever_columns_deg = [5, 0, -8]")
    )
    finding, mends = found.selectors[0].findings
    assert (finding.code, finding.where) == ("gate-unreachable", "gate R")
    assert "The select is short" in finding.message
    assert (mends.code, mends.level) == ("gate-mends", "note")
    assert found.verdict == "fail"


def followed(tmp_path, found, *changes):
    """The locomotive with what was advised typed into its file, besides the changes that spoilt it."""
    for way in found.selectors[0].figures.mends.ways:
        name = f'name = "{way.axis}"\n'
        changes += ((f"{name}cable", f"{name}adjusted = {way.let_out}\ncable"),)
        hole, arm = {"select": (84, None), "shift": (76, 60)}[way.axis]
        if way.lever_radius is not None:
            changes += ((f"cable = {{ radius = {hole}", f"cable = {{ radius = {way.lever_radius}"),)
        if way.box_radius is not None:
            changes += ((f'"up", radius = {arm}', f'"up", radius = {way.box_radius}'),)
    return locomotive(tmp_path, *changes)


@pytest.mark.parametrize(
    ("spoilt", "holes"),
    [
        ([("box_columns = [12, 0, -12]", "box_columns = [17, 5, -7]")], 0),
        ([("box_rows = [19, -19]", "box_rows = [22, -16]")], 0),
        ([("box_rows = [19, -19]", "box_rows = [26, -26]")], 1),
        ([("box_rows = [19, -19]", "box_rows = [28, -21]")], 1),
        (
            [
                ("box_columns = [12, 0, -12]", "box_columns = [21, 5, -11]"),
                ("box_rows = [19, -19]", "box_rows = [24, -14]"),
            ],
            1,
        ),
    ],
)
def test_one_set_of_mends_reaches_every_gate_when_it_is_followed(tmp_path, spoilt, holes):
    """Gates that miss by an offset are mended at the adjuster, those out of scale by a hole."""
    found = locomotive(tmp_path, *spoilt)
    assert found.verdict == "fail"
    mends = found.selectors[0].figures.mends
    [said] = [each for each in found.selectors[0].findings if each.code == "gate-mends"]
    assert "every one of the 5 gates is reached" in said.message
    assert sum(way.lever_radius is not None for way in mends.ways) == holes
    assert all(way.box_radius is None for way in mends.ways)
    after = followed(tmp_path, found, *spoilt)
    table = after.selectors[0].figures.table
    assert all(row.reached for row in table.rows)
    # the conduit's end follows the rod's new line, which changes what the run loses a little
    turned = 0.05
    for row, tried in zip(table.rows, mends.table.rows, strict=True):
        assert row.select.arrives == pytest.approx(tried.select.arrives, abs=turned)
        assert row.shift.arrives == pytest.approx(tried.shift.arrives, abs=turned)


def test_the_thread_that_is_left_bounds_the_setting(tmp_path):
    """5 mm off at the shaft wants about as much conduit; 2 mm of thread is left that way."""
    spoilt = ("box_columns = [12, 0, -12]", "box_columns = [17, 5, -7]")
    free = locomotive(tmp_path, spoilt).selectors[0].figures.mends.ways[0]
    short = ('cable = "select"\nadjusters = [20, 20]', 'cable = "select"\nadjusters = [4]')
    [way] = locomotive(tmp_path, spoilt, short).selectors[0].figures.mends.ways
    assert free.let_out < -2
    assert -2 <= way.let_out <= 2


def test_what_is_let_out_moves_the_far_end_and_the_budget(cable):
    """Conduit let out pulls the far end: so much more of its travel lies on that side."""
    before, after = (work_out_linkage(entry(adjusted=set_at), cable=cable) for set_at in (0, 5))
    np.testing.assert_allclose(after.arriving - before.arriving, 5)
    assert after.budget.offset == pytest.approx(before.budget.offset - 5)
    assert after.budget.longer_left == pytest.approx(before.budget.longer_left)
    assert codes(after)["adjuster-setting"] == "note"
    assert any("take up 4.8 mm" in found.message for found in findings_of(linkage_checks(after)))
    with pytest.raises(ValueError, match="expected within 25 mm of the middle of the adjusters"):
        entry(adjusted=30)


def test_play_wider_than_a_gate_is_said(tmp_path):
    found = locomotive(tmp_path, ("tolerance = [3, 3]", "tolerance = [0.5, 3]"))
    messages = [finding.message for finding in found.selectors[0].findings]
    assert any("the play alone is +/-" in text for text in messages)
    assert any("take a cable with less lost motion" in text for text in messages)


def test_one_axis_mirrored_is_named(tmp_path):
    found = locomotive(tmp_path, ('hand = "left", far = "left"', 'hand = "left", far = "right"'))
    [finding] = found.selectors[0].findings
    assert finding.code == "pattern-mirrored"
    assert "side to side" in finding.message
    assert [linkage.verdict for linkage in found.linkages] == ["fail", "pass"]


def test_a_gate_out_of_reach_on_the_axis_that_is_right_is_said_besides(tmp_path):
    found = locomotive(
        tmp_path,
        ('hand = "left", far = "left"', 'hand = "left", far = "right"'),
        ("box_rows = [19, -19]", "box_rows = [28, -19]"),
    )
    findings = found.selectors[0].findings
    assert {finding.code for finding in findings} == {
        "pattern-mirrored",
        "gate-unreachable",
        "gate-mends",
    }
    gates = [finding for finding in findings if finding.code == "gate-unreachable"]
    assert {finding.where for finding in gates} == {"gate R", "gate 1", "gate 3"}
    assert all("The shift is short" in finding.message for finding in gates)
    assert "put its hole in the lever" in findings[-1].message


def test_rods_of_a_selector_are_held_with_both_axes_added_up(tmp_path):
    limit = "swivel = { limit_deg = 2.5, fitting"
    found = locomotive(tmp_path, ("swivel = { fitting", limit))
    finding = found.selectors[0].findings[0]
    assert (finding.code, finding.level) == ("rod-swings-too-far", "fail")
    assert all(linkage.verdict == "pass" for linkage in found.linkages)
