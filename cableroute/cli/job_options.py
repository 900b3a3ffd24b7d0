"""The options by which a command reads a file, and overrides what stands in it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

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
    float | None, typer.Option(metavar="MU", help="Coefficient of friction, as 0.12.")
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


def job_from(file: Path, *, unit: Unit | None, library: list[Path] | None, **overrides: Any) -> Job:
    """Read a file with the families and the overriding values given as options."""
    return read_job(file, unit=unit, library=load_library(library or ()), overrides=overrides)
