"""How long a study takes, how time and memory grow with n, and what forces alone cost.

python tests/benchmarks/bench_study.py
"""

from __future__ import annotations

import resource
import sys
from collections.abc import Callable
from time import perf_counter, process_time

import numpy as np

from cableroute import read_job
from cableroute.arrays import Array
from cableroute.figures.forces import core_weight
from cableroute.mechanics.pull import TAUT_STEPS
from cableroute.route.segments import bend_normals
from cableroute.study.draw import BLOCK, draw
from cableroute.study.drawn import Drawn, drawn
from cableroute.study.forces import bending, pull_of, push_of
from cableroute.study.model import Model
from cableroute.study.run import prepared, study

FILE, CABLE, RUNS = "data/grass_track_buggy.toml", "shift", 5


def main() -> None:
    """Print the tables."""
    job = read_job(FILE)
    study(job, cable=CABLE, n=256)  # imports and caches
    best = least(lambda: study(job, cable=CABLE, n=2**14))
    say(f"2^14 machines of five points, with indices, least of {RUNS}: {told(best)}")
    growth()
    model = prepared(job, CABLE)
    shares = draw(8 * BLOCK, len(model.doubts.inputs), seed=0)
    chunks = np.split(shares, 8)
    whole = least(lambda: [model.judged(rows) for rows in chunks])
    machines = [drawn(model.doubts, model.lay, rows) for rows in chunks]
    forces(machines)
    say(f"a machine without indices: {1e6 * whole[0] / len(shares):.1f} us CPU")
    fitting = least(lambda: fit(model, chunks))
    say(f"  of it the fit of its run {1e6 * fitting[0] / len(shares):.1f} us")


def growth() -> None:
    """Print time and memory against n, and a straight line through them."""
    job = read_job(FILE)
    say("n          CPU [s]  peak memory so far [MB]")
    sizes, times = [2**k for k in range(11, 18)], []
    for n in sizes:
        began = process_time()
        study(job, cable=CABLE, n=n)
        times.append(process_time() - began)
        say(f"{n:<10} {times[-1]:<8.2f} {peak():.0f}")
    slope, start = np.polyfit(sizes, times, 1)
    off = np.abs(np.polyval((slope, start), sizes) - times)
    say(f"fit: {1e6 * slope:.1f} us a machine and {start:.2f} s, off by {off.max():.2f} s at most")


def forces(machines: list[Drawn]) -> None:
    """Print what pull and push cost as the study has them, over a plain loop over pieces."""
    ours = plain = None
    for _ in range(RUNS):  # by turns, so that a busy machine is busy for both
        ours = lesser(ours, clocked(lambda: [(pull_of(each), push_of(each)) for each in machines]))
        plain = lesser(plain, clocked(lambda: [by_hand(each) for each in machines]))
    pull, push = by_hand(machines[0])
    off = np.abs(pull_of(machines[0]).along[:, 0] / pull - 1.0).max()
    found = push_of(machines[0])
    assert found is not None
    off = max(off, np.abs(found.along[:, 0] / push - 1.0).max())
    say(f"forces and what stiffness adds: {told(ours)}; plain loop: {told(plain)}")
    alone = least(lambda: [bare(each) for each in machines])
    say(
        f"forces alone: {told(alone)}, {alone[0] / plain[0]:.2f} times the plain loop; differ {off:.0e}"
    )


def bare(machines: Drawn) -> None:
    """Work out pull and push by the kernels, nothing added."""
    from cableroute.mechanics.pull import pull_forces
    from cableroute.mechanics.push import push_forces

    kwargs = {"friction": machines.apparent}
    weight = core_weight(machines.figures.core)
    pull_forces(machines.route, load=machines.values["load"], weight=weight, **kwargs)
    push_forces(
        machines.route,
        load=machines.values["push_load"],
        bending_stiffness=bending(machines),
        clearance=machines.values["clearance"],
        **kwargs,
    )


