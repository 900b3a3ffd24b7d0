"""Time `locate` and `fit_network` against a general least-squares library, in one run.

``python tests/benchmarks/bench_locate.py``. The library is started 10 mm off the answer and
gives one point; `locate` starts itself and also gives twin, covariance and odd reading.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from time import perf_counter

import numpy as np
from scipy.optimize import least_squares

from cableroute.measure.locate import locate
from cableroute.measure.network import fit_network


def seconds(job: Callable[[], object], repeats: int = 100) -> float:
    """Best of five means over some repeats [s]."""
    best = np.inf
    for _ in range(5):
        began = perf_counter()
        for _ in range(repeats):
            job()
        best = min(best, (perf_counter() - began) / repeats)
    return best


def main() -> None:
    rng = np.random.default_rng(0)
    print(f"{'':28}{'ours ms':>10}{'library ms':>12}{'ratio':>8}")  # noqa: T201
    for k in (3, 4, 5, 8):
        nodes, truth = rng.uniform(-500, 500, (k, 3)), rng.uniform(-300, 300, 3)
        tape = np.linalg.norm(nodes - truth, axis=1) + rng.normal(0, 0.5, k)

        def misfit(p: np.ndarray, nodes: np.ndarray = nodes, tape: np.ndarray = tape) -> np.ndarray:
            return np.linalg.norm(nodes - p, axis=1) - tape

        ours = seconds(lambda nodes=nodes, tape=tape: locate(nodes, tape))
        theirs = seconds(lambda truth=truth, misfit=misfit: least_squares(misfit, truth + 10))
        row = f"{f'locate, {k} readings':28}{1e3 * ours:10.2f}{1e3 * theirs:12.2f}"
        print(f"{row}{ours / theirs:8.2f}")  # noqa: T201
    for n in (4, 6, 10):
        places = rng.uniform(0, 900, (n, 3))
        pairs = list(combinations(range(n), 2))
        tape = [np.linalg.norm(places[i] - places[j]) + rng.normal(0, 0.5) for i, j in pairs]
        named = {(f"N{i}", f"N{j}"): d for (i, j), d in zip(pairs, tape, strict=True)}
        ours = seconds(lambda named=named: fit_network(named), repeats=3)
        print(f"{f'fit_network, {n} nodes, all':28}{1e3 * ours:10.2f}")  # noqa: T201


if __name__ == "__main__":
    main()
