"""An assessment as plain data."""

from __future__ import annotations

import json
from dataclasses import replace
from math import pi

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.output.as_dict import assessment_dict

CORNER = np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0]], dtype=float)
FULL = Cable(
    "b",
    CORNER,
    "push-pull",
    160.0,
    labels=("hand", "sill", ""),
    family=load_library()["push-solid-medium"],
    friction=(0.1, 0.2),
    load=100.0,
    passes="inside",
)


def as_dict(cable: Cable) -> dict:
    return assessment_dict(assess(Job("t", (cable,), tape_tolerance=0.0)))


def test_a_bend_in_figures():
    route = as_dict(FULL)["cables"][0]["route"]
    (bend,) = route["bends"]
    assert bend["at"] == "sill"
    assert bend["turn_deg"] == pytest.approx(90)
    assert bend["arc_length_mm"] == pytest.approx(160 * pi / 2)
    assert bend["tangent_mm"] == pytest.approx(160)
    assert bend["fits"] is True
    assert route["tightest_leg"] == {
        "from": "sill",
        "to": "point 3",
        "slack_mm": pytest.approx(540),
    }
    assert route["polyline_length_mm"] == 1500
    assert route["min_bend_radius_mm"] == 160


def test_the_pessimistic_end_stands_alone_and_in_the_range():
    cable = as_dict(FULL)["cables"][0]
    for way in ("pull", "push"):
        whole = cable[f"{way}_range"]
        assert cable[way]["input_n"] == whole["input_n"][1] > whole["input_n"][0]
        assert cable[way]["efficiency"] == whole["efficiency"][0] < whole["efficiency"][1]


def test_a_straight_run_has_no_bends_and_no_radius():
    route = as_dict(replace(FULL, points=CORNER[:2], labels=()))["cables"][0]["route"]
    assert route["bends"] == []
    assert route["min_bend_radius_mm"] is None
    assert route["fits"] is True


def test_a_misfit_is_negative_slack_and_a_bend_that_does_not_fit():
    route = as_dict(replace(FULL, bend_radius=900.0))["cables"][0]["route"]
    assert route["fits"] is False
    assert route["tightest_leg"]["slack_mm"] == pytest.approx(-200)
    assert route["bends"][0]["fits"] is False
    assert route["bends"][0]["radius_mm"] == pytest.approx(700)


def test_a_pull_cable_has_no_push():
    cable = as_dict(replace(FULL, kind="pull", family=None))["cables"][0]
    assert cable["push"] is None
    assert cable["push_range"] is None
    assert cable["family"] is None
    assert cable["order"]["stock_mm"] is None


def test_what_is_infinite_is_null():
    bare = as_dict(replace(FULL, family=None))
    assert bare["cables"][0]["push"]["snaking_onset_n"] is None
    assert json.loads(json.dumps(bare, allow_nan=False)) == bare


def test_findings_carry_value_limit_and_margin():
    found = as_dict(replace(FULL, bend_radius=900.0))["cables"][0]["findings"]
    misfits = {one["where"]: one for one in found if one["code"] == "bend-does-not-fit"}
    misfit = misfits["sill to point 3"]
    assert misfit["level"] == "fail"
    assert misfit["value"] == pytest.approx(-200)  # what the leg is short
    assert misfit["limit"] == 0
    assert misfit["margin"] == pytest.approx(200)
    assert misfit["unit"] == "mm"
