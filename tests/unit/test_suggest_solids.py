"""Moves that are suggested keep both shapes out of the frame's tubes."""

from __future__ import annotations

import numpy as np

from cableroute.figures.cable import work_out
from cableroute.measure.job import Cable, Job
from cableroute.measure.tubes import Tube
from cableroute.suggestions import suggest_for

POINTS = np.array([[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 110.0, 0.0], [0.0, 160.0, 0.0]])


def job_with(*tubes: Tube) -> Job:
    cable = Cable("c", POINTS, "pull", 80.0, friction=(0.1, 0.2), passes="inside")
    return Job("", (cable,), tape_tolerance=0.0, tubes=tubes)


def test_a_move_into_a_tube_is_not_suggested() -> None:
    free = job_with()
    before = work_out(free.cables[0], job=free)
    found = suggest_for(free.cables[0], job=free)
    assert not before.route.fits
    assert found.after is not None
    moved = found.after.figures.route
    along = np.linspace(0.0, moved.length, 800)
    off = [
        np.linalg.norm(before.route.point(np.linspace(0.0, before.route.length, 2000)) - at, axis=1)
        for at in moved.point(along)
    ]
    at = moved.point(along)[int(np.argmax([each.min() for each in off]))]
    up = np.array([0.0, 0.0, 200.0])
    bar = Tube("rail", at - up, at + up, 4.0)
    solid = job_with(bar)
    assert work_out(solid.cables[0], job=solid).in_the_way == frozenset()
    again = suggest_for(solid.cables[0], job=solid)
    if again.after is not None:
        assert again.after.figures.in_the_way == frozenset()
    assert not np.allclose(again.repair.moves, found.repair.moves)
