"""Lays that several cables ask for, one after the other, worked out in batches of those alike.

Who needs lays on the way to a result is a generator: it yields what it wants to know and is sent the
answer. One runs alone, many run side by side and are answered together.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from functools import lru_cache
from typing import TypeVar

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.route._lay_start import turns_gently
from cableroute.route.lay_through import lay_through
from cableroute.route.lays import Lays

Result = TypeVar("Result")
#: Lays of single cables that are remembered [-].
REMEMBERED = 64
#: Spans that are worked out at once, for memory's sake.
MOST_SPANS = 4096
#: Of fewer that are alike each is asked alone, so that the fifth digit of a cable does not hang on its
#: neighbours: a batch is told in the polynomials that its sharpest member needs.
FEW = 8


@frozen(eq=False)
class Wanted:
    """One question: what :func:`lay_through` is asked, of one cable.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        The points that it goes through [mm].
    headings : ndarray, shape (n, 3)
        Its directions there, nan where it is free [-].
    length : float or None
        Its length; None for that at which it lies free [mm].
    free : Lays or None
        How it lies free, where that is known; of use to one that asks alone.
    """

    points: Array
    headings: Array
    length: float | None = None
    free: Lays | None = None

    @property
    def kind(self) -> tuple[int, bool, bool]:
        """What those that go in one batch have in common."""
        gently = turns_gently(self.points, self.headings)
        return len(self.points), self.length is None, gently


#: On the way to a result, asking for lays.
Asking = Generator[Wanted, Lays, Result]


def alone(task: Asking[Result]) -> Result:
    """Run one that asks for lays, and return its result.

    Parameters
    ----------
    task : generator
        What asks for lays on the way to a result.
    """
    return together([task])[0]


def together(tasks: Sequence[Asking[Result]]) -> list[Result]:
    """Run many that ask for lays side by side, and return their results in order.

    Parameters
    ----------
    tasks : sequence of generator
        What ask for lays on the way to a result each.
    """
    results: dict[int, Result] = {}
    asked: dict[int, Wanted] = {}

    def go_on(i: int, answer: Lays | GeometryError | None) -> None:
        try:
            if isinstance(answer, GeometryError):
                asked[i] = tasks[i].throw(answer)
            else:
                asked[i] = next(tasks[i]) if answer is None else tasks[i].send(answer)
        except StopIteration as done:
            results[i] = done.value

    for i in range(len(tasks)):
        go_on(i, None)
    while asked:
        now, asked = asked, {}
        for i, answer in sorted(_answers(now).items()):
            go_on(i, answer)
    return [results[i] for i in range(len(tasks))]


def _answers(asked: dict[int, Wanted]) -> dict[int, Lays | GeometryError]:
    groups: dict[tuple[int, bool, bool], list[int]] = {}
    for i, wanted in asked.items():
        groups.setdefault(wanted.kind if len(asked) >= FEW else (0, True, True), []).append(i)
    found: dict[int, Lays | GeometryError] = {}
    for (points, *_), numbers in groups.items():
        most = max(MOST_SPANS // max(points, 1), 1) if len(numbers) >= FEW else 1
        for first in range(0, len(numbers), most):
            some = numbers[first : first + most]
            found |= zip(some, _lays([asked[i] for i in some]), strict=True)
    return found


def _lays(wanted: Sequence[Wanted]) -> list[Lays | GeometryError]:
    """Return the lays of one batch; where that is refused, each alone or why it is."""
    try:
        if len(wanted) == 1:
            (one,) = wanted
            points, ways = (np.asarray(each, np.float64) for each in (one.points, one.headings))
            return [_laid(points.tobytes(), ways.tobytes(), one.length, one.free is not None)]
        lays = lay_through(
            np.stack([each.points for each in wanted]),
            headings=np.stack([each.headings for each in wanted]),
            length=None
            if wanted[0].length is None
            else np.array([each.length for each in wanted], dtype=np.float64),
        )
    except GeometryError as error:
        return (
            [error] if len(wanted) == 1 else [found for each in wanted for found in _lays([each])]
        )
    return [lays.one(i) for i in range(len(wanted))]


@lru_cache(maxsize=REMEMBERED)
def _laid(points: bytes, headings: bytes, length: float | None, by_free: bool) -> Lays:
    """Lay one cable; one asked for lately is not laid again, so a load or a name costs no lay."""
    free = _laid(points, headings, None, False) if by_free else None
    places, ways = (np.frombuffer(each).reshape(-1, 3) for each in (points, headings))
    return lay_through(places, headings=ways, length=length, free=free)
