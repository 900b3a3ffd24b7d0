"""``cableroute calibrate``: friction and drag from spring-scale readings."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from cableroute.cli.console import JsonOption, LibraryOption, complaints, say, say_json
from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job
from cableroute.measure.readings import read_readings
from cableroute.measure.route_text import read_text
from cableroute.mechanics.calibration import Calibration, calibrate_friction
from cableroute.output.calibrated_toml import measured, with_calibration
from cableroute.output.calibration_text import BENCH_SHEET, calibration_dict, calibration_lines
from cableroute.output.files import write_text
from cableroute.workings import work_out


def calibrate(
    readings: Annotated[
        Path | None,
        typer.Argument(help="Readings (.csv): wrap_deg, load_n, hand_n and perhaps label."),
    ] = None,
    route: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Take the wrap from this mock-up where the CSV has none."
        ),
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write friction and drag into this route file."),
    ] = None,
    cable: Annotated[
        str | None, typer.Option(metavar="NAME", help="Which cable of those files.")
    ] = None,
    how: Annotated[
        bool, typer.Option("--how", help="Print a sheet of what to measure and how, and stop.")
    ] = False,
    library: LibraryOption = None,
    json: JsonOption = False,
) -> None:
    """Fit friction and zero-load drag to spring-scale readings, with their doubt.

    Exit status: 0, or 2 for bad input; a route file is written only if all is well.
    """
    if how:
        say(BENCH_SHEET)
        return
    with complaints():
        if readings is None:
            raise CableRouteError("expected a file of readings; --how prints what to measure")
        families = load_library(library or ())
        wrap = _route_wrap(route, cable, families) if route else None
        found, labels = _fit(readings, wrap)
        written = _write(into, cable, families, found) if into else ""
    if json:
        extra = {"into": str(into)} if into else {}
        say_json(calibration_dict(found, labels) | extra)
        return
    for line in calibration_lines(found, labels):
        say(line)
    if written:
        say(written)


def _fit(path: Path, wrap: float | None) -> tuple[Calibration, tuple[str, ...]]:
    data = read_readings(read_text(path), source=str(path), route_wrap=wrap)
    try:
        return calibrate_friction(wrap=data.wrap, load=data.load, hand=data.hand), data.labels
    except CableRouteError as error:
        raise CableRouteError(f"{path}: {error}") from error


def _route_wrap(path: Path, cable: str | None, library: dict[str, Family]) -> float:
    """Wrap of the named cable of a mock-up, or of its first, as fitted [rad]."""
    job = read_job(path, library=library)
    which = _which(job, cable, path) if cable else 0
    return float(work_out(job.cables[which], job=job).route.wrap)


def _which(job: Job, cable: str | None, path: Path) -> int:
    names = [each.name for each in job.cables]
    if cable is None and len(names) == 1:
        return 0
    if cable is None:
        raise CableRouteError(f"{path}: say which with --cable; known: {', '.join(names)}")
    if cable not in names:
        raise CableRouteError(f"{path}: no cable {cable!r}; known: {', '.join(names)}")
    return names.index(cable)


def _write(path: Path, cable: str | None, library: dict[str, Family], found: Calibration) -> str:
    """Write what was found into a route file that is sound, and say so."""
    if path.suffix.lower() != ".toml":
        raise CableRouteError(f"{path}: expected a route file, ending in .toml")
    job = read_job(path, library=library)
    which = _which(job, cable, path)
    raw = path.read_bytes().decode()
    body = raw.removeprefix("\ufeff")
    try:
        new = with_calibration(body, cable=which, found=found, day=date.today())
    except CableRouteError as error:
        raise CableRouteError(f"{path}: {error}") from error
    write_text(path.resolve(), raw[: len(raw) - len(body)] + new, force=True)
    words = " and ".join(f"{key} = {value}" for key, value in measured(found).items())
    are = "are" if len(measured(found)) > 1 else "is"
    return f'{words} {are} written for cable "{job.cables[which].name}" in {path}.'
