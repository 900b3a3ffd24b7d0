"""The fleet of ``cableroute study FILES...``: read, hand out, write rows as they come."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path
from time import monotonic
from typing import Any

from cableroute.cli.console import faults_of
from cableroute.cli.job_options import Reader, only
from cableroute.errors import CableRouteError
from cableroute.measure.job import Job
from cableroute.output.fleet_rows import RowFile, mark_of
from cableroute.output.telling import Announce
from cableroute.study.many import FleetRow, study_many, worst_first


@dataclass(slots=True)
class Fleet:
    """What is asked of a fleet, and what is found of it.

    Parameters
    ----------
    files : sequence of Path
        The files.
    read : Reader
        How they are read.
    cable : str or None
        Only cables of this name.
    n, seed : int
        Machines drawn of each, and with what.
    rows : RowFile or None
        Where rows are written.
    """

    files: Sequence[Path]
    read: Reader
    cable: str | None
    n: int
    seed: int
    rows: RowFile | None
    found: list[FleetRow] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    _marks: dict[str, str] = field(default_factory=dict)

    def judge(self, executor: Executor | None, announce: Announce) -> list[FleetRow]:
        """Work out every row that is not written yet; return them all, worst first."""
        began = monotonic()
        rows = study_many(self._jobs(announce), executor=executor, n=self.n, seed=self.seed)
        for new, row in enumerate(rows, start=1):
            self._keep(row)
            announce(_progress_words(self, new, monotonic() - began))
        if self.rows is not None:
            self.rows.finish()
        return worst_first(self.found)

    def _keep(self, row: FleetRow) -> None:
        self.found.append(row)
        if row.error:
            self.faults.append(f"{row.source}: {row.error}")
        if self.rows is not None:
            self.rows.add(row, self._marks[row.source])

    def _jobs(self, announce: Announce) -> Iterator[tuple[str, Job]]:
        """Read file after file, leaving out the cables whose rows are there."""
        for file in self.files:
            name = str(file)
            announce(f"reading {name}")
            try:
                job = only(self.read(file), self.cable)
                self._marks[name] = mark_of(file.read_bytes(), self._asked())
            except (CableRouteError, OSError) as error:
                self._refuse(name, error)
                continue
            left = tuple(each for each in job.cables if not self._is_done(name, each.name))
            if left:
                yield name, _with_cables(job, left)

    def _refuse(self, name: str, error: Exception) -> None:
        """Keep a file that cannot be read as a row; it is tried again the next time."""
        told = faults_of(error)
        self.faults += [fault if name in fault else f"{name}: {fault}" for fault in told]
        self.found.append(FleetRow(name, "", error=" ".join(told)))

    def _is_done(self, name: str, cable: str) -> bool:
        known = self.rows.done(name, cable, self._marks[name]) if self.rows else None
        if known is not None:
            self.found.append(known)
        return known is not None

    def _asked(self) -> dict[str, Any]:
        given = {key: str(value) for key, value in self.read.given.items() if value}
        return {"n": self.n, "seed": self.seed, **given}


def _with_cables(job: Job, cables: tuple[Any, ...]) -> Job:
    from dataclasses import replace

    return replace(job, cables=cables, linkages=(), selectors=())


def _progress_words(fleet: Fleet, done: int, seconds: float) -> str:
    """Say how many are done, and how long the files that are left take at this rate."""
    read = len(fleet.read.inputs)
    left = seconds / max(read, 1) * (len(fleet.files) - read)
    return f"{done} cables done, file {read} of {len(fleet.files)}, about {left:.0f} s left"


@contextmanager
def workers(count: int) -> Iterator[Executor | None]:
    """Give processes to work with, or none for one; those not begun are dropped when it ends."""
    if count == 1:
        yield None
        return
    pool = ProcessPoolExecutor(count, mp_context=get_context("spawn"))
    try:
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)
