"""Two processes that write into one route file at once: neither result is lost without a word."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

DATA = Path(__file__).resolve().parents[2] / "data"
ROUNDS = 6
CABLES = ("shift", "throttle")
#: Each waits for the other before every round, with all that it needs imported.
RACER = """
import sys, time
from pathlib import Path
from typer.testing import CliRunner
from cableroute.cli import app

readings, mine, other, rounds = sys.argv[1:]
for number in range(-1, int(rounds)):
    Path(f"{mine}{number}.ready").touch()
    while not Path(f"{other}{number}.ready").exists():
        time.sleep(0.0002)
    words = ["calibrate", readings, "--into", f"{number}.toml", "--cable", mine]
    result = CliRunner().invoke(app, words)
    print(result.exit_code, result.stderr.replace("\\n", " "), flush=True)
"""


def test_of_two_that_calibrate_at_once_neither_is_lost_without_a_word(tmp_path):
    text = (DATA / "grass_track_buggy.toml").read_text(encoding="utf-8")
    for number in range(-1, ROUNDS):
        (tmp_path / f"{number}.toml").write_text(text, encoding="utf-8")
    racers = [
        subprocess.Popen(
            [sys.executable, "-c", RACER, str(DATA / "buggy_friction_readings.csv"), *names],
            cwd=tmp_path,
            stdout=subprocess.PIPE,
            text=True,
        )
        for names in ((*CABLES, str(ROUNDS)), (*reversed(CABLES), str(ROUNDS)))
    ]
    told = [racer.communicate(timeout=200)[0].splitlines() for racer in racers]
    before = {cable["name"]: cable.get("friction") for cable in tomllib.loads(text)["cable"]}
    for number, both in enumerate(zip(*told, strict=True), start=-1):
        data = tomllib.loads((tmp_path / f"{number}.toml").read_text(encoding="utf-8"))
        after = {cable["name"]: cable.get("friction") for cable in data["cable"]}
        for name, said in zip(CABLES, both, strict=True):
            status = said.partition(" ")[0]
            assert (status == "0") == (after[name] != before[name]), said
            assert status == "0" or "changed by something else meanwhile" in said
        assert any(said.startswith("0") for said in both)
