"""Which bend a pushed core snakes in first, and how that is told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.figures.cable import Figures
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job

FAMILY = load_library()["push-solid-medium"].model_copy(update={"construction": "7x7"})
#: A tight bend at the hand, a wide one at the far end.
CABLE = Cable(
    "gear",
    np.array([[0, 0, 0], [600, 0, 0], [600, 1500, 0], [2100, 1500, 0]], dtype=float),
    "push-pull",
    160.0,
    family=FAMILY,
    friction=(0.1, 0.1),
    load=50.0,
    travel=40.0,
    point_radii=(None, 160.0, 640.0, None),
    passes="inside",
)


def pushed(load: float, **changes) -> tuple[Figures, dict]:
    changed = replace(CABLE, push_load=load, **changes)
    cable = assess(Job("", (changed,), tape_tolerance=0.0)).cables[0]
    assert cable.figures.push is not None
    return cable.figures, {finding.code: finding for finding in cable.findings}


def onset(radius: float) -> float:
    """4 EI/(R r), of wires side by side."""
    wire = FAMILY.core_od / 9.0
    stiffness = 49 * FAMILY.core_modulus * np.pi * wire**4 / 64.0
    return 4.0 * stiffness / (radius * 0.5 * FAMILY.clearance)


def test_the_widest_bend_snakes_first() -> None:
    push = pushed(1.0)[0].push

    assert push.snaking_onset == pytest.approx(onset(640.0))
    assert push.snaking_onset == pytest.approx(onset(160.0) / 4.0)


def test_what_is_told_is_the_push_in_that_bend() -> None:
    load = 1.02 * onset(640.0)
    figures, findings = pushed(load)
    push = figures.push

    assert push.snaking_use > 1.0
    found = findings["snaking"]
    assert found.limit == pytest.approx(onset(640.0))
    assert load < found.value < push.through.inputs[1]


def test_nothing_pushed_leaves_the_lowest_onset() -> None:
    push = pushed(0.0)[0].push

    assert push.snaking_use == 0.0
    assert push.snaking_onset == pytest.approx(onset(640.0))


def test_friction_lets_a_tighter_bend_at_the_hand_snake_first() -> None:
    """Its onset is higher by 640/560, the push in it by a quarter turn of friction."""
    near = {"point_radii": (None, 560.0, 640.0, None), "friction": (0.3, 0.3)}
    figures, findings = pushed(0.45 * onset(560.0), **near)

    assert figures.push.snaking_onset == pytest.approx(onset(560.0))
    found = findings["snaking"]
    assert found.limit == pytest.approx(onset(560.0))
    assert found.value == pytest.approx(figures.pushes[1, 0], rel=0.05)
