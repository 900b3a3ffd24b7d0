"""Points typed one by one at the machine: what a line means, and what has been typed so far.

Nothing here reads, prints or saves; :class:`Session` takes a line and answers with lines.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, get_args

import numpy as np
from numpy.typing import NDArray
from pydantic import ValidationError

from cableroute.errors import CableRouteError, TapeError
from cableroute.faults import describe_fault
from cableroute.measure.models import PointEntry, Side
from cableroute.measure.positions import Frame
from cableroute.units import MM_PER_UNIT, Unit, format_both, parse_length

#: A point further than this from the datum [mm] has a slip of the unit in it.
FURTHEST = 1e6
#: Points nearer than this [mm] are one place.
SAME_PLACE = 1e-6

HELP = (
    "A point is typed in one of three ways:",
    "  100 -20 350                  x y z as plain numbers (x forward, y left, z up)",
    "  3' 4 1/2\"; 0; 12 in          lengths with units: a ; or a comma and a space between them",
    "  3' 4 1/2\"                    one length is x; y and z are asked for next",
    "  on rail 350 3:00             on a tube: distance along it, then o'clock (or 90 deg)",
    "  tape A 812 B 640 C 1010 left tape distances to nodes; the side if two places are possible",
    "Commands:",
    "  back          take back the last change          redo      make it again",
    "  insert N      put the next point before point N   delete N  remove point N",
    "  label TEXT    name the last point (label 3: TEXT for point 3)",
    "  fix anchor    how the last point is held: anchor, clip or none (fix clip 3 for point 3)",
    "  list          show all points                     stop      end; everything is saved",
)

_PLAIN = re.compile(r"[+-]?(?:\d+[.,]?\d*|\.\d+)")
_APART = re.compile(r"\s*;\s*|,\s+")
_NUMBERED = re.compile(r"(\d+)\s*:\s*(.*)", re.DOTALL)
_CLOCK = re.compile(
    r"(?<!\S)(?:\d{1,2}:\d{2}(?:\s*o?\S?\s?clock)?|\d{1,2}\s*o\S?\s?clock"
    r"|[+-]?\d+(?:\.\d*)?\s*(?:°|deg|degrees)?)$",
    re.IGNORECASE,
)
_HALF_DAY = 12


@dataclass(frozen=True, slots=True, eq=False)
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
        Which point of the file it was when the session began, the first being 0 [-].
    """

    written: Mapping[str, Any]
    entry: PointEntry
    position: NDArray[np.float64]
    doubt: str = ""
    origin: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class _State:
    """All that `back` brings back."""

    points: tuple[Spot, ...] = ()
    current: int = -1


