"""``cableroute compare``: options side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated

import typer

from cableroute.assess import Assessment, assess
from cableroute.cli.console import (
    ForceOption,
    JsonOption,
    PictureOption,
    check_ending,
    complaints,
    say,
    say_json,
)
from cableroute.cli.job_options import Reader, overriding
from cableroute.cli.progress import progress
from cableroute.comparison.line_up import Comparison, line_up
from cableroute.errors import CableRouteError, RouteFileError
from cableroute.measure.wording import Words
from cableroute.output.compare_dict import comparison_dict
from cableroute.output.compare_text import comparison_lines
from cableroute.output.drawings import SUFFIXES, picture
from cableroute.output.files import write_bytes
from cableroute.output.telling import Told


@overriding
def compare(
    files: Annotated[
        list[Path], typer.Argument(help="Route files (.toml) or lists of points (.csv).")
    ],
    read: Reader,
    pair: Annotated[
        bool,
        typer.Option("--pair", help="Add each push-pull cable as a pull pair, and the reverse."),
    ] = False,
    cable: Annotated[
        str | None, typer.Option(metavar="NAME", help="Only the cable of this name.")
    ] = None,
    preload: Annotated[
        float | None,
        typer.Option(metavar="N", help="Preload of a pair, instead of 1.2 times the least."),
    ] = None,
    out: PictureOption = None,
    json: JsonOption = False,
    force: ForceOption = False,
) -> None:
    """Set options side by side: routes of one cable, or push-pull against a pull pair.

    Cables of one name in several files are compared with each other, name by name; if no two
    files share a name, every cable is an option, and so is every cable of a single file:

    cableroute compare left_way.toml right_way.toml

    cableroute compare machine.toml --pair

    Exit status: 0 if one option at least passes or is marginal, 1 if all that are compared with
    each other fail, 2 bad input.
    """
    with complaints(), progress("judging the cables") as told:
        check_ending(out, SUFFIXES)
        found = _read_all(files, lambda file: assess(read(file)), told=told)
        told("setting them side by side")
        comparisons, left_out = line_up(found, cable=cable, pair=pair, preload=preload)
        shown = next(iter(found.values())).job.unit
        if out is not None:
            told("drawing the picture")
            _draw(out, comparisons, unit=shown, force=force)
    data = comparison_dict(comparisons, left_out)
    if json:
        say_json(data)
    else:
        for mood, line in comparison_lines(comparisons, left_out, inches=Words(shown).inches):
            say(line, mood)
        if out is not None:
            say(f"{out} is written.")
    raise typer.Exit(1 if data["verdict"] == "fail" else 0)


def _read_all(
    files: Sequence[Path], read: Callable[[Path], Assessment], *, told: Told
) -> dict[str, Assessment]:
    """Read every file, and report the faults of all of them together."""
    found, faults = {}, []
    stems = [file.stem for file in files]
    for i, file in enumerate(files):
        name = file.stem if stems.count(file.stem) == 1 else str(file)
        if file in files[:i]:
            faults.append(f"{file}: expected each file once, got it twice")
            continue
        told(f"judging file {i + 1} of {len(files)}: {name}")
        try:
            found[name] = read(file)
        except RouteFileError as error:
            faults += error.faults
        except CableRouteError as error:
            text = str(error)
            faults.append(text if str(file) in text or len(files) == 1 else f"{file}: {text}")
    if faults:
        raise RouteFileError(dict.fromkeys(faults))
    return found


def _draw(out: Path, comparisons: Sequence[Comparison], *, unit: str, force: bool) -> None:
    """Write the picture of the one comparison there is."""
    from cableroute.output.pictures.compare_picture import draw_comparison

    if len(comparisons) > 1:
        names = ", ".join(comparison.name for comparison in comparisons)
        raise CableRouteError(
            f"one picture shows one comparison; expected --cable, one of: {names}"
        )
    figure = draw_comparison(comparisons[0], unit=unit)
    write_bytes(out, picture(figure, out.suffix.lower()), force=force)
