"""The reading that the others contradict."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass

import numpy as np

from cableroute.measure._adjust import Tapes
from cableroute.measure._checks import Floats, Mask

ODD = 3.29
"""Normalised residual above which a reading is suspect: 1 honest reading in 1000 [-]."""

TELL_APART = 9.0
"""Two solutions, or two suspects, are told apart by this much chi-square (3 sigma) [-]."""


@dataclass(frozen=True, slots=True)
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
    """

    node: Hashable
    measured: float
    expected: float
    rivals: tuple[Hashable, ...]
    certain: bool


def find_blunder(
    tapes: Tapes, fitted: Floats, keys: Sequence[Hashable], *, refit: Callable[[Mask], Floats]
) -> Blunder | None:
    """Find the reading the others contradict: snoop by normalised residual, then leave one out.

    Parameters
    ----------
    tapes : Tapes
        All readings.
    fitted : ndarray, shape (p,)
        The unknowns as fitted to them all [mm].
    keys : sequence, shape (k,)
        What to call each reading.
    refit : callable
        Takes which readings to keep, returns the unknowns fitted to those [mm].

    Returns
    -------
    Blunder or None
        The reading at fault; None when nothing contradicts it.
    """
    odd = np.abs(tapes.normalised(fitted))
    if len(keys) < 4 or odd.max() <= ODD:
        return None
    every = np.arange(len(keys))
    trials = {int(i): refit(every != i) for i in np.flatnonzero(odd)}
    rest = {i: tapes.only(every != i) for i in trials}
    agree = {i for i, p in trials.items() if np.abs(rest[i].normalised(p)).max() <= ODD}
    chi2 = {i: rest[i].chi2(p) for i, p in trials.items() if i in agree or not agree}
    worst = min(chi2, key=lambda i: (round(chi2[i], 6), -round(float(odd[i]), 6)))
    rivals = tuple(keys[i] for i in chi2 if i != worst and chi2[i] - chi2[worst] < TELL_APART)
    return Blunder(
        node=keys[worst],
        measured=float(tapes.distances[worst]),
        expected=float(tapes.lengths(trials[worst])[worst]),
        rivals=rivals,
        certain=bool(agree) and not rivals,
    )
