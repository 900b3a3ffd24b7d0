"""The options by which a command reads a file, overrides what stands in it, and picks a cable."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial, wraps
from inspect import Parameter, Signature, signature
from math import isfinite
from pathlib import Path
from typing import Annotated, Any

import typer

from cableroute.assess import CableAssessment
from cableroute.cli.console import LibraryOption
from cableroute.errors import CableRouteError
from cableroute.hardware.library import load_library
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job
from cableroute.units import Unit

FileArgument = Annotated[
    Path, typer.Argument(help="A route file (.toml) or a list of points (.csv).")
]
RadiusOption = Annotated[
    str | None,
    typer.Option(metavar="MM", help="Least bend radius to the conduit's centre; or as '2 in'."),
]
FrictionOption = Annotated[
    str | None,
    typer.Option(metavar="MU", help="Coefficient of friction, as 0.12, or a range as 0.08:0.15."),
]
LoadOption = Annotated[
    str | None, typer.Option(metavar="N", help="Force at the far end, pulling; or as '22 lbf'.")
]
PushLoadOption = Annotated[
    str | None, typer.Option(metavar="N", help="Force at the far end, pushing; or as '22 lbf'.")
]
FamilyOption = Annotated[
    str | None, typer.Option(metavar="NAME", help="Cable family (see: cableroute stock).")
]
UnitOption = Annotated[
    Unit | None, typer.Option(help="Unit of bare numbers, instead of the file's.")
]
ToleranceOption = Annotated[
    str | None,
    typer.Option(metavar="MM", help="One reading is good to +/- this; 0 fits points exactly."),
]
CableOption = Annotated[
    str | None, typer.Option(metavar="NAME", help="Only this cable; all of them if not given.")
]
LayOption = Annotated[
    bool, typer.Option("--lay", help="Add the natural lay between clips (takes a second).")
]

#: Reads a file as the options say.
Reader = Callable[[Path], Job]

_OVERRIDES: dict[str, Any] = {
    "bend_radius": RadiusOption,
    "friction": FrictionOption,
    "load": LoadOption,
    "push_load": PushLoadOption,
    "family": FamilyOption,
    "unit": UnitOption,
    "tolerance": ToleranceOption,
    "library": LibraryOption,
}


def overriding(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options that override a file, and with them its argument ``read``."""

    @wraps(command)
    def with_options(**words: Any) -> None:
        given = {name: words.pop(name) for name in _OVERRIDES}
        command(read=partial(_job, **given), **words)

    own = [
        each.replace(kind=Parameter.KEYWORD_ONLY)
        for each in signature(command, eval_str=True).parameters.values()
        if each.name != "read"
    ]
    own += [
        Parameter(name, Parameter.KEYWORD_ONLY, default=None, annotation=option)
        for name, option in _OVERRIDES.items()
    ]
    # typer takes a command's options from these two
    with_options.__signature__ = Signature(own)  # type: ignore[attr-defined]
    with_options.__annotations__ = {each.name: each.annotation for each in own}
    return with_options


def named(cables: Sequence[CableAssessment], name: str | None) -> Sequence[CableAssessment]:
    """Return all cables, or those of a name."""
    chosen = [cable for cable in cables if name in (None, cable.figures.cable.name)]
    if not chosen:
        known = ", ".join(cable.figures.cable.name for cable in cables)
        raise CableRouteError(f"--cable: no cable {name!r}; known: {known}")
    return chosen


def _job(file: Path, *, unit: Unit | None, library: list[Path] | None, **words: str | None) -> Job:
    given = {name: word for name, word in words.items() if word is not None}
    overrides = {
        "tape_tolerance" if name == "tolerance" else name: _value(name, word)
        for name, word in given.items()
    }
    return read_job(file, unit=unit, library=load_library(library or ()), overrides=overrides)


def _value(name: str, word: str) -> Any:
    """Read a number, or leave what has a unit to the reader of the file."""
    if name == "friction":
        return _friction(word)
    try:
        return word if name == "family" else float(word)
    except ValueError:
        return word


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
