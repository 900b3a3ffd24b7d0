"""How commands talk: results to stdout, complaints to stderr, exit status 2 for bad input."""

from __future__ import annotations

import json
import os
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from cableroute.errors import CableRouteError, RouteFileError
from cableroute.shown import shown, shown_json

#: Colours by verdict or level; the words carry the meaning, so nothing is lost without them.
_COLOURS = {"pass": "green", "marginal": "yellow", "fail": "red"}
#: Lines of complaint shown for one file; the rest are counted.
MOST_COMPLAINTS = 50
#: Letters of one of them.
LONGEST_COMPLAINT = 1000

#: What would help as well as the option of an argument.
_BESIDES = {"bend_radius": " MM, or --family NAME; cableroute stock lists them"}

LibraryOption = Annotated[
    list[Path] | None,
    typer.Option("--library", metavar="FILE", help="Your own cable families (TOML); repeatable."),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print one JSON object instead of text.")]
ForceOption = Annotated[bool, typer.Option("--force", help="Replace a file that exists.")]
PictureOption = Annotated[
    Path | None,
    typer.Option("-o", "--output", metavar="PICTURE", help="Name ending in .png, .svg or .pdf."),
]


class Paper(StrEnum):
    """What pages are printed on."""

    A4 = "a4"
    LETTER = "letter"


@contextmanager
def complaints() -> Iterator[None]:
    """Turn an error in the user's input into a line on stderr and exit status 2."""
    try:
        yield
    except CableRouteError as error:
        say_faults(faults_of(error))
        raise typer.Exit(2) from None


def faults_of(error: Exception) -> list[str]:
    """Return what is wrong, line by line, the last with the option that would help."""
    faults = error.faults if isinstance(error, RouteFileError) else (str(error),)
    return [*faults[:-1], with_option(faults[-1], getattr(error, "argument", ""))]


def with_option(fault: str, argument: str) -> str:
    """Name the option that is at fault, or that would help, in a fault that names an argument."""
    option = f"--{argument.replace('_', '-')}"
    if not argument or option in fault:
        return fault
    at_fault = fault.startswith(f"{argument}: ")
    if at_fault:
        return f"{option}{fault[len(argument) :]}"
    return f"{fault} ({option}{_BESIDES.get(argument, '')})"


def check_ending(out: Path | None, endings: Collection[str]) -> None:
    """Refuse a name to write to, if one is given, with an ending that is none of these."""
    if out is not None and out.suffix.lower() not in endings:
        raise CableRouteError(f"{out}: expected a name ending in {', '.join(endings)}")


def say_faults(faults: Sequence[str]) -> None:
    """Print a line on stderr for each fault, until there are too many to read."""
    for fault in faults[:MOST_COMPLAINTS]:
        complain(fault)
    if len(faults) > MOST_COMPLAINTS:
        complain(f"and {len(faults) - MOST_COMPLAINTS} more")


def complain(what: str) -> None:
    """Print one line on stderr."""
    typer.echo(f"cableroute: {shown(what, most=LONGEST_COMPLAINT)}", err=True)


def say_aside(line: str, *, nl: bool = True) -> None:
    """Print a line on stderr that is no complaint, as a question is."""
    typer.echo(shown(line), err=True, nl=nl)


def ready_to_draw() -> None:
    """Load what draws, without the user's own settings of it, which may not work for us."""
    os.environ["MPLBACKEND"] = "agg"
    try:
        import matplotlib
    except ValueError as error:
        raise CableRouteError(f"cannot draw: see your matplotlibrc, {error}") from error
    matplotlib.rcdefaults()


def say(line: str, mood: str = "") -> None:
    """Print a line, coloured by its mood on a terminal that wants colour."""
    line = shown(line)
    colour = None if os.environ.get("NO_COLOR") else _COLOURS.get(mood)
    typer.echo(typer.style(line, fg=colour) if colour else line)


def say_json(data: dict[str, Any]) -> None:
    """Print one JSON object."""
    typer.echo(shown_json(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False)))
