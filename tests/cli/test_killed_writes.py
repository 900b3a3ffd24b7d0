"""Killed at any moment, or out of room on the disk: a file is the old one or the new one, whole."""

from __future__ import annotations

import os
import random
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

DATA = Path(__file__).parents[2] / "data"
BUGGY = str(DATA / "grass_track_buggy.toml")
LINKED = str(DATA / "grass_track_buggy_selector.toml")
CROWDED = str(Path(__file__).parents[1] / "whole_job" / "orchard_before.toml")
READINGS = str(DATA / "buggy_friction_readings.csv")
#: Every command that writes: its words, the file, and what a whole one ends with.
WRITERS = {
    "new": (("new", "out.toml", "--force"), "out.toml", b"\n"),
    "export": (("export", BUGGY, "-o", "out.dxf", "--force"), "out.dxf", b"EOF\n"),
    "template": (("template", BUGGY, "--csv", "out.csv", "--force"), "out.csv", b"\n"),
    "linkage": (("linkage", LINKED, "--csv", "out.csv", "--force"), "out.csv", b"\n"),
    "report": (("report", BUGGY, "-o", "out.md", "--force"), "out.md", b"\n"),
    "draw": (
        ("draw", BUGGY, "--cable", "shift", "-o", "out.svg", "--force"),
        "out.svg",
        b"</svg>\n",
    ),
    "suggest": (("suggest", CROWDED, "--apply", "out.toml", "--force"), "out.toml", b"\n"),
    "study": (("study", BUGGY, "--n", "64", "--csv", "out.csv", "--force"), "out.csv", b"\n"),
    "sweep": (
        ("sweep", BUGGY, "--over", "cable.shift.load=50:90:2", "--csv", "out.csv", "--force"),
        "out.csv",
        b"\n",
    ),
    "compare": (("compare", BUGGY, "-o", "out.svg", "--force"), "out.svg", b"</svg>\n"),
    "feel": (
        ("feel", BUGGY, "--cable", "shift", "-o", "out.svg", "--force"),
        "out.svg",
        b"</svg>\n",
    ),
    "calibrate": (
        ("calibrate", READINGS, "--into", "out.toml", "--cable", "shift"),
        "out.toml",
        b"\n",
    ),
}
#: Says when signals are in our hands, and no more in those of an interpreter that is starting.
BEGIN = """
from cableroute.__main__ import main
from cableroute.interrupts import end_at_ctrl_c
end_at_ctrl_c()
print("begun", flush=True)
main()
"""
pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals and limits are POSIX's")


def start(words, folder: Path, **more) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-c", BEGIN, *words]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    return subprocess.Popen(command, cwd=folder, **pipes, **more)


@pytest.fixture(params=WRITERS)
def writer(request, tmp_path):
    """A command, its file with something old in it, and both in a folder of their own."""
    words, name, end = WRITERS[request.param]
    old = tmp_path / name
    old.write_bytes(Path(BUGGY).read_bytes())
    return words, old, end


def test_a_kill_at_any_moment_leaves_the_old_file_or_the_new_one(writer, tmp_path):
    words, file, end = writer
    chance = random.Random(words[0])
    number = chance.choice([signal.SIGKILL, signal.SIGTERM, signal.SIGINT])
    before = file.read_bytes()
    running = start(words, tmp_path)
    assert running.stdout.readline() == b"begun\n"
    time.sleep(chance.uniform(0.0, 1.2))
    running.send_signal(number)
    _, told = running.communicate(timeout=120)
    after = file.read_bytes()
    assert after == before or after.endswith(end)
    assert b"Traceback" not in told
    left = {path.name for path in tmp_path.iterdir()} - {file.name}
    assert all(name.startswith(".cableroute.") for name in left)
    if number == signal.SIGINT:
        assert not left


def test_a_disk_that_is_full_leaves_the_old_file(writer, tmp_path):
    words, file, _ = writer
    before = file.read_bytes()

    def no_room() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))

    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
    running = start(words, tmp_path, preexec_fn=no_room, env=environment)
    _, told = running.communicate(timeout=120)
    assert running.returncode == 2, told
    assert b"cannot write it" in told
    assert file.read_bytes() == before
    assert {path.name for path in tmp_path.iterdir()} == {file.name}
