"""The text of a route file: read, parsed, held against the models, faults put in their place."""

from __future__ import annotations

import re
import tomllib
from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from typing import Any, BinaryIO, get_args

from pydantic import ValidationError

from cableroute.errors import RouteFileError
from cableroute.faults import describe_fault
from cableroute.measure.models import GIVES_RADIUS, NO_RADIUS, RouteFile
from cableroute.measure.positions import Place
from cableroute.shown import LONGEST_NAME, shown
from cableroute.units import ForceUnit, Unit

#: A survey larger than this [bytes] is a mistake in the choice of file.
LARGEST_FILE = 64_000_000
#: What helps with a spreadsheet's own file, and what is taken where letters are of before Unicode.
_SAVE_AS = "; of a spreadsheet, save the table as CSV"
_OLDER = "its letters are not in UTF-8: they are read as Windows-1252"
#: Characters of a line that is no TOML.
_SHOWN = 60
_AT = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_PLAINER = ("Expected newline or end of document after a statement", "more than one value")
_UNIT = re.compile(r"['\"]|\d+/\d|(?:mm|cm|m|in|ft|N|kN|lbf?|kgf?)\b")


def read_text(path: Path) -> str:
    """Return the text of a file, or say what is wrong with it."""
    return as_text(read_data(path), source=str(path))


def read_data(path: Path) -> bytes:
    """Return what a file holds, if it is of a size that a survey can have."""
    try:
        with path.open("rb") as file:
            return read_from(file, source=str(path))
    except OSError as error:
        raise RouteFileError(
            [f"{path}: expected a readable file, got: {error.strerror}"]
        ) from error


def read_from(file: BinaryIO, *, source: str) -> bytes:
    """Return what an open file holds, a device too, which has no size to ask for beforehand."""
    data = file.read(LARGEST_FILE + 1)
    if len(data) > LARGEST_FILE:
        raise RouteFileError([f"{source}: expected a list of points, got more than 64 MB"])
    return data


def as_text(data: bytes, *, source: str, encoding: str = "utf-8-sig") -> str:
    """Return the text that bytes are, with plain line ends."""
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        fault = f"{source}: expected a text file in UTF-8, got something else"
        raise RouteFileError([fault + _SAVE_AS * (encoding != "utf-8-sig")]) from error
    if "\0" in text:
        raise RouteFileError([f"{source}: expected a text file, got binary data"])
    if not text.strip():
        raise RouteFileError(
            [f"{source}: expected a route file or a list of points, got an empty file"]
        )
    return text.replace("\r\n", "\n").replace("\r", "\n")


def table_text(data: bytes, *, source: str) -> tuple[str, tuple[str, ...]]:
    """Return the text of a table in any of the ways that spreadsheets write one, and what was assumed."""
    if data.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return as_text(data, source=source, encoding="utf-16"), ()
    try:
        data.decode()
    except UnicodeDecodeError:
        return as_text(data, source=source, encoding="cp1252"), (_OLDER,)
    return as_text(data, source=source), ()


def parse_toml(text: str, path: Path) -> tuple[dict[str, Any], dict[tuple[Any, ...], int]]:
    """Return the data of a TOML text, and on which line each key stands."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RouteFileError([_slip(text, path, str(error))]) from error
    except (ValueError, RecursionError) as error:
        fault = f"{path}: expected valid TOML, got too long a number or brackets too deep"
        raise RouteFileError([fault]) from error
    return data, _Lines(text)


def _slip(text: str, path: Path, said: str) -> str:
    """Show the line at which the parser gave up, and what is likely wrong with it."""
    at = _AT.search(said)
    if at is None:
        return f"{path}: expected valid TOML, got: {said}"
    lines = text.rstrip().replace("\r\n", "\n").split("\n")
    number = int(at[1] or len(lines))
    line = lines[number - 1] if number <= len(lines) else ""
    column = int(at[2] or len(line) + 1)
    what = said[: at.start()].replace(*_PLAINER)
    place = f"column {column}" if at[2] else "end of the file"
    hint = _hint(line, column - 1, what)
    return (
        f"{path}:{number}: expected valid TOML, got `{_window(line, column - 1)}`: "
        f"{what[:1].lower()}{what[1:]} at {place}" + (f"; {hint}" if hint else "")
    )


def _window(line: str, at: int) -> str:
    """Cut the part of a line around a place, free of what a terminal would obey."""
    clean = "".join(c if c.isprintable() else " " if c == "\t" else "?" for c in line)
    body = clean.strip()
    indent = len(clean) - len(clean.lstrip())
    begin = max(0, min(at - indent - _SHOWN // 2, len(body) - _SHOWN))
    end = begin + _SHOWN
    return ("..." if begin else "") + body[begin:end] + ("..." if end < len(body) else "")


def _hint(line: str, at: int, what: str) -> str:
    """Guess the slip: TOML is strange to most who have measured a machine."""
    before, after = line[:at].rstrip(), line[at:]
    bare = before[-1:].isdigit() and _UNIT.match(after)
    inside = re.search(r"\d ?['\"]$", before) and (
        after.startswith('"') or _odd(line, '"') or _odd(line, "'")
    )
    if bare or inside:
        return (
            'a length or force with a unit needs quotes, best "2 ft 1 1/2 in"; '
            'an inch mark inside quotes is written \\"'
        )
    if after[:1] in tuple("“”‘’"):
        return 'quotes must be straight: "'
    if _odd(line, '"'):
        return "a quote is missing, or there is one too many"
    if what.startswith("Unclosed array") and not before:
        return "a comma may be missing at the end of the line before"
    return ""


def _odd(line: str, mark: str) -> bool:
    return line.replace(f"\\{mark}", "").count(mark) % 2 == 1


class _Lines(dict[tuple[Any, ...], int]):
    """Line numbers, worked out when the first is asked for: most files have no fault."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self._text: str | None = text

    def get(self, key: tuple[Any, ...], default: Any = None) -> Any:
        if self._text is not None:
            from cableroute.measure.toml_lines import key_lines

            self.update(key_lines(self._text))
            self._text = None
        return super().get(key, default)


