"""Every length in a finding is told in the unit of the tape, the figures beside it in mm."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, CheckReading, Job
from cableroute.measure.keepout import Capsule, KeepOut
from cableroute.measure.load_models import AnchorsEntry
from cableroute.measure.reading import read_job
from cableroute.units import parse_length
from cableroute.verdict.check import Check
from cableroute.verdict.limits import Limits

DATA = Path(__file__).resolve().parents[3] / "data"
LIBRARY = load_library()
BEND = [[0, 0, 0], [800, 0, 0], [800, 700, 0]]
STAIRS = [[0, 0, 0], [150, 0, 0], [150, 250, 0], [400, 250, 0]]
GENTLE = [[0, 0, 0], [300, 0, 0], [600, 200, 0]]
SLIP = [[5000, 0, 0], [54000, 40, 100], [5800, 0, 150], [6300, 0, 350]]
PIPE = Capsule(np.array([200.0, 60, -99]), np.array([200.0, 60, 99]), 15.0)
#: A length in mm or m, and one in inches.
METRIC, INCHES = re.compile(r"\d (mm|m)\b"), re.compile(r'\d"')


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
    return Cable(**{**given, **changes})


def anchored(**hand: object) -> AnchorsEntry:
    return AnchorsEntry.model_validate({"hand": hand})


def traced() -> np.ndarray:
    arc = np.linspace(0.0, 0.5 * np.pi, 12)
    bend = np.stack((700 + 160 * np.sin(arc), 160 - 160 * np.cos(arc), 0 * arc), axis=-1)
    points = np.concatenate(([[0, 0, 0], [400, 0, 0]], bend, [[860, 600, 0]]))
    return points + np.random.default_rng(1).normal(size=points.shape)


def stocked(length: float) -> Family:
    return family(stock_lengths=(length,), stock_lengths_ft=())


STRAND = family("pull-slick-medium", core_strength=2000.0)
#: By code: a cable that has the finding, and what besides it takes.
CASES: dict[str, tuple[Cable, dict[str, object]]] = {
    "smoothed": (cable(traced()), {"tape_tolerance": 3.0}),
    "bend-does-not-fit": (cable(STAIRS, point_radii=(None, 200.0, None, None)), {}),
    "radius-below-family": (cable(bend_radius=60.0), {}),
    "keep-out": (cable(), {"keepouts": (KeepOut("pipe", PIPE, 90.0),)}),
    "heat": (cable(), {"keepouts": (KeepOut("pipe", PIPE, 10.0, 400.0),)}),
    "lay-too-tight": (cable(STAIRS), {}),
    "slack-too-tight": (cable(GENTLE, family=stocked(1200.0)), {}),
    "stock-too-short": (cable(family=stocked(900.0)), {}),
    "stock-too-short, but it reaches": (cable(family=stocked(1775.0)), {}),
    "stock-surplus": (cable(family=stocked(4000.0)), {}),
    "stroke": (cable(travel=90.0), {}),
    "lost-motion": (cable(STAIRS, travel=8.0), {}),
    "bracket-gives": (cable(anchors=anchored(bracket={"stiffness": 30.0})), {}),
    "anchor-holding": (
        cable(kind="pull", load=9e4, anchors=anchored(bulkhead={"diameter": 8.0, "pitch": 1.25})),
        {},
    ),
    "clip-spacing": (cable([[0, 0, 0], [3000, 0, 0]], fixes=("anchor", "anchor")), {}),
    "wire-stress": (cable(bend_radius=130.0, load=20.0), {"limits": {"wire_stress": (0.4, 0.9)}}),
    "bend-ratio": (cable(kind="pull", family=STRAND, bend_radius=14.0, load=1.0), {}),
    "liner-creep": (cable(temperature=(0.0, 50.0)), {}),
    "heat-tightens": (
        cable(kind="pull", family=family(conduit_expansion=5e-4), temperature=(20.0, 60.0)),
        {},
    ),
    "point-measured-twice": (cable([*BEND, [0, 0.5, 0]]), {}),
    "decimal-slip": (cable(SLIP), {}),
    "unit-slip": (cable([[0, 0, 0], [31e3, 0, 0]]), {}),
    "unit-slip, short": (cable(np.array(STAIRS) / 25.4), {}),
    "check-mismatch": (cable(checks=(CheckReading(0, 1, 900.0, None),)), {}),
    "pair-slack": (cable(kind="pull-pair", preload=10.0), {}),
}


def found(name: str, unit: str) -> list[Check]:
    one, more = CASES[name]
    given = {"tape_tolerance": 0.0, **more}
    limits = Limits(**given.pop("limits", {}))
    result = assess(Job("", (one,), unit=unit, **given), limits=limits).cables[0]
    return [each for each in result.findings if each.code == name.partition(",")[0]]


@pytest.mark.parametrize("name", CASES)
def test_a_finding_speaks_the_unit_of_the_tape(name):
    metric, inches = found(name, "mm"), found(name, "ft")
    assert metric
    assert all(METRIC.search(one.message) for one in metric)
    assert not any(INCHES.search(one.message) for one in metric)
    assert all(INCHES.search(one.message) for one in inches)
    assert not any(METRIC.search(one.message) for one in inches)


@pytest.mark.parametrize("name", CASES)
def test_the_figures_of_a_finding_stay_in_millimetres(name):
    figures = [
        [(one.code, one.value, one.limit, one.unit) for one in found(name, unit)]
        for unit in ("mm", "in")
    ]
    assert figures[0] == figures[1]


@pytest.mark.parametrize("unit", ["cm", "m"])
def test_a_metric_tape_is_told_in_millimetres(unit):
    told = [found(name, unit)[0].message for name in CASES if not name.startswith("unit-slip")]
    as_mm = [found(name, "mm")[0].message for name in CASES if not name.startswith("unit-slip")]
    assert told == as_mm


@pytest.mark.parametrize("path", sorted(DATA.glob("*.toml")), ids=lambda path: path.stem)
def test_no_example_in_inches_is_told_in_millimetres(path):
    job = read_job(path)
    for unit, strange in (("in", METRIC), ("mm", INCHES)):
        alone = replace(job, unit=unit, linkages=(), selectors=())
        for result in assess(alone).cables:
            doubts = {remark.message for remark in result.figures.cable.remarks}
            told = [one.message for one in result.findings if one.message not in doubts]
            assert not [text for text in told if strange.search(text)]


def advised(code: str, words: str) -> float:
    (text,) = re.findall(rf"{words} (.*?\")", found(code, "in")[0].message)
    return parse_length(text)


def test_an_advised_radius_in_inches_is_rounded_to_the_safe_side():
    stressed, more = CASES["wire-stress"]
    mended = replace(stressed, bend_radius=advised("wire-stress", "Widen that bend to"))
    result = assess(Job("", (mended,), tape_tolerance=0.0), limits=Limits(**more["limits"]))
    assert "wire-stress" not in {one.code for one in result.cables[0].findings}

    radius = advised("bend-does-not-fit", "that may bend to")
    fitting = assess(Job("", (cable(STAIRS, family=None, bend_radius=radius),)))
    assert fitting.cables[0].figures.route.fits


def test_a_corner_that_nearly_doubles_back_is_no_bend_of_no_radius():
    back = cable([[0, 0, 0], [900, 0, 0], [0, 1.0, 0]])
    for unit in ("mm", "in"):
        (result,) = assess(Job("", (back,), unit=unit, tape_tolerance=0.0)).cables
        messages = [one.message for one in result.findings if one.code == "bend-does-not-fit"]
        assert messages
        assert all("nearly doubles back" in message for message in messages)


def test_a_thread_has_its_sizes_as_makers_give_them():
    assert "a thread of 8 x 1.25 mm and nuts" in found("anchor-holding", "mm")[0].message
    assert 'a thread of 0.315" x 0.049" and nuts' in found("anchor-holding", "in")[0].message
