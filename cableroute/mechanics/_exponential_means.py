"""Means of what grows or falls off as an exponential along a run."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array


def mean_growth(exponent: Array) -> Array:
    """Mean of e^x over x from 0 to the exponent."""
    small = np.abs(exponent) < 1e-12
    mean: Array = np.where(small, 1.0, np.expm1(exponent) / np.where(small, 1.0, exponent))
    return mean


def log_mean(a: Array, b: Array) -> Array:
    """Mean of what goes from a to b, of the same sign, as an exponential; 0 where a is 0."""
    safe = np.where(a != 0.0, a, 1.0)
    return a * mean_growth(np.log(np.where(a != 0.0, b / safe, 1.0)))
