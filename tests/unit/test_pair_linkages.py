"""A pull pair between lever and box: driven both ways, with the drag of both cores."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import Assessment, assess
from cableroute.figures.feel import work_out_feel
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job

BUGGY = Path(__file__).parents[2] / "data" / "grass_track_buggy_selector.toml"


def job_of(**changes) -> Job:
    """The buggy's selector, its cable changed."""
    job = read_job(BUGGY)
    return replace(job, cables=(replace(job.cables[0], **changes),))


def judged(**changes) -> Assessment:
    return assess(job_of(kind="pull-pair", push_load=None, **changes))


def test_the_other_core_pulls_the_box_back() -> None:
    found = judged()
    figures = found.linkages[0].figures

    assert not figures.pulls_only
    assert np.isfinite(figures.pushing).all()
    assert (figures.pushing > 0.0).all()
    assert figures.pushing[1].max() == pytest.approx(figures.pulling[1].max(), rel=0.05)


def test_a_cable_with_a_spring_is_still_driven_one_way_only() -> None:
    figures = assess(job_of(kind="pull", push_load=None)).linkages[0].figures

    assert figures.pulls_only


@pytest.mark.parametrize("drag", [None, 6.0])
def test_the_hand_moves_two_cores(drag: float | None) -> None:
    one = assess(job_of(kind="pull", push_load=None, drag=drag)).cables[0].figures
    two = judged(drag=drag).cables[0].figures

    assert two.drag == pytest.approx(2.0 * one.drag)


def test_measured_drag_weighs_alike_at_low_and_at_high_friction() -> None:
    free, dragged = (judged(drag=drag, preload=200.0).linkages[0].figures for drag in (0.0, 6.0))
    low, high = (dragged.pulling - free.pulling)[:, 20]

    assert low > 0.0
    assert high == pytest.approx(low)


def test_the_feel_of_a_pair_has_the_drag_of_both() -> None:
    free, dragged = (
        work_out_feel(judged(drag=drag).cables[0].figures).high.greatest for drag in (0.0, 6.0)
    )

    assert dragged - free == pytest.approx(12.0)
