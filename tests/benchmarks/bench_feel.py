"""Seconds per lever-feel loop, against stepping a chain of beads through the same cycle.

The other way is the one that comes to mind first: cut the core into springs between beads, move the
hand step by step, and let every bead slide until nothing moves. Both run in the same process; read
the ratios, not the seconds.

    python tests/benchmarks/bench_feel.py
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator

import numpy as np

from cableroute.mechanics.far_load import Detent, FarLoad
from cableroute.mechanics.feel import feel_loop
from cableroute.route.fillet import fit_arcs

ROUTE = fit_arcs([[0, 0, 0], [600, 0, 0], [600, 500, 0], [1100, 500, 300]], min_bend_radius=150)
LOAD = FarLoad(preload=30.0, rate=2.0, friction=4.0, detents=(Detent(15.0, 25.0, 4.0),))
GIVEN = {"far_load": LOAD, "travel": 40.0, "friction": 0.15, "axial_stiffness": 2e5}


def seconds(times: int, call: Callable[..., object], *given: object, **named: object) -> float:
    """Return the median time of a call."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call(*given, **named)
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def beads(elements: int, steps: int) -> float:
    """Step a chain once out and back with a plain spring at its end; return the area."""
    wrap, length = float(ROUTE.wrap), float(ROUTE.length)
    r, k = np.exp(0.15 * wrap / elements), 2e5 * elements / length
    u = np.zeros(elements + 1)
    out = np.linspace(0.0, 40.0, steps + 1)
    force = []
    for hand in np.concatenate((out, out[::-1])):
        u[0] = hand
        for _ in range(2000):
            before = u.copy()
            for parity in (1, 2):
                i = np.arange(parity, elements, 2)
                one, two = (u[i - 1] + r * u[i + 1]) / (1 + r), (r * u[i - 1] + u[i + 1]) / (1 + r)
                u[i] = np.clip(u[i], np.minimum(one, two), np.maximum(one, two))
            u[-1] = np.clip(u[-1], (k * u[-2] - 34.0) / (k + 2.0), (k * u[-2] - 26.0) / (k + 2.0))
            if np.abs(u - before).max() < 1e-7:
                break
        force.append(k * (u[0] - u[1]))
    return float(np.ptp(force))


def lines() -> Iterator[str]:
    """Yield one line per size."""
    yield f"{'elements':>9}{'steps':>7}{'s pull':>10}{'s push-pull':>13}{'s beads':>10}{'ratio':>8}"
    for elements, steps in ((20, 20), (40, 40), (400, 400), (4000, 4000)):
        size = {"elements": elements, "steps": steps}
        pull = seconds(15, feel_loop, ROUTE, **GIVEN, **size, pull_only=True)
        both = seconds(15, feel_loop, ROUTE, **GIVEN, **size, clearance=0.5)
        line = f"{elements:9}{steps:7}{pull:10.5f}{both:13.5f}"
        if elements <= 40:
            slow = seconds(1, beads, elements, steps)
            line += f"{slow:10.3f}{slow / pull:8.0f}"
        yield line


if __name__ == "__main__":
    for line in lines():
        print(line)  # noqa: T201
