"""Rows drawn: scrambled Sobol points, all at once or in blocks as they are needed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from cableroute.arrays import Array

#: Machines that kernels take at once. A constant, as the last digit of a row may hang on its
#: neighbours: rows stay in the same blocks whatever else is done.
BLOCK = 2048


def draw(n: int, inputs: int, *, seed: int) -> Array:
    """Return scrambled Sobol points of the unit cube, shape (n, inputs); n is a power of two."""
    blocks = list(draws(n, inputs, seed=seed))
    return np.concatenate(blocks)


def draws(n: int, inputs: int, *, seed: int, start: int = 0) -> Iterator[Array]:
    """Yield the same block by block, from a row that begins one."""
    from scipy.stats import qmc

    engine = qmc.Sobol(inputs, seed=np.random.default_rng(seed)) if inputs else None
    if engine is not None and start:
        engine.fast_forward(start)
    for first in range(start, n, BLOCK):
        count = min(BLOCK, n - first)
        points: Array = np.zeros((count, 0)) if engine is None else engine.random(count)
        yield points
