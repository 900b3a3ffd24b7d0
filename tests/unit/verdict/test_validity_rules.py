"""Figures that are extrapolations are notes: never silent past their limit, never a verdict."""

from __future__ import annotations

from dataclasses import replace
from math import degrees, pi

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.verdict.check import Check
from cableroute.verdict.validity import validity_checks

LIBRARY = load_library()
OVER, UNDER = 1.0 + 1e-9, 1.0 - 1e-9
CODE = "extrapolation-large-bow"
BEND = [[0, 0, 0], [800, 0, 0], [800, 700, 0]]


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
    if changes.get("kind") == "pull":
        del given["push_load"]
    return Cable(**{**given, **changes})


def judged(one: Cable) -> CableAssessment:
    return assess(Job("", (one,), tape_tolerance=0.0)).cables[0]


def beyond(one: Cable) -> dict[str, Check]:
    found = judged(one).findings
    start = "extrapolation-"
    return {each.code.removeprefix(start): each for each in found if each.code.startswith(start)}


def corners(count: int) -> list[list[float]]:
    """A run of so many quarter turns, left and right by turns."""
    steps = [[400.0, 0, 0], [0, 400.0, 0]]
    run = [np.zeros(3)]
    for i in range(count + 1):
        run.append(run[-1] + np.array(steps[i % 2]))
    return [list(point) for point in run]


def test_a_cable_within_every_limit_has_no_extrapolation():
    assert beyond(cable(load=400.0, family=family(stock_lengths=(1800.0,)))) == {}


def test_friction_beyond_a_half_is_untested():
    assert "friction-untested" not in beyond(cable(friction=(0.1, 0.5)))
    found = beyond(cable(friction=(0.1, 0.51)))["friction-untested"]
    assert (found.value, found.limit, found.unit) == (0.51, 0.5, "")


def test_wrap_beyond_what_was_tested_is_told_in_degrees():
    assert "wrap-untested" not in beyond(cable(corners(6), friction=(0.01, 0.01)))
    found = beyond(cable(corners(7), friction=(0.01, 0.01)))["wrap-untested"]
    assert (found.value, found.limit) == (pytest.approx(630.0), pytest.approx(degrees(3 * pi)))
    assert found.unit == "deg"
    assert "630 degrees" in found.message


def test_a_stiff_core_is_told_where_it_adds_a_tenth_to_the_pull_unless_drag_is_measured():
    added = {load: judged(cable(load=load)).figures.pull for load in (20.0, 400.0)}
    shares = {
        load: pull.stiffness / (pull.inputs[1] - pull.stiffness) for load, pull in added.items()
    }
    assert shares[20.0] > 0.1 > shares[400.0]
    assert "stiff-core" not in beyond(cable(load=400.0))
    found = beyond(cable(load=20.0))["stiff-core"]
    assert found.value == pytest.approx(shares[20.0], rel=1e-3)
    assert found.value > found.limit == 0.1
    assert "stiff-core" not in beyond(cable(load=20.0, drag=3.0))


def test_a_wire_bent_beyond_its_elastic_limit_is_told():
    strength = judged(cable()).lasting.strain.bending / 0.75
    within = family(core_strength=strength * 1.001)
    assert "plastic-bend" not in beyond(cable(family=within))
    past = beyond(cable(family=family(core_strength=strength * 0.999)))["plastic-bend"]
    assert past.value > past.limit == 0.75


def test_a_wide_conduit_matters_to_a_push_only():
    wide = family(conduit_id=2.0 + 2 * 1.7, conduit_od=9.0)  # 1.7 mm around the core, of 160 mm
    assert "wide-conduit" in beyond(cable(family=wide))
    assert "wide-conduit" not in beyond(cable(family=wide, kind="pull", push_load=None))
    near = family(conduit_id=2.0 + 2 * 1.5, conduit_od=9.0)
    assert "wide-conduit" not in beyond(cable(family=near))


def test_a_push_lost_on_straights_too_short_to_snake_is_told():
    run = [[0, 0, 0], [240, 0, 0]]
    wide = family(conduit_id=12.0, conduit_od=14.0)
    held = 4.0 * pi**2 * judged(cable()).figures.core.bending_stiffness / 240.0**2
    one = cable(run, family=wide, friction=(0.4, 0.4), push_load=0.9 * held)
    found = beyond(one)["short-straights"]
    assert found.value == pytest.approx(0.4 * 5.0 * pi**2 / 240.0, rel=0.05)
    assert found.value > found.limit == 0.05
    assert "too high" in found.message
    assert "short-straights" not in beyond(replace(one, push_load=0.5 * held))


def test_slack_that_bows_the_run_beyond_a_tenth_is_told():
    need = judged(cable()).figures.order

    def codes(share: float, *, by_formula: bool) -> dict[str, Check]:
        lengths = (need.advised + need.ends + share * need.conduit,)
        own = family(stock_lengths=lengths, stock_lengths_ft=())
        figures = judged(cable(family=own)).figures
        if by_formula:  # as where the elastic curve of that length does not settle
            figures = replace(figures, shapes=replace(figures.shapes, swallowed=None))
        return {each.code: each for each in validity_checks(figures)}

    assert CODE not in codes(0.101, by_formula=False)
    assert CODE not in codes(0.099, by_formula=True)
    found = codes(0.101, by_formula=True)[CODE]
    assert found.value == pytest.approx(0.101)
    assert found.limit == 0.1


def test_stock_that_is_too_short_bows_nothing():
    short = cable(family=family(stock_lengths=(500.0,), stock_lengths_ft=()))
    assert "large-bow" not in beyond(short)


def test_they_are_notes_that_leave_the_verdict():
    one = cable(kind="pull", family=None, friction=(0.0, 0.6), points=[[0, 0, 0], [900, 0, 0]])
    result = judged(one)
    found = list(validity_checks(result.figures))
    assert [each.level for each in found] == ["note"]
    assert result.verdict == "pass"
    sober = judged(replace(one, friction=(0.0, 0.1)))
    assert sober.verdict == result.verdict


def test_each_has_a_limit_and_three_sentences_at_most():
    wild = cable(
        corners(9),
        friction=(0.1, 0.6),
        load=0.5,
        family=family(core_strength=900.0, conduit_id=6.0, conduit_od=9.0),
    )
    found = beyond(wild)
    assert found.keys() >= {"friction-untested", "wrap-untested", "stiff-core", "wide-conduit"}
    for one in found.values():
        assert one.margin is not None
        assert one.message.count(". ") <= 2
