"""Run by hand: ``python -m tests.fuzz --n 20000 [--command check] [--from 0] [--jobs 2]``.

Prints every cause found with how often, and the number by which the first of it comes again; a new
one as soon as it is found, and how far it is, on standard error. Ctrl-C ends it with what is found:
``python -m tests.fuzz --show check:1234`` prints that input and what is wrong with it.
"""

from __future__ import annotations

import argparse
import signal
import sys
import tempfile
import time
from collections import Counter
from contextlib import suppress
from multiprocessing import get_context
from pathlib import Path

from tests.fuzz.trial import case, tried
from tests.fuzz.ways import WAYS

#: No input below a megabyte takes longer than this of the processor, nor one for the outputs that
#: take long by themselves [s].
LONGEST, LONGEST_APART = 10, 30


def one(name: tuple[str, int]) -> tuple[str, str, float]:
    """Try one input; return its name, what is wrong, what it took of the processor [s]."""
    command, number = name
    begun = time.process_time()
    with tempfile.TemporaryDirectory() as folder:
        longest = LONGEST_APART if "." in command else LONGEST
        cause = tried(case(command, number), Path(folder), seconds=longest)
    return f"{command}:{number}", cause, time.process_time() - begun


def _leave_it_to_the_parent() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def report(names: list[tuple[str, int]], jobs: int) -> int:
    """Try all of them, and print what was found by cause."""
    counts: Counter[str] = Counter()
    first: dict[str, str] = {}
    slowest = ("", 0.0)
    done, untold = 0, suppress(KeyboardInterrupt)
    with (
        get_context("fork").Pool(jobs, _leave_it_to_the_parent, maxtasksperchild=2000) as pool,
        untold,
    ):
        for name, cause, took in pool.imap_unordered(one, names, chunksize=20):
            done += 1
            slowest = max(slowest, (name, took), key=lambda each: each[1])
            told = f"{name.partition(':')[0]}: {cause}"
            if cause and told not in first:
                first[told] = name
                print(f"{name}  {cause}", file=sys.stderr, flush=True)
            counts[told] += bool(cause)
            if done % 1000 == 0:
                print(f"{done} of {len(names)} tried, to {name}", file=sys.stderr, flush=True)
    counts = +counts
    for cause, count in counts.most_common():
        print(f"{count:6}  {cause}  (first: {first[cause]})")
    print(f"{done} inputs, {sum(counts.values())} findings of {len(counts)} causes; ", end="")
    print(f"the slowest, {slowest[0]}, took {slowest[1]:.1f} s")
    return int(bool(counts))


def show(name: str) -> int:
    """Print one input and what is wrong with it."""
    command, _, number = name.partition(":")
    each = case(command, int(number))
    sys.stdout.write(each.data.decode("utf-8", "backslashreplace"))
    print("\n---", *each.words)
    for how, where, body in each.asked:
        print(how, where, body.decode("utf-8", "backslashreplace"))
    print(one((command, int(number)))[1] or "nothing is wrong")
    return 0


def main() -> int:
    """Read the command line and do what it says."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz")
    parser.add_argument("--n", type=int, default=1000, help="inputs for each command")
    parser.add_argument("--command", choices=WAYS, action="append")
    parser.add_argument("--from", type=int, default=0, dest="begin")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--show", metavar="COMMAND:NUMBER")
    given = parser.parse_args()
    if given.show:
        return show(given.show)
    commands = given.command or list(WAYS)
    return report(
        [(c, i) for c in commands for i in range(given.begin, given.begin + given.n)], given.jobs
    )


if __name__ == "__main__":
    sys.exit(main())
