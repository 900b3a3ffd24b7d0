"""What a point typed on one line means, and what of it goes into the file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, get_args

from pydantic import ValidationError

from cableroute.arrays import Array
from cableroute.errors import CableRouteError, TapeError
from cableroute.faults import describe_fault
from cableroute.frozen import frozen
from cableroute.measure.models import PointEntry
from cableroute.measure.positions import Frame
from cableroute.measure.tables import FARTHEST, OLD_SIDES, SideWord
from cableroute.shown import shown
from cableroute.units import Unit, parse_length

WAYS = (
    "A point is typed in one of three ways:",
    "  100 -20 350                  x y z as plain numbers (x forward, y left, z up)",
    "  3' 4 1/2\"; 0; 12 in          lengths with units: a ; or a comma and a space between them",
    "  3' 4 1/2\"                    one length is x; y and z are asked for next",
    "  on rail 350 3:00             on a tube: distance along it, then o'clock (or 90 deg)",
    "  tape A 812 B 640 C 1010 left tape distances to nodes; the side if two places are possible",
    "  100 -20 350 anchor sill      how it is held (anchor, clip) and its label may follow, too",
)

_PLAIN = re.compile(r"[+-]?(?:\d+[.,]?\d*|\.\d+)")
_APART = re.compile(r"\s*;\s*|,\s+")
_CLOCK = re.compile(
    r"(?<!\S)(?:\d{1,2}:\d{2}(?:\s*o?\S?\s?clock)?|\d{1,2}\s*o\S?\s?clock"
    r"|[+-]?\d+(?:\.\d*)?\s*(?:°|deg|degrees)?)$",
    re.IGNORECASE,
)
_HALF_DAY = 12


@frozen(eq=False)
class Spot:
    """A point as typed and as placed.

    Parameters
    ----------
    written : mapping
        Its keys and values as they stand in a route file.
    entry : PointEntry
        The same, read.
    position : ndarray, shape (3,)
        Where it is [mm].
    doubt : str
        What is doubtful about it.
    origin : int or None
        Which point of the file it was when the dialogue began, the first being 0 [-].
    """

    written: Mapping[str, Any]
    entry: PointEntry
    position: Array
    doubt: str = ""
    origin: int | None = None


@frozen
class Reader:
    """Reads what is typed, in the unit typed, for a file that may have another.

    Three plain numbers need only spaces between them. Lengths with units or fractions hold
    spaces themselves, so they are kept apart by ``;`` or by a comma and a space.
    """

    frame: Frame
    unit: Unit
    file_unit: Unit
    conduit_od: float

    def coordinates(self, text: str) -> list[int | float | str]:
        """Return three lengths, or the one that a line is if it is not three."""
        parts = [part for part in _APART.split(text) if part]
        if len(parts) == 1:
            words = text.split()
            numbers = all(_PLAIN.fullmatch(word) for word in words)
            parts = words if numbers and len(words) > 1 else [text]
        if len(parts) == 1:
            return [self._one_length(parts[0])]
        if len(parts) != 3:
            raise TapeError(f"expected x y z, or one length; got {len(parts)} in `{text}`")
        return [self._length(part) for part in parts]

    def on_tube(self, text: str) -> dict[str, Any]:
        """Return the keys of a point on a tube, from its name, a distance and a clock."""
        name, rest = _leading_name(text, self.frame.tubes, "tube")
        clock = _CLOCK.search(rest)
        along = rest[: clock.start()].strip(" ;,") if clock else ""
        if clock is None or not along:
            example = f"on {name} 350 3:00"
            raise TapeError(f"expected the distance along {name} and the clock, as: {example}")
        return {"on": name, "along": self._length(along), "clock": _written_clock(clock[0])}

    def by_tape(self, text: str) -> dict[str, Any]:
        """Return the keys of a taped point, from nodes, distances and perhaps a side."""
        rest = text.replace("=", " ").replace(";", " ")
        body, _, last = rest.strip().rpartition(" ")
        word = OLD_SIDES.get(last.lower(), last.lower())
        side = word if word in get_args(SideWord) else None
        rest = body if side else rest
        tape: dict[str, Any] = {}
        while rest := rest.strip(" ,"):
            name, rest = _leading_name(rest, self.frame.nodes, "node")
            ahead = _any_of(self.frame.nodes).search(rest)
            reading, rest = (rest[: ahead.start()], rest[ahead.start() :]) if ahead else (rest, "")
            if name in tape:
                raise TapeError(f"expected one distance to each node, got two to {name}")
            tape[name] = self._length(reading.strip(" ,"), what=f"the distance to {name}")
        return {"tape": tape} | ({"side": side} if side else {})

    def spot(self, written: Mapping[str, Any]) -> Spot:
        """Read and place a point as it stands in the file."""
        try:
            entry = PointEntry.model_validate(written, context={"unit": self.file_unit})
        except ValidationError as error:
            fault = error.errors(include_url=False)[0]
            place = ", ".join(map(str, fault["loc"])) or "point"
            raise TapeError(f"{place}: {describe_fault(fault)}") from None
        position, doubt = self.frame.place_point(entry, conduit_od=self.conduit_od)
        return Spot(written, entry, position, doubt)

    def _one_length(self, text: str) -> int | float | str:
        try:
            return self._length(text)
        except TapeError as error:
            hint = "between three lengths with units put ; as in 3' 4\"; 0; 12 in"
            raise TapeError(f"{error} ({hint})") from None

    def _length(self, text: str, *, what: str = "") -> int | float | str:
        """Value for the file: a number if a plain one was typed in its unit, else the text."""
        try:
            mm = parse_length(text, unit=self.unit)
        except TapeError as error:
            raise TapeError(f"{what}: {error}" if what else str(error)) from None
        if not abs(mm) <= FARTHEST:
            raise TapeError(f"expected a length within {FARTHEST / 1e6:g} km, got `{text}`")
        if _PLAIN.fullmatch(text) and (self.unit == self.file_unit or mm == 0.0):
            number = float(text.replace(",", "."))
            return int(number) if number.is_integer() else number
        return text if self._reads_alike(text, mm) else f"{text} {self.unit}"

    def _reads_alike(self, text: str, mm: float) -> bool:
        try:
            return parse_length(text, unit=self.file_unit) == mm
        except TapeError:
            return False


def _any_of(names: Mapping[str, Any]) -> re.Pattern[str]:
    """Match one of some names, the longest first, standing alone."""
    listed = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    return re.compile(rf"(?<!\S)(?:{listed or '(?!)'})(?!\S)")


def _leading_name(text: str, names: Mapping[str, Any], what: str) -> tuple[str, str]:
    """Take a known name off the front of a text."""
    found = _any_of(names).match(text.replace(";", " ").replace(",", " "))
    if found is None:
        known = ", ".join(names) or "none"
        got = shown(text.partition(" ")[0], most=40) or "nothing"
        raise CableRouteError(
            f"expected the name of a {what} of the file, got {got}; known: {known}"
        )
    return found[0], text[found.end() :].strip(" ;,")


def _written_clock(text: str) -> int | float | str:
    """Clock for the file; a bare 1 to 12 could be hours or degrees."""
    if not _PLAIN.fullmatch(text):
        return text
    degrees = float(text)
    if 1 <= degrees <= _HALF_DAY:
        raise TapeError(f"clock: {text} may be hours or degrees; type {text}:00 or {text} deg")
    return int(degrees) if degrees.is_integer() else degrees
