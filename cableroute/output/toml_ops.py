"""Edits of a route file, as a program asks for them: set, insert, move, delete at a path."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from copy import copy, deepcopy
from typing import Any, Literal

from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.measure.toml_lines import Path, parsed
from cableroute.output.toml_edit import Row, Rows, value_at, with_value, without
from cableroute.output.toml_values import key_text


@frozen
class Edit:
    """One change of a TOML text.

    Parameters
    ----------
    op : str
        ``set``, ``insert`` before a member of an array, ``move`` one, or ``delete``.
    path : tuple
        Keys and numbers [-].
    value : object
        What to set or insert.
    to : int
        The place of the member that moves, once it is there [-].
    after : str
        The key behind which a new one is to stand, if that is there.
    """

    op: Literal["set", "insert", "move", "delete"]
    path: Path
    value: Any = None
    to: int = 0
    after: str = ""


def edited(text: str, edits: Sequence[Edit]) -> str:
    r"""Return a TOML text with edits made in turn; every line they do not touch stays.

    Examples
    --------
    >>> print(edited("a = [1, 0x2] # n\n", [Edit("insert", ("a", 1), 7), Edit("delete", ("a", 0))]))
    a = [7, 0x2] # n
    <BLANKLINE>
    """
    line_end = "\r\n" if "\n" in text and text.count("\n") == text.count("\r\n") else "\n"
    text = text.replace("\r\n", "\n") if line_end == "\r\n" else text
    for edit in edits:
        wanted = _applied(parsed(text), edit)
        text = _edited(text, edit)
        _check_same(text, wanted, edit)
    return text.replace("\n", line_end)


def _edited(text: str, edit: Edit) -> str:
    if edit.op == "set":
        return with_value(text, edit.path, edit.value, after=edit.after)
    if edit.op == "delete":
        return without(text, edit.path)
    data = parsed(text)
    rows = _rows(data, edit)
    if value_at(data, edit.path[:-1]) is None:
        return with_value(text, edit.path[:-1], [edit.value])
    return Rows(text, edit.path[:-1]).with_rows(rows)


def _rows(data: Any, edit: Edit) -> list[Row]:
    """Give the members of an array in their new order."""
    *_, i = edit.path
    old = value_at(data, edit.path[:-1])
    members = [] if old is None and edit.op == "insert" else old
    rows: list[Row] = list(enumerate(members)) if isinstance(members, list) else []
    most = len(rows) + (edit.op == "insert") - 1
    if not isinstance(members, list) or not isinstance(i, int) or not 0 <= i <= most:
        raise CableRouteError(f"{key_text(edit.path)}: expected the number of a member, got {i!r}")
    if edit.op == "insert":
        rows.insert(i, (None, edit.value))
        return rows
    if not 0 <= edit.to <= most:
        raise CableRouteError(f"expected a place from 0 to {most} to move to, got {edit.to}")
    rows.insert(edit.to, rows.pop(i))
    return rows


def _applied(data: Any, edit: Edit) -> Any:
    """Return plain data with the same change made, to hold the new text against."""
    if not edit.path:
        raise CableRouteError("expected a path into the file, got an empty one")
    above, last = edit.path[:-1], edit.path[-1]
    if edit.op in ("insert", "move"):
        return _applied(data, Edit("set", above, [value for _, value in _rows(data, edit)]))
    around: Any = copy(data)  # and so every table on the way: what was parsed is not ours
    data = around
    for part in above:
        inner = copy(value_at(around, (part,)))
        if inner is None and isinstance(around, dict) and isinstance(part, str):
            inner = {}
        if inner is not None:
            around[part] = inner
        around = inner
    if edit.op == "delete":
        if value_at(around, (last,)) is None:
            raise CableRouteError(f"{key_text(edit.path)}: nothing stands there")
        del around[last]
    elif isinstance(around, list) and last == len(around):
        around.append(deepcopy(edit.value))
    elif value_at(around, (last,)) is not None or (
        isinstance(around, dict) and isinstance(last, str)
    ):
        around[last] = deepcopy(edit.value)
    else:
        raise CableRouteError(f"{key_text(edit.path)}: expected a place in the file, found none")
    return data


def _check_same(text: str, wanted: Any, edit: Edit) -> None:
    """Make sure that a text reads as it should: the file is the user's."""
    try:
        is_same = _without_empty(parsed(text)) == _without_empty(wanted)
    except tomllib.TOMLDecodeError:
        is_same = False
    if not is_same:
        raise CableRouteError(
            f"{key_text(edit.path)}: the file cannot be edited safely there; change it by hand"
        )


def _without_empty(data: Any) -> Any:
    """Leave out what is empty: a table whose last key is gone may go with it."""
    if not isinstance(data, dict):
        return data
    inner = {key: _without_empty(value) for key, value in data.items()}
    return {key: value for key, value in inner.items() if value not in ({}, [])}
