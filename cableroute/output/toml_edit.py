"""Change values and members of arrays in a TOML text, and nothing else in it.

All around a change stays byte for byte: tables where they are, notes with the key they stand at,
numbers in their own notation.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import takewhile
from typing import Any

from cableroute.errors import CableRouteError
from cableroute.measure.toml_lines import Path, parsed, places
from cableroute.output._toml_cells import arranged, cut, cut_tables, notes_of
from cableroute.output._toml_pairs import as_line, as_table, into_inline, nested, pair_span
from cableroute.output.toml_values import is_tables, key_text, table_text, written

#: A member as it is to stand in the file: its place among the old ones if it was one, its value.
Row = tuple[int | None, Any]


class Rows:
    r"""A TOML text with the members of one array open to change.

    Parameters
    ----------
    text : str
        The text.
    path : tuple
        Where the array is, or is to be, such as ``("cable", 0, "points")``.

    Notes
    -----
    The text is taken apart once; putting it together again costs no parsing, so that a file can
    be saved after every point of a long survey.

    Examples
    --------
    >>> file = Rows("[[cable]]\npoints = [\n  {at = [0, 0, 0]}, # sill\n]\n", ("cable", 0, "points"))
    >>> print(file.with_rows([(0, {"at": [0, 0, 0]}), (None, {"at": [9, 0, 0]})]))
    [[cable]]
    points = [
      {at = [0, 0, 0]}, # sill
      { at = [9, 0, 0] },
    ]
    <BLANKLINE>
    """

    def __init__(self, text: str, path: Path) -> None:
        self.text, self.path = text, path
        self._made: dict[int, tuple[Any, str]] = {}  # texts of new members
        old = value_at(parsed(text), path)
        if old is None:
            text = with_value(text, path, [])
        self._old: list[Any] = old or []
        found = places(text)
        self._is_tables = path not in found.values
        if self._is_tables:
            text += "" if text.endswith("\n") else "\n"
            self._pieces = cut_tables(text, found.blocks)
            return
        array = found.values[path]
        self._cells, tail, self._has_comma = cut(text[array.begin + 1 : array.end - 1])
        self._is_long = "\n" in text[array.begin : array.end] or path[-1] == "points"
        self._is_long &= "\n" in text[array.begin : array.end] or not self._cells
        self._before = text[: array.begin + 1]
        if self._is_long and not self._cells and "\n" not in tail:
            tail = "\n"
        self._behind = tail + text[array.end - 1 :]

    def with_rows(self, rows: Sequence[Row]) -> str:
        """Return the text with other members."""
        if list(rows) == list(enumerate(self._old)):
            return self.text
        if self._is_tables:
            return self._with_tables(rows)
        parts = [part for part in self._inside(rows) if part]
        if not self._is_long:
            first, between = [*(cell.lead for cell in self._cells), "", " "][:2]
            inside = first + (between or " ").join(part.strip() for part in parts)
            inside = inside if self._has_comma and self._cells else inside.removesuffix(",")
            return self._before + inside + self._behind
        inside = "".join(parts)
        if not self._has_comma and rows and rows[-1][0] == len(self._cells) - 1:
            after = self._cells[-1].after  # still the last, and still without a comma
            inside = inside[: len(inside) - len(after)] + after[1:]
        return self._before + inside + self._behind

    def _inside(self, rows: Sequence[Row]) -> Iterator[str]:
        """Old members with all that stands above them, new ones, and the notes of those gone."""
        kept = {origin for origin, _ in rows}
        shown = 0  # old members that are out already, or whose notes are
        for origin, value in rows:
            if origin is None:
                yield self._new(value)
                continue
            yield from (notes_of(self._cells[i]) for i in range(shown, origin) if i not in kept)
            shown = max(shown, origin + 1)
            cell = self._cells[origin]
            same = value == self._old[origin]
            yield cell.lead + (cell.value if same else _changed(cell.value, value)) + cell.after
        rest = range(shown, len(self._cells))
        yield from (notes_of(self._cells[i]) for i in rest if i not in kept)

    def _new(self, value: Any) -> str:
        if id(value) not in self._made:
            self._made[id(value)] = (value, written(value))
        first = self._cells[0].lead if self._cells else "\n  "
        indent = first[first.rfind("\n") :] if "\n" in first else " "
        return f"{indent if self._is_long or self._cells else ' '}{self._made[id(value)][1]},"

    def _with_tables(self, rows: Sequence[Row]) -> str:
        for origin, value in rows:
            if origin is None and not isinstance(value, Mapping):
                told = f"expected a table, got {written(value)}"
                raise CableRouteError(f"{key_text(self.path)}: {told}")
        made = [
            "" if origin is not None else "\n" + table_text(self.path, value, is_array=True)
            for origin, value in rows
        ]
        text = arranged(self._pieces, self.path, [origin for origin, _ in rows], made)
        for j, (origin, value) in enumerate(rows):
            if origin is not None and value != self._old[origin]:
                text = with_value(text, (*self.path, j), value)
        return text


def _changed(text: str, value: Any) -> str:
    """Change single keys of a member; the others keep their notation."""
    return with_value(f"x = {text}", ("x",), value).removeprefix("x = ")


def value_at(data: Any, path: Path) -> Any:
    """Return what stands at a path of plain data."""
    for part in path:
        if isinstance(part, int):
            if not isinstance(data, list) or not 0 <= part < len(data):
                return None
            data = data[part]
        elif not isinstance(data, dict) or part not in data:
            return None
        else:
            data = data[part]
    return data


def with_value(text: str, path: Path, value: Any, *, after: str = "") -> str:
    r"""Return a TOML text with one value set, whether it was there or not.

    Examples
    --------
    >>> with_value("a = 1.0  # note\n[b]\nc = [1, 0x2]\n", ("b", "c", 0), 5)
    'a = 1.0  # note\n[b]\nc = [5, 0x2]\n'
    """
    old = value_at(parsed(text), path)
    if old is None:
        return _with_new(text, path, value, after)
    if isinstance(old, dict) and isinstance(value, Mapping):
        for key in [key for key in old if key not in value]:
            text = without(text, (*path, key))
        for key, each in value.items():
            if key not in old or not _same(old[key], each):
                text = with_value(text, (*path, key), each)
        return text
    if isinstance(old, list) and isinstance(value, list):
        return Rows(text, path).with_rows(_paired(old, value))
    place = places(text).values.get(path)
    if place is None:
        raise CableRouteError(f"{key_text(path)}: expected a table, got {written(value)}")
    return text[: place.begin] + written(value) + text[place.end :]


def _same(old: Any, new: Any) -> bool:
    return bool(old == new) and isinstance(old, bool) == isinstance(new, bool)


def _paired(old: list[Any], new: list[Any]) -> list[Row]:
    """Say which of the old members the new ones are: alike from both ends, then one by one."""
    head = len(list(takewhile(lambda pair: _same(*pair), zip(old, new, strict=False))))
    rest = zip(reversed(old[head:]), reversed(new[head:]), strict=False)
    tail = len(list(takewhile(lambda pair: _same(*pair), rest)))
    shared = min(len(old), len(new)) - tail
    return [
        (i if i < shared else i - len(new) + len(old) if i >= len(new) - tail else None, each)
        for i, each in enumerate(new)
    ]


def without(text: str, path: Path) -> str:
    r"""Return a TOML text without what stands at a path; a note beside it goes with it.

    Examples
    --------
    >>> without("a = 1\nb = { c = 2, d = 3 }\n", ("b", "c"))
    'a = 1\nb = { d = 3 }\n'
    """
    parent = value_at(parsed(text), path[:-1])
    if value_at(parent, path[-1:]) is None:
        raise CableRouteError(f"{key_text(path)}: expected something to leave out, found nothing")
    if isinstance(parent, list):
        rows: list[Row] = [row for row in enumerate(parent) if row[0] != path[-1]]
        return Rows(text, path[:-1]).with_rows(rows)
    n = len(path)
    pieces = cut_tables(text, places(text).blocks)
    text = "".join(piece.text for piece in pieces if piece.path[:n] != path)
    while True:
        found = places(text).values
        pair = next((at for at in found if at[:n] == path and len(found[at].owner) < n), None)
        if pair is None:
            return text
        begin, end = pair_span(text, found, found[pair])
        text = text[:begin] + text[end:]


def _with_new(text: str, path: Path, value: Any, after: str) -> str:
    """Add what is not there yet: into the nearest table round it that is."""
    data, found = parsed(text), places(text)
    for n in range(len(path) - 1, -1, -1):
        owner, rest = path[:n], path[n:]
        around = value_at(data, owner)
        if isinstance(around, list):
            if rest[0] != len(around):
                raise CableRouteError(f"expected a member up to {len(around)}, got {rest[0]}")
            rows: list[Row] = [*enumerate(around), (None, nested(rest[1:], value))]
            return Rows(text, owner).with_rows(rows)
        if any(isinstance(part, int) for part in rest):
            continue
        if owner in found.values:
            return into_inline(text, found, owner, rest, value)
        if n == 0 and (isinstance(value, Mapping) or is_tables(value) or len(rest) > 1):
            return as_table(text, found, rest, value)
        if n == 0 or any(block.path == owner for block in found.blocks):
            return as_line(text, found, owner, rest, value, after)
    raise CableRouteError(f"{key_text(path)}: expected a place in the file, found none")
