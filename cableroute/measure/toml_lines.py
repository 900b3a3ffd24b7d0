"""On which line of a TOML file each key stands.

The standard parser gives values without places. This walks a text that parser has already
accepted, so it needs to know where keys and values begin and end, not what they mean.
"""

from __future__ import annotations

import re

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[\s]|#[^\n]*)*")
_KEY = re.compile(r"""[A-Za-z0-9_-]+|"(?:\\.|[^"\\\n])*"|'[^'\n]*'""")
_STRING = re.compile(
    r'''"""(?:\\.|[^\\])*?"""+|\'\'\'.*?\'\'\'+|"(?:\\.|[^"\\\n])*"|'[^'\n]*\'''', re.DOTALL
)
_SCALAR = re.compile(r"[^,\]}\n#]+")


def key_lines(text: str) -> dict[Path, int]:
    r"""Return the line of every key and array element.

    Parameters
    ----------
    text : str
        Valid TOML.

    Returns
    -------
    dict
        From the path of a value, such as ``("cable", 0, "points", 2, "at")``, to its line, the
        first being 1.

    Examples
    --------
    >>> key_lines('a = 1\n[[cable]]\nname = "x"\n')[("cable", 0, "name")]
    3
    """
    walk = _Walk(text)
    walk.document()
    return walk.lines


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
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
        double = self.text.startswith("[[", self.at)
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
        return path

    def _pair(self, table: Path) -> None:
        line = self._line()
        path = table
        for name in self._dotted():
            path += (name,)
            self.lines.setdefault(path, line)
        self.at += 1  # the equals sign
        self._value(path)

    def _dotted(self) -> list[str]:
        names: list[str] = []
        while True:
            self._skip()
            found = _KEY.match(self.text, self.at)
            if found is None:
                return names
            names.append(found[0].strip("\"'"))
            self.at = found.end()
            self._skip()
            if not self.text.startswith(".", self.at):
                return names
            self.at += 1

    def _value(self, path: Path) -> None:
        self._skip()
        opening = self.text[self.at]
        if opening in "[{":
            self.at += 1
            self._members(path, is_array=opening == "[")
            return
        found = _STRING.match(self.text, self.at) or _SCALAR.match(self.text, self.at)
        self.at = found.end() if found else len(self.text)

    def _members(self, path: Path, *, is_array: bool) -> None:
        count = 0
        self._skip()
        while self.text[self.at] not in "]}":
            if is_array:
                self.lines[(*path, count)] = self._line()
                self._value((*path, count))
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
