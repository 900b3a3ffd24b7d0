"""Travel that a moving conduit and a worn liner eat; what friction above its range costs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.figures.clips_and_anchors import LEAST_SPACING
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.table.whole_cable import fact

LIBRARY = load_library()
BEND = [[0, 0, 0], [800, 0, 0], [800, 700, 0]]


def family(**changes: object) -> Family:
    return Family.model_validate({**LIBRARY["push-solid-medium"].model_dump(), **changes})


def cable(**changes: object) -> Cable:
    given = {
        "name": "a",
        "points": np.array(BEND, dtype=float),
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


def judged(one: Cable) -> CableAssessment:
    return assess(Job("", (one,), tape_tolerance=0.0)).cables[0]


def test_a_curling_conduit_is_a_part_of_its_own_with_its_band():
    lost = judged(cable()).figures.lost
    low, high = lost.shift
    assert 0.0 < low < high
    assert lost.parts["conduit curling"] == high
    assert lost.total == pytest.approx(sum(lost.parts.values()))
    # twice the clearance and a quarter of the stiffness: sixteen times
    assert high == pytest.approx(16.0 * low, rel=1e-6)
    unknown = family(conduit_stiffness=None, conduit_stiffness_range=None)
    bare = judged(cable(family=unknown)).figures.lost
    assert bare.shift is None
    assert bare.total == pytest.approx(lost.total - high)


def test_a_worn_liner_loses_the_crossing_twice_and_is_only_noted():
    result = judged(cable())
    lost = result.figures.lost
    assert lost.worn == pytest.approx(lost.clearance)
    assert lost.total_worn == pytest.approx(lost.total + lost.worn)
    assert f"{lost.total_worn:.1f} mm with a worn liner" in fact(result, "lost motion")
    [check] = [c for c in result.checks if c.code == "lost-motion-worn"]
    assert check.level in ("note", "pass")
    small = judged(cable(travel=(lost.total + 0.5 * lost.worn) / 0.15))
    [check] = [c for c in small.checks if c.code == "lost-motion-worn"]
    assert check.level == "note"
    pulled = judged(replace(cable(), kind="pull", push_load=None))
    assert pulled.figures.lost.worn == 0.0


def test_clips_follow_the_travel_that_a_soft_conduit_eats():
    sound = judged(cable()).holding
    assert sound.keeps_travel == np.inf
    eaten = {"load": 300.0, "family": family(conduit_axial=1e5)}
    soft = judged(cable(travel=90.0, **eaten))
    assert LEAST_SPACING <= soft.holding.keeps_travel == soft.holding.spacing < sound.spacing
    [check] = [c for c in soft.checks if c.code == "clip-spacing"]
    assert "keeps what the conduit eats of the travel" in check.message
    closer = judged(cable(travel=60.0, **eaten)).holding
    assert closer.keeps_travel < LEAST_SPACING  # no remedy: nobody sets clips so close
    assert closer.spacing == sound.spacing
    unknown = judged(cable(load=300.0, travel=4.0, family=family(conduit_axial=None))).holding
    assert unknown.keeps_travel == np.inf  # of it there is a bound only


def test_friction_above_its_range_costs_what_a_fresh_cable_with_it_asks():
    result = judged(cable(drag=0.0))
    fresh = judged(cable(drag=0.0, friction=(0.1, 0.24)))
    beyond = result.lasting.beyond
    more = fresh.figures.pull.inputs[1] - result.figures.pull.inputs[1]
    assert beyond.pull == pytest.approx(more, rel=0.01)
    pushed = fresh.figures.push.through.inputs[1] - result.figures.push.through.inputs[1]
    assert beyond.push == pytest.approx(pushed, rel=0.05)
    assert "20 % above it costs" in fact(result, "friction")
    [check] = [c for c in result.checks if c.code == "friction-beyond"]
    assert (check.level, check.value) == ("told", beyond.pull)
