"""A fleet: the same rows by any executor, worst first, what is bad left standing by itself."""

from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context

import pytest

from cableroute import CableRouteError, read_job, study_many
from cableroute.study.many import FleetRow, worst_first
from cableroute.study.run import study

JOBS = [(name, f"data/{name}.toml") for name in ("recumbent_trike", "workboat")]


def rows(executor=None):
    jobs = ((name, read_job(path)) for name, path in JOBS)
    return sorted(study_many(jobs, executor=executor, n=64, seed=7), key=repr)


def test_rows_are_the_same_to_the_last_digit_by_any_executor():
    one = rows()
    assert [row.source for row in one] == ["recumbent_trike"] * 2 + ["workboat"] * 2
    with ThreadPoolExecutor(2) as threads:
        assert rows(threads) == one
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        assert rows(processes) == one


def test_a_row_is_the_study_of_its_cable():
    job = read_job("data/workboat.toml")
    found = study(job, cable="gear", n=64, seed=7)
    row = next(each for each in rows() if each.cable == "gear")
    most = {each.key: each.p95 for each in found.quantiles}
    assert (row.chance, row.pull, row.length) == (
        found.fails[0].chance,
        most["pull"],
        most["length"],
    )


class Dying(Executor):
    """Does two tasks, then its worker dies."""

    def __init__(self):
        self.left = 2

    def submit(self, task, /, *words, **more):
        future = Future()
        self.left -= 1
        if self.left < 0:
            future.set_exception(BrokenProcessPool("killed"))
        else:
            future.set_result(task(*words, **more))
        return future


def test_a_worker_that_dies_is_told_and_what_is_done_is_kept():
    jobs = ((name, read_job(path)) for name, path in JOBS)
    found = []
    with pytest.raises(CableRouteError, match="a worker died"):
        found.extend(study_many(jobs, executor=Dying(), n=64))
    assert len(found) == 2


def test_the_worst_comes_first():
    ordered = worst_first(
        [
            FleetRow("b", "x", chance=0.1, pull=5.0),
            FleetRow("a", "x", chance=0.4, pull=2.0),
            FleetRow("c", "x", error="cannot"),
            FleetRow("a", "y", chance=0.1, pull=9.0),
        ]
    )
    assert [(row.source, row.cable) for row in ordered] == [
        ("c", "x"),
        ("a", "x"),
        ("a", "y"),
        ("b", "x"),
    ]
