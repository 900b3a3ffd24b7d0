"""The command line: parse, read, call, print, exit code."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from io import TextIOWrapper
from itertools import pairwise
from typing import Annotated, Any, cast

import typer
from typer.core import TyperGroup

from cableroute import __version__
from cableroute.cli.console import complain
from cableroute.interrupts import INTERRUPTED, end_at_ctrl_c
from cableroute.shown import shown

#: What is typed, in the order of the help, and the module and function in this folder that do it.
COMMANDS = {
    "new": "new:new",
    "points": "points:points",
    "page": "page:page",
    "check": "check:check",
    "report": "report:report_command",
    "compare": "compare:compare",
    "suggest": "suggest:suggest",
    "study": "study:study_command",
    "sweep": "sweep:sweep_command",
    "feel": "feel:feel_command",
    "calibrate": "calibrate:calibrate",
    "template": "template:template",
    "export": "export:export",
    "stock": "stock:stock",
    "schema": "schema:schema",
    "draw": "draw:draw_command",
    "linkage": "linkage:linkage_command",
}
#: typer's error for words it cannot read; it stands on click, or on a copy of its own.
_MISTYPED: Any = next(each for each in typer.BadParameter.__mro__ if each.__name__ == "UsageError")
_MANNER: dict[str, Any] = {
    "pretty_exceptions_enable": False,
    "rich_markup_mode": None,
}


class _OnDemand(Mapping[str, Any]):
    """The commands by name, each imported when it is first looked up."""

    def __getitem__(self, name: str) -> Any:
        module, function = COMMANDS[name].split(":")
        alone = typer.Typer(**_MANNER, add_completion=False)
        found = import_module(f"{__name__}.{module}")
        alone.command(name)(getattr(found, function))
        return typer.main.get_command(alone)

    def __iter__(self) -> Iterator[str]:
        return iter(COMMANDS)

    def __len__(self) -> int:
        return len(COMMANDS)


class Group(TyperGroup):
    """All commands, though a call imports its own only; the help, which lists them, imports all."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.commands = cast(Any, _OnDemand())

    def make_context(self, info_name: str | None, args: list[str], *more: Any, **words: Any) -> Any:
        """Read the words before the command; an empty one is none, where a path would make it a dot."""
        for before, word in pairwise([str(info_name), *args]):
            if not word or (word.startswith("--") and word.endswith("=")):
                complain(f"expected a name or a number after {word[:-1] or before}, got nothing")
                raise typer.Exit(2)
        with _plain_complaints():
            return super().make_context(info_name, args, *more, **words)

    def invoke(self, ctx: Any) -> Any:
        """Run a command; Ctrl-C ends it without a word, with the status that shells give it."""
        with _plain_complaints():
            try:
                return super().invoke(ctx)
            except KeyboardInterrupt:
                raise typer.Exit(INTERRUPTED) from None


@contextmanager
def _plain_complaints() -> Iterator[None]:
    """Say what was typed wrong in our words, with nothing in them that a terminal obeys."""
    try:
        yield
    except _MISTYPED as error:
        error.message = shown(error.message.removeprefix("Value error, "))  # pydantic's, not ours
        raise


app = typer.Typer(
    name="cableroute",
    cls=Group,
    help="From tape-measure points to a verdict on a control cable: bends, force, buckling, "
    "the length to order. Begin with: cableroute new machine.toml",
    no_args_is_help=True,
    **_MANNER,
)


def _tell_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"cableroute {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool,
        typer.Option(
            "--version",
            help="Print the version and stop.",
            is_eager=True,
            callback=_tell_version,
        ),
    ] = False,
) -> None:
    """Make typer build a group, which it does not for want of commands of its own."""


def main() -> None:
    """Run the command line."""
    end_at_ctrl_c()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a label may hold what it cannot show
    if sys.stdin is None:  # closed by whoever started us
        sys.stdin = open(os.devnull)  # noqa: SIM115  # for as long as the program runs
    if hasattr(signal, "SIGPIPE"):
        # as other filters do: head that has had enough is no failing verdict, which status 1 means
        signal.signal(signal.SIGPIPE, signal.SIG_DFL)
    try:
        app(prog_name="cableroute")  # which completion in a shell goes by too
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except OSError as error:
        # nothing more can be written, so what waits to be flushed goes nowhere
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        complain(f"cannot write the output: {error.strerror}")
        sys.exit(2)
    except Exception as error:
        from cableroute.cli._own_fault import own_fault

        sys.exit(own_fault(error, sys.argv))
