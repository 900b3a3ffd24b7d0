"""Curves sampled closely are judged as the lines and arcs they are; marked points stay."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.figures.sampled import as_drawn
from cableroute.measure.reading import read_job
from cableroute.output.exports import POINT_COLUMNS, point_rows
from cableroute.output.spreadsheet import csv_text

DATA = Path(__file__).parents[2] / "data"


@pytest.fixture(scope="module")
def found():
    return assess(read_job(DATA / "grass_track_buggy.toml"))


@pytest.fixture
def again(found, tmp_path):
    """The buggy's own table of points, read back."""
    rows = [row for cable in found.cables for row in point_rows(cable.figures)]
    file = tmp_path / "x.csv"
    file.write_text(csv_text(POINT_COLUMNS, rows))
    return read_job(file, overrides={"bend_radius": 20.0})


def test_our_own_table_of_points_is_judged_as_the_run_it_came_from(found, again):
    judged = assess(as_drawn(again))
    for old, new in zip(found.cables, judged.cables, strict=True):
        one, other = old.figures.route, new.figures.route
        assert other.length == pytest.approx(one.length, abs=0.1)
        assert other.wrap == pytest.approx(one.wrap, rel=0.005)
        assert other.min_radius == pytest.approx(one.min_radius, rel=0.005)
        bends, found_bends = (run.turns[run.turns > 1e-9] for run in (one, other))
        np.testing.assert_allclose(found_bends, bends, atol=np.radians(0.001))
        assert other.fits
        assert len(new.figures.cable.points) < 10
        assert "taken for a drawn curve" in new.figures.cable.notes[-1]


def test_a_point_that_is_labelled_or_clipped_keeps_its_run_as_it_is(again):
    cable = again.cables[0]
    count = len(cable.points)
    for mark in (
        {"labels": ("",) * 5 + ("sill",) + ("",) * (count - 6)},
        {"fixes": (None,) * 5 + ("clip",) + (None,) * (count - 6)},
    ):
        job = replace(again, cables=(replace(cable, **mark),))
        assert len(as_drawn(job).cables[0].points) == count


def test_arcs_tighter_than_the_cable_are_asked_for_its_radius(found, again):
    tight = replace(again, cables=tuple(replace(c, bend_radius=500.0) for c in again.cables))
    for cable in as_drawn(tight).cables:
        assert {radius for radius in cable.point_radii if radius} == {500.0}
        assert {remark.code for remark in cable.remarks} == {"drawn-too-tight"}


def test_a_measured_run_stays_as_it_is():
    job = read_job(DATA / "workboat.toml")
    assert as_drawn(job).cables == job.cables


def test_a_slight_corner_of_a_sampled_curve_is_no_bend_of_the_least_radius(tmp_path):
    """y = 0.3 x^4 over a metre: its radius, (1 + y'^2)^1.5 / y'', is 0.7 m where it is least."""
    x = np.linspace(0.0, 1.0, 60)
    least = 1000.0 * ((1.0 + 1.44 * x[1:] ** 6) ** 1.5 / (3.6 * x[1:] ** 2)).min()
    file = tmp_path / "x.csv"
    file.write_text("".join(f"{1000 * a:.6f},{300 * a**4:.6f},0\n" for a in x))
    (cable,) = assess(as_drawn(read_job(file, overrides={"bend_radius": 60.0}))).cables
    assert "taken for a drawn curve" in cable.figures.cable.notes[-1]
    assert cable.figures.route.min_radius == pytest.approx(least, rel=0.15)  # 60 mm without


def test_names_that_every_point_has_mark_none(again):
    cable = again.cables[0]
    named = replace(cable, labels=tuple(f"P{i}" for i in range(len(cable.points))))
    drawn, plain = (as_drawn(replace(again, cables=(c,))).cables[0] for c in (named, cable))
    assert drawn.labels == ("P0", *plain.labels[1:-1], f"P{len(cable.points) - 1}")
    np.testing.assert_array_equal(drawn.points, plain.points)
