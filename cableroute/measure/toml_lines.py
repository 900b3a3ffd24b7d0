"""Where in a TOML text each key and value stands.

The standard parser gives values without places. This walks a text that parser has already
accepted, so it needs to know where keys and values begin and end, not what they mean.
"""

from __future__ import annotations

import re
import tomllib
from functools import lru_cache
from typing import Any

from cableroute.frozen import frozen

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[\s]|#[^\n]*)*")
_KEY = re.compile(r"""[A-Za-z0-9_-]+|"(?:\\.|[^"\\\n])*"|'[^'\n]*'""")
_STRING = re.compile(
    r'''"""(?:\\.|[^\\])*?"""+|\'\'\'.*?\'\'\'+|"(?:\\.|[^"\\\n])*"|'[^'\n]*\'''', re.DOTALL
)
_SCALAR = re.compile(r"[^,\]}\n#]+")


#: Texts whose data and places are remembered: an edit asks for those of the old and of the new one [-].
_TEXTS = 4


@frozen
class Value:
    """Where a value stands.

    Parameters
    ----------
    owner : tuple
        Path of the table or array that it is written in.
    key : int
        Where its key begins, or itself in an array [-].
    begin, end : int
        Its first letter, and one past its last [-].
    """

    owner: Path
    key: int
    begin: int
    end: int


@frozen
class Block:
    """A header, and the keys below it up to the next.

    Parameters
    ----------
    path : tuple
        What it heads, the number among tables of one name included.
    begin : int
        Its bracket [-].
    body : int
        One past the header's closing bracket [-].
    end : int
        The next header's bracket, or the end of the text [-].
    is_array : bool
        Whether it begins a member of an array of tables.
    """

    path: Path
    begin: int
    body: int
    end: int
    is_array: bool


@frozen
class Places:
    """Where everything in a TOML text stands.

    Parameters
    ----------
    values : dict
        By path, each value that is written behind a key or in an array.
    blocks : tuple of Block
        The headers in order.
    lines : dict
        By path, the line of each key and array element, the first being 1 [-].
    """

    values: dict[Path, Value]
    blocks: tuple[Block, ...]
    lines: dict[Path, int]


@lru_cache(maxsize=_TEXTS)
def parsed(text: str) -> dict[str, Any]:
    """Return what a TOML text holds; of a text read lately the same object, which nobody may change.

    Parameters
    ----------
    text : str
        TOML.

    Raises
    ------
    tomllib.TOMLDecodeError
        For a text that is none.
    """
    return tomllib.loads(text)


@lru_cache(maxsize=_TEXTS)
def places(text: str) -> Places:
    r"""Return where every key, value and header stands.

    Parameters
    ----------
    text : str
        Valid TOML.

    Returns
    -------
    Places
        Offsets into the text.

    Examples
    --------
    >>> found = places('a = 1\n[b]\nc = [2, 30]\n').values["b", "c", 1]
    >>> (found.owner, found.begin, found.end)
    (('b', 'c'), 18, 20)
    """
    return _walked(text)


def _walked(text: str) -> Places:
    walk = _Walk(text)
    walk.document()
    ends = [header[1] for header in walk.headers[1:]] + [len(text)]
    blocks = (
        Block(path, begin, body, end, is_array)
        for (path, begin, body, is_array), end in zip(walk.headers, ends, strict=True)
    )
    return Places(walk.values, tuple(blocks) if walk.headers else (), walk.lines)


def key_lines(text: str) -> dict[Path, int]:
    r"""Return the line of every key and array element.

    Examples
    --------
    >>> key_lines('a = 1\n[[cable]]\nname = "x"\n')[("cable", 0, "name")]
    3
    """
    return _walked(text).lines


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self.values: dict[Path, Value] = {}
        self.headers: list[tuple[Path, int, int, bool]] = []
        self._counted = (0, 1)
        self._tables: dict[Path, int] = {}  # arrays of tables and how many each has

    def document(self) -> None:
        table: Path = ()
        self._skip()
        while self.at < len(self.text):
            if self.text.startswith("[", self.at):
                table = self._header()
            else:
                self._pair(table)
            self._skip()

    def _header(self) -> Path:
        begin, double = self.at, self.text.startswith("[[", self.at)
        line = self._line()
        self.at += 2 if double else 1
        names = self._dotted()
        self.at += 2 if double else 1
        path: Path = ()
        for i, name in enumerate(names):
            path += (name,)
            last = i == len(names) - 1
            if double and last:
                self._tables[path] = self._tables.get(path, 0) + 1
            self.lines.setdefault(path, line)
            if path in self._tables:
                path += (self._tables[path] - 1,)
        self.lines.setdefault(path, line)
        self.headers.append((path, begin, self.at, double))
        return path

    def _pair(self, table: Path) -> None:
        line, key = self._line(), self.at
        path = table
        for name in self._dotted():
            path += (name,)
            self.lines.setdefault(path, line)
        self.at += 1  # the equals sign
        self._value(path, owner=table, key=key)

    def _dotted(self) -> list[str]:
        names: list[str] = []
        while True:
            self._skip()
            found = _KEY.match(self.text, self.at)
            if found is None:
                return names
            names.append(_name(found[0]))
            self.at = found.end()
            self._skip()
            if not self.text.startswith(".", self.at):
                return names
            self.at += 1

    def _value(self, path: Path, *, owner: Path, key: int | None = None) -> None:
        self._skip()
        begin, opening = self.at, self.text[self.at]
        if opening in "[{":
            self.at += 1
            self._members(path, is_array=opening == "[")
            end = self.at
        else:
            found = _STRING.match(self.text, self.at) or _SCALAR.match(self.text, self.at)
            self.at = found.end() if found else len(self.text)
            end = begin + len(self.text[begin : self.at].rstrip())
        self.values[path] = Value(owner, begin if key is None else key, begin, end)

    def _members(self, path: Path, *, is_array: bool) -> None:
        count = 0
        self._skip()
        while self.text[self.at] not in "]}":
            if is_array:
                self.lines[(*path, count)] = self._line()
                self._value((*path, count), owner=path)
            else:
                self._pair(path)
            count += 1
            self._skip()
            if self.text[self.at] == ",":
                self.at += 1
            self._skip()
        self.at += 1

    def _skip(self) -> None:
        found = _BLANK.match(self.text, self.at)
        self.at = found.end() if found else self.at

    def _line(self) -> int:
        """Line of the present place, counted on from the last one asked for."""
        place, line = self._counted
        self._counted = (self.at, line + self.text.count("\n", place, self.at))
        return self._counted[1]


def _name(written: str) -> str:
    """Read a key as it is written: bare, or in quotes of either kind."""
    if written[0] not in "\"'":
        return written
    return str(tomllib.loads(f"key = {written}")["key"])
