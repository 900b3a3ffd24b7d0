"""Seconds per span of the natural lay, against a plain direct discretisation.

The other way is the one that comes to mind first: cut the cable into equal straight pieces, give
each two angles, and let scipy's SLSQP minimise the sum of squared turns with the end place as a
constraint. Both run on the same ends in the same process; read the ratios, not the seconds.
Of a cable of five points the median is told too, as every check works one out.

    python tests/benchmarks/bench_lay.py
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator

import numpy as np
from scipy.optimize import minimize

from cableroute.route.lay import lay_run, natural_lay
from cableroute.route.lay_through import lay_through

X, Y, Z = np.eye(3)
CASES = {
    "quarter turn": (X, [100, 100, 0], Y, 175.0),
    "U-turn": (X, [0, 100, 0], -X, 230.0),
    "in space": (X, [120, 60, 30], [0.2, -0.5, 0.8], 210.0),
    "long surplus": (X, [100, 0, 0], X, 250.0),
}


def seconds(times: int, call: Callable[..., object], *given: object, **named: object) -> float:
    """Return the median time of a call."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call(*given, **named)
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def pieces(first, end, last, length: float, count: int) -> float:
    """Return the least bending energy [1/mm] of a chain of straight pieces, by SLSQP."""
    first, last = (np.asarray(way, float) / np.linalg.norm(way) for way in (first, last))
    step = length / count

    def tangents(angles):
        along, up = angles.reshape(2, -1)
        return np.stack(
            [np.cos(up) * np.cos(along), np.cos(up) * np.sin(along), np.sin(up)], axis=1
        )

    def energy(angles):
        row = np.vstack([first, tangents(angles), last])
        turns = np.sum(np.diff(row, axis=0) ** 2, axis=1)
        # The first and last turn happen over half a piece.
        return (np.sum(turns) + turns[0] + turns[-1]) / (2 * step)

    def miss(angles):
        return step * tangents(angles).sum(axis=0) - end

    found = np.inf
    s = (np.arange(count) + 0.5) / count
    for side in (0.7, -0.7):  # the same curve bowed to two sides, off the plane
        way = (
            (1 - s)[:, None] * first
            + s[:, None] * last
            + side * np.sin(np.pi * s)[:, None] * (Y + Z)
        )
        guess = np.concatenate([np.arctan2(way[:, 1], way[:, 0]), np.arctan2(way[:, 2], 1.0)])
        closed = {"type": "eq", "fun": miss}
        solved = minimize(
            energy,
            guess,
            method="SLSQP",
            constraints=closed,
            options={"maxiter": 400, "ftol": 1e-10},
        )
        if np.linalg.norm(miss(solved.x)) < 1e-3 * length:
            found = min(found, float(solved.fun))
    return found


def one_span() -> Iterator[str]:
    """Yield one line per case, with the length given and free."""
    yield f"{'one span':16}{'s free':>9}{'s given':>9}{'s SLSQP':>9}{'ratio':>8}{'energy off by':>15}"
    for name, (first, end, last, length) in CASES.items():
        ends = (0 * X, first, end, last)
        free = seconds(9, natural_lay, *ends)
        ours = seconds(9, natural_lay, *ends, length=length)
        theirs = seconds(1, pieces, first, end, last, length, 30)
        energy = natural_lay(*ends, length=length).energy
        off = pieces(first, end, last, length, 30) / energy - 1
        yield f"{name:16}{free:9.4f}{ours:9.4f}{theirs:9.3f}{theirs / ours:8.1f}{off:15.1e}"


def runs() -> Iterator[str]:
    """Yield one line per number of spans between pass-through clips."""
    yield f"\n{'spans in a run':16}{'s free':>9}{'s given':>9}   per span"
    rng = np.random.default_rng(3)
    steps = np.column_stack([rng.uniform(150, 300, 13), rng.normal(0, 60, (13, 2))])
    clips = np.cumsum(steps, axis=0)
    lengths = 1.05 * np.linalg.norm(np.diff(clips, axis=0), axis=1)
    for spans in (2, 4, 8, 12):
        free = seconds(3, lay_run, clips[: spans + 1]) / spans
        given = seconds(1, lay_run, clips[: spans + 1], lengths=list(lengths[:spans])) / spans
        yield f"{spans:<16}{free:9.4f}{given:9.4f}"


def batches() -> Iterator[str]:
    """Yield milliseconds a cable of five points in batches, and seconds of long runs."""
    rng = np.random.default_rng(4)
    clips = np.array([[0.0, 0, 0], [200, 40, 10], [380, -30, 60], [600, 20, 20], [700, 150, 60]])
    yield f"\n{'five points':16}{'ms free':>9}{'ms given':>9}   a cable"
    for count in (1, 100, 4000):
        many = clips + rng.normal(0, 5, (count, 5, 3))
        free = 1e3 * seconds(3, lay_through, many) / count
        longer = 1.01 * lay_through(many).length
        given = 1e3 * seconds(3, lay_through, many, length=longer) / count
        yield f"{count:<16}{free:9.2f}{given:9.2f}"
    yield f"\n{'points in a run':16}{'s free':>9}{'power':>8}"
    before = None
    for count in (100, 1000, 10_000, 100_000):
        s = 60.0 * np.arange(count)
        wave = np.stack([s, 300 * np.sin(s / 400), 200 * np.cos(s / 700)], axis=-1)
        taken = seconds(1, lay_through, wave + rng.normal(0, 1, wave.shape))
        power = "" if before is None else f"{np.log10(taken / before):8.2f}"
        before = taken
        yield f"{count:<16}{taken:9.2f}{power}"


def cables() -> Iterator[str]:
    """Yield what a cable of five points takes, one at a time as `check` asks, over 100 invented."""
    rng = np.random.default_rng(5)
    free, held = np.full((2, 5, 3), np.nan)
    held[[0, -1]] = [1.0, 0.0, 0.0]
    steps = np.concatenate([rng.uniform(150, 400, (100, 5, 1)), rng.normal(0, 90, (100, 5, 2))], -1)
    yield f"{'five points, one cable':24}{'ms median':>10}{'ms at 95 %':>11}"
    for name, headings in (("free at its ends", free), ("held at its ends", held)):
        taken = [
            1e3 * min(seconds(1, lay_through, clips, headings=headings) for _ in range(5))
            for clips in np.cumsum(steps, axis=1)
        ]
        middle, most = np.quantile(taken, [0.5, 0.95])
        yield f"{name:24}{middle:10.1f}{most:11.1f}"
    yield ""


if __name__ == "__main__":
    for line in (*cables(), *one_span(), *runs(), *batches()):
        print(line)  # noqa: T201
