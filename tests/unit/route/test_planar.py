from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.assess import assess
from cableroute.measure.reading import read_job
from cableroute.route.fillet import fit_arcs
from cableroute.route.planar import MOST, STEADY, flat_runs
from cableroute.route.schedule import bend_schedule

DATA = Path(__file__).resolve().parents[3] / "data"
ZIGZAG = [[0, 0, 0], [300, 0, 0], [300, 250, 0], [700, 250, 0], [700, 600, 0]]


def runs(points, *, tolerance=0.0, radius=50.0):
    return flat_runs(bend_schedule(fit_arcs(points, min_bend_radius=radius)), tolerance=tolerance)


def rotated(degrees):
    """An S of two legs of 300 whose second bend is rotated out of the plane of the first."""
    turn = np.radians(degrees)
    return [
        [0, 0, 0],
        [300, 0, 0],
        [300, 300, 0],
        [300 + 300 * np.cos(turn), 300, 300 * np.sin(turn)],
    ]


def test_all_bends_of_a_flat_run_go_together_whatever_way_they_turn():
    (run,) = runs(ZIGZAG)
    assert (run.first, run.last, run.begin) == (0, 2, 0.0)
    assert np.degrees(run.schedule.rotations) == pytest.approx([0, 180, 180])
    assert run.off < 1e-9


@pytest.mark.parametrize(("degrees", "tolerance", "flat"), [
    (1.9, 0.0, True),
    (2.1, 0.0, False),
    (2.1, 0.6, True),  # 0.6 mm at 300 mm are 0.11 degrees for each of the bends
    (2.3, 0.6, False),
    (9.9, 99.0, True),
    (10.1, 99.0, False),
])  # fmt: skip
def test_the_limit_is_two_degrees_and_what_the_tape_leaves_in_doubt(degrees, tolerance, flat):
    assert bool(runs(rotated(degrees), tolerance=tolerance)) is flat
    assert pytest.approx(np.radians([1.0, 5.0])) == [STEADY, MOST]


def test_a_slow_twist_does_not_add_up():
    """Each bend is near the plane of the one before, but the last is far from that of the first."""
    directions, axis = [np.array([1.0, 0, 0])], np.array([0.0, 0, 1])
    for i in range(12):
        along = directions[-1]
        axis = np.cos(0.03) * axis + np.sin(0.03) * np.cross(along, axis)
        side = np.cross(axis, along) * (-1) ** i
        directions.append(np.cos(0.6) * along + np.sin(0.6) * side)
    points = np.cumsum([np.zeros(3), *(200 * d for d in directions)], axis=0)
    found = runs(points)
    assert len(found) > 1
    assert all(run.last - run.first < 6 for run in found)


@given(
    st.lists(st.floats(-2.0, 2.0).filter(lambda turn: abs(turn) > 0.05), min_size=2, max_size=6),
    st.floats(10.0, 200.0),
)
@settings(max_examples=30)
def test_laid_flat_it_is_the_run_itself(turns, lead):
    headings = np.concatenate(([0.0], np.cumsum(turns)))
    steps = 400.0 * np.column_stack((np.cos(headings), 0 * headings, np.sin(headings)))
    points = np.concatenate((np.zeros((1, 3)), np.cumsum(steps, axis=0)))
    whole = fit_arcs(points, min_bend_radius=30.0)
    (run,) = flat_runs(bend_schedule(whole), tolerance=0.0)
    route, begin = run.route(lead=lead)
    assert np.abs(route.points[:, 2]).max() == pytest.approx(0.0, abs=1e-9)
    along = np.linspace(0.0, float(route.length), 40)
    flat, real = route.point(along), whole.point(begin + along)
    apart = [np.linalg.norm(p[:, None] - p[None], axis=-1) for p in (flat, real)]
    np.testing.assert_allclose(*apart, atol=1e-6)
    assert route.straights[0] <= lead + 1e-9
    assert begin == pytest.approx(max(float(whole.straights[0]) - lead, 0.0))


def test_a_run_in_two_planes_gives_two_stretches_and_a_lone_bend_none():
    points = [*ZIGZAG, [700, 600, 300], [700, 900, 300], [400, 900, 300]]
    found = [(run.first, run.last) for run in runs(points)]
    assert found == [(0, 2), (3, 4)]
    assert runs(ZIGZAG[:3]) == runs(ZIGZAG[:2]) == ()


@pytest.mark.parametrize(
    ("name", "bends"),
    [
        ("works_locomotive_aft", [(2, 3), (0, 3)]),
        ("survey_tapes", [(1, 2)]),
        ("grass_track_buggy", [(0, 1), (3, 4)]),
    ],
)
def test_the_examples_have_the_stretches_that_their_rotations_show(name, bends):
    job = read_job(DATA / f"{name}.toml")
    found = [
        run
        for cable in assess(job).cables
        for run in flat_runs(bend_schedule(cable.figures.route), tolerance=job.tape_tolerance)
    ]
    assert [(run.first, run.last) for run in found] == bends
    assert all(run.off < np.radians(3.5) for run in found)
