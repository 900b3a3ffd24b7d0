"""How forces are written, alike in text, checks and reports, and where along the run points are."""

from __future__ import annotations

from math import isfinite
from typing import Any

import numpy as np

from cableroute.verdict.figures import Figures


def newtons(value: float) -> str:
    """Write a force.

    Parameters
    ----------
    value : float
        The force [N].

    Returns
    -------
    str
        Whole newtons from 20 N on, else with a decimal; words where it is infinite.
    """
    if not isfinite(value):
        return "locks up"
    return f"{value:.0f} N" if abs(value) >= 20.0 else f"{value:.1f} N"


def span(low: float, high: float) -> str:
    """Write a range of forces.

    Parameters
    ----------
    low, high : float
        Its ends [N].

    Returns
    -------
    str
        One figure where both read alike.
    """
    if not isfinite(low):
        return newtons(low)
    digits = 0 if low >= 20.0 or 20.0 <= high < float("inf") else 1
    first, last = (f"{value:.{digits}f} N" for value in (low, high))
    if not isfinite(high):
        return f"{first} to lock-up"
    return first if first == last else f"{first.removesuffix(' N')} to {last}"


def distances(figures: Figures) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return how far along the run each point of the fitted route is.

    Parameters
    ----------
    figures : Figures
        One cable.

    Returns
    -------
    ndarray, shape (m,)
        From the hand end [mm]; of a corner, to the middle of its arc.
    """
    route = figures.route
    straights = np.maximum(route.straights, 0.0)
    arcs = route.arc_lengths
    middles = np.cumsum(straights[:-1]) + np.cumsum(arcs) - 0.5 * arcs
    return np.concatenate(([0.0], middles, [float(route.length)]))
