"""``cableroute calibrate``: friction and drag from a spring scale, stiffness from a sag."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from math import inf
from pathlib import Path
from typing import Annotated, Any

import typer

from cableroute.cli.console import JsonOption, LibraryOption, complaints, say, say_json
from cableroute.errors import CableRouteError
from cableroute.figures.cable import work_out
from cableroute.figures.forces import STEEL_WEIGHT
from cableroute.figures.headed import headed
from cableroute.figures.sampled import as_drawn
from cableroute.frozen import frozen
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job
from cableroute.measure.readings import read_readings, read_sags
from cableroute.measure.route_text import read_data, table_text
from cableroute.measure.wording import Words
from cableroute.mechanics.calibration import calibrate_friction
from cableroute.mechanics.sag import stiffness_by_sag
from cableroute.output.calibrated_toml import (
    fit_note,
    measured,
    measured_stiffness,
    with_measured,
)
from cableroute.output.calibration_text import (
    BENCH_SHEET,
    calibration_dict,
    calibration_lines,
    doubt_of,
)
from cableroute.output.files import look_at, write_text
from cableroute.output.stiffness_text import SAG_SHEET, stiffness_dict, stiffness_lines
from cableroute.units import MM_PER_UNIT


def calibrate(
    readings: Annotated[
        Path | None,
        typer.Argument(
            help="Readings (.csv): wrap_deg, load_n, hand_n and perhaps label; with --stiffness "
            "length_mm, sag_mm and perhaps tip_n, label."
        ),
    ] = None,
    route: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Take the wrap from this mock-up where the CSV has none."
        ),
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write what was found into this route file."),
    ] = None,
    cable: Annotated[
        str | None, typer.Option(metavar="NAME", help="Which cable of those files.")
    ] = None,
    stiffness: Annotated[
        bool, typer.Option("--stiffness", help="Bending stiffness of the core from its sag.")
    ] = False,
    weight: Annotated[
        float | None,
        typer.Option(
            metavar="N/M", help="Weight of the bare core for --stiffness; else that of the cable."
        ),
    ] = None,
    how: Annotated[
        bool, typer.Option("--how", help="Print a sheet of what to measure and how, and stop.")
    ] = False,
    library: LibraryOption = None,
    json: JsonOption = False,
) -> None:
    """Fit friction and zero-load drag to spring-scale readings, or stiffness to sags.

    Exit status: 0, or 2 for bad input; a route file is written only if the readings bear it out.
    """
    if how:
        for line in (SAG_SHEET if stiffness else BENCH_SHEET).splitlines():
            say(line)
        return
    with complaints():
        if readings is None:
            raise CableRouteError("expected a file of readings; --how prints what to measure")
        families = load_library(library or ())
        outcome = (
            _by_sag(readings, weight=weight, route=route, into=into, cable=cable, library=families)
            if stiffness
            else _by_scale(readings, weight=weight, route=route, cable=cable, library=families)
        )
        written = _write(into, cable, families, outcome) if into else ""
    if json:
        say_json(outcome.plain | ({"into": str(into)} if into else {}))
        return
    for line in outcome.lines:
        say(line)
    if written:
        say(written)


@frozen
class _Outcome:
    """What was found: for JSON, as text, and what goes into a route file with which comment."""

    plain: dict[str, Any]
    lines: tuple[str, ...]
    values: Callable[[str | None], dict[str, Any]]
    note: str
    doubt: str = ""


def _table(path: Path) -> str:
    return table_text(read_data(path), source=str(path))[0]


def _by_scale(
    path: Path,
    *,
    weight: float | None,
    route: Path | None,
    cable: str | None,
    library: Mapping[str, Family],
) -> _Outcome:
    """Friction and drag from a spring scale."""
    if weight is not None:
        raise CableRouteError("--weight: expected with --stiffness only")
    wrap = _route_wrap(route, cable, library) if route else None
    data = read_readings(_table(path), source=str(path), route_wrap=wrap)
    try:
        found = calibrate_friction(wrap=data.wrap, load=data.load, hand=data.hand)
    except CableRouteError as error:
        raise CableRouteError(f"{path}: {error}") from error
    return _Outcome(
        plain=calibration_dict(found, data.labels),
        lines=tuple(calibration_lines(found, data.labels, Words(force_unit=data.force_unit))),
        values=lambda unit: measured(found, unit),
        note=fit_note(found, date.today()),
        doubt=doubt_of(found),
    )


def _by_sag(
    path: Path,
    *,
    weight: float | None,
    route: Path | None,
    into: Path | None,
    cable: str | None,
    library: Mapping[str, Family],
) -> _Outcome:
    """Bending stiffness from the sag of a clamped length."""
    if route:
        raise CableRouteError("--route: expected with friction, not with --stiffness")
    data = read_sags(_table(path), source=str(path))
    try:
        found = stiffness_by_sag(
            length=data.length,
            sag=data.sag,
            tip_load=data.tip_load,
            weight=_core_weight(weight, into, cable, library),
        )
    except CableRouteError as error:
        raise CableRouteError(f"{path}: {error}") from error
    return _Outcome(
        plain=stiffness_dict(found, data),
        lines=tuple(stiffness_lines(found, data)),
        values=lambda _: measured_stiffness(found),
        note=f"measured {date.today().isoformat()} by sag: {len(found.each)} readings",
    )


def _route_wrap(path: Path, cable: str | None, library: Mapping[str, Family]) -> float:
    """Wrap of the named cable of a mock-up, or of its only one, in the run that `check` tells [rad]."""
    job = read_job(path, library=library)
    job = headed(job if path.suffix.lower() == ".toml" else as_drawn(job))
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


def _write(path: Path, cable: str | None, library: Mapping[str, Family], outcome: _Outcome) -> str:
    """Write what was found into a route file that is sound, and say so."""
    job = _sound(path, library)
    which = _which(job, cable, path)
    if outcome.doubt:
        raise CableRouteError(f"{path}: nothing is written. {outcome.doubt}")
    raw = path.read_bytes().decode()
    body = raw.removeprefix("\ufeff")
    try:
        values = outcome.values(job.as_read.force_unit if job.as_read else None)
        new = with_measured(body, cable=which, values=values, note=outcome.note)
    except CableRouteError as error:
        raise CableRouteError(f"{path}: {error}") from error
    write_text(path, raw[: len(raw) - len(body)] + new, force=True, unchanged=raw.encode())
    words = " and ".join(f"{key} = {value}" for key, value in values.items())
    are = "are" if len(values) > 1 else "is"
    return f'{words} {are} written for cable "{job.cables[which].name}" in {path}.'


def _sound(path: Path, library: Mapping[str, Family]) -> Job:
    look_at([path], force=True)
    if path.suffix.lower() != ".toml":
        raise CableRouteError(f"{path}: expected a route file, ending in .toml")
    return read_job(path, library=library)


def _core_weight(
    given: float | None, path: Path | None, cable: str | None, library: Mapping[str, Family]
) -> float:
    """Weight of the bare core: as given, else that of the metal of the cable's own core [N/mm]."""
    if given is not None:
        if not 0.0 < given < inf:
            raise CableRouteError(f"--weight: expected N/m above 0, got {given:g}")
        return given / float(MM_PER_UNIT["m"])
    job = _sound(path, library) if path else None
    core = work_out(job.cables[_which(job, cable, path)], job=job).core if job and path else None
    if core is None:
        raise CableRouteError(
            "expected --weight, the bare core's weight in N/m, or --into a file whose cable has a "
            "family or build"
        )
    return core.area * STEEL_WEIGHT
