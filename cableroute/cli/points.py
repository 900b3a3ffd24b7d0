"""``cableroute points``: type points at the machine, one by one."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from cableroute.cli._book import Book, open_book
from cableroute.cli._ear import Ear
from cableroute.cli.console import LibraryOption, complaints, say
from cableroute.errors import CableRouteError
from cableroute.hardware.library import load_library
from cableroute.output.points_text import running_lines
from cableroute.units import Unit


def points(
    file: Annotated[Path, typer.Argument(help="The route file (.toml): an old one or a new one.")],
    cable: Annotated[
        str | None, typer.Option(metavar="NAME", help="Which cable of the file.")
    ] = None,
    unit: Annotated[Unit | None, typer.Option(help="Unit of the bare numbers you type.")] = None,
    bend_radius: Annotated[
        float | None, typer.Option(metavar="MM", help="Least bend radius to the conduit's centre.")
    ] = None,
    library: LibraryOption = None,
) -> None:
    """Type points one by one, in tape notation; each is saved at once.

    A point is x y z, or a place on a tube, or tape distances to nodes; help shows how. An old
    file keeps its notes and its order. Ctrl-C or the end of the input stops, like stop does.

    Exit status: 0, or 2 for bad input; in a pipe also for a line that cannot be read.
    """
    with complaints():
        if bend_radius is not None and not 0.0 < bend_radius < math.inf:
            raise CableRouteError(f"--bend-radius: expected more than 0 mm, got {bend_radius:g}")
        if file.suffix.lower() != ".toml":
            raise CableRouteError(f"{file}: expected the name of a route file, ending in .toml")
        book = open_book(file, cable, unit, bend_radius, load_library(library or ()))
        book.save()
    faults = _talk(book)
    with complaints(), suppress(OSError):  # a closed terminal hears no farewell
        book.save()
        for line in _farewell(book):
            say(line)
    if faults and not sys.stdin.isatty():
        raise typer.Exit(2)


def _talk(book: Book) -> int:
    """Take lines until the last; return how many were faulty."""
    ear, faults = Ear(), 0
    if sys.stdin.isatty():
        with suppress(ImportError):
            import readline  # noqa: F401  # gives input() its line editing
        say(f"Points of {book.name}, from the hand end; numbers are in {book.dialogue.unit}.")
        say("Type help for the ways to write one, stop to end.")
    else:
        # bytes that are no text must end in a complaint about a line, not in a traceback
        getattr(sys.stdin, "reconfigure", lambda **_: None)(errors="replace")
    with ear.listening():
        while not book.dialogue.stopped and (line := ear.line(book.dialogue.prompt)) is not None:
            try:
                _answer(book, line)
            except CableRouteError as error:
                faults += 1
                with suppress(OSError):
                    typer.echo(f"cableroute: {error}", err=True)
            except OSError:
                break  # nobody is there to read the answer; the point is saved
    return faults


def _answer(book: Book, line: str) -> None:
    before = book.dialogue.points
    replies = book.dialogue.apply(line)
    book.save()
    for reply in replies:
        say(reply)
    if book.dialogue.points is not before:
        for reply in running_lines(book.dialogue, radius=book.radius):
            say(reply)


def _farewell(book: Book) -> Iterator[str]:
    spots = book.dialogue.points
    if not spots and not book.is_written:
        yield "No point typed; no file written."
        return
    count = f"{len(spots)} point{'' if len(spots) == 1 else 's'}"
    yield f"{count} of {book.name} saved in {book.shown}."
    if [spot.origin for spot in spots[: book.checked]] != list(range(book.checked)):
        yield "Its check readings name points by number or label: see that they still fit."
    if len(spots) >= 2:
        yield f"Next: cableroute check {book.shown}"
