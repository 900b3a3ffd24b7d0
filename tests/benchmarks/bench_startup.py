"""Run by hand: how long ``cableroute check`` takes against importing what it stands on.

``python tests/benchmarks/bench_startup.py [ROUNDS]``
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

BUGGY = Path(__file__).parents[2] / "data" / "grass_track_buggy.toml"
ONE_MODEL = "import numpy, pydantic, typer\nclass One(pydantic.BaseModel):\n    a: int"
RUNS = {
    "import numpy, pydantic, typer": ["-c", "import numpy, pydantic, typer"],
    "the same and one model": ["-c", ONE_MODEL],  # pydantic imports most of itself only then
    "import cableroute": ["-c", "import cableroute"],
    "cableroute check --help": ["-m", "cableroute", "check", "--help"],
    "cableroute check": ["-m", "cableroute", "check", str(BUGGY)],
    "cableroute --help": ["-m", "cableroute", "--help"],
}


def seconds(arguments: list[str], environment: dict[str, str]) -> float:
    """Return how long one run of the interpreter takes [s]."""
    start = time.perf_counter()
    command = [sys.executable, *arguments]
    subprocess.run(command, stdout=subprocess.DEVNULL, env=environment, check=True)
    return time.perf_counter() - start


def main(rounds: int) -> None:
    """Print the best of some rounds for each, and its ratio to the first."""
    environment = dict(os.environ)
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # else each run compiles the package anew
    best = dict.fromkeys(RUNS, float("inf"))
    for _ in range(rounds):  # in turn, so that what else the machine does troubles all alike
        for name, arguments in RUNS.items():
            best[name] = min(best[name], seconds(arguments, environment))
    first = next(iter(best.values()))
    for name, least in best.items():
        print(f"{name:32}{1000 * least:6.0f} ms  {least / first:5.2f}")  # noqa: T201


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
