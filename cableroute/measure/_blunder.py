"""The reading that the others contradict."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.frozen import frozen
from cableroute.measure._adjust import Tapes

#: Normalised residual above which a reading is suspect: 1 honest reading in 1000 [-].
ODD = 3.29

#: Two solutions, or two suspects, are told apart by this much chi-square (3 sigma) [-].
TELL_APART = 9.0


@frozen
class Candidate:
    """A reading that may be the wrong one.

    Parameters
    ----------
    node : hashable
        Name (or index) of its node; a pair of names in a network [-].
    measured : float
        What the tape said [mm].
    expected : float
        What it would have to say for the others to agree [mm].
    """

    node: Hashable
    measured: float
    expected: float

    @property
    def off(self) -> float:
        """How far out it is, if it is the one [mm]."""
        return abs(self.measured - self.expected)


@frozen
class Blunder:
    """A reading the others contradict.

    Parameters
    ----------
    node : hashable
        Name (or index) of the node whose reading is odd; a pair of names in a network [-].
    measured : float
        What the tape said [mm].
    expected : float
        What it should have said, from the other readings alone [mm].
    rivals : tuple of hashable
        Other readings that, left out instead, would explain the misfit as well [-].
    certain : bool
        The others agree without it, and it has no rival. Only then is it left out [-].
    candidates : tuple of Candidate
        Every reading that may be the wrong one, the likeliest first, each with what it would
        have to say [-].
    """

    node: Hashable
    measured: float
    expected: float
    rivals: tuple[Hashable, ...]
    certain: bool
    candidates: tuple[Candidate, ...] = ()


def find_blunder(
    tapes: Tapes, fitted: Array, keys: Sequence[Hashable], *, refit: Callable[[BoolArray], Array]
) -> Blunder | None:
    """Find the reading the others contradict: snoop by normalised residual, then leave one out."""
    odd = np.abs(tapes.normalised(fitted))
    if len(keys) < 4 or odd.max() <= ODD:
        return None
    every = np.arange(len(keys))
    trials = {int(i): refit(every != i) for i in np.flatnonzero(odd)}
    rest = {i: tapes.only(every != i) for i in trials}
    agree = {i for i, p in trials.items() if np.abs(rest[i].normalised(p)).max() <= ODD}
    chi2 = {i: rest[i].chi2(p) for i, p in trials.items() if i in agree or not agree}
    worst = min(chi2, key=lambda i: (round(chi2[i], 6), -round(float(odd[i]), 6)))
    also = [i for i in chi2 if i != worst and chi2[i] - chi2[worst] < TELL_APART]
    candidates = tuple(
        Candidate(keys[i], float(tapes.distances[i]), float(tapes.lengths(trials[i])[i]))
        for i in (worst, *also)
    )
    first, *others = candidates
    return Blunder(
        node=first.node,
        measured=first.measured,
        expected=first.expected,
        rivals=tuple(each.node for each in others),
        certain=bool(agree) and not others,
        candidates=candidates,
    )
