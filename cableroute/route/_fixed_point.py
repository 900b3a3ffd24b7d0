"""A map put back into itself until it moves nothing, many at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from cableroute.arrays import Array, BoolArray, IntArray

#: Rounds before a run counts as not settling; of a run of very many unknowns as many as make so much
#: work in all, and at least the third.
ROUNDS, MOST_WORK, LEAST_ROUNDS = 80, 3_000_000, 30
#: A run that still moves by more than this many times what counts as none is given up after as many
#: rounds as this.
LOST, EARLY = 1e9, 24
#: Earlier rounds that the next one is drawn from.
DEPTH = 3

#: Where places of shape (k, u) are sent, those of the runs with these numbers.
Step = Callable[[Array, IntArray], Array]


def fixed_point(step: Step, start: Array, *, near: Array) -> tuple[Array, BoolArray]:
    """Return the places, shape (k, u), that ``step`` leaves where they are, and which were found.

    Each round but the first is drawn from the last few (Anderson, J. ACM 12 (1965) 547, from
    memory); one that got worse is taken plain. ``near`` is the size of step that counts as none.
    """
    found, settled = start.copy(), np.zeros(len(start), dtype=bool)
    rows, x = np.arange(len(start)), start
    memory = _Memory.empty(*start.shape)
    for count in range(rounds_of(start.shape[-1])):
        gap = step(x, rows) - x
        size = np.abs(gap).max(-1, initial=0.0)
        done = settles = size <= near[rows]
        if count == EARLY:
            done = settles | (size > LOST * near[rows])
        if done.any():
            found[rows[done]] = (x + gap)[done]
            settled[rows[settles]] = True
            rows, x, gap, size = rows[~done], x[~done], gap[~done], size[~done]
            memory = memory.of(~done)
        if not len(rows):
            break
        x = memory.next(x, gap, size)
    found[rows] = x
    return found, settled


def rounds_of(unknowns: int) -> int:
    """Return how many rounds a run of so many unknowns is given."""
    return max(min(ROUNDS, MOST_WORK // max(unknowns, 1)), LEAST_ROUNDS)


@dataclass(slots=True, eq=False)
class _Memory:
    """The last few rounds: steps, changes of the gap, and the last place, gap and size of it."""

    steps: Array
    changes: Array
    x: Array
    gap: Array
    size: Array
    slot: int = -1

    @classmethod
    def empty(cls, runs: int, unknowns: int) -> _Memory:
        history = np.zeros((2, runs, DEPTH, unknowns))
        x, gap = np.zeros((2, runs, unknowns))
        return cls(history[0], history[1], x, gap, np.full(runs, np.inf))

    def of(self, rows: BoolArray) -> _Memory:
        return _Memory(
            self.steps[rows],
            self.changes[rows],
            self.x[rows],
            self.gap[rows],
            self.size[rows],
            self.slot,
        )

    def next(self, x: Array, gap: Array, size: Array) -> Array:
        """Return the place at which the gap would close if it changed as it has of late."""
        if self.slot >= 0:
            self.steps[:, self.slot % DEPTH] = x - self.x
            self.changes[:, self.slot % DEPTH] = gap - self.gap
            worse = size > self.size
            self.steps[worse] = self.changes[worse] = 0.0
        self.x, self.gap, self.size, self.slot = x, gap, size, self.slot + 1
        gram = self.changes @ self.changes.swapaxes(-1, -2)
        trace = np.trace(gram, axis1=-2, axis2=-1)[:, None, None]
        gram += (1e-14 * trace + 1e-280) * np.eye(DEPTH)
        weights = np.linalg.solve(gram, self.changes @ gap[..., None])
        ahead = weights.swapaxes(-1, -2)
        back: Array = (ahead @ self.steps + ahead @ self.changes)[:, 0]
        return x + gap - back
