"""What is kept of machines as they come: the first of them whole, of all of them what is counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil, sqrt

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen

#: Machines kept whole; of the others only chances are counted and quantiles closed in on, so that
#: memory stays small whatever n [-].
KEPT = 2**17
#: Quantiles that are told [-].
SHARES = (0.05, 0.5, 0.95)
#: Standard deviations by which the rank of a quantile among those kept may be off.
_SPREAD = 6.0


@frozen(eq=False)
class Rows:
    """Machines, a row each.

    Parameters
    ----------
    shares : ndarray, shape (k, inputs)
        The draw.
    figures : mapping of str to ndarray, shape (k,)
        Figures that are told, by key.
    margins : mapping of str to ndarray, shape (k,)
        What each has in hand by rule.
    """

    shares: Array
    figures: Mapping[str, Array]
    margins: Mapping[str, Array]

    def part(self, rows: slice) -> Rows:
        """Return some of them."""
        figures = {key: values[rows] for key, values in self.figures.items()}
        margins = {key: values[rows] for key, values in self.margins.items()}
        return Rows(self.shares[rows], figures, margins)


def joined(rows: Sequence[Rows]) -> Rows:
    """Lay blocks of rows end to end."""
    first = rows[0]
    return Rows(
        np.concatenate([each.shares for each in rows]),
        {key: np.concatenate([each.figures[key] for each in rows]) for key in first.figures},
        {key: np.concatenate([each.margins[key] for each in rows]) for key in first.margins},
    )


class Tally:
    """Counts of machines, block after block.

    Parameters
    ----------
    lengths : sequence of float
        Stock lengths that are asked about [mm].
    """

    def __init__(self, lengths: Sequence[float]) -> None:
        self.n = self.fail_any = 0
        self.fails: dict[str, int] = {}
        self.long_enough = {length: np.zeros(2, dtype=int) for length in lengths}
        self._kept: list[Rows] = []
        self._closing: dict[str, _Closing] = {}

    def add(self, rows: Rows) -> None:
        """Count one more block."""
        lost = {code: margin < 0.0 for code, margin in rows.margins.items()}
        for code, hits in lost.items():
            self.fails[code] = self.fails.get(code, 0) + int(hits.sum())
        self.fail_any += int(np.logical_or.reduce(list(lost.values())).sum())
        for length, counts in self.long_enough.items():
            there = length + rows.figures["stock"]
            counts += [int((there >= rows.figures[key]).sum()) for key in ("least", "length")]
        if self.n < KEPT:
            self._kept.append(rows)
        else:
            self._close_in(rows)
        self.n += len(rows.shares)

    def _close_in(self, rows: Rows) -> None:
        if not self._closing:
            self._closing = {key: _Closing(values) for key, values in self.first.figures.items()}
        for key, values in rows.figures.items():
            self._closing[key].add(values)

    @property
    def first(self) -> Rows:
        """The machines that are kept whole."""
        if len(self._kept) > 1:
            self._kept = [joined(self._kept)]
        return self._kept[0]

    def quantiles(self, key: str) -> list[float]:
        """Return the quantiles of a figure over all machines: values that were found."""
        if self._closing:
            return self._closing[key].ends(self.n)
        values = self.first.figures[key]
        found: list[float] = np.quantile(values, SHARES, method="inverted_cdf").tolist()
        return found


class _Closing:
    """Quantiles of more values than are kept: counted below, and kept only close to them."""

    def __init__(self, kept: Array) -> None:
        n, ordered = len(kept), np.sort(kept)
        ranks = [
            (share * n + off * _SPREAD * sqrt(n * share * (1.0 - share)))
            for share in SHARES
            for off in (-1.0, 1.0)
        ]
        ends = ordered[np.clip(np.rint(ranks).astype(int), 0, n - 1)].reshape(-1, 2)
        self._ends, self._below = ends, np.zeros(len(SHARES), dtype=int)
        self._close: list[list[Array]] = [[] for _ in SHARES]
        self.add(kept)

    def add(self, values: Array) -> None:
        for i, (low, high) in enumerate(self._ends):
            self._below[i] += int((values < low).sum())
            self._close[i].append(values[(values >= low) & (values <= high)])

    def ends(self, n: int) -> list[float]:
        found = []
        for share, below, close in zip(SHARES, self._below, self._close, strict=True):
            values = np.sort(np.concatenate(close))
            rank = ceil(share * n) - 1 - int(below)
            found.append(float(values[min(max(rank, 0), len(values) - 1)]))
        return found