class Session:
    """The points of one cable while they are typed.

    Parameters
    ----------
    frame : Frame
        Nodes and tubes to place points by.
    written : sequence of mapping
        Points that the file has already, as they stand there.
    unit : str
        Unit of bare numbers typed.
    file_unit : str, optional
        Unit of bare numbers in the file, if another.
    conduit_od : float
        Outside diameter of the conduit, for points on tubes [mm].

    Raises
    ------
    CableRouteError
        If one of the points given cannot be placed.

    Notes
    -----
    Three plain numbers need only spaces between them. Lengths with units or fractions hold
    spaces themselves, so they are kept apart by ``;`` or by a comma and a space. A line that
    is neither is one length: x first, then y and z.

    Examples
    --------
    >>> session = Session(Frame({}, {}, 1.5))
    >>> session.apply("100 0 12")
    ('point 1: x 100 mm (3 15/16"), y 0 mm (0"), z 12 mm (1/2")',)
    >>> session.points[0].written
    {'at': [100, 0, 12]}
    """

    def __init__(
        self,
        frame: Frame,
        written: Sequence[Mapping[str, Any]] = (),
        *,
        unit: Unit = "mm",
        file_unit: Unit | None = None,
        conduit_od: float = 0.0,
    ) -> None:
        self.frame, self.unit, self.file_unit = frame, unit, file_unit or unit
        self.conduit_od = conduit_od
        self.stopped = False
        spots = [replace(self._spot(each), origin=i) for i, each in enumerate(written)]
        self._state = _State(tuple(spots), len(spots) - 1)
        self._past: list[_State] = []
        self._future: list[_State] = []
        self._partial: list[int | float | str] = []
        self._before: int | None = None

    @property
    def points(self) -> tuple[Spot, ...]:
        """The points so far, from the hand end to the far end."""
        return self._state.points

    @property
    def prompt(self) -> str:
        """What is asked for next."""
        number = len(self.points) if self._before is None else self._before
        axis = f", {'xyz'[len(self._partial)]}" if self._partial else ""
        return f"point {number + 1}{axis}> "

    def name(self, index: int) -> str:
        """Return the number of a point, with its label if it has one.

        Parameters
        ----------
        index : int
            Which point, the first being 0 [-].

        Returns
        -------
        str
            ``point 3 (sill)``.
        """
        label = self.points[index].entry.label
        return f"point {index + 1}" + (f" ({label})" if label else "")

    def apply(self, line: str) -> tuple[str, ...]:
        """Do what a line says.

        Parameters
        ----------
        line : str
            A point or a command; `HELP` lists them.

        Returns
        -------
        tuple of str
            What to answer.

        Raises
        ------
        CableRouteError
            If it cannot be read or done; nothing has changed then.
        """
        text = line.strip()
        if not text or text.startswith("#"):
            return ()
        word, _, rest = text.partition(" ")
        command = self._commands.get(word.lower())
        if command is not None:
            return command(self, rest.strip())
        if not any(character.isdigit() for character in text):
            shown = _printable(text)[:40]
            raise TapeError(f"expected a point or a command, got `{shown}`; type help for a list")
        return self._coordinates(text)

    # -- points ------------------------------------------------------------------------------

    def _coordinates(self, text: str) -> tuple[str, ...]:
        parts = [part for part in _APART.split(text) if part]
        if len(parts) == 1:
            words = text.split()
            numbers = all(_PLAIN.fullmatch(word) for word in words)
            parts = words if numbers and len(words) > 1 else [text]
        if len(parts) == 1:
            return self._one_length(parts[0])
        if len(parts) != 3:
            raise TapeError(f"expected x y z, or one length; got {len(parts)} in `{text}`")
        at = [self._length(part) for part in parts]
        self._partial = []
        return self._accept({"at": at})

    def _one_length(self, text: str) -> tuple[str, ...]:
        try:
            value = self._length(text)
        except TapeError as error:
            hint = "between three lengths with units put ; as in 3' 4\"; 0; 12 in"
            raise TapeError(f"{error} ({hint})") from None
        at = [*self._partial, value]
        if len(at) < 3:
            self._partial = at
            return ()
        self._partial = []
        return self._accept({"at": at})

    def _on(self, text: str) -> tuple[str, ...]:
        name, rest = _leading_name(text, self.frame.tubes, "tube")
        clock = _CLOCK.search(rest)
        along = rest[: clock.start()].strip(" ;,") if clock else ""
        if clock is None or not along:
            example = f"on {name} 350 3:00"
            raise TapeError(f"expected the distance along {name} and the clock, as: {example}")
        written = {"on": name, "along": self._length(along), "clock": _written_clock(clock[0])}
        return self._accept(written)

    def _tape(self, text: str) -> tuple[str, ...]:
        rest = text.replace("=", " ").replace(";", " ")
        body, _, last = rest.strip().rpartition(" ")
        side = last.lower() if last.lower() in get_args(Side) else None
        rest = body if side else rest
        tape: dict[str, Any] = {}
        while rest := rest.strip(" ,"):
            name, rest = _leading_name(rest, self.frame.nodes, "node")
            ahead = _any_of(self.frame.nodes).search(rest)
            reading, rest = (rest[: ahead.start()], rest[ahead.start() :]) if ahead else (rest, "")
            if name in tape:
                raise TapeError(f"expected one distance to each node, got two to {name}")
            tape[name] = self._length(reading.strip(" ,"), what=f"the distance to {name}")
        return self._accept({"tape": tape} | ({"side": side} if side else {}))

    def _length(self, text: str, *, what: str = "") -> int | float | str:
        """Value for the file: a number if a plain one was typed in its unit, else the text."""
        try:
            mm = parse_length(text, unit=self.unit)
        except TapeError as error:
            raise TapeError(f"{what}: {error}" if what else str(error)) from None
        if not abs(mm) <= FURTHEST:
            raise TapeError(f"expected a length within {FURTHEST / 1e6:g} km, got `{text}`")
        if _PLAIN.fullmatch(text) and (self.unit == self.file_unit or mm == 0.0):
            number = float(text.replace(",", "."))
            return int(number) if number.is_integer() else number
        return text if self._reads_alike(text, mm) else f"{text} {self.unit}"

    def _reads_alike(self, text: str, mm: float) -> bool:
        try:
            return parse_length(text, unit=self.file_unit) == mm
        except TapeError:
            return False

    def _spot(self, written: Mapping[str, Any]) -> Spot:
        try:
            entry = PointEntry.model_validate(written, context={"unit": self.file_unit})
        except ValidationError as error:
            fault = error.errors(include_url=False)[0]
            place = ", ".join(map(str, fault["loc"])) or "point"
            raise TapeError(f"{place}: {describe_fault(fault)}") from None
        position, doubt = self.frame.place_point(entry, conduit_od=self.conduit_od)
        return Spot(written, entry, position, doubt)

    def _accept(self, written: Mapping[str, Any]) -> tuple[str, ...]:
        spot = self._spot(written)
        at = len(self.points) if self._before is None else self._before
        self._change((*self.points[:at], spot, *self.points[at:]), current=at)
        same = [
            f"It is at the same place as {self.name(i)}."
            for i in (at - 1, at + 1)
            if 0 <= i < len(self.points)
            and np.linalg.norm(self.points[i].position - spot.position) < SAME_PLACE
        ]
        return (self._echo(at), *filter(None, [spot.doubt]), *same)

    def _echo(self, index: int) -> str:
        spot = self.points[index]
        where = zip("xyz", spot.position, strict=True)
        text = ", ".join(f"{axis} {format_both(float(mm))}" for axis, mm in where)
        fix = f", {spot.entry.fix}" if spot.entry.fix else ""
        return f"{self.name(index)}: {text}{fix}"

    # -- changes -----------------------------------------------------------------------------

    def _change(self, points: tuple[Spot, ...], *, current: int) -> None:
        self._past.append(self._state)
        self._future.clear()
        self._state = _State(points, current)
        self._before, self._partial = None, []

    def _number(self, text: str) -> int:
        """Index of the point that a number counted from one means."""
        count = len(self.points)
        if not text.isdecimal() or not 1 <= int(text[:9]) <= count:
            known = f"a number from 1 to {count}" if count else "a point first"
            raise TapeError(f"expected {known}, got `{_printable(text)[:40]}`")
        return int(text) - 1

    def _current(self) -> int:
        if not self.points:
            raise TapeError("expected a point first; there is none yet")
        return min(max(self._state.current, 0), len(self.points) - 1)

    def _set(self, index: int, key: str, value: str) -> tuple[str, ...]:
        """Set a key of a point, or drop it when the value is empty."""
        old = self.points[index]
        written = {name: each for name, each in old.written.items() if name != key or value}
        spot = replace(self._spot(written | ({key: value} if value else {})), origin=old.origin)
        points = (*self.points[:index], spot, *self.points[index + 1 :])
        self._change(points, current=index)
        return (self._echo(index),)

    # -- commands ----------------------------------------------------------------------------

    def _back(self, _: str) -> tuple[str, ...]:
        if self._partial:
            self._partial.pop()
            return ("The last length is taken back.",)
        if self._before is not None:
            self._before = None
            return ("The next point goes to the end again.",)
        if not self._past:
            raise TapeError("there is nothing to take back")
        self._future.append(self._state)
        self._state = self._past.pop()
        return (f"Taken back; there {self._count()} now.",)

    def _redo(self, _: str) -> tuple[str, ...]:
        if not self._future:
            raise TapeError("there is nothing to make again")
        self._past.append(self._state)
        self._state = self._future.pop()
        self._partial, self._before = [], None
        return (f"Made again; there {self._count()} now.",)

    def _count(self) -> str:
        count = len(self.points)
        return f"is {count} point" if count == 1 else f"are {count} points"

    def _insert(self, text: str) -> tuple[str, ...]:
        self._before = self._number(text)
        self._partial = []
        return (f"The next point goes before {self.name(self._before)}.",)

    def _delete(self, text: str) -> tuple[str, ...]:
        index = self._number(text)
        gone = self.name(index)
        self._change((*self.points[:index], *self.points[index + 1 :]), current=index - 1)
        return (f"Removed {gone}; there {self._count()} now.",)

    def _label(self, text: str) -> tuple[str, ...]:
        numbered = _NUMBERED.fullmatch(text)
        index = self._number(numbered[1]) if numbered else self._current()
        label = (numbered[2] if numbered else text).strip()
        if label != _printable(label):
            raise TapeError("label: expected plain text, got characters that do not print")
        return self._set(index, "label", label)

    def _fix(self, text: str) -> tuple[str, ...]:
        how, _, number = text.lower().partition(" ")
        if how not in ("anchor", "clip", "none"):
            raise TapeError(f"fix: expected anchor, clip or none, got `{_printable(how)[:40]}`")
        index = self._number(number.strip()) if number.strip() else self._current()
        return self._set(index, "fix", how if how != "none" else "")

    def _list(self, _: str) -> tuple[str, ...]:
        return tuple(self._echo(i) for i in range(len(self.points))) or ("There are no points.",)

    def _stop(self, _: str) -> tuple[str, ...]:
        self.stopped = True
        return ()

    def _help(self, _: str) -> tuple[str, ...]:
        return (*HELP, f"Bare numbers are read as {self.unit}; units: {', '.join(MM_PER_UNIT)}.")

    _commands: Mapping[str, Callable[[Session, str], tuple[str, ...]]] = {
        "on": _on,
        "tape": _tape,
        "back": _back,
        "redo": _redo,
        "insert": _insert,
        "delete": _delete,
        "label": _label,
        "fix": _fix,
        "list": _list,
        "stop": _stop,
        "help": _help,
    }


def _printable(text: str) -> str:
    return "".join(character if character.isprintable() else "?" for character in text)


def _any_of(names: Mapping[str, Any]) -> re.Pattern[str]:
    """Match one of some names, the longest first, standing alone."""
    listed = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    return re.compile(rf"(?<!\S)(?:{listed or '(?!)'})(?!\S)")


def _leading_name(text: str, names: Mapping[str, Any], what: str) -> tuple[str, str]:
    """Take a known name off the front of a text."""
    found = _any_of(names).match(text.replace(";", " ").replace(",", " "))
    if found is None:
        known = ", ".join(names) or "none"
        got = _printable(text.partition(" ")[0])[:40] or "nothing"
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
