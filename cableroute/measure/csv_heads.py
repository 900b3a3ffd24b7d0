"""The header of a list of points: which column holds what, in the spellings that programs use."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import replace
from difflib import get_close_matches

from cableroute._tape import LENGTH
from cableroute.frozen import frozen
from cableroute.measure.models import PointEntry
from cableroute.shown import shown
from cableroute.units import MM_PER_UNIT, plain_number

AXES = ("x", "y", "z")
_PLACES = ("at", "on", "along", "clock", "tape", "side")
#: Keys of a point that a column may hold, besides where it is.
EXTRAS = tuple(name for name in PointEntry.model_fields if name not in _PLACES)
#: Columns that are read; the last says whose point it is.
KNOWN = (*AXES, *EXTRAS, "cable")
#: Other words for them, in the languages that tables for workshops come in; accents are left off.
_ALIASES = {
    **dict.fromkeys(
        ("name", "description", "desc", "comment", "remark", "remarks", "note"), "label"
    ),
    **dict.fromkeys(
        ("bezeichnung", "benennung", "beschreibung", "bemerkung", "kommentar"), "label"
    ),
    **dict.fromkeys(
        ("nom", "designation", "libelle", "repere", "remarque", "commentaire"), "label"
    ),
    **dict.fromkeys(("bend_radius", "corner_radius", "biegeradius", "rayon"), "radius"),
    **dict.fromkeys(("route", "run", "kabel"), "cable"),
}
#: Words that say nothing more about a coordinate.
_FILLERS = {
    *("position", "pos", "point", "pt", "vertex", "node", "centre", "center", "axis", "value"),
    *("coordinate", "coordinates", "coord", "coords"),
    *("koordinate", "koordinaten", "koord", "punkt", "achse", "wert"),
    *("coordonnee", "coordonnees", "axe", "valeur"),
}
#: Words that say which of several, as in Cable Name.
_WHICH = {"name", "id", "no", "nr", "number"}
#: Columns that may name the points, where no other does.
NAMING = ("point", "pt", "punkt", "node", "vertex", "id", "no", "nr", "number")
#: Columns for both ends of a piece, by the first of each end.
_BOTH_ENDS = (("start_x", "end_x"), ("begin_x", "end_x"), ("x_start", "x_end"), ("x1", "x2"))
_UNITS = {word: unit for unit, words in LENGTH.units.items() for word in words.split()}
_BRACKETED = re.compile(r"(?P<name>.*?)[\s_]*[(\[]\s*(?P<unit>[^)\]]*?)\s*[)\]]")
_TRAILING = re.compile(r"(?P<name>.+?)[\s_./:,-]+(?P<unit>[a-z]+)|(?P<axis>[xyz])(?P<its>[a-z]+)")
_APART = re.compile(r"[\s_.\-/:,]+")
#: Where words are run together, as in PosX and XCoord.
_CAPITAL = re.compile(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])")
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
    text = _plain(cell)
    unit = None
    for pattern in (_BRACKETED, _TRAILING):
        match = pattern.fullmatch(text)
        found = match and {key: word for key, word in match.groupdict().items() if word is not None}
        name, word = (*found.values(), "")[:2] if found else ("", "")
        if word in _UNITS:
            text, unit = name, _UNITS[word]
            break
    return Head(_known_as(text), unit, cell, is_plain=text == _known_as(text))


def _plain(cell: str) -> str:
    """Return small letters without accents, words apart."""
    bare = unicodedata.normalize("NFKD", cell)
    bare = "".join(letter for letter in bare if not unicodedata.combining(letter))
    return " ".join(_CAPITAL.sub(" ", bare).lower().split())


def _known_as(text: str) -> str:
    """Return the name by which a column is known here, if it is."""
    words = [word for word in _APART.split(text) if word]
    telling = [word for word in words if word not in _FILLERS]
    for left in (telling, [word for word in telling if word not in _WHICH]):
        name = _ALIASES.get("_".join(left), "_".join(left))
        if name in KNOWN:
            return name
    return "_".join(telling or words)


def read_unit(cell: str) -> str | None:
    """Return the unit that a cell below a header names, bare or in brackets."""
    return _UNITS.get(cell.lower().strip("()[] "))


def read_header(cells: Sequence[str]) -> tuple[Head, ...] | None:
    """Return the columns that a first row names, or None where it is a point already."""
    heads = _one_label(tuple(map(read_head, cells)))
    if any(plain_number(cell) is not None for cell in cells[:3]):
        return None
    if any(head.is_known for head in heads) or not any(map(_has_digit, cells)):
        return heads
    return heads if _both_ends(heads) else None


def _both_ends(heads: Sequence[Head]) -> bool:
    """Whether each row is a piece of a line, from one end to the other."""
    return any(set(both) <= {head.name for head in heads} for both in _BOTH_ENDS)


def _one_label(heads: tuple[Head, ...]) -> tuple[Head, ...]:
    """Of several columns that may be labels, as Name and Description, keep the one called so or first."""
    labels = [head for head in heads if head.name == "label"]
    if sum(head.is_plain for head in labels) > 1 or not labels:
        return heads
    kept = max(labels, key=lambda head: head.is_plain)
    return tuple(
        replace(head, name="another label") if head.name == "label" and head is not kept else head
        for head in heads
    )


def has_axes(heads: Sequence[Head] | None) -> bool:
    """Whether columns name all three coordinates."""
    return set(AXES) <= {head.name for head in heads or ()}


def with_units(heads: Sequence[Head], cells: Sequence[str]) -> tuple[Head, ...] | None:
    """Give columns the units of the row below them; None where it is no row of units."""
    pairs = [(head, read_unit(cell)) for head, cell in zip(heads, cells, strict=False)]
    named = {head.name: unit for head, unit in pairs}
    if not all(named.get(axis) for axis in AXES):
        return None
    if any(unit and head.unit not in (None, unit) for head, unit in pairs):
        return None
    return tuple(replace(head, unit=unit or head.unit) for head, unit in pairs)


def faults_of(heads: Sequence[Head]) -> list[str]:
    """Say which coordinates are missing, what stands twice, what may be a slip of the pen."""
    names = [head.name for head in heads]
    if _both_ends(heads):
        told = "expected one point in each row, got both ends of a piece"
        return [f"{told}; give the drawing itself, or list its points in order as x, y, z"]
    if not set(names) & set(AXES):
        got = ", ".join(_quoted(head) for head in heads[:6])
        return [f"expected columns x, y and z, or rows of three numbers; got {got}"]
    faults = [_missing(axis, heads) for axis in AXES if axis not in names]
    for head in heads:
        if head.is_known and names.count(head.name) > 1:
            same = " and ".join(_quoted(other) for other in heads if other.name == head.name)
            told = "" if all(other.is_plain for other in heads if other.name == head.name) else same
            faults.append(f"column {head.name} stands twice" + (f", as {told}" if told else ""))
        near = get_close_matches(head.name, KNOWN, n=1, cutoff=_LIKENESS)
        if near and not head.is_known:
            faults.append(f"unknown column {_quoted(head)}; the nearest is {near[0]}")
    return list(dict.fromkeys(faults))


def _missing(axis: str, heads: Sequence[Head]) -> str:
    """Word that a coordinate has no column, and what may be the reason."""
    told = f"expected a column {axis}, got none"
    for head in heads:
        if _APART.split(head.name)[0] == axis and not head.is_known:
            return (
                f"{told}; {_quoted(head)} may be one, in a unit other than {', '.join(MM_PER_UNIT)}"
            )
    is_flat = {head.name for head in heads} >= {"x", "y"}
    return f"{told}; where all is flat, give it with 0 in every row" if is_flat else told


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
