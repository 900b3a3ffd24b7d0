"""Which input decides a figure: first and total Sobol indices, with intervals by resampling."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.frozen import frozen
from cableroute.study.draw import BLOCK, draws

#: Resamples that an interval is taken from, and the groups of neighbouring rows that are resampled [-].
RESAMPLES, GROUPS = 400, 128
#: A figure that varies by less than this share of its size is constant but for rounding [-].
CONSTANT = 1e-9

#: Takes shares, shape (n, inputs), and returns figures by name, each of shape (n,); the second word
#: is the one input in which they differ from the last rows that came without.
Model = Callable[[Array, int | None], dict[str, Array]]


@frozen(eq=False)
class Indices:
    """Sobol indices of one figure: value, low and high end of its 95 % interval for each input.

    Parameters
    ----------
    first : ndarray, shape (inputs, 3)
        Share of the variance that goes if this input alone were known [-].
    total : ndarray, shape (inputs, 3)
        Share that stays if all others were known [-].
    """

    first: Array
    total: Array


def sobol_indices(model: Model, *, inputs: int, n: int, seed: int) -> dict[str, Indices]:
    r"""Return first and total Sobol indices of every figure of a model that varies.

    With rows A and B, and AB_i as A but for input i of B:
    :math:`S_i = \overline{f_B (f_{AB_i} - f_A)}/V` and
    :math:`T_i = \overline{(f_A - f_{AB_i})^2}/2V`. The model is asked n (inputs + 2) times, block by
    block, and what it says is summed at once, so that memory does not grow with n; a figure that is not
    finite everywhere, or does not vary, has no indices.

    References
    ----------
    A. Saltelli et al., Computer Physics Communications 181 (2010) 259-270, table 2, rows (b) and (f)
    (from memory); the latter after M. J. W. Jansen 1999.
    """
    sums: dict[str, _Sums] = {}
    for block, both in enumerate(draws(n, 2 * inputs, seed=seed)):
        A, B = both[:, :inputs], both[:, inputs:]
        f_B, f_A = model(B, None), model(A, None)
        if not sums:
            sums = {name: _Sums(f_A[name], f_B[name], inputs=inputs, n=n) for name in f_A}
        mixed: dict[str, list[Array]] = {name: [] for name in sums}
        for i in range(inputs):
            rows = A.copy()
            rows[:, i] = B[:, i]
            found = model(rows, i)
            for name in sums:
                mixed[name].append(found[name])
        for name, each in sums.items():
            each.add(block * BLOCK, f_A[name], f_B[name], np.stack(mixed[name], axis=1))
    varying = {name: each for name, each in sums.items() if each.varies}
    if not varying:
        return {}
    weights = _resampled(n, seed=seed)
    resampled = weights @ np.concatenate([each.by_group for each in varying.values()], axis=1)
    parts = np.split(resampled, len(varying), axis=1)
    return {name: _indices(part, inputs) for name, part in zip(varying, parts, strict=True)}


class _Sums:
    """Means of one figure's terms by groups of neighbouring rows.

    In columns: squares, both ends of the mean, then for each input the terms of first and of total.
    """

    def __init__(self, f_A: Array, f_B: Array, *, inputs: int, n: int) -> None:
        groups = min(n, GROUPS)
        self._size = n // groups
        self.by_group = np.zeros((groups, 2 + 2 * inputs))
        # taken off, or rounding and noise would grow with it
        self._middle = float(0.5 * (f_A.mean() + f_B.mean()))
        self._low, self._high, self._is_finite = np.inf, -np.inf, True

    def add(self, start: int, f_A: Array, f_B: Array, f_AB: Array) -> None:
        """Add one block of rows."""
        self._is_finite &= bool(np.isfinite(f_A).all() and np.isfinite(f_B).all())
        self._is_finite &= bool(np.isfinite(f_AB).all())
        if not self._is_finite:
            return
        self._low = min(self._low, float(f_A.min()), float(f_B.min()))
        self._high = max(self._high, float(f_A.max()), float(f_B.max()))
        a, b, mixed = (each - self._middle for each in (f_A, f_B, f_AB))
        ends = np.stack((0.5 * (a**2 + b**2), 0.5 * (a + b)), axis=1)
        first, total = b[:, None] * (mixed - a[:, None]), 0.5 * (a[:, None] - mixed) ** 2
        terms = np.concatenate((ends, first, total), axis=1) / self._size
        together = min(self._size, len(a))
        found = terms.reshape(-1, together, terms.shape[1]).sum(1)
        group = start // self._size
        self.by_group[group : group + len(found)] += found

    @property
    def varies(self) -> bool:
        """Whether it is finite everywhere and not as good as constant."""
        most = max(abs(self._low), abs(self._high))
        return self._is_finite and self._high - self._low > CONSTANT * most


def _resampled(n: int, *, seed: int) -> Array:
    """Weights of groups of rows: all alike first, then those of each resample."""
    groups = min(n, GROUPS)
    drawn: IntArray = np.random.default_rng(seed).multinomial(
        groups, np.full(groups, 1.0 / groups), RESAMPLES
    )
    weights: Array = np.concatenate((np.ones((1, groups)), drawn.astype(np.float64))) / groups
    return weights


def _indices(resampled: Array, inputs: int) -> Indices:
    squares, middle, terms = resampled[:, 0], resampled[:, 1], resampled[:, 2:]
    variance = squares - middle**2
    varies = variance > 0.0  # a resample may miss the few machines in which it does
    shares = terms[varies] / variance[varies, None]
    return Indices(_with_ends(shares[:, :inputs]), _with_ends(shares[:, inputs:]))


def _with_ends(resampled: Array) -> Array:
    """Value, and 95 % of its resamples, shape (inputs, 3)."""
    low, high = np.percentile(resampled[1:], (2.5, 97.5), axis=0)
    return np.stack((resampled[0], low, high), axis=-1)
