"""What a doubtful number may be: distributions, from shares of the unit interval."""

from __future__ import annotations

from dataclasses import replace
from math import isfinite

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen

#: Numbers of each kind, and what they are.
KINDS = {
    "uniform": ("low", "high"),
    "normal": ("mean", "standard deviation"),
    "triangular": ("low", "most likely", "high"),
    "fixed": ("value",),
}
#: Shares are kept this far from 0 and 1, where a normal has no bound [-].
_EDGE = 2.0**-40


@frozen
class Distribution:
    """What a number may be.

    Parameters
    ----------
    kind : str
        ``uniform``, ``normal``, ``triangular`` or ``fixed``.
    numbers : tuple of float
        Its ends, or mean and standard deviation [unit of the input].

    Raises
    ------
    CableRouteError
        For another kind, or numbers that do not rise or have a negative width.

    Examples
    --------
    >>> Distribution("uniform", (0.1, 0.2)).at(np.array([0.0, 0.5])).round(3).tolist()
    [0.1, 0.15]
    """

    kind: str
    numbers: tuple[float, ...]

    def __post_init__(self) -> None:
        names, got = KINDS.get(self.kind), ", ".join(f"{x:g}" for x in self.numbers)
        if names is None or len(names) != len(self.numbers):
            raise CableRouteError(f"expected one of {', '.join(KINDS)}, got {self.kind} {got}")
        if not all(isfinite(x) for x in self.numbers):
            raise CableRouteError(f"{self.kind}: expected finite numbers, got {got}")
        if self.kind == "normal" and self.numbers[1] < 0.0:
            raise CableRouteError(f"normal: expected a standard deviation of 0 or more, got {got}")
        if self.kind != "normal" and list(self.numbers) != sorted(self.numbers):
            raise CableRouteError(f"{self.kind}: expected {' <= '.join(names)}, got {got}")

    @property
    def centre(self) -> float:
        """Middle of what it may be, the median of all but a triangle [unit of the input]."""
        if self.kind == "uniform":
            return 0.5 * (self.numbers[0] + self.numbers[1])
        return self.numbers[1 if self.kind == "triangular" else 0]

    @property
    def width(self) -> float:
        """How wide it is: from end to end, or a standard deviation; 0 where nothing is in doubt."""
        return self.numbers[1] if self.kind == "normal" else self.numbers[-1] - self.numbers[0]

    @property
    def halved(self) -> Distribution:
        """The same with half of the doubt, about the same middle."""
        if self.kind == "normal":
            return replace(self, numbers=(self.numbers[0], 0.5 * self.numbers[1]))
        middle = self.centre
        return replace(self, numbers=tuple(0.5 * (x + middle) for x in self.numbers))

    def at(self, shares: Array) -> Array:
        """Return the numbers below which it lies with these chances, any shape."""
        u = np.clip(shares, _EDGE, 1.0 - _EDGE)
        if self.kind == "fixed":
            return np.full_like(u, self.numbers[0])
        if self.kind == "normal":
            from scipy.special import ndtri

            return np.asarray(self.numbers[0] + self.numbers[1] * ndtri(u))
        if self.kind == "uniform":
            return np.asarray(self.numbers[0] + (self.numbers[1] - self.numbers[0]) * u)
        return _triangular(u, *self.numbers)

    def __str__(self) -> str:
        return f"{self.kind} {', '.join(f'{x:.6g}' for x in self.numbers)}"


def _triangular(u: Array, low: float, mode: float, high: float) -> Array:
    whole = high - low
    rising = np.sqrt(u * whole * (mode - low))
    falling = np.sqrt((1.0 - u) * whole * (high - mode))
    return np.where(u * whole <= mode - low, low + rising, high - falling)
