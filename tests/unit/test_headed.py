"""A conduit that works a linkage is held in line with its rods at mid-stroke."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.figures.headed import headed
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job
from cableroute.study.run import study

DATA = Path(__file__).parents[2] / "data"
ENDS = [0, -1]


@pytest.fixture
def job() -> Job:
    """A machine whose brackets say no heading."""
    found = read_job(DATA / "works_locomotive_forward.toml")
    return replace(found, cables=tuple(replace(each, headings=()) for each in found.cables))


def test_an_end_without_a_heading_takes_the_line_of_its_rod(job: Job) -> None:
    for cable in headed(job).cables:
        assert [way is not None for way in cable.headings] == [
            *(True, *[False] * (len(cable.points) - 2), True)
        ]
        assert "at mid-stroke" in cable.notes[-1]
        ways = np.array([cable.headings[end] for end in ENDS])
        assert np.linalg.norm(ways, axis=1) == pytest.approx(1.0)


def test_then_the_rods_do_not_lean_at_mid_stroke(job: Job) -> None:
    for linkage in assess(job).linkages:
        figures = linkage.figures
        middle = 0.5 * (figures.hand[0] + figures.hand[-1])
        for angles in (figures.hand_angle, figures.far_angle):
            lean = np.interp(middle, figures.hand, angles)
            assert np.degrees(lean) < 0.1 + 0.5 * np.degrees(angles.max())


def test_the_run_leaves_along_it_in_both_shapes(job: Job) -> None:
    for cable in assess(job).cables:
        figures = cable.figures
        for end, s in zip(ENDS, (0.0, float(figures.route.length)), strict=True):
            way = figures.cable.headings[end]
            assert figures.route.tangent(s) == pytest.approx(way, abs=1e-6)
            assert figures.lay.ways[end] == pytest.approx(way, abs=1e-6)


def test_a_heading_that_is_given_stands_and_makes_the_rod_lean(job: Job) -> None:
    cable = headed(job).cables[0]
    turned = np.radians(20.0)
    way = np.asarray(cable.headings[0])
    across = np.cross(way, np.eye(3)[np.argmin(np.abs(way))])
    given = np.cos(turned) * way + np.sin(turned) * across / np.linalg.norm(across)
    ways = (given, *[None] * (len(cable.points) - 1))
    cables = (replace(job.cables[0], headings=ways), *job.cables[1:])
    found = headed(replace(job, cables=cables)).cables[0]
    assert found.headings[0] == pytest.approx(given)
    linkage = next(
        each
        for each in assess(replace(job, cables=cables)).linkages
        if each.figures.built.entry.cable == cable.name
    )
    assert np.degrees(linkage.figures.hand_angle.max()) > 15.0
    assert "rod-swings-too-far" in {finding.code for finding in linkage.findings}


def test_a_study_draws_machines_of_the_run_that_is_judged(job: Job) -> None:
    judged = assess(job).cables[0].figures
    studied = study(job, cable=judged.cable.name, n=8).figures
    assert studied.route.wrap == pytest.approx(judged.route.wrap)
    assert studied.cable.headings[0] == pytest.approx(judged.cable.headings[0])


def test_an_end_whose_rod_points_against_the_run_stays_free(job: Job) -> None:
    first = job.cables[0]
    back = replace(first, points=first.points[::-1], headings=())
    cables = (back, *job.cables[1:])
    assert not any(
        way is not None for way in headed(replace(job, cables=cables)).cables[0].headings
    )


def test_a_job_without_linkages_stays_as_it_is(job: Job) -> None:
    bare = replace(job, linkages=(), selectors=())
    assert headed(bare).cables == bare.cables
