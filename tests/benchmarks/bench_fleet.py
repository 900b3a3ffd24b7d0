"""Throughput of a fleet: one process, two, and two workers of dask, by turns in one run.

python tests/benchmarks/bench_fleet.py
"""

from __future__ import annotations

import os
import platform
import sys
import warnings
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from time import perf_counter, process_time

from cableroute import Job, read_job, study_many

FILES = ("grass_track_buggy", "recumbent_trike", "workboat", "survey_coordinates")
COPIES, RUNS = 4, 3


def main() -> None:
    """Print the table."""
    jobs = [(name, read_job(f"data/{name}.toml")) for name in FILES] * COPIES
    cables = sum(len(job.cables) for _, job in jobs)
    say(f"{cables} cables of 2048 machines; {os.cpu_count()} processors, {platform.machine()}")
    say(f"Python {platform.python_version()}; least of {RUNS} runs, workers started before")
    with processes() as two, dask() as cluster:
        ways: dict[str, Executor | None] = {"serial": None, "two processes": two, "dask": cluster}
        for executor in ways.values():
            rows(jobs[:4], executor)  # imports
        best = dict.fromkeys(ways, (float("inf"), float("inf")))
        for _ in range(RUNS):  # by turns, so that a busy machine is busy for all
            for name, executor in ways.items():
                found = clocked(lambda: rows(jobs, executor))  # noqa: B023
                best[name] = min(best[name][0], found[0]), min(best[name][1], found[1])
    for name, (seconds, cpu) in best.items():
        rate, ratio, own = cables / seconds, best["serial"][0] / seconds, 1e3 * cpu / cables
        say(
            f"{name:15} {rate:5.2f} cables a second  {ratio:.2f}  {own:5.1f} ms CPU of this process a cable"
        )


def rows(jobs: list[tuple[str, Job]], executor: Executor | None) -> None:
    """Work out every row."""
    list(study_many(jobs, executor=executor))


@contextmanager
def processes() -> Iterator[Executor]:
    """Give two processes."""
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        yield pool


@contextmanager
def dask() -> Iterator[Executor]:
    """Give two workers of dask, each a process."""
    import distributed

    warnings.simplefilter("ignore")  # the cluster's own
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
        client.get_executor(pure=False) as executor,
    ):
        yield executor


def clocked(work: Callable[[], None]) -> tuple[float, float]:
    """Return how long some work takes, and how much of it this process computes [s]."""
    began, cpu = perf_counter(), process_time()
    work()
    return perf_counter() - began, process_time() - cpu


def say(line: str) -> None:
    """Print a line."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
