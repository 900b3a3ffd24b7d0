"""What a shell has to do with the program: completion, and Ctrl-C while it is being loaded."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

BUGGY = Path(__file__).resolve().parents[2] / "data" / "grass_track_buggy.toml"
RUN = "from cableroute.__main__ import main; main()"
#: Presses Ctrl-C as soon as a module is looked for.
PRESS = """
import os, signal, sys
class Finder:
    @staticmethod
    def find_spec(name, path=None, target=None):
        if name == os.environ["PRESS_AT"]:
            os.kill(os.getpid(), signal.SIGINT)
sys.meta_path.insert(0, Finder)
"""


def run(code: str, *words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code, *words],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, **environment},
    )


def test_commands_are_completed():
    words = {
        "_CABLEROUTE_COMPLETE": "complete_bash",
        "COMP_WORDS": "cableroute ch",
        "COMP_CWORD": "1",
    }
    assert run(RUN, **words).stdout.split() == ["check"]


def test_completion_can_be_put_into_the_shell():
    shown = run(RUN, "--help").stdout
    assert "--install-completion" in shown
    assert "--show-completion" in shown


@pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")
@pytest.mark.parametrize(
    "module", ["cableroute.cli", "typer", "numpy", "pydantic", "cableroute.assess", "tomllib"]
)
def test_ctrl_c_while_loading_ends_without_a_word(module):
    result = run(PRESS + RUN, "check", str(BUGGY), PRESS_AT=module)
    assert result.stdout + result.stderr == ""
    assert result.returncode in (-signal.SIGINT, 128 + signal.SIGINT)
