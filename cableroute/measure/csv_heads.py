"""The header of a list of points: which column holds what, in the spellings that programs use."""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import get_close_matches

from cableroute._tape import LENGTH
from cableroute.frozen import frozen
from cableroute.measure.models import PointEntry
from cableroute.shown import shown
from cableroute.units import plain_number

AXES = ("x", "y", "z")
_PLACES = ("at", "on", "along", "clock", "tape", "side")
#: Keys of a point that a column may hold, besides where it is.
EXTRAS = tuple(name for name in PointEntry.model_fields if name not in _PLACES)
#: Columns that are read; the last says whose point it is.
KNOWN = (*AXES, *EXTRAS, "cable")
#: Other words for them.
_ALIASES = {
    **dict.fromkeys(("name", "description", "desc", "comment", "remark"), "label"),
    **dict.fromkeys(("bend_radius", "corner_radius"), "radius"),
    **dict.fromkeys(("route", "run"), "cable"),
}
#: Words that say nothing more about a coordinate.
_FILLERS = {
    *("position", "pos", "point", "pt", "vertex", "node", "centre", "center"),
    *("coordinate", "coordinates", "coord", "coords", "value"),
}
_UNITS = {word: unit for unit, words in LENGTH.units.items() for word in words.split()}
_BRACKETED = re.compile(r"(?P<name>.*?)[\s_]*[(\[]\s*(?P<unit>[^)\]]*?)\s*[)\]]")
_TRAILING = re.compile(r"(?P<name>.+?)(?:[\s_]+|\s*/\s*)(?P<unit>[a-z]+)")
_APART = re.compile(r"[\s_.\-/]+")
#: From this likeness on, an unknown column is a slip of the pen and not another program's [-].
_LIKENESS = 0.8


@frozen
class Head:
    """A column.

    Parameters
    ----------
    name : str
        As known here, else as it stands there.
    unit : str or None
        Unit of its numbers, if it names one.
    cell : str
        What stands there.
    is_plain : bool
        Whether it stands under the very name by which it is known here.
    """

    name: str
    unit: str | None
    cell: str
    is_plain: bool

    @property
    def is_known(self) -> bool:
        """Whether anything is read from it."""
        return self.name in KNOWN


def read_head(cell: str) -> Head:
    """Read one cell of a header."""
    text = " ".join(cell.lower().split())
    unit = None
    for pattern in (_BRACKETED, _TRAILING):
        match = pattern.fullmatch(text)
        if match and (match["unit"] in _UNITS):
            text, unit = match["name"], _UNITS[match["unit"]]
            break
    words = [word for word in _APART.split(text) if word]
    telling = [word for word in words if word not in _FILLERS]
    name = "_".join(telling)
    name = _ALIASES.get(name, name or "_".join(words))
    return Head(name, unit, cell, is_plain=text == name)


def read_header(cells: Sequence[str]) -> tuple[Head, ...] | None:
    """Return the columns that a first row names, or None where it is a point already."""
    heads = tuple(map(read_head, cells))
    if any(plain_number(cell) is not None for cell in cells[:3]):
        return None
    if any(head.is_known for head in heads) or not any(map(_has_digit, cells)):
        return heads
    return None


def faults_of(heads: Sequence[Head]) -> list[str]:
    """Say which coordinates are missing, what stands twice, what may be a slip of the pen."""
    names = [head.name for head in heads]
    if not set(names) & set(AXES):
        got = ", ".join(_quoted(head) for head in heads[:6])
        return [f"expected columns x, y and z, or rows of three numbers; got {got}"]
    faults = [f"expected a column {axis}, got none" for axis in AXES if axis not in names]
    for head in heads:
        if head.is_known and names.count(head.name) > 1:
            faults.append(f"column {head.name} stands twice")
        near = get_close_matches(head.name, KNOWN, n=1, cutoff=_LIKENESS)
        if near and not head.is_known:
            faults.append(f"unknown column {shown(head.cell, most=40)!r}; the nearest is {near[0]}")
    return list(dict.fromkeys(faults))


def remarks_on(heads: Sequence[Head]) -> list[str]:
    """Say what was taken for what, where that does not go without saying."""
    said = []
    taken = [f"{head.name} from {_quoted(head)}" for head in heads if head.is_known]
    if not all(head.is_plain for head in heads if head.is_known):
        said.append(f"read are {', '.join(taken)}")
    ignored = [_quoted(head) for head in heads if not head.is_known]
    if ignored:
        said.append(
            f"the column{'s' * (len(ignored) > 1)} {', '.join(ignored)} "
            f"{'are' if len(ignored) > 1 else 'is'} ignored"
        )
    return said


def _quoted(head: Head) -> str:
    return f'"{shown(head.cell, most=40)}"'


def _has_digit(cell: str) -> bool:
    return any(letter.isdigit() for letter in cell)
