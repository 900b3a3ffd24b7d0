"""The study of a fleet: a row for each cable, as it is done, by any executor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait

import numpy as np

from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.measure.job import Job
from cableroute.study.run import Study, study
from cableroute.verdict.limits import Limits

#: Machines drawn of each cable of a fleet, if not said otherwise [-].
FLEET_SAMPLES = 2**11
#: Tasks handed out ahead of those that are done, so that a fleet without end takes no memory.
AHEAD = 64


@frozen
class FleetRow:
    """What a study found of one cable of a fleet.

    Parameters
    ----------
    source : str
        The file, or what the job is called.
    cable : str
        The cable; empty where a whole file could not be read.
    chance : float or None
        Chance that any rule fails [-].
    rule : str
        The likeliest to fail; empty if none does.
    pull, push, length : float or None
        Hand forces in 95 of 100 at most [N], length to order in 95 of 100 at most [mm].
    stock : float or None
        The shortest stock length that is long enough in 95 of 100 [mm].
    error : str
        Why there are no figures; empty where there are.
    """

    source: str
    cable: str
    chance: float | None = None
    rule: str = ""
    pull: float | None = None
    push: float | None = None
    length: float | None = None
    stock: float | None = None
    error: str = ""


def study_many(
    jobs: Iterable[tuple[str, Job]],
    *,
    executor: Executor | None = None,
    n: int = FLEET_SAMPLES,
    seed: int = 0,
    limits: Limits | None = None,
) -> Iterator[FleetRow]:
    """Yield a row for every cable of many jobs, each as soon as it is done.

    Parameters
    ----------
    jobs : iterable of (str, Job)
        Names and jobs; taken as they are needed, so that it may be a generator.
    executor : concurrent.futures.Executor, optional
        Who works the rows out; this process, one after the other, if not given.
    n : int
        Machines drawn of each cable; rounded up to a power of two [-].
    seed : int
        The same seed gives the same rows, whoever works them out [-].
    limits : Limits, optional
        Limits of the rules.

    Yields
    ------
    FleetRow
        In the order in which they are done. A cable that cannot be studied has its error in it.

    Raises
    ------
    CableRouteError
        If a worker dies; what was yielded stays true.
    """
    tasks = ((source, job, each.name) for source, job in jobs for each in job.cables)
    if executor is None:
        for source, job, cable in tasks:
            yield fleet_row(source, job, cable, n, seed, limits)
        return
    pending: set[Future[FleetRow]] = set()
    try:
        for source, job, cable in tasks:
            pending.add(executor.submit(fleet_row, source, job, cable, n, seed, limits))
            if len(pending) >= AHEAD:
                yield from _done(pending)
        while pending:
            yield from _done(pending)
    except BrokenExecutor as error:
        raise CableRouteError(
            "a worker died, for want of memory perhaps; what was finished is kept: do it once more to "
            "go on, with fewer workers",
            argument="jobs",
        ) from error
    finally:
        for each in pending:
            each.cancel()


def _done(pending: set[Future[FleetRow]]) -> Iterator[FleetRow]:
    """Wait for one task at least, and yield the rows of those that are done."""
    done, _ = wait(pending, return_when=FIRST_COMPLETED)
    pending -= done
    # those that are well first, so that none is lost to one that is not
    for each in sorted(done, key=lambda each: each.exception() is not None):
        yield each.result()


def fleet_row(
    source: str, job: Job, cable: str, n: int, seed: int, limits: Limits | None = None
) -> FleetRow:
    """Study one cable and keep what a fleet is told of it."""
    try:
        return _row(source, study(job, cable=cable, n=n, seed=seed, limits=limits, sensitive=False))
    except CableRouteError as error:
        return FleetRow(source, cable, error=str(error))


def _row(source: str, found: Study) -> FleetRow:
    whole, *rules = found.fails
    most = {each.key: each.p95 for each in found.quantiles}
    sure = (each.length for each in found.stock if each.reaches >= 0.95)
    return FleetRow(
        source,
        found.name,
        chance=whole.chance,
        rule=rules[0].code if rules and rules[0].chance > 0.0 else "",
        pull=most["pull"],
        push=most.get("push"),
        length=most["length"],
        stock=next(sure, None),
    )


def worst_first(rows: Iterable[FleetRow]) -> list[FleetRow]:
    """Order rows: what could not be studied, then the likeliest to fail, then the hardest to pull."""

    def gravity(row: FleetRow) -> tuple[float, float, str, str]:
        chance = np.inf if row.chance is None else row.chance
        return -chance, -(row.pull or 0.0), row.source, row.cable

    return sorted(rows, key=gravity)