def placer(
    source: str,
    data: Mapping[str, Any],
    lines: Mapping[tuple[Any, ...], int],
    given: Mapping[str, str],
) -> Place:
    """Return a function that words the place of a path: file, line, cable, point, key."""

    def place(path: tuple[Any, ...]) -> str:
        key = path[2] if path[:1] == ("cable",) and len(path) > 2 else path[0] if path else None
        if key in given:
            return given[str(key)]
        at = next(
            (lines.get(path[:n]) for n in range(len(path), 0, -1) if lines.get(path[:n])), None
        )
        head = f"{source}:{at}" if at else source
        return ": ".join([head, *filter(None, [_words(data, path)])])

    return place


def _words(data: Mapping[str, Any], path: tuple[Any, ...]) -> str:
    """Words such as ``cable "shift", point 3 (sill), radius``."""
    words, rest, value = [], list(path), data
    if len(path) > 1 and path[0] in ("cable", "linkage", "selector"):
        value = data[path[0]][path[1]]
        name = value.get("name") if isinstance(value, dict) else None
        words.append(
            f'{path[0]} "{shown(str(name), most=LONGEST_NAME)}"'
            if name
            else f"{path[0]} {path[1] + 1}"
        )
        rest = rest[2:]
    if len(rest) > 1 and rest[0] == "points":
        point = value["points"][rest[1]]
        label = point.get("label") if isinstance(point, dict) else None
        words.append(
            f"point {rest[1] + 1}" + (f" ({shown(str(label), most=LONGEST_NAME)})" if label else "")
        )
        rest = rest[2:]
    if rest and rest[-1] == "[key]":  # a name is at fault, not what stands under it
        rest = rest[:-2]
    if rest:
        key, *indices = rest
        words.append(
            str(key) + "".join(f"[{i}]" if isinstance(i, int) else f".{i}" for i in indices)
        )
    return ", ".join(words)


def validate(data: Mapping[str, Any], place: Place) -> RouteFile:
    """Hold the data of a file against the models."""
    unit, force_unit = data.get("unit", "mm"), data.get("force_unit", "N")
    context: dict[str, Any] = {
        "unit": unit if unit in get_args(Unit) else "mm",
        "force_unit": force_unit if force_unit in get_args(ForceUnit) else "N",
        "typed": [],
    }
    try:
        return RouteFile.model_validate(data, context=context)
    except ValidationError as error:
        from cableroute.measure.known_keys import known_keys

        faults, argument = [], ""
        own = sorted(_own_faults(error), key=_argument)
        for fault in own:
            known = known_keys(fault["loc"]) if fault["type"] == "extra_forbidden" else ()
            faults.append(f"{place(fault['loc'])}: {describe_fault(fault, known=known)}")
            argument = _argument(fault)  # of the last, as those that have one come last
        for i in _without_radius(data, {fault["loc"] for fault in own}):
            faults.append(f"{place(('cable', i))}: {NO_RADIUS}")
            argument = "bend_radius"
        raise RouteFileError(dict.fromkeys(faults), argument=argument) from error


def _argument(fault: Mapping[str, Any]) -> str:
    """Return which argument would help, if one does."""
    return getattr(fault.get("ctx", {}).get("error"), "argument", "")


def _without_radius(data: Mapping[str, Any], judged: Collection[Any]) -> Iterator[int]:
    """Yield the cables without a least radius that faults in their keys kept from being judged whole."""
    cables = data.get("cable")
    for i, cable in enumerate(cables if isinstance(cables, list) else ()):
        whole = isinstance(cable, dict) and ("cable", i) not in judged
        if whole and all(cable.get(key) is None for key in GIVES_RADIUS):
            yield i


def _own_faults(error: ValidationError) -> Iterator[Mapping[str, Any]]:
    """Faults, but for a list that is too short only because its members are at fault."""
    faults = error.errors(include_url=False)
    inside = {fault["loc"][:n] for fault in faults for n in range(len(fault["loc"]))}
    for fault in faults:
        if fault["type"] != "too_short" or fault["loc"] not in inside:
            yield fault
