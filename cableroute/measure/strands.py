"""Pieces of a drawing put together to runs: lines and arcs, end to end."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import combinations, product
from math import ceil, floor
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import RouteFileError
from cableroute.frozen import frozen

#: Ends nearer than this are one [mm].
JOINED = 0.1
#: No corner stands for more than this of an arc, or it would lie far off [rad].
_MOST_TURN = np.radians(100.0)
#: Runs whose ends are measured against each other, for a message.
_MOST_MEASURED = 50
#: What helps besides where a layer holds more than one run.
_ELSEWHERE = ", or put it on a layer of its own"
#: A joint whose legs differ by less than this in direction is no corner [-].
_STRAIGHT_ON = 1e-4


@frozen(eq=False)
class Strand:
    """A drawn piece as corner points, each with the radius of its arc, or nan for none.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Two ends, and the corners between them [mm].
    radii : ndarray, shape (n,)
        Radius of the arc that touches both legs of each corner [mm].
    """

    points: Array
    radii: Array

    @property
    def turned(self) -> Strand:
        """The same from the other end."""
        return Strand(self.points[::-1], self.radii[::-1])


def straight(points: Any) -> Strand:
    """Return a line through points.

    Parameters
    ----------
    points : array-like, shape (n, 3)
        Its corners [mm].

    Returns
    -------
    Strand
        Without arcs.
    """
    given = np.asarray(points, dtype=np.float64).reshape(-1, 3)
    return Strand(given, np.full(len(given), np.nan))


def arc(*, centre: Array, start: Array, across: Array, turn: float) -> Strand:
    """Return an arc of a circle, as the corners that it rounds.

    Parameters
    ----------
    centre : ndarray, shape (3,)
        Its centre [mm].
    start : ndarray, shape (3,)
        From the centre to where it begins [mm].
    across : ndarray, shape (3,)
        The same a quarter turn on [mm].
    turn : float
        How far it goes round [rad].

    Returns
    -------
    Strand
        Its ends, and corners of at most 100 degrees each.
    """
    count = max(1, ceil(turn / _MOST_TURN))
    half = turn / count / 2.0
    angles = np.concatenate(([0.0], half * np.arange(1, 2 * count, 2), [turn]))
    reach = np.where((angles == 0.0) | (angles == turn), 1.0, 1.0 / np.cos(half))[:, None]
    points = centre + reach * (np.cos(angles)[:, None] * start + np.sin(angles)[:, None] * across)
    radii = np.full(len(angles), float(np.linalg.norm(start)))
    radii[[0, -1]] = np.nan
    return Strand(points, radii)


def once(strands: Sequence[Strand]) -> list[Strand]:
    """Leave out what is drawn twice: a piece that lies on an earlier one, from either end.

    Parameters
    ----------
    strands : sequence of Strand
        Pieces in any order.

    Returns
    -------
    list of Strand
        Those that differ, in their order.
    """
    kept: dict[frozenset[int], list[Strand]] = defaultdict(list)
    found = []
    for strand, ends in zip(strands, _clusters(strands), strict=True):
        alike = kept[frozenset(ends)]
        if not any(_same(strand, other) for other in alike):
            alike.append(strand)
            found.append(strand)
    return found


def _same(one: Strand, other: Strand) -> bool:
    return len(one.points) == len(other.points) and any(
        float(np.abs(one.points - each.points).max()) <= JOINED for each in (other, other.turned)
    )


def join(strands: Sequence[Strand], *, where: str) -> Strand:
    """Put the pieces of one run together, from the end that was drawn first.

    Parameters
    ----------
    strands : sequence of Strand
        Pieces in any order, each from either end, none of them twice.
    where : str
        What they are of, for messages.

    Returns
    -------
    Strand
        The whole run; joints that are no corners are left out.

    Raises
    ------
    RouteFileError
        For several runs, for a run that branches or is closed.
    """
    # a piece no longer than the tolerance has both ends in one place, and is no branch there
    strands = [each for each in strands if np.ptp(each.points, axis=0).max() > JOINED] or strands
    ends = _clusters(strands)
    at: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for piece, pair in enumerate(ends):
        for side, cluster in enumerate(pair):
            at[cluster].append((piece, side))
    for here in at.values():
        if len(here) > 2:
            piece, side = here[0]
            told = f"expected one run, got a branch at {place_of(strands[piece].points[-side])}"
            raise RouteFileError([f"{where}: {told}; erase what is no part of the run{_ELSEWHERE}"])
    runs = list(_walks(strands, ends, at))
    if not runs:
        told = "expected a run with two ends, got a closed one; open it where the cable begins"
        raise RouteFileError([f"{where}: {told}"])
    if len(runs) > 1 or len(runs[0]) < len(strands):
        raise RouteFileError([f"{where}: {_several(runs)}"])
    return _joined(runs[0])


def _clusters(strands: Sequence[Strand]) -> list[tuple[int, int]]:
    """Give every end the number of its place; ends within the tolerance share one."""
    cells: dict[tuple[int, ...], list[tuple[Array, int]]] = defaultdict(list)
    count = 0

    def number(point: Array) -> int:
        nonlocal count
        cell = tuple(floor(x / JOINED) for x in point.tolist())
        for step in product((-1, 0, 1), repeat=3):
            for other, known in cells.get(
                tuple(a + b for a, b in zip(cell, step, strict=True)), ()
            ):
                if float(np.linalg.norm(other - point)) <= JOINED:
                    return known
        cells[cell].append((point, count))
        count += 1
        return count - 1

    return [(number(each.points[0]), number(each.points[-1])) for each in strands]


def _walks(
    strands: Sequence[Strand],
    ends: Sequence[tuple[int, int]],
    at: dict[int, list[tuple[int, int]]],
) -> Iterator[list[Strand]]:
    """Yield each open run as its pieces in order, begun at the piece drawn first."""
    done: set[int] = set()
    # the hand end is rather where a piece begins than where one ends
    for side, first in product((0, 1), range(len(ends))):
        if first in done or len(at[ends[first][side]]) != 1:
            continue
        run = []
        here: tuple[int, int] | None = (first, side)
        while here is not None:
            piece, begin = here
            done.add(piece)
            run.append(strands[piece].turned if begin else strands[piece])
            onward = (each for each in at[ends[piece][1 - begin]] if each[0] not in done)
            here = next(onward, None)
        yield run


def _several(runs: Sequence[Sequence[Strand]]) -> str:
    told = "; ".join(
        f"from {place_of(run[0].points[0])} to {place_of(run[-1].points[-1])}" for run in runs[:4]
    )
    more = "; ..." if len(runs) > 4 else ""
    if not runs[1:]:
        return f"expected one run, got one {told}, and closed ones; erase these{_ELSEWHERE}"
    return (
        f"expected one run, got {len(runs)}, {told}{more}. Join their ends, {_apart(runs)} apart where "
        "they are nearest, or put each on a layer of its own"
    )


def _apart(runs: Sequence[Sequence[Strand]]) -> str:
    """Word the least distance between ends of different runs."""
    ends = [np.array([run[0].points[0], run[-1].points[-1]]) for run in runs[:_MOST_MEASURED]]
    gaps = (
        float(np.linalg.norm(one[:, None] - other[None], axis=-1).min())
        for one, other in combinations(ends, 2)
    )
    return f"{min(gaps):.3g} mm"


def place_of(point: Array) -> str:
    """Word where a point is."""
    return "(" + ", ".join(f"{round(x, 3) + 0.0:.6g}" for x in point.tolist()) + ") mm"


def _joined(run: Sequence[Strand]) -> Strand:
    points = np.concatenate([each.points[bool(i) :] for i, each in enumerate(run)])
    radii = np.concatenate([each.radii[bool(i) :] for i, each in enumerate(run)])
    steps = np.diff(points, axis=0)
    legs = np.linalg.norm(steps, axis=1)
    ways = steps / np.where(legs > 0.0, legs, 1.0)[:, None]
    bent = np.linalg.norm(np.diff(ways, axis=0), axis=1) > _STRAIGHT_ON
    arcs = np.isfinite(radii)
    by_arc = arcs[:-2] | arcs[2:]
    kept = np.concatenate(([True], arcs[1:-1] | bent | ~by_arc, [True]))
    return Strand(points[kept], radii[kept])
