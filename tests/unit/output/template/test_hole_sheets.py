"""Hole patterns at full size."""

from math import pi
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.hardware.hole_rows import hole_rows
from cableroute.measure.reading import read_job
from cableroute.output.paper import PAPER
from cableroute.output.template.holes import arm_shapes, sleeve_shape
from cableroute.output.template.page import drawing_area
from cableroute.output.template.sheets import template_sheets

DATA = Path(__file__).parents[4] / "data"
AREA = drawing_area(np.array(PAPER["a4"]))


def middles(shape):
    """Where the crosses stand."""
    return np.array([mark.tick.mean(axis=0) for mark in shape.marks[::2]])


def test_the_unrolled_sleeve_has_every_hole_at_full_size():
    rows = hole_rows(diameter=3, groove=3.5, adjust=15)
    shape = sleeve_shape("shift", rows, area=AREA)
    places = middles(shape)
    assert len(places) == len(rows.holes) == 31
    around = pi * rows.outside / 12
    steps = np.linalg.norm(np.diff(places, axis=0), axis=1)
    assert steps[0] == pytest.approx(np.hypot(0.5, around))
    first, thirteenth = places[0], places[12]
    assert np.linalg.norm(thirteenth - first) == pytest.approx(6)
    assert len(shape.tiles) == 1


def test_lever_and_arm_have_their_holes_at_their_radii():
    found = assess(read_job(DATA / "grass_track_buggy_selector.toml"))
    lever, arm = arm_shapes(found.linkages[0], area=AREA)
    for shape, radius in ((lever, 70), (arm, 60)):
        places = middles(shape)
        away = np.linalg.norm(places - places[0], axis=1)
        assert away == pytest.approx(sorted(away))
        assert min(abs(away - radius)) < 1e-9
    assert len(arm.marks) > len(lever.marks)
    assert any("travel" in mark.text for mark in arm.marks)


def test_the_sheets_hold_the_patterns_besides_the_bends():
    found = assess(read_job(DATA / "grass_track_buggy_selector.toml"))
    told: list[str] = []
    given = {"title": "t", "unit": "mm", "tolerance": 3.0, "announce": told.append}
    template_sheets(found.cables, **given)
    bends = len(told)
    template_sheets(found.cables, linkages=found.linkages, **given)
    assert len(told) - bends == bends + 2
