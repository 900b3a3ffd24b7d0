"""Time of least-turn smoothing, alone and against a general optimiser on the same programme.

Run by hand: ``python tests/benchmarks/bench_smoothing.py``. The optimiser (SLSQP) is given exact
gradients, so that the ratio compares methods and not finite differences.
"""

import time

import numpy as np
from scipy.optimize import minimize

from cableroute.route.smoothing import least_turn

TOLERANCE = 2.0


def readings(n, spacing=48.0):
    """A wandering run of bends of 150 mm and straights, read with 1 mm of noise, to the mm."""
    rng = np.random.default_rng(n)
    steps = [np.array([1.0, 0.0, 0.0])]
    bend = np.zeros(3)
    for i in range(n - 2):
        if i % 6 == 0:
            bend = rng.normal(0.0, 1.0, 3) if i % 12 == 0 else np.zeros(3)
        across = bend - (bend @ steps[-1]) * steps[-1]
        step = steps[-1] + spacing / 150.0 * across / max(np.linalg.norm(across), 1e-9)
        steps.append(step / np.linalg.norm(step))
    run = spacing * np.cumsum([np.zeros(3), *steps], axis=0)
    return np.round(run + rng.normal(0.0, 1.0, run.shape))


def by_slsqp(measured):
    """Least total bend by SLSQP, over displacements q and bounds t of the bends."""
    n = len(measured)
    k = n - 2
    legs = np.linalg.norm(np.diff(measured, axis=0), axis=1)
    second = np.diff(np.diff(np.eye(n), axis=0) / legs[:, None], axis=0)  # (k, n)
    inner = second[:, 1:-1]
    base = second @ measured

    def bends(v):
        return base + inner @ v[: 3 * k].reshape(k, 3)

    def over(v):
        return v[3 * k :] ** 2 - (bends(v) ** 2).sum(axis=1)

    def over_slope(v):
        by_q = -2.0 * np.einsum("ka,kj->kja", bends(v), inner).reshape(k, 3 * k)
        return np.hstack([by_q, np.diag(2.0 * v[3 * k :])])

    def inside(v):
        return TOLERANCE**2 - (v[: 3 * k].reshape(k, 3) ** 2).sum(axis=1)

    def inside_slope(v):
        by_q = -2.0 * np.einsum("ij,ja->ija", np.eye(k), v[: 3 * k].reshape(k, 3))
        return np.hstack([by_q.reshape(k, 3 * k), np.zeros((k, k))])

    cost = np.concatenate([np.zeros(3 * k), np.ones(k)])
    start = np.concatenate([np.zeros(3 * k), np.linalg.norm(base, axis=1) + 0.01])
    found = minimize(
        lambda v: cost @ v,
        start,
        jac=lambda v: cost,
        method="SLSQP",
        bounds=[(None, None)] * (3 * k) + [(0.0, None)] * k,
        constraints=[
            {"type": "ineq", "fun": over, "jac": over_slope},
            {"type": "ineq", "fun": inside, "jac": inside_slope},
        ],
        options={"maxiter": 200, "ftol": 1e-5},
    )
    return np.linalg.norm(bends(found.x), axis=1).sum()


def timed(call, repeats):
    best, result = np.inf, None
    for _ in range(repeats):
        begin = time.perf_counter()
        result = call()
        best = min(best, time.perf_counter() - begin)
    return best, result


def main():
    for n in (20, 40, 60):
        measured = readings(n)
        ours, found = timed(lambda m=measured: least_turn(m, tolerance=TOLERANCE), 5)
        theirs, total = timed(lambda m=measured: by_slsqp(m), 1)
        print(  # noqa: T201
            f"{n:5d} points: {ours:.4f} s, SLSQP {theirs:.3f} s, ratio {theirs / ours:.0f}; "
            f"objective {found.objective:.4f} (proved above {found.lower_bound:.4f}), "
            f"SLSQP {total:.4f}"
        )
    for n in (60, 1000):
        for radius in (None, 90.0):
            measured = readings(n)
            ours, found = timed(
                lambda m=measured, r=radius: least_turn(m, tolerance=2.0, min_bend_radius=r), 3
            )
            print(  # noqa: T201
                f"{n:5d} points, radius {radius}: {ours:.4f} s, {found.iterations} steps, "
                f"gap {1.0 - found.lower_bound / found.objective:.1e}"
            )


if __name__ == "__main__":
    main()
