"""Inputs that nobody should write: sound files with something in them changed, by a seed.

Three ways, mixed: by the grammar (keys, types, units, references), by numbers, by bytes.
"""

from __future__ import annotations

import random
import tomllib
from collections.abc import Sequence
from copy import deepcopy
from typing import Any

import tomlkit

from tests.fuzz.sound import ENTITIES, SOUND, routes

#: Numbers that have been trouble somewhere.
NUMBERS: tuple[float, ...] = (
    *(0, -0.0, 1, -1, 2, 3, 0.5, 1e-3, 1e-6, 1e-9, 1e-12, 1e-300, 1e-320, 25.4, 304.8, 1000),
    *(1e6, 1e9, 1e12, 1e15, 1e300, 1.7e308, 2**53, 2**63, 10**400, 90, 180, 360, -2_000_000),
    *(float("nan"), float("inf"), -float("inf"), 1.999999, 0.9999999999),
)
#: Words that have been trouble, or might be.
WORDS = (
    *("", " ", "x", "0", "-1", "nan", "inf", "1e999", "12_5", "１２", "٣", "true", "[]", "{}"),
    *("3' 4 1/2\"", "5' 111/2\"", "11/2 in", "10'.5", "1m 205cm", "2'99", "3 ft 13 in", "1 1/0 in"),
    *(
        "2' 11 9/8\"",
        "\u00a0",
        "cable = 1",
        "{0}",
        "%s",
        "</script>",
        "<b>",
        "&amp;",
        "$x^2$",
        "|a|",
    ),
    *("12 mm", "1.2 m", "4 ft", "-3 in", "7 N", "27 lbf", "12 kg", "3:00", "12 o'clock", "90 deg"),
    *("\x1b[1G\x1b[0;32mPASS", "\x9b31m", "a\nb", "\u202edlrow", "\x07\x08", "a" * 10_000, "é😀"),
    *(
        "free",
        "pinned",
        "anchor",
        "clip",
        "push-pull",
        "pull",
        "pull-pair",
        "up",
        "forward",
        "solid",
    ),
    *("push-slick-medium", "throttle-thin", "7x19", "brake", "M6", "shift", "A", "rail", "=1+1"),
)
TYPES: tuple[Any, ...] = (True, False, [], {}, [[]], [1, 2], [0, 0, 0], {"a": 1}, "x", 3, 2.5)
#: What JSON can say and a file cannot.
READ_BADLY: tuple[Any, ...] = (None, "\ud800", 10**20, -(2**63) - 1, "\x00", [None], {"": 1})
#: What is changed in a text of lines, by its kind; in any other a cell, twice as often.
_USUAL = "cell cell row letters"
_WAYS = {"dxf": "group group group entity row letters"}


def mutant(kind: str, chance: random.Random) -> bytes:
    """Return a file of a kind with one thing changed, or a few."""
    text = chance.choice(SOUND[kind]())
    if kind in ("toml", "library"):
        return _by_grammar(text, chance)
    for _ in range(chance.choice((1, 1, 2, 4))):
        text = _CHANGES[chance.choice(_WAYS.get(kind, _USUAL).split())](text, chance)
    return changed_bytes(text, chance)


def _by_grammar(text: str, chance: random.Random) -> bytes:
    if chance.random() < 0.7:
        data = tomllib.loads(text)
        for _ in range(chance.choice((1, 1, 1, 2, 3))):
            _change(data, chance)
        text = tomlkit.dumps(data)
    if chance.random() < 0.3:
        text = _CHANGES[chance.choice(("row", "letters", "value"))](text, chance)
    return changed_bytes(text, chance)


