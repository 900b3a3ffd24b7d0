"""Run by hand: what ``cableroute check`` costs against importing what it stands on.

Time of the processor, user and system, so that what else the machine does counts for little.

``python tests/benchmarks/bench_startup.py [ROUNDS]``
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

DATA = Path(__file__).parents[2] / "data"
BUGGY = DATA / "grass_track_buggy.toml"
ONE_MODEL = "import numpy, pydantic, typer\nclass One(pydantic.BaseModel):\n    a: int"
RUNS = {
    "import numpy, pydantic, typer": ["-c", "import numpy, pydantic, typer"],
    "the same and one model": ["-c", ONE_MODEL],  # pydantic imports most of itself only then
    "import cableroute": ["-c", "import cableroute"],
    "cableroute check --help": ["-m", "cableroute", "check", "--help"],
    "cableroute check": ["-m", "cableroute", "check", str(BUGGY)],
    "cableroute check, one cable": [
        "-m",
        "cableroute",
        "check",
        str(DATA / "survey_coordinates.toml"),
    ],
    "cableroute --help": ["-m", "cableroute", "--help"],
}


def seconds(arguments: list[str], environment: dict[str, str]) -> float:
    """Return what one run of the interpreter takes of the processor [s]."""
    before = os.times()
    command = [sys.executable, *arguments]
    subprocess.run(command, stdout=subprocess.DEVNULL, env=environment, check=True)
    after = os.times()
    return sum(after[2:4]) - sum(before[2:4])


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
