"""Water in a conduit below freezing: where it stands, where it comes in, what is said of it."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.verdict.check import Check

FAMILY = load_library()["push-solid-medium"]
SAG = [[0, 0, 500], [600, 0, 0], [1400, 0, 400], [2000, 0, 100]]


def judged(points: object = SAG, **changes: object) -> CableAssessment:
    one = Cable(
        name="a",
        points=np.array(points, dtype=float),
        kind="push-pull",
        bend_radius=160.0,
        passes="inside",
        family=FAMILY,
        friction=(0.1, 0.2),
        load=100.0,
        labels=("lever", "floor", "arch", "box"),
        **changes,
    )
    return assess(Job("", (one,), tape_tolerance=0.0)).cables[0]


def water(result: CableAssessment) -> Check | None:
    return next((c for c in result.checks if c.code == "water-freezes"), None)


def test_each_low_place_and_open_end_is_named():
    check = water(judged(temperature=(-10.0, 40.0)))
    assert check.level == "note"
    assert check.value == 2.0  # the dip by the floor, the lever's end; the box's end drains
    assert "near floor (" in check.message
    assert "lever opens upwards" in check.message
    assert "box" not in check.message
    assert check.message.count(". ") <= 2


@pytest.mark.parametrize("coldest", [0.0, 5.0])
def test_what_does_not_freeze_is_not_cautioned(coldest):
    assert water(judged(temperature=(coldest, 40.0))) is None
    assert water(judged()) is None


def test_a_run_that_drains_by_itself_is_told_to_have_nowhere():
    level = [[0, 0, 0], [600, 0, 0], [1400, 0, 0], [2000, 0, 0]]
    check = water(judged(level, temperature=(-10.0, 40.0)))
    assert (check.value, check.level, check.message) == (0.0, "pass", "")


def test_the_caution_leaves_the_verdict():
    cold, warm = judged(temperature=(-10.0, 40.0)), judged(temperature=(5.0, 40.0))
    assert cold.verdict == warm.verdict


def test_a_grease_that_no_longer_flows_is_said_by_name():
    def stiff(coldest: float, **changes: object) -> str:
        checks = judged(temperature=(coldest, 40.0), **changes).checks
        return next((c.message for c in checks if c.code == "grease-too-cold"), "")

    assert stiff(-5.0) == ""
    assert "none is named" in stiff(-60.0)
    assert "none is named" not in stiff(-60.0, lubricant="mineral-2")
    assert stiff(-60.0, lubricant="dry") == ""
