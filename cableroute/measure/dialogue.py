"""Points typed one by one at the machine: the commands, and what has been typed so far.

Nothing here reads, prints or saves; :class:`Dialogue` takes a line and answers with lines.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from cableroute.errors import TapeError
from cableroute.frozen import frozen
from cableroute.measure._typed import WAYS, Reader, Spot
from cableroute.measure.positions import Frame
from cableroute.shown import shown
from cableroute.units import MM_PER_UNIT, Unit, format_both

#: Points nearer than this [mm] are one place.
SAME_PLACE = 1e-6

HELP = (
    *WAYS,
    "Commands:",
    "  back          take back the last change          redo      make it again",
    "  insert N      put the next point before point N   delete N  remove point N",
    "  label TEXT    name the last point (label 3: TEXT for point 3)",
    "  fix anchor    how the last point is held: anchor, clip or none (fix clip 3 for point 3)",
    "  kind pull     push-pull, pull or pull-pair           load 60      at the far end, or 14 lbf",
    "  family NAME   the cable; family alone lists what fits travel 40    needed at the far end",
    "  list          show all points                     stop      end; everything is saved",
)

#: How a point is held, and what it is called, at the end of its line.
_HELD = re.compile(r"[\s,;]+(anchor|clip)(?:[\s,;]+(.*))?$", re.IGNORECASE | re.DOTALL)
_NUMBERED = re.compile(r"(\d+)\s*:\s*(.*)", re.DOTALL)


@frozen(eq=False)
class _State:
    """All that `back` brings back."""

    points: tuple[Spot, ...] = ()
    current: int = -1


class Dialogue:
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
    >>> dialogue = Dialogue(Frame({}, {}, 1.5))
    >>> dialogue.apply("100 0 12")
    ('point 1: x 100 mm (3 15/16"), y 0 mm (0"), z 12 mm (1/2")',)
    >>> dialogue.points[0].written
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
        self.unit = unit
        self._reader = Reader(frame, unit, file_unit or unit, conduit_od)
        self.stopped = False
        spots = [replace(self._reader.spot(each), origin=i) for i, each in enumerate(written)]
        self._state = _State(tuple(spots), len(spots) - 1)
        self._past: list[_State] = []
        self._future: list[_State] = []
        self._partial: list[int | float | str] = []
        self._before: int | None = None
        self._held: dict[str, str] = {}

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
        """Return the number of a point, with its label if it has one."""
        label = self.points[index].entry.label
        return f"point {index + 1}" + (f" ({label})" if label else "")

    def apply(self, line: str) -> tuple[str, ...]:
        """Do what a line says."""
        text = line.strip()
        if not text or text.startswith("#"):
            return ()
        text = self._without_hold(text)
        word, _, rest = text.partition(" ")
        command = self._commands.get(word.lower())
        if command is not None:
            return command(self, rest.strip())
        if not any(character.isdigit() for character in text):
            got = shown(text, most=40)
            raise TapeError(f"expected a point or a command, got `{got}`; type help for a list")
        return self._coordinates(text)

    def _without_hold(self, text: str) -> str:
        """Take how a point is held, and its label, off the end of its line."""
        self._held = {}
        held = _HELD.search(text)
        typed = text[: held.start()] if held else ""
        word = typed.partition(" ")[0].lower()
        is_point = word in ("on", "tape") or word not in self._commands
        if held is None or not is_point or not any(each.isdigit() for each in typed):
            return text
        label = (held[2] or "").strip()
        if not label.isprintable():
            raise TapeError("label: expected plain text, got characters that do not print")
        self._held = {"fix": held[1].lower()} | ({"label": label} if label else {})
        return typed

    def set_conduit(self, diameter: float) -> None:
        """Place what is typed on tubes from now on for another conduit's outside diameter [mm]."""
        self._reader = replace(self._reader, conduit_od=diameter)

    # -- points ------------------------------------------------------------------------------

    def _coordinates(self, text: str) -> tuple[str, ...]:
        lengths = self._reader.coordinates(text)
        at = lengths if len(lengths) == 3 else [*self._partial, *lengths]
        if len(at) < 3:
            self._partial = at
            return ()
        self._partial = []
        return self._accept({"at": at})

    def _on(self, text: str) -> tuple[str, ...]:
        return self._accept(self._reader.on_tube(text))

    def _tape(self, text: str) -> tuple[str, ...]:
        return self._accept(self._reader.by_tape(text))

    def _accept(self, written: Mapping[str, Any]) -> tuple[str, ...]:
        spot = self._reader.spot({**written, **self._held})
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
            raise TapeError(f"expected {known}, got `{shown(text, most=40)}`")
        return int(text) - 1

    def _current(self) -> int:
        if not self.points:
            raise TapeError("expected a point first; there is none yet")
        return min(max(self._state.current, 0), len(self.points) - 1)

    def _set(self, index: int, key: str, value: str) -> tuple[str, ...]:
        """Set a key of a point, or drop it when the value is empty."""
        old = self.points[index]
        kept = {name: each for name, each in old.written.items() if name != key or value}
        written = kept | ({key: value} if value else {})
        spot = replace(self._reader.spot(written), origin=old.origin)
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
        if not label.isprintable():
            raise TapeError("label: expected plain text, got characters that do not print")
        return self._set(index, "label", label)

    def _fix(self, text: str) -> tuple[str, ...]:
        how, _, number = text.lower().partition(" ")
        if how not in ("anchor", "clip", "none"):
            raise TapeError(f"fix: expected anchor, clip or none, got `{shown(how, most=40)}`")
        index = self._number(number.strip()) if number.strip() else self._current()
        return self._set(index, "fix", how if how != "none" else "")

    def _list(self, _: str) -> tuple[str, ...]:
        return tuple(self._echo(i) for i in range(len(self.points))) or ("There are no points.",)

    def _stop(self, _: str) -> tuple[str, ...]:
        self.stopped = True
        return ()

    def _help(self, _: str) -> tuple[str, ...]:
        return (*HELP, f"Bare numbers are read as {self.unit}; units: {', '.join(MM_PER_UNIT)}.")

    _commands: Mapping[str, Callable[[Dialogue, str], tuple[str, ...]]] = {
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


#: Words that begin a line which is no point.
COMMANDS = frozenset(Dialogue._commands)
