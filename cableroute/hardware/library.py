"""The shipped cable families, and the user's own files beside them."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from cableroute.errors import CableRouteError, RouteFileError
from cableroute.faults import describe_fault
from cableroute.hardware.family import Family

_SHIPPED = "families.toml"


def load_library(extra: Sequence[Path] = ()) -> Mapping[str, Family]:
    """Read the shipped families and the user's own.

    Parameters
    ----------
    extra : sequence of Path
        Files in the format of ``families.toml``. A family of a name already known replaces it;
        of two files the later wins.

    Returns
    -------
    mapping of str to Family
        Families by name; one that is shipped is read when it is first asked for.

    Raises
    ------
    RouteFileError
        If a file cannot be read or is at fault; all faults of the file are in it.

    Notes
    -----
    Bare numbers in a library file are millimetres and newtons. Its ``[provenance]`` table, if
    any, holds for every family in the file that does not say otherwise.

    Examples
    --------
    >>> load_library()["push-solid-medium"].construction
    'solid'
    """
    library: Mapping[str, Family] = _shipped()
    for path in extra:
        library = {**library, **_parse(_read(path), source=str(path))}
    return library


def find_family(name: str, library: Mapping[str, Family] | None = None) -> Family:
    """Look a family up by name.

    Parameters
    ----------
    name : str
        Name of the family.
    library : mapping of str to Family, optional
        What :func:`load_library` returns; the shipped families if not given.

    Returns
    -------
    Family
        The family of that name.

    Raises
    ------
    CableRouteError
        If there is none; the message gives the nearest names and all of them.

    Examples
    --------
    >>> find_family("pull-7x19-heavy").core_od
    3.2
    """
    library = load_library() if library is None else library
    if name in library:
        return library[name]
    near = get_close_matches(name.lower(), library, n=3, cutoff=0.5)
    nearest = f"the nearest: {', '.join(near)}; " if near else ""
    raise CableRouteError(
        f'expected a cable family of the library, got "{name}"; {nearest}'
        f"all: {', '.join(sorted(library)) or 'none'}"
    )


class _Shipped(Mapping[str, Family]):
    """The families that are shipped, each read when it is first asked for: most files name one."""

    def __init__(self, text: str) -> None:
        self._head, *tables = re.split(r"^(?=\[family\.)", text, flags=re.MULTILINE)
        self._texts: dict[str, str] = {}
        for table in tables:
            name = re.split(r"[.\]]", table, maxsplit=2)[1]
            self._texts[name] = self._texts.get(name, "") + table
        self._read: dict[str, Family] = {}

    def __getitem__(self, name: str) -> Family:
        if name not in self._read:
            text = self._head + self._texts[name]
            self._read |= _parse(text, source=_SHIPPED)
        return self._read[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._texts)

    def __len__(self) -> int:
        return len(self._texts)


@cache
def _shipped() -> _Shipped:
    return _Shipped(files("cableroute.hardware").joinpath(_SHIPPED).read_text(encoding="utf-8"))


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")  # some editors begin a file with a mark
    except OSError as error:
        raise RouteFileError([f"{path}: expected a library file, got: {error.strerror}"]) from error
    except UnicodeDecodeError as error:
        message = f"{path}: expected a text file in UTF-8, got something else"
        raise RouteFileError([message]) from error


def _parse(text: str, *, source: str) -> dict[str, Family]:
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise RouteFileError([f"{source}: expected valid TOML, got: {error}"]) from error
    if faults := [f"{source}: {fault}" for fault in _layout_faults(data)]:
        raise RouteFileError(faults)
    library = {}
    for name, body in data["family"].items():
        try:
            library[name] = _build(name, body, shared=data.get("provenance", {}))
        except ValidationError as error:
            where = f'{source}{_line_of(name, text)}: family "{name}"'
            faults += [f"{where}, {fault}" for fault in _field_faults(error)]
    if faults:
        raise RouteFileError(faults)
    return library


def _layout_faults(data: Mapping[str, Any]) -> Iterator[str]:
    for key in sorted(data.keys() - {"family", "provenance"}):
        yield f'expected only [family.NAME] and [provenance], got "{key}"'
    if not isinstance(data.get("provenance", {}), dict):
        yield "provenance: expected a table, got something else"
    families = data.get("family")
    if not (isinstance(families, dict) and families):
        yield "expected at least one table [family.NAME], got none"
        return
    for name, body in families.items():
        if not isinstance(body, dict):
            yield f'family "{name}": expected a table, got {body!r}'
        elif "name" in body:
            yield f'family "{name}", name: expected only in the header, got {body["name"]!r}'


def _build(name: str, body: Mapping[str, Any], *, shared: Mapping[str, Any]) -> Family:
    own = body.get("provenance", {})
    provenance = {**shared, **own} if isinstance(own, dict) else own
    return Family.model_validate({**body, "name": name, "provenance": provenance})


def _line_of(name: str, text: str) -> str:
    """Return ``:line`` of the family's header, or nothing where it is written another way."""
    header = rf"""^[ \t]*\[[ ]*family[ ]*\.[ ]*["']?{re.escape(name)}["']?[ ]*\]"""
    found = re.search(header, text, re.MULTILINE)
    return f":{text.count(chr(10), 0, found.start()) + 1}" if found else ""


def _field_faults(error: ValidationError) -> Iterator[str]:
    for fault in error.errors(include_url=False):
        field = ".".join(str(step) for step in fault["loc"])
        yield f"{field}: {describe_fault(fault, known=Family.model_fields)}"
