"""``cableroute points``: type points at the machine, one by one."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from cableroute.cli.cable_keys import ASKED, families_that_fit, is_key, set_key
from cableroute.cli.console import LibraryOption, complain, complaints, say
from cableroute.cli.held_signals import HeldSignals
from cableroute.cli.points_file import PointsFile, open_points_file
from cableroute.cli.verdict_line import verdict_line
from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.dialogue import COMMANDS
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

    A point is x y z, or a place on a tube, or tape distances to nodes; help shows how. Of a new
    file kind, load, travel and family are asked first. An old file keeps its notes and its order. Ctrl-C or the end of the input stops, like stop does.

    Exit status: 0, or 2 for bad input; in a pipe also for a line that cannot be read.
    """
    with complaints():
        if bend_radius is not None and not 0.0 < bend_radius < math.inf:
            raise CableRouteError(f"--bend-radius: expected more than 0 mm, got {bend_radius:g}")
        if file.suffix.lower() != ".toml":
            raise CableRouteError(f"{file}: expected the name of a route file, ending in .toml")
        families = load_library(library or ())
        points_file = open_points_file(file, cable, unit, bend_radius, families)
        points_file.save()
    asked = list(ASKED) if points_file.is_new and bend_radius is None and sys.stdin.isatty() else []
    faults = _talk(points_file, families, asked)
    with complaints(), suppress(OSError):  # a closed terminal hears no farewell
        points_file.save()
        for line in _farewell(points_file, families):
            say(line)
    if faults and not sys.stdin.isatty():
        raise typer.Exit(2)


def _talk(points_file: PointsFile, families: Mapping[str, Family], asked: list[str]) -> int:
    """Ask for what is not known of the cable, then take lines until the last; count the faulty."""
    signals, faults = HeldSignals(), 0
    if sys.stdin.isatty():
        with suppress(ImportError):
            import readline  # noqa: F401  # gives input() its line editing
        say(
            f"Points of {points_file.name}, from the hand end; numbers are in {points_file.dialogue.unit}."
        )
        say("Type help for the ways to write one, stop to end.")
    else:
        # bytes that are no text must end in a complaint about a line, not in a traceback
        getattr(sys.stdin, "reconfigure", lambda **_: None)(errors="replace")
    with signals.listening():
        while not points_file.dialogue.stopped:
            key = asked.pop(0) if asked else ""
            if key == "family":
                for each in families_that_fit(points_file, families):
                    say(each)
            prompt = (
                f"{key} ({ASKED[key]}; Enter passes over)> " if key else points_file.dialogue.prompt
            )
            if (line := signals.line(prompt)) is None:
                break
            try:
                _answer(points_file, _with_key(key, line), families)
            except CableRouteError as error:
                faults += 1
                with suppress(OSError):
                    complain(str(error))
            except OSError:
                break  # nobody is there to read the answer; the point is saved
    return faults


def _with_key(key: str, line: str) -> str:
    """Read an answer to a question; a command or a point is taken for what it is."""
    text = line.strip()
    words = text.split()
    numbers = len(words) == 3 and all(
        word.lstrip("+-").replace(".", "", 1).isdigit() for word in words
    )
    is_point = numbers or ";" in text or (key in ("kind", "family") and text[:1].isdigit())
    is_other = is_point or is_key(text) or (words[:1] and words[0].lower() in COMMANDS)
    return f"{key} {text}" if key and text and not is_other else line


def _answer(points_file: PointsFile, line: str, families: Mapping[str, Family]) -> None:
    if is_key(line):
        for reply in set_key(points_file, line, families):
            say(reply)
        points_file.save()
        return
    before = points_file.dialogue.points
    replies = points_file.dialogue.apply(line)
    points_file.save()
    for reply in replies:
        say(reply)
    if points_file.dialogue.points is not before:
        for reply in running_lines(points_file.dialogue, radius=points_file.radius):
            say(reply)
        told = verdict_line(points_file, families) if sys.stdin.isatty() else None
        if told:
            say(told)


def _farewell(points_file: PointsFile, families: Mapping[str, Family]) -> Iterator[str]:
    spots = points_file.dialogue.points
    if not spots and not points_file.is_written:
        yield "No point typed; no file written."
        return
    count = f"{len(spots)} point{'' if len(spots) == 1 else 's'}"
    yield f"{count} of {points_file.name} saved in {points_file.shown}."
    if [spot.origin for spot in spots[: points_file.checked]] != list(range(points_file.checked)):
        yield "Its check readings name points by number or label: see that they still fit."
    told = None if sys.stdin.isatty() else verdict_line(points_file, families)
    if told:
        yield told.strip()
    if len(spots) >= 2:
        yield f"Next: cableroute check {points_file.shown}"
