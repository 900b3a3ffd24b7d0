"""``cableroute check``: clips, anchors, return springs and life, from the file to exit status."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner, Result

from cableroute.assess import assess
from cableroute.cli import app
from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.measure.job import Cable, Job
from cableroute.measure.load_models import AnchorsEntry, ResistsEntry
from cableroute.output.as_dict import assessment_dict
from cableroute.output.verdict_text import report_lines

HEAD = '[[cable]]\nname = "gas"\nbend_radius = 50\nfriction = 0.1\n'
POINTS = "points = [{ at = [0, 0, 0] }, { at = [500, 0, 0] }, { at = [500, 400, 0] }]\n"
THROTTLE = 'kind = "pull"\ncontrols = "throttle"\ndrag = 2\n'


def check(tmp_path: Path, *lines: str, options: tuple[str, ...] = ()) -> Result:
    """Check a file whose own lines begin at the sixth."""
    path = tmp_path / "job.toml"
    path.write_text(HEAD + POINTS + "\n".join(lines) + "\n", encoding="utf-8")
    return CliRunner().invoke(app, ["check", str(path), *options])


def checked(tmp_path: Path, *lines: str) -> dict:
    result = check(tmp_path, *lines, options=("--json",))
    assert result.exit_code in (0, 1), result.output
    assert result.stderr == ""
    return json.loads(result.stdout, parse_constant=pytest.fail)["cables"][0]


def messages(cable: dict) -> dict[str, str]:
    return {found["code"]: found["message"] for found in cable["findings"]}


# -- what it says ------------------------------------------------------------------------------


def test_a_throttle_that_sticks_is_exit_status_one_and_the_text_names_the_danger(tmp_path):
    weak = check(tmp_path, THROTTLE, "resists = { preload = 4, friction = 3 }")
    assert weak.exit_code == 1
    text = " ".join(weak.stdout.split())
    assert "may not come back" in text
    assert "the engine runs on" in text
    strong = check(tmp_path, THROTTLE, "resists = { preload = 12, friction = 3 }")
    assert strong.exit_code == 0
    assert "may not come back" not in " ".join(strong.stdout.split())


def test_a_throttle_without_its_spring_is_asked_for_it(tmp_path):
    found = checked(tmp_path, THROTTLE)
    assert found["verdict"] == "marginal"
    assert "resists = { preload, spring, friction, springs }" in messages(found)["return-unknown"]
    paired = checked(tmp_path, 'kind = "pull-pair"', 'controls = "throttle"')
    assert "return-unknown" not in messages(paired)


def test_a_load_that_is_missing_is_what_the_far_end_resists_with_and_that_is_said(tmp_path):
    resists = "resists = { preload = 20, spring = 2, friction = 5 }"
    found = checked(tmp_path, 'kind = "pull"', "travel = 30", resists)
    assert found["pull"]["load_n"] == 20 + 2 * 30 + 5
    said = " ".join(each["message"] for each in found["findings"] if each["code"] == "assumed")
    assert "the most that the far end resists with over the travel: 85 N" in said
    given_too = checked(tmp_path, 'kind = "pull"', "travel = 30", resists, "load = 90")
    assert given_too["pull"]["load_n"] == 90
    said = " ".join(each["message"] for each in given_too["findings"] if each["code"] == "assumed")
    assert "resists with" not in said


def test_an_anchor_that_slips_is_exit_status_one(tmp_path):
    anchors = 'anchors = { far = { screws = { size = "M3" } } }'
    result = check(tmp_path, 'kind = "pull"', "load = 5000", anchors)
    assert result.exit_code == 1
    assert "far anchor" in result.stdout
    (_, far) = checked(tmp_path, 'kind = "pull"', "load = 5000", anchors)["anchors"]
    assert (far["pull_n"], far["push_n"]) == (5000, 0)
    assert far["safety_factor"] < 1


def test_lengths_of_anchors_are_in_the_file_s_unit(tmp_path):
    bands = []
    for unit, thread in (
        ("mm", "diameter = 25.4, pitch = 2.54"),
        ("in", "diameter = 1, pitch = 0.1"),
    ):
        path = tmp_path / f"{unit}.toml"
        anchors = f"anchors = {{ hand = {{ bulkhead = {{ {thread} }} }} }}\n"
        path.write_text(f'unit = "{unit}"\n' + HEAD + POINTS + anchors)
        result = CliRunner().invoke(app, ["check", str(path), "--json"])
        (cable,) = json.loads(result.stdout, parse_constant=pytest.fail)["cables"]
        bands.append(cable["anchors"][0]["holding_n"])
    assert bands[0] == pytest.approx(bands[1])


def test_clips_and_spacing_are_notes_that_never_change_the_verdict(tmp_path):
    found = checked(tmp_path, 'kind = "pull"')
    assert messages(found).keys() >= {"bend-unclipped", "clip-spacing"}
    assert found["verdict"] == "pass"


def test_a_csv_has_clips_and_anchors_too(tmp_path):
    path = tmp_path / "points.csv"
    path.write_text("x_mm,y_mm,z_mm,label,fix\n0,0,0,hand,\n400,0,0,sill,clip\n400,300,0,box,\n")
    options = ("--bend-radius", "60", "--friction", "0.12", "--load", "80", "--json")
    result = CliRunner().invoke(app, ["check", str(path), *options])
    (cable,) = json.loads(result.stdout, parse_constant=pytest.fail)["cables"]
    assert [clip["kind"] for clip in cable["clips"]] == ["anchor", "clip", "anchor"]
    assert [clip["name"] for clip in cable["clips"]] == ["hand", "sill", "box"]
    assert cable["anchors"][1]["pull_n"] == 80


def test_the_text_takes_every_new_key(tmp_path):
    lines = (
        THROTTLE,
        'family = "pull-slick-medium"',
        "travel = 20",
        "hand_resists = 1",
        "resists = { preload = 30, detents = [{ at = 10, depth = 5, width = 2 }] }",
        'anchors = { hand = { screws = { size = "M5" }, bracket = { stiffness = 90.0 } } }',
        "temperature = [-40, 60]",
    )
    for options in ((), ("--full",)):
        result = check(tmp_path, *lines, options=options)
        assert result.exit_code in (0, 1), result.output
        assert result.stderr == ""


def test_slack_that_bows_a_clip_s_span_too_tightly_is_told(tmp_path):
    path = tmp_path / "job.toml"

    def with_stock(length: float) -> dict:
        path.write_text(
            "[[cable]]\nname = 'a'\nkind = 'pull'\nfriction = 0.1\n"
            "points = [{ at = [0, 0, 0] }, { at = [300, 0, 0] }, { at = [600, 30, 0] }]\n"
            "[cable.build]\nconstruction = '7x7'\ncore_od = 1.6\nconduit_id = 2.2\n"
            f"conduit_od = 5\nmin_bend_radius = 90\nstock_lengths = [{length}]\n"
        )
        result = CliRunner().invoke(app, ["check", str(path), "--json"])
        (cable,) = json.loads(result.stdout, parse_constant=pytest.fail)["cables"]
        return {found["code"]: found for found in cable["findings"]}

    assert "slack-too-tight" not in with_stock(602)
    found = with_stock(640)["slack-too-tight"]
    assert (found["limit"], found["unit"]) == (90, "mm")
    assert found["value"] < 90


# -- what it refuses ---------------------------------------------------------------------------

BAD = {
    'anchors = { hand = { screws = { size = "M7" } } }': "anchors.hand.screws.size: set screw: "
    "expected one of #4, #5, #6, #8, #10, 1/4, 5/16, 3/8, M3, M4, M5, M6, got 'M7'",
    'anchors = { hand = { screws = { size = "M5" }, clamp = { tension = 5 } } }': "anchors.hand: "
    "expected one of screws, rows, clamp, bulkhead, got screws and clamp",
    "anchors = { far = { clamp = { bolts = 2 } } }": "anchors.far.clamp: expected tension, or "
    "torque and diameter, of a bolt, got none",
    "anchors = { far = { clamp = { torque = 9, tension = 5, diameter = 6 } } }": "got tension and "
    "torque and diameter",
    "anchors = { far = { bulkhead = { diameter = 10, pitch = 20 } } }": "anchors.far.bulkhead: "
    "expected a pitch below half the diameter, 10 mm, got 20 mm",
    "anchors = { far = { bulkhead = { diameter = 80, pitch = 12.5 } } }": "expected a pitch of at most "
    "6 mm, got 12.5 mm; bare lengths are read in the unit of the file",
    "anchors = { hand = { bracket = { length = 5 } } }": "anchors.hand.bracket: expected "
    "stiffness, or length, width and thickness of a plate, got length",
    "anchors = { hand = { bracket = { stiffness = 1e-320 } } }": "bracket.stiffness: expected "
    "at least",
    "anchors = { hnad = {} }": "anchors.hnad: expected no such key here; the nearest is hand",
    "anchors = { hand = { clmap = {} } }": "anchors.hand.clmap: expected no such key here; the "
    "nearest is clamp",
    "anchors = { hand = 3 }": "anchors.hand: expected a table, got 3",
    "anchors = 3": "anchors: expected a table, got 3",
    "ancors = {}": "ancors: expected no such key here; the nearest is anchors",
    "resists = { preload = -3 }": "resists.preload: expected at least 0, got -3",
    "resists = { sprung = 3 }": "resists.sprung: expected no such key here; the nearest is spring",
    "resists = { spring = 1e307 }": "resists.spring: expected at most",
    "resists = { detents = [{ at = 3, depth = 2, width = 0 }] }": "resists.detents[0].width: "
    "expected greater than 0, got 0",
    "resists = { detents = { at = 3, depth = 2, width = 1 } }": "resists.detents: expected a list",
    "resists = []": "resists: expected a table",
    "temperature = [50, -20]": "expected temperature = [coldest, hottest]",
    "temperature = 20": "temperature: expected a list, got 20",
    "temperature = [0, nan]": "temperature[1]: expected a finite number, got nan",
    "temprature = [0, 9]": "the nearest is temperature",
    'controls = "trottle"': "controls: expected 'throttle', 'brake', 'clutch', 'steering', "
    "'selector' or 'other', got 'trottle'",
    "drag = -1": "drag: expected at least 0, got -1",
    'drag = "x"': "drag: cannot read `x` as a force",
    "hand_resists = -1": "hand_resists: expected at least 0, got -1",
    "hand_resist = 1": "the nearest is hand_resists",
}


@pytest.mark.parametrize("line", BAD, ids=range(len(BAD)))
@pytest.mark.parametrize("options", [(), ("--json",)], ids=["text", "json"])
def test_a_fault_names_file_line_and_cable_once(tmp_path, line, options):
    result = check(tmp_path, line, options=options)
    assert result.exit_code == 2, result.output
    assert isinstance(result.exception, SystemExit)
    assert result.stdout == ""
    (told,) = result.stderr.splitlines()
    assert told.startswith(f"cableroute: {tmp_path / 'job.toml'}:")
    assert 'cable "gas"' in told
    assert BAD[line] in told
    # what concerns the cable as a whole is told at its first line
    assert told.split("job.toml:")[1].startswith(
        "1:" if line.startswith("temperature = [50") else "6:"
    )


def test_faults_of_several_new_keys_are_told_together(tmp_path):
    result = check(
        tmp_path,
        "drag = -1",
        "resists = { preload = -1 }",
        'anchors = { hand = { screws = { sise = "M5" } } }',
    )
    assert result.exit_code == 2
    told = result.stderr.splitlines()
    assert [line.split("job.toml:")[1].split(":")[0] for line in told] == ["6", "7", "8", "8"]
    assert "the nearest is size" in told[-1]


# -- extremes ----------------------------------------------------------------------------------


def _log(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(np.log(low), np.log(high)).map(np.exp).map(float)


def _maybe(strategy: st.SearchStrategy) -> st.SearchStrategy:
    return st.none() | strategy


@st.composite
def families(draw: st.DrawFn) -> Family:
    core = draw(_log(0.2, 30))
    bore = core * (1 + draw(_log(1e-3, 3)))
    return Family(
        construction=draw(st.sampled_from(["solid", "1x7", "1x19", "7x7", "7x19"])),
        core_od=core,
        conduit_id=bore,
        conduit_od=2 * bore,
        min_bend_radius=draw(_log(1, 3000)),
        core_strength=draw(_maybe(_log(1, 1e4))),
        conduit_stiffness=draw(_maybe(_log(1, 1e9))),
        conduit_axial=draw(_maybe(_log(1, 1e9))),
        weight_n_per_m=draw(_maybe(_log(1e-3, 1e3))),
        conduit_expansion=draw(_log(1e-6, 1e-3)),
        liner=draw(st.sampled_from([None, "hdpe", "ptfe", "nylon66", "none", "felt"])),
        temperature=draw(st.sampled_from([None, (-30.0, 60.0), (20.0, 21.0)])),
        stroke=draw(_maybe(_log(0.1, 1e3))),
        stock_lengths=draw(st.sampled_from([(), (500.0, 9000.0)])),
    )


ANCHORS = [
    None,
    {},
    {"hand": {"screws": {"size": "M5", "on": "groove"}, "bracket": {"stiffness": 0.001}}},
    {"far": {"clamp": {"tension": 0}}, "hand": {"clamp": {"torque": 1e6, "diameter": 0.01}}},
    {"far": {"bulkhead": {"diameter": 10, "pitch": 1}, "bracket": {"stiffness": 1e9}}},
]
RESISTS = [
    None,
    {},
    {"preload": 20, "spring": 1e6},
    {"dead": 1e-9, "friction": 1e6},
    {"preload": 30, "detents": [{"at": -3, "depth": 900, "width": 0.001}]},
]


@st.composite
def cables(draw: st.DrawFn) -> Cable:
    kind = draw(st.sampled_from(["push-pull", "pull", "pull-pair"]))
    count = draw(st.integers(2, 7))
    place = st.sampled_from([0.0, 1.0, -1.0]) | st.floats(-1, 1)
    size = draw(_log(1, 1e4))
    points = draw(st.lists(st.tuples(place, place, place), min_size=count, max_size=count))
    friction = draw(st.sampled_from([(0.0, 0.0), (0.0, 0.3), (0.1, 0.1), (1.0, 1.99)]))
    load = st.sampled_from([None, 0.0]) | _log(1e-6, 1e7)
    temperature = [None, (-273.15, 2000.0), (20.0, 20.0), (-40.0, 85.0)]
    return Cable(
        name="a",
        points=size * np.array(points),
        kind=kind,
        bend_radius=draw(_log(1, 3000)),
        fixes=tuple(draw(st.sampled_from([None, "clip", "anchor"])) for _ in range(count)),
        family=draw(_maybe(families())),
        friction=draw(_maybe(st.just(friction))),
        load=draw(load),
        push_load=draw(load) if kind == "push-pull" else None,
        travel=draw(_maybe(_log(1e-3, 1e4))),
        controls=draw(st.sampled_from([None, "throttle", "other"])),
        drag=draw(load),
        hand_resists=draw(st.sampled_from([0.0, 5.0, 1e6])),
        resists=draw(st.sampled_from([r if r is None else ResistsEntry(**r) for r in RESISTS])),
        anchors=draw(st.sampled_from([a if a is None else AnchorsEntry(**a) for a in ANCHORS])),
        temperature=draw(st.sampled_from(temperature)),
    )


@settings(max_examples=60)
@given(cable=cables(), tolerance=st.sampled_from([0.0, 3.0]))
def test_no_extreme_gives_a_traceback_a_warning_or_loose_json(cable, tolerance):
    try:
        result = assess(Job("", (cable,), tape_tolerance=tolerance))
    except CableRouteError:  # a run that leads nowhere or straight back
        return
    (found,) = assessment_dict(result)["cables"]
    json.dumps(found, allow_nan=False)
    assert found["clips"][0]["kind"] == found["clips"][-1]["kind"] == "anchor"
    assert [clip["at_mm"] for clip in found["clips"]] == sorted(c["at_mm"] for c in found["clips"])
    for each in found["findings"]:
        assert each["message"].count(". ") <= 2
        assert not {"nan", "inf", "-inf"} & set(each["message"].split())
    assert list(report_lines(result, full=True))


@pytest.mark.parametrize("more", [(), ("--push-load", "40"), ("--json",), ("--full",)])
def test_the_scan_of_a_shaking_hand_is_judged_without_a_warning(tmp_path, more):
    rng = np.random.default_rng(3)
    points = np.stack((10.0 * np.arange(4000), *rng.normal(0.0, 3.0, (2, 4000))), axis=-1)
    path = tmp_path / "scan.csv"
    np.savetxt(path, points, fmt="%.1f", delimiter=",", header="x_mm,y_mm,z_mm", comments="")
    words = ("--family", "push-solid-medium", "--tolerance", "0", "--load", "50", *more)
    result = CliRunner().invoke(app, ["check", str(path), *words])
    assert result.exit_code == 1, result.output
    assert result.stderr == ""
    assert "nan" not in result.stdout.lower().split()
