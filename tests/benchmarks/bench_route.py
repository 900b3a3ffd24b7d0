"""How long a route takes: one, a hundred thousand, and a whole command.

Run by hand from the root of the project: ``python tests/benchmarks/bench_route.py``.
"""

from __future__ import annotations

import multiprocessing
import os
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from cableroute.mechanics.pull import pull_force
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route

ROOT = Path(__file__).parents[2]
EXAMPLE = "data/grass_track_buggy.toml"
CHECK = [sys.executable, "-m", "cableroute", "check", EXAMPLE]
IMPORTS = [sys.executable, "-c", "import numpy, pydantic, typer"]
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}


def random_points(*shape: int) -> np.ndarray:
    """Walk forwards with turns of some tens of degrees."""
    rng = np.random.default_rng(1)
    steps = rng.normal(size=(*shape, 3)) * 30.0
    steps[..., 0] += 80.0
    return np.cumsum(steps, axis=-2)


def solve(points: np.ndarray) -> float | np.ndarray:
    return pull_force(fit_arcs(points, min_bend_radius=60.0), load=60.0, friction=0.12)


def seconds(action: Callable[[], object], *, repeats: int) -> float:
    """Median wall time."""
    times = []
    for _ in range(repeats):
        begin = time.perf_counter()
        action()
        times.append(time.perf_counter() - begin)
    return statistics.median(times)


def show(what: str, found: str, aim: str) -> None:
    print(f"{what:<44}{found:>12}   aim {aim}")  # noqa: T201


def one_route(points: np.ndarray, what: str) -> None:
    solve(points)
    taken = seconds(lambda: solve(points), repeats=500)
    show(f"one route of 60 points, {what}", f"{1e3 * taken:.3f} ms", "0.3 ms")


def through_points() -> None:
    """Runs through five points as a study makes them: one, and many about the same places."""
    points = np.array(
        [[0, 0, 0], [300, 0, -20], [510, 40, 440], [1080, -140, 430], [1450, -170, 170]]
    )
    radius = 160.0

    def fit(batch: np.ndarray) -> Route:
        return fit_arcs(batch, min_bend_radius=radius, through=True)

    taken = seconds(lambda: fit(points), repeats=200)
    show("one run through five points", f"{1e3 * taken:.3f} ms", "2 ms")
    many = points + np.random.default_rng(1).normal(scale=2.0, size=(16384, 5, 3))
    taken = seconds(lambda: fit(many), repeats=3)
    show(f"16384 of them, {1 - np.mean(fit(many).fits):.0%} too short", f"{taken:.3f} s", "1 s")
    radius = 300.0
    taken = seconds(lambda: fit(many), repeats=3)
    show(f"16384 of them, {1 - np.mean(fit(many).fits):.0%} too short", f"{taken:.3f} s", "1 s")


def many_routes(stretch: float) -> None:
    """In a process of its own, so that the peak memory is that of this one batch."""
    points = stretch * random_points(100_000, 22)
    short = np.mean(~fit_arcs(points[:1000], min_bend_radius=60.0).fits)
    taken = seconds(lambda: solve(points), repeats=3)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    show(f"100000 routes of 20 corners, {short:.0%} too short", f"{taken:.3f} s", "0.5 s")
    show("  peak resident set, imports included", f"{peak:.0f} MB", "500 MB")


def run(command: list[str]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        command, cwd=ROOT, env=ENVIRONMENT, capture_output=True, text=True, check=False
    )


def whole_command() -> None:
    """Ratio of ``check`` to the bare imports, run turn about so that both see the same load."""
    what = "check over bare numpy, pydantic, typer"
    trial = run(CHECK)
    if trial.returncode not in (0, 1) or not trial.stdout:  # 1 is a failing verdict: a result
        show(what, "not available", "1.6")
        return
    ratios = []
    for _ in range(9):
        bare = seconds(lambda: run(IMPORTS), repeats=1)
        ratios.append(seconds(lambda: run(CHECK), repeats=1) / bare)
    show(what, f"{statistics.median(ratios):.2f}", "1.6")


if __name__ == "__main__":
    one_route(random_points(60), "legs too short")
    one_route(20.0 * random_points(60), "roomy")
    through_points()
    for factor in (1.0, 3.0, 20.0):
        worker = multiprocessing.get_context("spawn").Process(target=many_routes, args=(factor,))
        worker.start()
        worker.join()
    whole_command()
