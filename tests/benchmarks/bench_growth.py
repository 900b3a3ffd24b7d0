"""Run by hand: how time and memory of ``check`` grow with points and with cables.

``python tests/benchmarks/bench_growth.py [MOST_POINTS] [MOST_CABLES]``

Each size runs in a process of its own. The exponent is that between a size and the one before:
1 is in proportion, a little more is n log n.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from math import log, nan
from pathlib import Path

from worst_files import machine, scan

POINTS = (1_000, 3_000, 10_000, 30_000, 100_000)
CABLES = (10, 30, 100)
RUN = """
import os
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does
import json, resource, sys, time
from typer.testing import CliRunner
from cableroute.cli import app
CliRunner().invoke(app, ["stock"])
begun = time.process_time()
done = CliRunner().invoke(app, ["check", *sys.argv[1:]])
assert done.exit_code in (0, 1), done.output
took = time.process_time() - begun
print(json.dumps([took, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6]))
"""
BARE = ("--bend-radius", "60", "--friction", "0.1")


def points(folder: Path, count: int) -> list[str]:
    """Write a curve in space that is none of lines and arcs, and return how it is checked."""
    file = folder / f"{count}.csv"
    file.write_text(scan(count))
    return [str(file), "--tolerance", "0", *BARE]


def cables(folder: Path, count: int) -> list[str]:
    """Write a machine of many cables, and return how it is checked."""
    file = folder / f"{count}.toml"
    file.write_text(machine(count))
    return [str(file)]


def measured(words: list[str]) -> tuple[float, float]:
    """Return processor time [s] and memory [GB] of one check."""
    command = [sys.executable, "-c", RUN, *words]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    took, memory = json.loads(done.stdout)
    return took, memory


def main(most_points: int, most_cables: int) -> None:
    """Print a row for each size."""
    with tempfile.TemporaryDirectory() as name:
        for what, sizes, most, make in (
            ("points", POINTS, most_points, points),
            ("cables", CABLES, most_cables, cables),
        ):
            before, old = 0, 0.0
            for size in (size for size in sizes if size <= most):
                took, memory = measured(make(Path(name), size))
                grows = log(took / old) / log(size / before) if old > 0.0 else nan
                print(f"{size:8} {what:8}{took:8.2f} s{memory:7.2f} GB   exponent {grows:5.2f}")  # noqa: T201
                before, old = size, took


if __name__ == "__main__":
    most = [*map(int, sys.argv[1:]), POINTS[-1], CABLES[-1]]
    main(*most[:2])
