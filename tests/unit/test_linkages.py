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
from cableroute.linkages import work_out_linkage
from cableroute.measure.linkage_models import LinkageEntry
from cableroute.measure.reading import read_job
from cableroute.verdict.linkage_rules import judge_linkage
from cableroute.workings import work_out

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
    return {finding.code: finding.level for finding in judge_linkage(figures)}


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

    At high friction the cable's unloaded drag comes on top, at the cable's arm of 70 mm.
    """
    figures = work_out_linkage(entry(lost=0), cable=cable)
    middle = int(np.flatnonzero(figures.hand == 0)[0])
    step = slice(middle - 1, middle + 2, 2)
    gain = float(np.diff(figures.far[step])[0] / np.diff(figures.hand[step])[0])
    ideal = 120 * 60 * abs(gain) / 300
    high = cable.pull.efficiencies[0]
    drag = cable.drag * 70 / 300
    assert drag > 1
    assert figures.pulling[1, middle] == pytest.approx(ideal / high + drag, rel=1e-3)
    assert figures.pulling[0, middle] == pytest.approx(ideal / cable.pull.efficiencies[1], rel=1e-3)
    assert figures.pushing[1, middle] == pytest.approx(
        ideal / cable.push.through.efficiencies[0] + drag, rel=1e-3
    )


def test_what_arrives_at_the_limit_of_the_hand_takes_the_hand_to_its_limit(cable):
    figures = work_out_linkage(entry(), cable=cable)
    again = work_out_linkage(entry(far__load=figures.far_at_limit), cable=cable)
    assert again.hand_forces[1] == pytest.approx(figures.hand_limit.low, rel=1e-6)


def test_a_mirrored_motion_fails_with_its_mends(cable):
    figures = work_out_linkage(entry(wanted__far="aft"), cable=cable)
    [finding] = judge_linkage(figures)
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


def test_what_does_not_close_names_the_member_and_the_shortfall(cable):
    figures = work_out_linkage(entry(hand__range_deg=[-75, 75]), cable=cable)
    fault = next(f for f in judge_linkage(figures) if f.code == "geometry-does-not-close")
    assert "expected box arm to follow cable" in fault.message
    assert "mm of travel left over" in fault.message
    assert np.all(np.isfinite(figures.far))
    assert figures.hand[-1] < radians(75)


@pytest.mark.parametrize("onward", [150.0, 1e9])
def test_a_need_past_the_dead_centre_is_not_met_by_little_core(cable, onward):
    """Half a turn and more of an arm of 60 mm takes hardly any core, yet no cable brings it there.

    The dead centre: the rod in line with its arm, a quarter turn off and what the rod leans.
    """
    figures = work_out_linkage(entry(far__travel=[onward, 20]), cable=cable)
    assert figures.budget is None
    fault = next(f for f in judge_linkage(figures) if f.code == "geometry-does-not-close")
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
        (20 / throttle.pull.efficiencies[0] + throttle.drag) * 16 / 40, rel=0.02
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
    assert found.verdict == "pass"
    assert all(row.reached for row in found.selectors[0].figures.table.rows)


def test_an_unreachable_gate_names_shortfall_and_a_radius_that_reaches(tmp_path):
    found = locomotive(
        tmp_path, ("lever_columns_deg = [8, 0, -8]", "lever_columns_deg = [5, 0, -8]")
    )
    [finding] = found.selectors[0].findings
    assert (finding.code, finding.where) == ("gate-unreachable", "gate R")
    assert "The select is short" in finding.message
    radius = float(finding.message.split("a lever hole ")[1].split(" mm")[0])
    assert radius > 90
    assert found.verdict == "fail"


def test_play_wider_than_a_gate_is_said(tmp_path):
    found = locomotive(tmp_path, ("tolerance = [3, 3]", "tolerance = [0.5, 3]"))
    messages = [finding.message for finding in found.selectors[0].findings]
    assert any("The play alone is" in text for text in messages)
    assert any("Shorten what the other axis stirs" in text for text in messages)


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
    assert {finding.code for finding in findings} == {"pattern-mirrored", "gate-unreachable"}
    gates = [finding for finding in findings if finding.code == "gate-unreachable"]
    assert {finding.where for finding in gates} == {"gate R", "gate 1", "gate 3"}
    assert all("The shift is short" in finding.message for finding in gates)
    assert all("a box arm of" in finding.message for finding in gates)


def test_rods_of_a_selector_are_held_with_both_axes_added_up(tmp_path):
    limit = 'facing = "forward"\nswivel = { limit_deg = 1.2 }'
    found = locomotive(tmp_path, ('facing = "forward"', limit))
    finding = found.selectors[0].findings[0]
    assert (finding.code, finding.level) == ("rod-swings-too-far", "fail")
    assert all(linkage.verdict == "pass" for linkage in found.linkages)
