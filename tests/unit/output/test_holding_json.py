"""Clips, anchors, lost motion and a cable's life as plain data."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.measure.load_models import AnchorsEntry, ResistsEntry
from cableroute.output.as_dict import assessment_dict
from cableroute.verdict.limits import Limits

CORNER = np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0]], dtype=float)
LIBRARY = load_library()
FULL = Cable(
    "b",
    CORNER,
    "push-pull",
    160.0,
    labels=("hand", "sill", ""),
    fixes=(None, "clip", None),
    family=LIBRARY["push-solid-medium"],
    friction=(0.1, 0.2),
    load=100.0,
    push_load=150.0,
    travel=40.0,
    passes="inside",
    anchors=AnchorsEntry.model_validate(
        {
            "hand": {"screws": {"size": "M5", "on": "groove"}, "bracket": {"stiffness": 100.0}},
            "far": {"bracket": {"stiffness": 200.0}},
        }
    ),
)
PULL = replace(FULL, kind="pull", push_load=None, resists=ResistsEntry(preload=30.0, friction=3.0))


def cable_dict(cable: Cable) -> dict[str, Any]:
    found = assessment_dict(assess(Job("t", (cable,), tape_tolerance=0.0)))
    json.dumps(found, allow_nan=False)
    return found["cables"][0]


def test_clips_run_from_anchor_to_anchor_with_place_force_and_kind():
    found = cable_dict(FULL)
    clips = found["clips"]
    assert clips[0]["kind"] == clips[-1]["kind"] == "anchor"
    assert clips[0]["at_mm"] == 0.0
    assert clips[0]["point_mm"] == [0.0, 0.0, 0.0]
    assert clips[-1]["at_mm"] == pytest.approx(found["route"]["length_mm"])
    assert clips[-1]["point_mm"] == [800.0, 700.0, 0.0]
    at = [clip["at_mm"] for clip in clips]
    assert at == sorted(at)
    assert max(np.diff(at)) <= found["clip_spacing_mm"] * (1 + 1e-9)
    assert {clip["kind"] for clip in clips} == {"anchor", "clip", "suggested"}


def test_the_user_s_clip_lies_on_its_bend_not_at_the_corner_point():
    found = cable_dict(FULL)
    (clip,) = [clip for clip in found["clips"] if clip["kind"] == "clip"]
    assert clip["name"] == "sill"
    off = 160.0 * (np.sqrt(2) - 1) / np.sqrt(2)
    assert clip["point_mm"] == pytest.approx([800.0 - off, off, 0.0])
    assert clip["at_mm"] == pytest.approx(640.0 + 80.0 * np.pi / 2)
    most = np.radians(found["route"]["wrap_range_deg"][1])  # left to itself it turns more
    push = 150.0 * np.exp(0.2 * most)
    assert clip["force_n"] == pytest.approx(np.sqrt(2) * push, rel=0.02)
    # pushed harder than pulled, the core presses it out of the bend
    assert clip["direction"] == pytest.approx([np.sqrt(0.5), -np.sqrt(0.5), 0.0])
    assert clip["spring_back_n"] > 0.0


def test_an_anchor_carries_what_the_hand_and_the_load_do():
    found = cable_dict(FULL)
    hand, far = found["anchors"]
    assert (hand["end"], far["end"]) == ("hand", "far")
    assert hand["pull_n"] == found["pull"]["input_n"]
    assert hand["push_n"] == found["push"]["input_n"]
    assert (far["pull_n"], far["push_n"]) == (100.0, 150.0)
    assert hand["holding_n"] == hand["holding_range_n"][0] < hand["holding_range_n"][1]
    assert hand["safety_factor"] == pytest.approx(hand["holding_n"] / hand["push_n"])
    assert far["holding_n"] is None
    assert far["holding_range_n"] is None
    assert far["safety_factor"] is None
    assert far["held_by"] == ""


def test_a_pull_cable_has_no_push_on_its_anchors():
    assert [anchor["push_n"] for anchor in cable_dict(PULL)["anchors"]] == [0.0, 0.0]


def test_lost_motion_adds_up_brackets_included():
    found = cable_dict(FULL)
    lost = found["lost_motion"]
    parts = ("clearance_mm", "stretch_mm", "conduit_mm", "bracket_mm")
    curls = lost["shift_mm"][1]
    both = sum(lost[part] for part in (*parts, "other_way_mm")) + curls
    assert lost["both_ways_mm"] == pytest.approx(both)
    assert lost["both_ways_share"] == pytest.approx(both / 40.0)
    one_way = sum(lost[part] for part in (*parts, "hysteresis_mm")) + curls
    assert lost["total_mm"] == pytest.approx(one_way)
    assert lost["bracket_mm"] == pytest.approx(found["pull"]["input_n"] / 100.0 + 100.0 / 200.0)
    assert lost["bracket_mm"] == pytest.approx(sum(a["bracket_mm"] for a in found["anchors"]))
    assert lost["share_of_stroke"] == pytest.approx(lost["total_mm"] / 40.0)
    assert lost["arrives_pulling_mm"] == pytest.approx(40.0 - both)
    assert 0.0 < lost["arrives_pushing_mm"] < 40.0
    assert lost["pushing"].keys() >= {"stretch_mm", "conduit_mm", "snaking_mm"}


def test_a_pull_cable_has_no_way_back():
    lost = cable_dict(PULL)["lost_motion"]
    assert lost["clearance_mm"] == 0.0
    assert lost["arrives_pushing_mm"] is None
    assert lost["pushing"] is None


def test_without_brackets_or_travel_what_is_not_known_is_null():
    lost = cable_dict(replace(FULL, anchors=None))["lost_motion"]
    assert lost["bracket_mm"] is None
    own = FULL.family.model_copy(update={"stroke": None})
    lost = cable_dict(replace(FULL, travel=None, family=own))["lost_motion"]
    assert lost["share_of_stroke"] is None
    assert lost["arrives_pulling_mm"] is None


def test_a_return_spring_warm_and_cold():
    spring = cable_dict(PULL)["return_spring"]
    assert spring["spring_n"] == 30.0
    assert spring["cold"]["required_n"] > spring["warm"]["required_n"] > 3.0
    for state in ("warm", "cold"):
        margin = spring[state]["margin"]
        assert margin == pytest.approx(30.0 / spring[state]["required_n"])
        assert spring[state]["returns"] is (margin > 1.0)
        assert (spring[state]["left_at_hand_n"] > 0.0) is (margin > 1.0)
    assert cable_dict(FULL)["return_spring"] is None


def test_nothing_to_drag_back_is_a_margin_without_end():
    easy = replace(PULL, family=None, drag=None, resists=ResistsEntry(preload=5.0))
    spring = cable_dict(easy)["return_spring"]
    assert spring["warm"]["margin"] is None
    assert spring["warm"]["returns"] is True


def test_stress_heat_and_conditions():
    found = cable_dict(replace(FULL, temperature=(-20.0, 50.0)))
    stress = found["stress"]
    assert stress["share"] == pytest.approx(
        (stress["bending_mpa"] + stress["direct_mpa"]) / stress["strength_mpa"]
    )
    assert stress["bend_ratio"] == pytest.approx(2 * 160.0 / 2.0)
    assert stress["least_bend_ratio"] is None
    assert stress["pushed_mpa"] > 0.0
    heat = found["heat"]
    assert (heat["range_c"], heat["range_is_given"]) == ([-20.0, 50.0], True)
    assert heat["liner_growth_mm"][0] < 0.0 < heat["liner_growth_mm"][1]
    assert heat["free_play_mm"] == [0.0, 0.0]
    conditions = found["conditions"]
    assert [each["condition"] for each in conditions] == ["new", "worn", "dirty", "dry", "cold"]
    worn = conditions[1]
    assert worn["pull_n"] == pytest.approx(found["pull"]["input_n"])
    assert worn["efficiency"] == pytest.approx(found["pull"]["efficiency"])
    assert {each["verdict"] for each in conditions} <= {"pass", "marginal", "fail"}


def test_a_locked_up_push_is_null_everywhere():
    zigzag = np.array([[300 * (i % 2), 300 * i, 0] for i in range(8)], dtype=float)
    soft = FULL.family.model_copy(
        update={"construction": "7x19", "conduit_id": 3.0, "min_bend_radius": 100.0}
    )
    jammed = replace(
        FULL, points=zigzag, labels=(), fixes=(), family=soft, bend_radius=100.0, push_load=1e5
    )
    found = cable_dict(jammed)
    assert found["push"]["lockup"]
    assert found["anchors"][0]["push_n"] is None
    assert found["anchors"][0]["safety_factor"] is None
    assert found["clips"][0]["force_n"] is None
    assert found["stress"]["pushed_mpa"] is None
    assert found["lost_motion"]["arrives_pushing_mm"] == 0.0
    assert found["lost_motion"]["pushing"]["stretch_mm"] is None
    assert [each["push_n"] for each in found["conditions"]] == [None] * 5
    assert [each["verdict"] for each in found["conditions"]] == ["fail"] * 5


def staircase(corners: int) -> np.ndarray:
    """So many quarter turns, left and right by turns."""
    steps = np.arange(corners + 2)
    return np.stack([400.0 * ((steps + 1) // 2), 400.0 * (steps // 2), 0.0 * steps], axis=1)


def test_a_force_without_bounds_is_null_and_still_judged():
    # 700 rad at 1.1 is beyond e^709; a shaking hand's survey of thousands of points is as bad
    wild = Cable("b", staircase(446), "pull", 50.0, friction=(1.1, 1.1), load=9.0, travel=40.0)
    found = cable_dict(replace(wild, anchors=FULL.anchors))
    assert found["verdict"] == "fail"
    assert found["pull"]["input_n"] is None
    assert found["anchors"][0]["pull_n"] is None
    assert found["anchors"][0]["bracket_mm"] is None
    assert found["anchors"][1]["pull_n"] == 9.0
    assert [each["verdict"] for each in found["conditions"]] == ["fail"] * 5


def test_a_condition_without_bounds_leaves_the_figures_at_the_friction_given():
    wild = Cable(
        "b", staircase(446), "pull", 160.0, family=FULL.family, friction=(0.4, 0.4), passes="inside"
    )
    found = cable_dict(wild)
    assert found["pull"]["input_n"] > 1e100
    pulls = {each["condition"]: each["pull_n"] for each in found["conditions"]}
    assert pulls["new"] == pytest.approx(found["pull"]["input_n"])
    assert [pulls[name] for name in ("dirty", "cold")] == [None, None]


@pytest.mark.parametrize("kind", ["push-pull", "pull", "pull-pair"])
@pytest.mark.parametrize("family", [None, "push-solid-medium"])
@pytest.mark.parametrize("points", [CORNER, CORNER[:2]], ids=["bend", "straight"])
def test_every_case_is_strict_json_with_every_key(points, family, kind):
    bare = Cable("b", points, kind, 160.0, family=LIBRARY.get(family or ""))
    found = cable_dict(bare)
    for clip in found["clips"]:
        assert clip.keys() >= {"at_mm", "point_mm", "force_n", "kind"}
    for anchor in found["anchors"]:
        assert anchor.keys() >= {"end", "pull_n", "push_n", "holding_n"}
    if family is None:
        assert found["lost_motion"] is None
        assert found["stress"] is None
        assert found["heat"] is None
    else:
        assert found["lost_motion"]["total_mm"] >= 0.0
        assert found["heat"]["range_is_given"] is False
    if len(points) == 2:
        assert found["stress"] is None
        assert all(clip["force_n"] == 0.0 for clip in found["clips"][1:-1])
    assert len(found["conditions"]) == 5


def test_no_direction_has_a_minus_before_a_nought():
    for clip in cable_dict(FULL)["clips"]:
        assert not any(np.signbit(x) and x == 0.0 for x in clip["direction"])


def test_conditions_are_held_against_the_usual_limits():
    limit = Limits().efficiency[1]
    most = np.radians(cable_dict(PULL)["route"]["wrap_range_deg"][1])
    seen = set()
    for cable in (PULL, replace(PULL, friction=(0.2, 0.3))):
        for each in cable_dict(cable)["conditions"]:
            by_bends = np.exp(-each["friction"][1] * most)  # stiffness alone fails none
            assert (each["verdict"] == "fail") == (by_bends < limit)
            assert (each["verdict"] == "pass") == (each["efficiency"] >= Limits().efficiency[0])
            seen.add(each["verdict"])
    assert seen == {"pass", "marginal", "fail"}
