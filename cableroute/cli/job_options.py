"""The options by which a command reads a file, overrides what stands in it, and picks a cable."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import wraps
from inspect import Parameter, Signature, signature
from os.path import isdir
from pathlib import Path
from typing import Annotated, Any

import typer

from cableroute.assess import CableAssessment
from cableroute.cli.console import LibraryOption, say_aside
from cableroute.errors import CableRouteError
from cableroute.hardware.library import load_library
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job
from cableroute.measure.route_text import read_data, read_from
from cableroute.measure.sources import ENDINGS, STDIN, is_readings, kind_of
from cableroute.units import Unit, plain_number

FileArgument = Annotated[
    Path,
    typer.Argument(help="A route file (.toml), points (.csv), a drawing (.dxf, .obj), or -."),
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
LayerOption = Annotated[
    str | None, typer.Option(metavar="NAME", help="Only this layer of a drawing (.dxf).")
]
InsideOption = Annotated[
    bool | None,
    typer.Option(
        "--inside",
        help="Take points between the ends as corners of straights, not as places on the run.",
    ),
]


#: Bytes of a file in which its header stands.
_MOST_LOOKED_AT = 4000
_PASTE = "Paste the points, x y z on each line, and end with Ctrl-D (on Windows Ctrl-Z, Enter):"
_NO_FILE = f"expected a file, or a directory with files in it that end in {', '.join(ENDINGS)}"


@dataclass(slots=True)
class Reader:
    """Reads files as the options say, and knows which it has read."""

    given: Mapping[str, Any]
    inputs: list[Path] = field(default_factory=list)
    _typed: bytes | None = None

    def __call__(self, file: Path) -> Job:
        """Read a route file or a list of points."""
        self.inputs += [file, *(self.given["library"] or ())]
        return _job(file, self.content(file), **self.given)

    def content(self, file: Path) -> bytes:
        """Return what a file holds; standard input is read once."""
        if file != STDIN:
            if isdir(file):
                raise CableRouteError(f"{file}: {_NO_FILE}")
            return read_data(file)
        if self._typed is None:
            if sys.stdin.isatty():
                say_aside(_PASTE)
            self._typed = read_from(sys.stdin.buffer, source=str(file))
        return self._typed


_OVERRIDES: dict[str, Any] = {
    "bend_radius": RadiusOption,
    "friction": FrictionOption,
    "load": LoadOption,
    "push_load": PushLoadOption,
    "family": FamilyOption,
    "unit": UnitOption,
    "tolerance": ToleranceOption,
    "layer": LayerOption,
    "inside": InsideOption,
    "library": LibraryOption,
}


def overriding(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options that override a file, and with them its argument ``read``."""

    @wraps(command)
    def with_options(**words: Any) -> None:
        given = {name: words.pop(name) for name in _OVERRIDES}
        command(read=Reader(given), **words)

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


def only(job: Job, name: str | None) -> Job:
    """Return a job with no more than one cable in it, and the linkages that this one works."""
    if name is None:
        return job
    cables = tuple(cable for cable in job.cables if cable.name == name)
    if not cables:
        known = [cable.name for cable in job.cables]
        raise CableRouteError(_unknown(name, known), argument="cable")
    linkages = tuple(each for each in job.linkages if each.cable == name)
    return replace(job, cables=cables, linkages=linkages, selectors=())


def _unknown(name: str, known: Sequence[str]) -> str:
    return f"--cable: no cable {name!r}; known: {', '.join(known)}"


def named(cables: Sequence[CableAssessment], name: str | None) -> Sequence[CableAssessment]:
    """Return all cables, or those of a name."""
    chosen = [cable for cable in cables if name in (None, cable.figures.cable.name)]
    if not chosen:
        raise CableRouteError(_unknown(str(name), [cable.figures.cable.name for cable in cables]))
    return chosen


def _job(
    file: Path,
    content: bytes,
    *,
    unit: Unit | None,
    library: list[Path] | None,
    layer: str | None,
    inside: bool | None,
    **words: str | None,
) -> Job:
    given = {name: word for name, word in words.items() if word is not None}
    overrides = {
        "tape_tolerance" if name == "tolerance" else name: _value(name, word)
        for name, word in given.items()
    }
    if inside:
        overrides["passes"] = "inside"
    job = read_job(
        file,
        unit=unit,
        library=load_library(library or ()),
        overrides=overrides,
        layer=layer,
        content=content,
        called=_option,
    )
    if kind_of(file, content) == ".toml":
        return job
    from cableroute.figures.sampled import as_drawn

    return as_drawn(job)


def _option(key: str) -> str:
    """Return the option by which a key of the file is overridden."""
    names = {"tape_tolerance": "tolerance", "passes": "inside"}
    return f"--{names.get(key, key).replace('_', '-')}"


def _value(name: str, word: str) -> Any:
    """Read a number, or leave what has a unit to the reader of the file."""
    if name == "friction":
        return _friction(word)
    number = None if name == "family" else plain_number(word)
    return word if number is None else number


def _friction(text: str) -> Any:
    """Read one coefficient of friction, or a range as LOW:HIGH."""
    numbers = [plain_number(part.strip()) for part in text.split(":")]
    if len(numbers) not in (1, 2) or None in numbers:
        raise CableRouteError(
            f"--friction: expected a number as 0.12, or a range as 0.08:0.15, got {text!r}"
        )
    return numbers if len(numbers) == 2 else numbers[0]


def expanded(files: Sequence[Path]) -> list[Path]:
    """List what is to be read, a folder as the files in it that may be routes."""
    return list(dict.fromkeys(each for file in files for each in _inside(file)))


def _inside(file: Path) -> Iterable[Path]:
    if not isdir(file):
        return [file]
    try:
        inside = sorted(each for each in file.iterdir() if _may_be_route(each))
    except OSError as error:
        raise CableRouteError(f"{file}: cannot look into it: {error.strerror}") from error
    return inside or [file]  # which is then told to be none


def _may_be_route(file: Path) -> bool:
    """Whether a file in a folder may hold a route: by its ending, and no sheet of readings."""
    if file.suffix.lower() != ".csv":
        return file.suffix.lower() in ENDINGS
    try:
        with file.open("rb") as opened:
            return not is_readings(opened.read(_MOST_LOOKED_AT))
    except OSError:
        return True  # which is told when it is read
