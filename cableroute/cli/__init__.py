"""The command line: parse, read, call, print, exit code."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator, Mapping
from importlib import import_module
from io import TextIOWrapper
from typing import Annotated, Any, cast

import typer
from typer.core import TyperGroup

from cableroute import __version__

#: What is typed, in the order of the help, and the module and function in this folder that do it.
COMMANDS = {
    "new": "new:new",
    "points": "points:points",
    "check": "check:check",
    "report": "report:report_command",
    "compare": "compare:compare",
    "suggest": "suggest:suggest",
    "feel": "feel:feel_command",
    "calibrate": "calibrate:calibrate",
    "template": "template:template",
    "export": "export:export",
    "stock": "stock:stock",
    "schema": "schema:schema",
    "draw": "draw:draw_command",
    "linkage": "linkage:linkage_command",
}
#: Exit status after Ctrl-C: 128 and the number of the signal.
INTERRUPTED = 130
_MANNER: dict[str, Any] = {
    "add_completion": False,
    "pretty_exceptions_enable": False,
    "rich_markup_mode": None,
}


class _OnDemand(Mapping[str, Any]):
    """The commands by name, each imported when it is first looked up."""

    def __getitem__(self, name: str) -> Any:
        module, function = COMMANDS[name].split(":")
        alone = typer.Typer(**_MANNER)
        alone.command(name)(getattr(import_module(f"{__name__}.{module}"), function))
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

    def invoke(self, ctx: Any) -> Any:
        """Run a command; Ctrl-C ends it without a word, with the status that shells give it."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            raise typer.Exit(INTERRUPTED) from None
        except typer.BadParameter as error:
            error.message = error.message.removeprefix("Value error, ")  # pydantic's, not ours
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
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a label may hold what it cannot show
    if hasattr(signal, "SIGPIPE"):
        # as other filters do: head that has had enough is no failing verdict, which status 1 means
        signal.signal(signal.SIGPIPE, signal.SIG_DFL)
    try:
        app()
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except OSError as error:
        # nothing more can be written, so what waits to be flushed goes nowhere
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.stderr.write(f"cableroute: cannot write the output: {error.strerror}\n")
        sys.exit(2)