def places(node: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """List the paths to everything in a nest of tables and lists."""
    inner: Sequence[tuple[Any, Any]] = ()
    if isinstance(node, dict):
        inner = list(node.items())
    elif isinstance(node, list):
        inner = list(enumerate(node))
    return [path] * bool(path) + [p for key, each in inner for p in places(each, (*path, key))]


def _change(data: dict[str, Any], chance: random.Random) -> None:
    """Change one place by the grammar: drop, double, rename, another type, number, word, branch."""
    paths = places(data)
    if not paths:
        return
    path = chance.choice(paths)
    *up, key = path
    table: Any = data
    for step in up:
        table = table[step]
    old = table[key]
    way = chance.randrange(8)
    if way == 0:
        del table[key]
    elif way == 1 and isinstance(table, list):
        table.insert(key, deepcopy(old))
    elif way == 1:
        table[key + chance.choice("abx_")] = old
    elif way == 2:
        table[key] = deepcopy(chance.choice(TYPES))
    elif way == 3 and isinstance(old, list):
        chance.shuffle(old)
    elif way <= 5:
        table[key] = number(old, chance)
    elif way == 6:
        table[key] = chance.choice(WORDS)
    else:
        table[key] = alike(key, chance)


def alike(key: Any, chance: random.Random) -> Any:
    """Return what has the same name, or any, in another file."""
    other = tomllib.loads(chance.choice(routes()))
    paths = places(other)
    path = chance.choice([path for path in paths if path[-1] == key] or paths)
    value: Any = other
    for step in path:
        value = value[step]
    return deepcopy(value)


def number(old: Any, chance: random.Random) -> Any:
    """Return a number that is like the old one, or like none."""
    if isinstance(old, int | float) and not isinstance(old, bool) and chance.random() < 0.5:
        factor = chance.choice((-1, 10, 0.1, 25.4, 1 / 25.4, 1000, 1e-3, 1e6, 1e-6, 0))
        try:
            return old * factor
        except OverflowError:
            return 0
    value = chance.choice(NUMBERS)
    return value if isinstance(value, float) or abs(value) < 2**63 else float(2**63)


def _value(text: str, chance: random.Random) -> str:
    """Put another value after one of the equal signs."""
    lines = text.splitlines()
    at = [i for i, line in enumerate(lines) if "=" in line]
    if at:
        i = chance.choice(at)
        value = chance.choice((*map(str, NUMBERS), *map(repr, WORDS), "", "[", "'", "{ a = 1 }"))
        lines[i] = f"{lines[i].partition('=')[0]}= {value}"
    return "\n".join(lines) + "\n"


def _cell(text: str, chance: random.Random) -> str:
    """Put a number or a word in the place of one of a row."""
    lines = text.splitlines()
    if not lines:
        return text
    i = chance.randrange(len(lines))
    mark = next((mark for mark in ";,\t " if mark in lines[i]), ",")
    cells = lines[i].split(mark)
    cells[chance.randrange(len(cells))] = str(chance.choice((*NUMBERS, *WORDS)))
    lines[i] = mark.join(cells)
    return "\n".join(lines) + "\n"


def _row(text: str, chance: random.Random) -> str:
    """Drop, double, swap or cut a line."""
    lines = text.splitlines() or [""]
    i, j = chance.randrange(len(lines)), chance.randrange(len(lines))
    way = chance.randrange(4)
    if way == 0:
        del lines[i]
    elif way == 1:
        lines.insert(j, lines[i])
    elif way == 2:
        lines[i], lines[j] = lines[j], lines[i]
    else:
        lines[i] = lines[i][: chance.randrange(len(lines[i]) + 1)]
    return "\n".join(lines) + "\n"


def _group(text: str, chance: random.Random) -> str:
    """Change one group of a drawing, a code and its value: most often one of what is drawn."""
    lines = text.splitlines()
    begin = lines.index("ENTITIES") + 1 if "ENTITIES" in lines and chance.random() < 0.9 else 0
    i = begin + 2 * chance.randrange(max((len(lines) - begin) // 2, 1))
    way = chance.randrange(6)
    if way == 0:
        del lines[i : i + 2]
    elif way == 1:
        lines[i:i] = lines[i : i + 2] or ["0", "LINE"]
    elif way == 2:
        lines[i : i + 1] = [
            str(chance.choice((*range(10, 80, 10), 0, 8, 38, 42, 66, 90, 210, 999)))
        ]
    else:
        lines[i + 1 : i + 2] = [str(chance.choice(WORDS) if way == 3 else chance.choice(NUMBERS))]
    return "\n".join(lines) + "\n"


def _entity(text: str, chance: random.Random) -> str:
    """Draw one thing more, before any other."""
    more = "\n".join(chance.choice(list(ENTITIES.values())).split())
    return text.replace("\nENTITIES\n", f"\nENTITIES\n{more}\n", 1)


def _letters(text: str, chance: random.Random) -> str:
    """Put in, take out or change a letter."""
    i = chance.randrange(len(text) + 1)
    new = chance.choice(
        ("", chance.choice(WORDS), chance.choice("[]{}\"'=,.;#-_0123456789eE \n\t"))
    )
    return text[:i] + new + text[i + chance.randrange(3) :]


def changed_bytes(text: str, chance: random.Random) -> bytes:
    """Encode it, now and then with a byte of it changed."""
    data = bytearray(text.encode("utf-8", "surrogatepass"))
    if data and chance.random() < 0.05:
        for _ in range(chance.choice((1, 1, 8))):
            data[chance.randrange(len(data))] = chance.randrange(256)
    if chance.random() < 0.02:
        data = data[: chance.randrange(len(data) + 1)]
    return bytes(data)


_CHANGES = {
    "cell": _cell,
    "row": _row,
    "letters": _letters,
    "value": _value,
    "group": _group,
    "entity": _entity,
}
