"""How commands talk: results to stdout, complaints to stderr, exit status 2 for bad input."""

from __future__ import annotations

import json
import os
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

import typer

from cableroute.errors import CableRouteError

#: Colours by verdict or level; the words carry the meaning, so nothing is lost without them.
_COLOURS = {"pass": "green", "marginal": "yellow", "fail": "red"}
#: Lines of complaint shown for one file; the rest are counted.
MOST_COMPLAINTS = 50

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


@contextmanager
def complaints() -> Iterator[None]:
    """Turn an error in the user's input into a line on stderr and exit status 2."""
    try:
        yield
    except CableRouteError as error:
        lines = str(error).splitlines()
        for line in lines[:MOST_COMPLAINTS]:
            typer.echo(f"cableroute: {line}", err=True)
        if len(lines) > MOST_COMPLAINTS:
            typer.echo(f"cableroute: and {len(lines) - MOST_COMPLAINTS} more", err=True)
        raise typer.Exit(2) from None


def check_ending(out: Path | None, endings: Collection[str]) -> None:
    """Refuse a name to write to, if one is given, with an ending that is none of these."""
    if out is not None and out.suffix.lower() not in endings:
        raise CableRouteError(f"{out}: expected a name ending in {', '.join(endings)}")


def say(line: str, mood: str = "") -> None:
    """Print a line, coloured by its mood on a terminal that wants colour."""
    colour = None if os.environ.get("NO_COLOR") else _COLOURS.get(mood)
    typer.echo(typer.style(line, fg=colour) if colour else line)


def say_json(data: dict[str, Any]) -> None:
    """Print one JSON object."""
    typer.echo(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))
