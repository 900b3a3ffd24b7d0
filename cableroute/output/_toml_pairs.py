"""Where one key of a TOML text goes in or out."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import takewhile
from typing import Any

from cableroute.measure.toml_lines import Path, Places, Value
from cableroute.output._toml_cells import cut_tables
from cableroute.output.toml_values import is_tables, key_text, lines_of, table_text, written


def pair_span(text: str, found: Mapping[Path, Value], pair: Value) -> tuple[int, int]:
    """From the beginning of a pair to its end: its line, or itself and one comma."""
    if pair.owner not in found:
        begin, end = text.rfind("\n", 0, pair.key) + 1, text.find("\n", pair.end) + 1
        return begin, end or len(text)
    beside = sorted((each for each in found.values() if each.owner == pair.owner), key=_begin)
    i = beside.index(pair)
    if i > 0:
        return beside[i - 1].end, pair.end
    return pair.key, beside[1].key if len(beside) > 1 else pair.end


def _begin(value: Value) -> int:
    return value.begin


def nested(rest: Path, value: Any) -> Any:
    for part in reversed(rest):
        value = {part: value}
    return value


def into_inline(text: str, found: Places, owner: Path, rest: Path, value: Any) -> str:
    """Write a key behind the last one in braces."""
    place = found.values[owner]
    inside = text[: place.end - 1].rstrip(" \t")
    pair = f"{key_text(rest[:1])} = {written(nested(rest[1:], value))}"
    if inside.endswith("{"):
        return f"{inside} {pair} {text[place.end - 1 :]}"
    close = " " if text[place.begin : place.begin + 2] == "{ " else ""
    return f"{inside.removesuffix(',')}, {pair}{close}{text[place.end - 1 :]}"


def as_line(text: str, found: Places, owner: Path, rest: Path, value: Any, after: str) -> str:
    """Write a key on a line of its own, behind those like it, else behind the last short one."""
    pairs = {at: place for at, place in found.values.items() if place.owner == owner}
    block = next((block for block in found.blocks if block.path == owner), None)
    line = f"{key_text(rest)} = {lines_of(value)}\n"

    def rank(at: Path) -> tuple[bool, int, bool, int]:
        is_short = "\n" not in text[pairs[at].begin : pairs[at].end]
        return at == (*owner, after), _shared(at, (*owner, *rest)), is_short, pairs[at].begin

    if pairs:
        best = max(pairs, key=rank)
        end = text.find("\n", pairs[best].end) + 1 or len(text)
    elif block:
        end = text.find("\n", block.body) + 1 or len(text)
    else:
        end = len(cut_tables(text, found.blocks)[0].text)
    before = text[:end] if not end or text[end - 1] == "\n" else text[:end] + "\n"
    return before + line + text[end:]


def _shared(one: Path, other: Path) -> int:
    return len(list(takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False))))


def as_table(text: str, found: Places, rest: Path, value: Any) -> str:
    """Write a table under a header of its own, behind the last of its kind."""
    if not isinstance(value, Mapping) and not is_tables(value):
        rest, value = rest[:-1], {rest[-1]: value}
    if not text.endswith("\n"):
        text += "\n"
    pieces = [piece.text for piece in cut_tables(text, found.blocks)]
    paths = [piece.path for piece in cut_tables(text, found.blocks)]
    alike = [n for n, at in enumerate(paths) if at[:1] == rest[:1]]
    at = max(alike, default=len(pieces) - 1)
    tables = [value] if isinstance(value, Mapping) else value
    for table in tables:
        pieces[at] += "\n" + table_text(rest, table, is_array=table is not value)
    return "".join(pieces)
