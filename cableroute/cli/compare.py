"""``cableroute compare``: options side by side."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
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
    faults_of,
    ready_to_draw,
    say,
    say_json,
)
from cableroute.cli.job_options import Reader, overriding
from cableroute.cli.progress import progress
from cableroute.comparison.families import rank_families
from cableroute.comparison.line_up import Comparison, line_up
from cableroute.errors import CableRouteError, RouteFileError
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.job import Job
from cableroute.measure.sources import kind_of
from cableroute.measure.wording import Words
from cableroute.output.compare_dict import comparison_dict
from cableroute.output.compare_text import comparison_lines
from cableroute.output.drawings import SUFFIXES, picture
from cableroute.output.family_ranking import ranking_dict, ranking_lines
from cableroute.output.files import write_bytes
from cableroute.output.telling import Announce

#: What helps where there is nothing to compare with.
_HELPS = {
    "pair": "give another file, or --pair",
    "family": "--family names one, cableroute stock lists them",
}


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
    families: Annotated[
        bool,
        typer.Option(
            "--families", help="Judge the run of one cable with every family, best first."
        ),
    ] = False,
    out: PictureOption = None,
    json: JsonOption = False,
    force: ForceOption = False,
) -> None:
    """Set options side by side: routes of one cable, or push-pull against a pull pair.

    Cables of one name in several files are compared with each other, name by name; if no two
    files share a name, every cable is an option, and so is every cable of a single file:

    cableroute compare left_way.toml right_way.toml

    cableroute compare machine.toml --pair

    In front of the shelf: the same run with every family, those of your own among them:

    cableroute compare machine.toml --cable shift --families --library own.toml

    Exit status: 0 if one option at least passes or is marginal, 1 if all that are compared with
    each other fail, 2 bad input.
    """
    if families:
        with complaints():
            _alone(files, pair=pair, preload=preload, out=out)
            verdict = _families(files[0], read, cable=cable, json=json)
        raise typer.Exit(1 if verdict == "fail" else 0)
    with complaints(), progress("judging the cables") as announce:
        check_ending(out, SUFFIXES)
        found = _read_all(files, lambda file: assess(read(file)), announce=announce)
        announce("setting them side by side")
        try:
            comparisons, left_out = line_up(found, cable=cable, pair=pair, preload=preload)
        except CableRouteError as error:
            if error.argument not in _HELPS:
                raise
            raise CableRouteError(f"{error}; {_HELPS[error.argument]}") from None
        words = next(iter(found.values())).job.words
        if out is not None:
            ready_to_draw()
            announce("drawing the picture")
            _draw(out, comparisons, words=words, force=force, inputs=read.inputs)
    data = comparison_dict(comparisons, left_out)
    if json:
        say_json(data)
    else:
        for mood, line in comparison_lines(comparisons, left_out, words=words):
            say(line, mood)
        if out is not None:
            say(f"{out} is written.")
    raise typer.Exit(1 if data["verdict"] == "fail" else 0)


def _alone(files: Sequence[Path], *, pair: bool, preload: float | None, out: Path | None) -> None:
    """Refuse what does not go with families on one run."""
    given = {"--pair": pair, "--preload": preload is not None, "-o": out is not None}
    beside = [option for option, is_given in given.items() if is_given]
    if beside or len(files) > 1:
        got = ", ".join([*beside, *([f"{len(files)} files"] if len(files) > 1 else [])])
        raise CableRouteError(f"--families: expected one file and --cable, got {got} besides")


def _families(file: Path, read: Reader, *, cable: str | None, json: bool) -> str:
    """Judge one run with every family, print them, and return the verdict on the best."""
    library = load_library(read.given["library"] or ())
    with progress("judging the families") as announce:
        job = _read_for_families(file, read, library)
        ranked = rank_families(job, cable=cable, library=library, told=announce)
    name = cable or job.cables[0].name
    data = ranking_dict(name, ranked)
    if json:
        say_json(data)
    else:
        for mood, line in ranking_lines(name, ranked, words=job.words):
            say(line, mood)
    return str(data["verdict"])


def _read_for_families(file: Path, read: Reader, library: Mapping[str, Family]) -> Job:
    """Read a file; a bare list needs no family of its own, as each that is tried brings its radius."""
    given = read.given
    if (
        kind_of(file, read.content(file)) == ".toml"
        or given["family"]
        or given["bend_radius"]
        or not library
    ):
        return read(file)
    some = max(library.values(), key=lambda family: family.kind == "push-pull")
    job = replace(read, given={**given, "family": some.name})(file)
    if job.as_read is None:
        return job
    bare = tuple(each.model_copy(update={"family": None}) for each in job.as_read.cable)
    return replace(job, as_read=job.as_read.model_copy(update={"cable": bare}))


def _read_all(
    files: Sequence[Path], read: Callable[[Path], Assessment], *, announce: Announce
) -> dict[str, Assessment]:
    """Read every file, and report the faults of all of them together."""
    found, faults = {}, []
    stems = [file.stem for file in files]
    for i, file in enumerate(files):
        name = file.stem if stems.count(file.stem) == 1 else str(file)
        if file in files[:i]:
            faults.append(f"{file}: expected each file once, got it twice")
            continue
        announce(f"judging file {i + 1} of {len(files)}: {name}")
        try:
            found[name] = read(file)
        except RouteFileError as error:
            faults += faults_of(error)
        except CableRouteError as error:
            text = str(error)
            faults.append(text if str(file) in text or len(files) == 1 else f"{file}: {text}")
    if faults:
        raise RouteFileError(dict.fromkeys(faults))
    return found


def _draw(
    out: Path,
    comparisons: Sequence[Comparison],
    *,
    words: Words,
    force: bool,
    inputs: Sequence[Path],
) -> None:
    """Write the picture of the one comparison there is."""
    from cableroute.output.pictures.compare_picture import draw_comparison

    if len(comparisons) > 1:
        names = ", ".join(comparison.name for comparison in comparisons)
        raise CableRouteError(
            f"one picture shows one comparison; expected --cable, one of: {names}"
        )
    figure = draw_comparison(comparisons[0], words=words)
    data = picture(figure, out.suffix.lower())
    write_bytes(out, data, force=force, inputs=inputs)
