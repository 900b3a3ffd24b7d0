"""Run by hand: processor time and memory of every command on the worst files below 1 MB.

``python tests/benchmarks/bench_worst.py [--file NAME] [--command WORDS] [--most SECONDS]``

Each runs in a process of its own, which ends after so many seconds. What it takes to start is in
both figures.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

from worst_files import WORST, write

COMMANDS = (
    "check",
    "check --full",
    "check --json",
    "report -o out.html",
    "report -o out.pdf",
    "report -o out.md",
    "report --sheet -o out.html",
    "report --sheet -o out.pdf",
    "suggest",
    "template",
    "template -o out.pdf",
    "export -o out.dxf",
    "export -o out.csv",
    "export --what clips -o out.csv",
    "export --what bends -o out.csv",
    "export -o out.stl",
    "study",
    "compare --families --cable c0",
    "compare --pair",
    "draw -o out.png",
    "draw --what machine -o out.png",
    "feel",
    "linkage",
    "sweep --over friction=0.1:0.2:3",
)
RUN = "import sys; from cableroute.__main__ import main; sys.argv[0] = 'cableroute'; main()"


def measured(command: str, file: Path, folder: Path, most: int) -> tuple[int, float, float, str]:
    """Return exit status, processor time [s], memory [GB] and the last line of what was said."""
    name, *options = command.split()
    if file.suffix == ".csv":
        options += ["--bend-radius", "60", "--friction", "0.1", "--tolerance", "3"]
        options = [each for each in options if each not in ("--cable", "c0")]

    def bounded() -> None:
        resource.setrlimit(resource.RLIMIT_CPU, (most, most))

    with subprocess.Popen(
        [sys.executable, "-c", RUN, name, str(file), *options, *_force(options)],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        preexec_fn=bounded,  # noqa: PLW1509
    ) as process:
        said = process.stdout.read() if process.stdout else ""
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = status
    lines = said.strip().splitlines() or [""]
    return status, used.ru_utime + used.ru_stime, used.ru_maxrss / 1e6, lines[-1][:90]


def _force(options: list[str]) -> list[str]:
    return ["--force"] if "-o" in options else []


def main() -> None:
    """Print a row for each command and file."""
    words = argparse.ArgumentParser()
    words.add_argument("--file", default="")
    words.add_argument("--but", nargs="*", default=())
    words.add_argument("--command", default="")
    words.add_argument("--most", type=int, default=60)
    asked = words.parse_args()
    with tempfile.TemporaryDirectory() as name:
        for which in (each for each in WORST if asked.file in each and each not in asked.but):
            file = write(Path(name), which)
            for command in (each for each in COMMANDS if asked.command in each):
                status, took, memory, said = measured(command, file, Path(name), asked.most)
                mark = "!" if took > 10.0 or memory > 1.0 or status & 0x7F else " "
                print(  # noqa: T201
                    f"{mark} {which:20}{command:32}{took:7.1f} s{memory:6.2f} GB  {status >> 8:3} {said}",
                    flush=True,
                )


if __name__ == "__main__":
    main()
