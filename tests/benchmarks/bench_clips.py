"""Time and memory of the list of clips of a scan: near-linear in its points.

Run by hand: ``python tests/benchmarks/bench_clips.py``. Beside each, the boolean matrix of every
clip against every bend, which it does without.
"""

import time
import tracemalloc

import numpy as np

from cableroute.mechanics._bends import find_bends
from cableroute.mechanics.anchors import anchor_loads
from cableroute.mechanics.clip_places import clip_list, unclipped_bends
from cableroute.route.fillet import fit_arcs

MEGA = 1e6


def scan(n):
    """A wandering run, a point every 10 mm with 1 mm of noise."""
    s = 10.0 * np.arange(n)
    run = np.stack((s, 200.0 * np.sin(s / 900.0), 150.0 * np.cos(s / 1300.0)), axis=-1)
    return run + np.random.default_rng(n).normal(0.0, 1.0, run.shape)


def hold(route):
    ends = anchor_loads(hand_pull=150.0, far_pull=100.0)
    bare = unclipped_bends(route)
    return bare, clip_list(route, ends=ends, pull=150.0, spacing=600.0, conduit_stiffness=300e3)


def main():
    hold(fit_arcs(scan(100), min_bend_radius=60.0))
    for n in (1_000, 10_000, 100_000):
        route = fit_arcs(scan(n), min_bend_radius=60.0)
        begin = time.perf_counter()
        _, clips = hold(route)
        seconds = time.perf_counter() - begin
        tracemalloc.start()
        hold(route)
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        bends = len(find_bends(route).turn)
        print(  # noqa: T201
            f"{n:7d} points, {bends} bends, {len(clips)} clips: {seconds:.3f} s, "
            f"{1e6 * seconds / n:.1f} us a point; {peak / MEGA:.0f} MB, "
            f"a matrix {len(clips) * bends / MEGA:.0f} MB"
        )


if __name__ == "__main__":
    main()
