"""Change the points of one cable in a route file, and nothing else in it.

The text before and after the points stays byte for byte; inside, every point that is not
changed keeps its own text and its notes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from cableroute.output._toml_cells import cut, cut_tables, notes_of

#: A point as it is to stand in the file: its place among the old ones if it was one, its keys.
Row = tuple[int | None, Mapping[str, Any]]

_MARK = "=== the points go here ==="


def starter_text(*, title: str, unit: str, cable: str, bend_radius: str, note: str = "") -> str:
    """Return a route file with one cable that has no points yet.

    Parameters
    ----------
    title : str
        What the machine is.
    unit : str
        Unit of bare numbers.
    cable : str
        Name of the cable.
    bend_radius : str
        Its least bend radius in tape notation.
    note : str
        What to say beside the radius.

    Returns
    -------
    str
        TOML.

    Examples
    --------
    >>> print(starter_text(title="Trike", unit="in", cable="shift", bend_radius="60 mm"))
    title = "Trike"
    unit = "in"
    <BLANKLINE>
    [[cable]]
    name = "shift"
    bend_radius = "60 mm"
    points = [
    ]
    <BLANKLINE>
    """
    head = f"title = {_value(title)}\nunit = {_value(unit)}\n"
    return head + cable_text(cable=cable, bend_radius=bend_radius, note=note)


def cable_text(*, cable: str, bend_radius: str, note: str = "") -> str:
    """Return a cable without points, to stand at the end of a route file.

    Parameters
    ----------
    cable : str
        Name of the cable.
    bend_radius : str
        Its least bend radius in tape notation.
    note : str
        What to say beside the radius.

    Returns
    -------
    str
        TOML that begins with an empty line.
    """
    beside = f"  # {note}" if note else ""
    radius = f"bend_radius = {_value(bend_radius)}{beside}"
    return f"\n[[cable]]\nname = {_value(cable)}\n{radius}\npoints = [\n]\n"


class PointsText:
    r"""A route file with the points of one cable open to change.

    Parameters
    ----------
    text : str
        The route file.
    cable : int
        Which cable, the first being 0 [-].

    Notes
    -----
    The file is taken apart once; putting it together again costs no parsing, so that it can
    be saved after every point of a long survey.

    Examples
    --------
    >>> file = PointsText("[[cable]]\npoints = [\n  {at = [0, 0, 0]}, # sill\n]\n", cable=0)
    >>> print(file.with_points([(0, {"at": [0, 0, 0]}), (None, {"at": [9, 0, 0]})]))
    [[cable]]
    points = [
      {at = [0, 0, 0]}, # sill
      { at = [9, 0, 0] },
    ]
    <BLANKLINE>
    """

    def __init__(self, text: str, *, cable: int) -> None:
        import tomlkit
        from tomlkit.items import AoT

        self.text = text
        self._made: dict[int, tuple[Mapping[str, Any], str]] = {}  # texts of new points
        document: Any = tomlkit.parse(text)
        table = document["cable"][cable]
        self._old = [_plain(point) for point in table.get("points", [])]
        self._are_tables = isinstance(table.get("points"), AoT)
        if self._are_tables:
            self._before, self._cells, self._behind = cut_tables(text, cable, len(self._old))
            return
        array = "[]"
        if "points" in table:
            array = table["points"].as_string()
            table["points"] = _MARK
        else:
            _add_after_last_key(table, "points", _MARK)
        before, behind = document.as_string().split(f'"{_MARK}"')
        self._cells, tail = cut(array[1:-1])
        self._before = before + "["
        self._behind = (tail if self._cells or "\n" in tail else "\n") + "]" + behind

    def with_points(self, rows: Sequence[Row]) -> str:
        """Return the file with other points.

        Parameters
        ----------
        rows : sequence of (int or None, mapping)
            The points in order: which of the old ones each is [-], and its keys and values.

        Returns
        -------
        str
            The file; the very text it was made from if no point differs.
        """
        if [(i, dict(values)) for i, values in rows] == list(enumerate(self._old)):
            return self.text
        return self._before + "".join(self._pieces(rows)) + self._behind

    def _pieces(self, rows: Sequence[Row]) -> Iterator[str]:
        """Old points with all that stands above them, new ones, and the notes of those gone."""
        kept = {origin for origin, _ in rows}
        shown = 0  # old points that are out already, or whose notes are
        for origin, values in rows:
            if origin is None:
                if id(values) not in self._made:
                    self._made[id(values)] = (values, self._new(values))
                yield self._made[id(values)][1]
                continue
            yield from (notes_of(self._cells[i]) for i in range(shown, origin) if i not in kept)
            shown = max(shown, origin + 1)
            cell = self._cells[origin]
            same = dict(values) == self._old[origin]
            yield cell.lead + (cell.value if same else self._changed(cell.value, values))
            yield cell.after
        rest = range(shown, len(self._cells))
        yield from (notes_of(self._cells[i]) for i in rest if i not in kept)

    def _new(self, values: Mapping[str, Any]) -> str:
        if self._are_tables:
            pairs = "".join(f"{key} = {_inline(value)}\n" for key, value in values.items())
            return f"\n[[cable.points]]\n{pairs}"
        first = self._cells[0].lead if self._cells else "\n  "
        indent = first[first.rfind("\n") :] if "\n" in first else " "
        return f"{indent}{_inline(values)},"

    def _changed(self, text: str, values: Mapping[str, Any]) -> str:
        """Change single keys of a point; the others keep their notation."""
        import tomlkit

        if self._are_tables:
            document: Any = tomlkit.parse(text)
            _update(document["cable"]["points"][0], values)
            return str(document.as_string())
        point: Any = tomlkit.parse(f"point = {text}")["point"]
        added = {key: value for key, value in values.items() if key not in point}
        _update(point, {key: value for key, value in values.items() if key in point})
        inside = str(point.as_string())[:-1].rstrip(" \t,")
        close = " }" if inside.startswith("{ ") else "}"
        return inside + "".join(f", {_pair(*pair)}" for pair in added.items()) + close


def _pair(key: str, value: Any) -> str:
    import tomlkit

    return f"{tomlkit.key(key).as_string()} = {_inline(value)}"


def _inline(value: Any) -> str:
    """Write a value on one line, a table with room to breathe."""
    if isinstance(value, Mapping):
        return f"{{ {', '.join(_pair(*pair) for pair in value.items())} }}"
    return _value(value)


def _value(value: Any) -> str:
    import tomlkit

    return str(tomlkit.item(value).as_string())


def _update(table: Any, values: Mapping[str, Any]) -> None:
    for key in [key for key in table if key not in values]:
        del table[key]
    for key, value in values.items():
        if key not in table or _plain(table[key]) != value:
            table[key] = value


def _plain(item: Any) -> Any:
    return item.unwrap() if hasattr(item, "unwrap") else item


def _add_after_last_key(table: Any, key: str, value: str) -> None:
    """Add a key behind the plain keys of a table: before its sub-tables and closing notes."""
    import tomlkit
    from tomlkit.items import AoT, Table

    plain = [name for name, item in table.items() if not isinstance(item, AoT | Table)]
    table.value._insert_after(plain[-1], key, tomlkit.item(value))
