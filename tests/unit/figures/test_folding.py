"""What folds first: the weakest of guide, straights, rod and lock-up, and at what push."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.mechanics.core_in_guide import core_in_guide
from cableroute.mechanics.fold_order import PLACES
from cableroute.table.whole_cable import fact
from cableroute.verdict.limits import Limits

LIBRARY = load_library()
BEND = [[0, 0, 0], [800, 0, 0], [800, 700, 0]]


def family(name: str = "push-solid-medium", **changes: object) -> Family:
    return Family.model_validate({**LIBRARY[name].model_dump(), **changes})


def cable(**changes: object) -> Cable:
    given = {
        "name": "a",
        "points": np.array(changes.pop("points", BEND), dtype=float),
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


def judged(one: Cable, limits: Limits | None = None) -> CableAssessment:
    return assess(Job("", (one,), tape_tolerance=0.0), limits=limits).cables[0]


def strand(**changes: object) -> Family:
    return family(construction="1x19", core_strength=None, **changes)


def test_a_strand_folds_in_its_guide_long_before_its_rod():
    """The free pinned load of a 1x19 core of 2 mm over 50 mm is 19 N; guided, it winds on."""
    result = judged(cable(family=strand(stroke=50.0), friction=(0.05, 0.1)))
    folding, push = result.lasting.folding, result.figures.push
    core, own = result.figures.core, result.figures.cable.family
    assert folding.place == "guide-hand"
    assert float(folding.guide.free_load) == pytest.approx(18.9, abs=0.2)
    alone = core_in_guide(
        0.0,
        length=50.0,
        bore=own.guide_bore,
        core_diameter=own.core_od,
        bending_stiffness=core.bending_stiffness,
        area=core.area,
        wire_diameter=core.wire_diameter,
        yield_strength=0.75 * result.lasting.strain.strength,
        friction=0.15,
    )
    assert folding.at == pytest.approx(float(alone.folds_at), rel=1e-6)
    assert folding.times == pytest.approx(folding.at / push.through.inputs[1])
    assert push.rod_buckling > 10.0 * folding.at


def test_the_row_leads_with_what_folds_first():
    result = judged(cable())
    folding = result.lasting.folding
    told = fact(result, "folding")
    assert told.startswith(f"folds first: {folding.name} at {folding.at:.0f} N, ")
    assert f"{folding.times:.1f} times the push" in told
    least = np.min(folding.order.far)
    assert folding.order.far[PLACES.index(folding.place)] == least


@pytest.mark.parametrize(("share", "expected"), [(0.99, "pass"), (1.01, "marginal")])
def test_the_weakest_place_is_held_to_the_limits_of_the_rod(share, expected):
    one = cable(drag=4.0)
    times = judged(one).lasting.folding.times
    limits = Limits(rod_safety=(share * times, 0.1))
    [check] = [c for c in judged(one, limits).checks if c.code == "folds-first"]
    assert check.level == expected
    if expected == "marginal":
        assert "gives way first" in check.message
    limits = Limits(rod_safety=(2.0 * times, 1.01 * times))
    [check] = [c for c in judged(one, limits).checks if c.code == "folds-first"]
    assert check.level == "fail"


def test_a_guide_that_is_not_known_is_left_unjudged_and_said():
    result = judged(cable(family=family(guide_bore=None)))
    folding = result.lasting.folding
    assert folding.guide is None
    assert folding.bare is None
    assert "guide" not in folding.place
    [check] = [c for c in result.checks if c.code == "folds-first"]
    assert "not judged" in check.detail
    assert not [c for c in result.checks if c.code == "core-in-guide"]


def test_a_thin_rod_is_the_weakest():
    thin = judged(cable(family=family(rod_od=2.5, guide_bore=3.0, rod_exposed=200.0)))
    folding, push = thin.lasting.folding, thin.figures.push
    assert folding.place == "rod-hand"
    assert folding.at == pytest.approx(push.rod_buckling, rel=1e-6)


def test_a_push_that_jams_has_nothing_left():
    zigzag = [[300 * (i % 2), 300 * i, 0] for i in range(8)]
    soft = strand(conduit_id=4.0, conduit_od=7.0, min_bend_radius=100.0)
    jammed = judged(cable(points=zigzag, bend_radius=100.0, family=soft, push_load=2000.0))
    assert jammed.figures.push.lockup
    assert jammed.lasting.folding.times == 0.0
    [check] = [c for c in jammed.checks if c.code == "folds-first"]
    assert check.level == "fail"


def test_a_push_beyond_what_is_proven_is_said():
    corners = [[500 * (i % 2), 500 * (i // 2), 250 * i] for i in range(9)]
    own = {"bend_radius": 100.0, "family": family(min_bend_radius=100.0), "push_load": 1.0}
    [far] = [c for c in judged(cable(points=corners, **own)).checks if c.code == "push-unproven"]
    beyond = cable(points=corners, friction=(0.1, 0.2 * 3.1 / far.value), **own)
    [past] = [c for c in judged(beyond).checks if c.code == "push-unproven"]
    assert past.level == "note"
    assert past.value == pytest.approx(3.1, rel=0.01)
    assert "measured by none" in past.message
    [plain] = [c for c in judged(cable()).checks if c.code == "push-unproven"]
    assert plain.level == "pass"


@pytest.mark.parametrize("kind", ["pull", "pull-pair"])
def test_what_only_pulls_folds_nowhere(kind):
    one = replace(cable(), kind=kind, push_load=None)
    assert judged(one).lasting.folding is None
