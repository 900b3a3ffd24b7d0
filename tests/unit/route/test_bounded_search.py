"""Searches that end: so many problems, freedoms, points tried, rounds, and no more."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.figures.cable import work_out
from cableroute.measure.job import Cable, Job
from cableroute.route import _fixed_point, _least_moves
from cableroute.route._fixed_point import LEAST_ROUNDS, ROUNDS, fixed_point, rounds_of
from cableroute.route._least_moves import Freedom, LeastMoves
from cableroute.route.fillet import fit_arcs
from cableroute.route.repair import MOST_FREEDOMS, freedoms_of, repair
from cableroute.verdict import advice
from cableroute.verdict.advice import advise


def zigzag(count, leg=60.0):
    ways = np.radians(90.0) * (np.arange(count - 1) % 2)
    steps = leg * np.column_stack([np.cos(ways), np.sin(ways), 0.2 * np.ones(count - 1)])
    return np.concatenate([np.zeros((1, 3)), np.cumsum(steps, axis=0)])


def cable(count, leg=60.0):
    return Cable("c", zigzag(count, leg), "pull", 100.0, load=50.0, friction=0.1)


@pytest.fixture
def problems(monkeypatch):
    solved = []
    own = LeastMoves._linearised

    def counted(self, *given):
        solved.append(1)
        return own(self, *given)

    monkeypatch.setattr(LeastMoves, "_linearised", counted)
    return solved


def test_a_search_that_finds_nothing_ends_after_the_problems_it_may_take(
    problems, monkeypatch
) -> None:
    monkeypatch.setattr(_least_moves, "_MOST_WORK", 0)
    monkeypatch.setattr(_least_moves, "_LEAST_ROUNDS", 4)
    tight = cable(9)
    route = fit_arcs(tight.points, min_bend_radius=100.0, through=True)
    found = repair(route, freedoms=freedoms_of(tight), farthest=5.0, grid=1.0)
    assert not found.fits
    assert found.is_cut_short
    assert len(problems) <= 4


def test_a_run_through_points_too_near_each_other_is_soon_given_up(problems, monkeypatch) -> None:
    monkeypatch.setattr(_least_moves, "_MOST_RUNS", 8)
    points = [[0, 0, 0], [9, 0, 0], [18, 3, 0], [40, 77, 0]]
    near = Cable("a", np.array(points, dtype=float), "pull", 60.0, load=80.0, friction=0.12)
    route = fit_arcs(near.points, min_bend_radius=60.0, through=True)
    found = repair(route, freedoms=freedoms_of(near), farthest=300.0, grid=1.0)
    assert found.is_cut_short
    assert len(problems) == 8


def test_a_search_that_ends_by_itself_is_not_cut_short() -> None:
    route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 70, 0]], min_bend_radius=100)
    end = Freedom(2, np.array([0.0, 1.0, 0.0]), 70.0)
    assert not repair(route, freedoms=[end], grid=1.0).is_cut_short
    assert not repair(route, freedoms=[end], grid=1.0, farthest=3.0).is_cut_short


def test_more_freedoms_than_can_be_searched_are_not_looked_at(problems) -> None:
    tight = cable(MOST_FREEDOMS // 3 + 4)
    route = fit_arcs(tight.points, min_bend_radius=100.0, through=True)
    found = repair(route, freedoms=freedoms_of(tight))
    assert found.freedoms > MOST_FREEDOMS
    assert not problems


def test_of_many_points_the_sharpest_are_tried(monkeypatch) -> None:
    points = zigzag(12, 400.0)
    points[7] += [0.0, 0.0, 250.0]
    sharp = Cable("c", points, "pull", 60.0, load=50.0, friction=0.3)
    figures = work_out(sharp, job=Job("", (sharp,), tape_tolerance=0.0))
    every = advise(figures)
    assert every.tried is None
    assert len(every.omissions) == 10
    monkeypatch.setattr(advice, "MOST_POINTS", 3 * 12)
    some = advise(figures)
    assert some.tried == 3
    turns = figures.route.turns
    sharpest = {figures.corner_name(int(i)) for i in np.argsort(-turns, kind="stable")[:3]}
    assert {change.at for change in some.omissions} == sharpest
    assert {change.at: change.wrap for change in some.omissions}.items() <= {
        change.at: change.wrap for change in every.omissions
    }.items()


def test_a_survey_is_tried_without_none_of_its_points(monkeypatch) -> None:
    monkeypatch.setattr(advice, "MOST_POINTS", 5)
    figures = work_out(one := cable(6, 400.0), job=Job("", (one,), tape_tolerance=0.0))
    found = advise(figures)
    assert (found.tried, found.omissions, found.sweeps) == (0, (), ())


def test_a_run_of_very_many_points_gets_fewer_rounds(monkeypatch) -> None:
    assert rounds_of(30) == rounds_of(30_000) == ROUNDS
    assert LEAST_ROUNDS < rounds_of(60_000) < ROUNDS
    assert rounds_of(300_000) == LEAST_ROUNDS
    monkeypatch.setattr(_fixed_point, "MOST_WORK", 0)
    asked = []

    def never(x, rows):
        asked.append(1)
        return -2.0 * x + len(asked) % 3

    _, settled = fixed_point(never, np.ones((1, 4)), near=np.array([1e-12]))
    assert not settled.any()
    assert len(asked) <= LEAST_ROUNDS
