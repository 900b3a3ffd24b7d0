"""Chances counted in samples, with their intervals."""

from __future__ import annotations

from math import sqrt

#: Standard deviations of a 95 % interval [-].
SPREAD = 1.959964


def wilson(hits: int, n: int) -> tuple[float, float]:
    """Return the 95 % interval of a chance of which ``hits`` in ``n`` were seen.

    Wilson's score interval, E. B. Wilson, J. American Statistical Association 22 (1927) 209 (from
    memory). Of Sobol points, which are more even than chance, it is wider than need be.
    """
    z2, share = SPREAD**2, hits / n
    middle = (share + 0.5 * z2 / n) / (1.0 + z2 / n)
    half = SPREAD * sqrt(share * (1.0 - share) / n + 0.25 * z2 / n**2) / (1.0 + z2 / n)
    low = 0.0 if hits == 0 else max(middle - half, 0.0)
    return low, 1.0 if hits == n else min(middle + half, 1.0)