def by_hand(machines: Drawn) -> tuple[Array, Array]:
    """Pull and push at the hand as one would write them: numpy over machines, a loop over pieces."""
    route, mu = machines.route, machines.apparent
    weight = core_weight(machines.figures.core)
    pull, y = machines.values["load"], 1.0 / machines.values["push_load"]
    softness = machines.values["clearance"] / (8.0 * bending(machines))
    ways = -route.directions
    normals = bend_normals(ways[:, ::-1], route.turns[:, ::-1])[:, ::-1]
    for leg in range(route.legs.shape[1] - 1, -1, -1):
        length, rise = route.straights[:, leg], ways[:, leg, 2]
        pull = pull + weight * length * (mu * np.sqrt(np.maximum(0.0, 1.0 - rise**2)) + rise)
        y = y - mu * softness * length
        if leg:
            turn, radius = route.turns[:, leg - 1], route.radii[:, leg - 1]
            heavy = weight * radius
            pull = pulled_round(pull, turn, mu, heavy, rise, normals[:, leg - 1, 2])
            y = pushed_round(y, softness * radius, mu * turn)
    return pull, 1.0 / y


def pulled_round(
    pull: Array, turn: Array, mu: Array, heavy: Array, rise: Array, normal: Array
) -> Array:
    """Pull around a bend, the soft string by Runge and Kutta."""
    h = turn / TAUT_STEPS
    aside = heavy**2 * np.maximum(0.0, 1.0 - rise**2 - normal**2)
    half = np.exp(0.5 * mu * h)
    whole = half * half

    def rate(at: float, tension: Array) -> Array:
        cos, sin = np.cos(at * h), np.sin(at * h)
        inward = tension - heavy * (cos * normal - sin * rise)
        climb = heavy * (cos * rise + sin * normal)
        return mu * (np.sqrt(inward * inward + aside) - tension) + climb

    for i in range(TAUT_STEPS):
        k1 = rate(i, pull)
        k2 = rate(i + 0.5, half * (pull + 0.5 * h * k1))
        k3 = rate(i + 0.5, half * pull + 0.5 * h * k2)
        k4 = rate(i + 1.0, whole * pull + half * h * k3)
        pull = whole * pull + h / 6.0 * (whole * k1 + 2.0 * half * (k2 + k3) + k4)
    return pull


def pushed_round(y: Array, onset: Array, exponent: Array) -> Array:
    """1/F around a bend: by the capstan law down to the onset of snaking, evenly from there."""
    shrunk = y * np.exp(-exponent)
    late = onset * (1.0 + np.log(np.maximum(y / onset, 1.0)) - exponent)
    return np.where(shrunk >= onset, shrunk, np.where(y > onset, late, y - onset * exponent))


def fit(model: Model, chunks: list[Array]) -> None:
    """Draw machines and fit their runs."""
    for rows in chunks:
        drawn(model.doubts, model.lay, rows)


Cost = tuple[float, float]


def clocked(work: Callable[[], object]) -> Cost:
    """Return CPU and wall time of some work [s]."""
    cpu, wall = process_time(), perf_counter()
    work()
    return process_time() - cpu, perf_counter() - wall


def lesser(one: Cost | None, other: Cost) -> Cost:
    """Return the lesser CPU and wall time of two."""
    return other if one is None else (min(one[0], other[0]), min(one[1], other[1]))


def least(work: Callable[[], object]) -> Cost:
    """Return the least CPU and wall time of some runs [s]."""
    best = clocked(work)
    for _ in range(RUNS - 1):
        best = lesser(best, clocked(work))
    return best


def told(cost: Cost | None) -> str:
    """Say a cost."""
    assert cost is not None
    return f"{cost[0]:.3f} s CPU, {cost[1]:.3f} s wall"


def peak() -> float:
    """Return the most memory so far [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def say(line: str) -> None:
    """Print a line."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
