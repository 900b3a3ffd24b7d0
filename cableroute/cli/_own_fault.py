"""What is said when the program itself is at fault: one line, and the details in a file."""

from __future__ import annotations

import platform
import tempfile
import traceback
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from cableroute import __version__
from cableroute.cli.console import complain

#: Exit status for a fault of the program's own, EX_SOFTWARE of sysexits.h (4.0BSD; from memory):
#: a verdict has 1, the user's input 2.
OWN_FAULT = 70


def own_fault(error: BaseException, words: Sequence[str]) -> int:
    """Say that the program is at fault, and where the details of it are."""
    what = type(error).__name__
    said = f"a fault of the program, not of your file ({what}); no file is left half written"
    with suppress(OSError):
        said += f"; the details are in {_details(error, words)}"
    complain(f"{_command(words)}: {said}")
    return OWN_FAULT


def _command(words: Sequence[str]) -> str:
    from cableroute.cli import COMMANDS

    return next((word for word in words[1:] if word in COMMANDS), "the command line")


def _details(error: BaseException, words: Sequence[str]) -> Path:
    """Write what a maintainer needs into a file that only the user can read."""
    lines = [
        f"cableroute {__version__}, Python {platform.python_version()}, {platform.platform()}\n",
        f"{datetime.now().isoformat(timespec='seconds')}\n",
        f"{list(words)!r}\n\n",
        *traceback.format_exception(error),
    ]
    with tempfile.NamedTemporaryFile(
        "w", prefix="cableroute-fault-", suffix=".txt", delete=False, encoding="utf-8"
    ) as file:
        file.writelines(line.encode("utf-8", "backslashreplace").decode() for line in lines)
    return Path(file.name)
