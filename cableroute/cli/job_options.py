"""The options by which a command reads a file, and overrides what stands in it."""

from __future__ import annotations

from math import isfinite
from pathlib import Path
from typing import Annotated, Any

import typer

from cableroute.errors import CableRouteError
from cableroute.hardware.library import load_library
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job
from cableroute.units import Unit

FileArgument = Annotated[
    Path, typer.Argument(help="A route file (.toml) or a list of points (.csv).")
]
RadiusOption = Annotated[
    float | None, typer.Option(metavar="MM", help="Least bend radius to the conduit's centre.")
]
FrictionOption = Annotated[
    str | None,
    typer.Option(metavar="MU", help="Coefficient of friction, as 0.12, or a range as 0.08:0.15."),
]
LoadOption = Annotated[
    float | None, typer.Option(metavar="N", help="Force at the far end, pulling.")
]
PushLoadOption = Annotated[
    float | None, typer.Option(metavar="N", help="Force at the far end, pushing.")
]
FamilyOption = Annotated[
    str | None, typer.Option(metavar="NAME", help="Cable family (see: cableroute stock).")
]
UnitOption = Annotated[
    Unit | None, typer.Option(help="Unit of bare numbers, instead of the file's.")
]
ToleranceOption = Annotated[
    float | None,
    typer.Option(metavar="MM", help="One reading is good to +/- this; 0 fits points exactly."),
]


def job_from(
    file: Path,
    *,
    unit: Unit | None,
    library: list[Path] | None,
    friction: str | None = None,
    **overrides: Any,
) -> Job:
    """Read a file with the families and the overriding values given as options."""
    if friction is not None:
        overrides["friction"] = _friction(friction)
    return read_job(file, unit=unit, library=load_library(library or ()), overrides=overrides)


def _friction(text: str) -> float | list[float]:
    """Read one coefficient of friction, or a range as LOW:HIGH."""
    try:
        numbers = [float(part) for part in text.split(":")]
    except ValueError:
        numbers = []
    if len(numbers) not in (1, 2) or not all(map(isfinite, numbers)):
        raise CableRouteError(
            f"--friction: expected a number as 0.12, or a range as 0.08:0.15, got {text!r}"
        )
    return numbers if len(numbers) == 2 else numbers[0]
