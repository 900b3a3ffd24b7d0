"""One or two readings over a grid, and every machine of it judged as `check` would."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor, Executor
from dataclasses import field
from functools import partial
from itertools import product
from math import isfinite
from typing import Any

import numpy as np

from cableroute.assess import assess
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.hardware.family import Family
from cableroute.measure.job import Job
from cableroute.measure.reading import job_of
from cableroute.measure.wording import Words
from cableroute.study.readings_by_key import Path, numbers_of, path_of, plain_data, put, scale_of
from cableroute.units import plain_number
from cableroute.verdict.check import Check
from cableroute.verdict.limits import Limits

#: Which verdict is better.
RANKS = {"pass": 2, "marginal": 1, "fail": 0, "none": -1}
#: Grid points tried without being asked twice [-].
MOST = 10**6
_FORM = "expected KEY=LOW:HIGH:COUNT, as cable.shift.points.3.z=300:500:21"


@frozen
class Axis:
    """A number that is swept.

    Parameters
    ----------
    key : str
        Its key, as ``cable.shift.points.3.z``.
    values : tuple of float
        What it is tried at [unit of the file].
    """

    key: str
    values: tuple[float, ...]


@frozen
class Margin:
    """How far a figure is from its limit.

    Parameters
    ----------
    code, name, unit : str
        Which check.
    value, limit, margin : float
        Below 0 the limit is passed [``unit``].
    """

    code: str
    name: str
    unit: str
    value: float
    limit: float
    margin: float


@frozen
class Tried:
    """One machine of the grid.

    Parameters
    ----------
    at : tuple of float
        Value of each axis [unit of the file].
    verdict : str
        ``pass``, ``marginal``, ``fail``, or ``none`` where no machine can be made.
    pull, push : float or None
        Hand forces at high friction [N].
    length : float or None
        Conduit drawn tight [mm].
    wrap : float or None
        [deg].
    margins : tuple of Margin
        What is left to each limit.
    findings : tuple of str
        Codes of what fails or is marginal.
    error : str
        Why there is no machine.
    """

    at: tuple[float, ...]
    verdict: str
    pull: float | None = None
    push: float | None = None
    length: float | None = None
    wrap: float | None = None
    margins: tuple[Margin, ...] = ()
    findings: tuple[str, ...] = ()
    error: str = ""


@frozen
class Sweep:
    """A grid of machines, judged.

    Parameters
    ----------
    cable : str
        The cable that forces are told of.
    axes : tuple of Axis
        One or two.
    tried : tuple of Tried
        Each machine, the last axis fastest.
    words : Words
        How lengths and forces are told.
    """

    cable: str
    axes: tuple[Axis, ...]
    tried: tuple[Tried, ...]
    words: Words = field(default_factory=Words)

    @property
    def best(self) -> Tried | None:
        """The one of best verdict and then the least pull; None where all fail."""
        feasible = [each for each in self.tried if RANKS[each.verdict] > 0]
        if not feasible:
            return None
        return min(feasible, key=lambda each: (-RANKS[each.verdict], each.pull or 0.0))


def parse_axis(text: str) -> Axis:
    """Read ``KEY=LOW:HIGH:COUNT``."""
    key, equals, rest = text.rpartition("=")
    parts = [plain_number(part.strip()) for part in rest.split(":")]
    numbers = [each for each in parts if each is not None and isfinite(each)]
    if not (key and equals and len(parts) == len(numbers) == 3):
        raise CableRouteError(f"over: {_FORM}, got {text!r}", argument="over")
    low, high, count = numbers
    if count != int(count) or count < 2 or low >= high:
        raise CableRouteError(
            f"over: expected LOW below HIGH and a COUNT of 2 or more, got {rest!r}", argument="over"
        )
    return Axis(key.strip(), tuple(np.linspace(low, high, int(count)).tolist()))


def sweep(
    job: Job,
    over: Sequence[Axis],
    *,
    cable: str | None = None,
    library: Mapping[str, Family] | None = None,
    limits: Limits | None = None,
    executor: Executor | None = None,
    told: Callable[[int, int], None] | None = None,
) -> Sweep:
    """Judge a machine at every point of a grid of one or two of its numbers.

    Parameters
    ----------
    job : Job
        A machine read from a route file.
    over : sequence of Axis
        One or two numbers, and what they are tried at.
    cable : str, optional
        Which cable is judged; that of the first key if not given, else the first.
    library : mapping of str to Family, optional
        Cable families by name; the shipped ones if not given.
    limits : Limits, optional
        Limits of the rules.
    executor : concurrent.futures.Executor, optional
        Who judges; this process if not given.
    told : callable, optional
        Called with how many are done, of how many.

    Returns
    -------
    Sweep
        Every machine, and the best.

    Raises
    ------
    CableRouteError
        For a key that leads nowhere, more than two axes, or a job that was not read from a file.
    """
    if job.as_read is None:
        raise CableRouteError("a sweep needs a job that was read from a file")
    if not 1 <= len(over) <= 2:
        fault = f"over: expected one or two numbers, got {len(over)}"
        raise CableRouteError(fault, argument="over")
    data = plain_data(job.as_read)
    known = numbers_of(data)
    paths = [path_of(axis.key, known) for axis in over]
    if len(set(paths)) < len(paths):
        fault = f"over: expected two different numbers, got {over[0].key} twice"
        raise CableRouteError(fault, argument="over")
    name = _which(job, over[0].key, cable)
    scales = [scale_of(axis.key, job.as_read) for axis in over]
    judge = partial(_judged, data, paths, scales, name, library, limits)
    grid = list(product(*(axis.values for axis in over)))
    tried = []
    for each in _each(judge, grid, executor):
        tried.append(each)
        if told is not None:
            told(len(tried), len(grid))
    return Sweep(name, tuple(over), tuple(tried), job.words)


def _which(job: Job, key: str, cable: str | None) -> str:
    names = [each.name for each in job.cables]
    if cable is not None and cable not in names:
        raise CableRouteError(f"no cable {cable!r}; known: {', '.join(names)}")
    whose = [name for name in names if key.startswith(f"cable.{name}.")]
    return cable or max(whose, key=len, default=names[0])


def _each(
    judge: Callable[[tuple[float, ...]], Tried],
    grid: Iterable[tuple[float, ...]],
    executor: Executor | None,
) -> Iterator[Tried]:
    if executor is None:
        yield from map(judge, grid)
        return
    try:
        yield from executor.map(judge, grid)
    except BrokenExecutor as error:
        raise CableRouteError(
            "a worker died, for want of memory perhaps; do it once more with fewer workers",
            argument="jobs",
        ) from error


def _judged(
    data: Mapping[str, Any],
    paths: Sequence[Path],
    scales: Sequence[float],
    cable: str,
    library: Mapping[str, Family] | None,
    limits: Limits | None,
    at: tuple[float, ...],
) -> Tried:
    """Read the file with these numbers in it, and judge its one cable."""
    numbers = [scale * value for scale, value in zip(scales, at, strict=True)]
    changed = put(data, dict(zip(paths, numbers, strict=True)))
    changed["cable"] = [each for each in changed["cable"] if each["name"] == cable]
    try:
        found = assess(job_of(changed, place=_place, library=library), limits=limits)
    except CableRouteError as error:
        return Tried(at, "none", error=str(error))
    (one,) = found.cables
    figures = one.figures
    return Tried(
        at,
        one.verdict,
        pull=figures.pull.inputs[1],
        push=figures.push.through.inputs[1] if figures.push else None,
        length=figures.order.conduit,
        wrap=float(np.degrees(figures.wraps[1])),
        margins=tuple(_margin(each) for each in one.checks if _is_held(each)),
        findings=tuple(each.code for each in one.findings if each.level in ("fail", "marginal")),
    )


def _place(path: tuple[Any, ...]) -> str:
    return ", ".join(map(str, path))


def _is_held(check: Check) -> bool:
    limits = (check.marginal, check.failing)
    return check.margin is not None and isfinite(check.margin) and limits != (None, None)


def _margin(check: Check) -> Margin:
    assert check.value is not None
    assert check.margin is not None
    limit = check.limit if check.limit is not None else check.value
    return Margin(check.code, check.name, check.unit, check.value, limit, check.margin)
