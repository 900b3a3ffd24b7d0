"""Rows of a CSV text as programs write it: by comma, semicolon, tab or blanks, with comments."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from itertools import islice

from cableroute.errors import RouteFileError
from cableroute.frozen import frozen

#: What begins a line of comment.
COMMENTS = ("#", "//", "%")
#: What a spreadsheet writes for a cell that it cannot work out: no comment, though it looks like one.
_BROKEN = re.compile(r"#(?:[A-ZÄÖÜÉ]+(?:/0)?[!?]|N/A|NV)(?=[;,\t]|$)")
_QUOTED = re.compile(r'"[^"]*"')
_LINE_END = re.compile(r"\r\n|\n|\r")
_NUMBER = re.compile(
    r"[+-]?(?:[0-9]+(?:[.,][0-9]+|\.)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+|mm|cm|m|in|ft)?"
)
#: A point as programs list it: in brackets, or each coordinate with its name.
_BRACKETED = re.compile(r"\s*[\[({<]+([^\[\](){}<>]*)[\])}>]+[,;]?\s*")
_SPELLED = re.compile(
    r"(?:.*[\s,])?x\s*=\s*(\S+?)[\s,]+y\s*=\s*(\S+?)[\s,]+z\s*=\s*(\S+)\s*", re.IGNORECASE
)
_AXES = re.compile(r"\W?x\W?\s+\W?y\W?\s+\W?z\b", re.IGNORECASE)
#: A spreadsheet's own way to name the delimiter.
_SAID = re.compile(r"sep=(.)\s*")
BLANKS = " "
#: Lines that may stand above a table: a title, a date [-].
MOST_ABOVE = 20

Row = tuple[int, list[str]]


@frozen
class Rows:
    """The rows of a CSV text.

    Parameters
    ----------
    rows : list of (int, list of str)
        Those that hold something, each with its line; columns that are empty throughout at the right are
        cut off.
    delimiter : str
        What parts their cells.
    comment : (int, list of str) or None
        The last comment above them, as cells: it may be their header.
    """

    rows: list[Row]
    delimiter: str
    comment: Row | None


def read_rows(text: str, *, source: str) -> list[Row]:
    """Return the rows of a CSV text that hold something; its first row shows the delimiter."""
    return rows_of(text, source=source).rows


def rows_of(text: str, *, source: str) -> Rows:
    """Return the rows of a CSV text, what parts their cells, and what was said above them."""
    lines = [_bare(line) for line in _LINE_END.split(text)]
    first = next((i for i, line in enumerate(lines) if _holds_something(line)), 0)
    said = _SAID.fullmatch(lines[first])
    if said:
        lines[first] = ""
    delimiter = said[1] if said else _delimiter_of(lines[first:])
    if delimiter == BLANKS:
        lines = [" ".join(line.split()) for line in lines]
    reader = csv.reader(lines, delimiter=delimiter, skipinitialspace=True, strict=True)
    rows: list[Row] = []
    comment, line = None, 1
    try:
        for cells in reader:
            line = reader.line_num + 1
            bare = [cell.strip() for cell in cells]
            if not any(bare):
                continue
            if not _is_comment(bare[0]):
                rows.append((reader.line_num, bare))
            elif not rows:
                comment = (reader.line_num, bare)
    except csv.Error as error:
        msg = f"{source}:{line}: expected a closed quotation mark and a comma after it, got neither"
        if "limit" in str(error) and reader.line_num == line:  # else a quotation ran on over lines
            msg = f"{source}:{line}: expected cells of at most {csv.field_size_limit()} letters"
        raise RouteFileError([msg]) from error
    return Rows(_cut(rows), delimiter, comment)


def _bare(line: str) -> str:
    """Return a line without brackets round the whole of it, and without names of its coordinates."""
    if "=" in line and (spelled := _SPELLED.fullmatch(line)):
        return " ".join(spelled.groups())
    bracketed = _BRACKETED.fullmatch(line) if line.lstrip()[:1] in ("(", "[", "{", "<") else None
    return bracketed[1] if bracketed else line


def _cut(rows: list[Row]) -> list[Row]:
    """Cut off the columns at the right in which nothing stands: spreadsheets write many."""
    width = max((_last(cells) for _, cells in rows), default=0)
    if all(len(cells) <= width for _, cells in rows):
        return rows
    return [(line, cells[:width]) for line, cells in rows]


def _last(cells: Sequence[str]) -> int:
    """Return how many cells there are up to the last that holds something."""
    if cells[-1]:
        return len(cells)
    return next((count for count in range(len(cells), 0, -1) if cells[count - 1]), 0)


def _is_comment(text: str) -> bool:
    return text.startswith(COMMENTS) and not _BROKEN.match(text)


def _holds_something(line: str) -> bool:
    return bool(line.strip()) and not _is_comment(line.lstrip())


def _delimiter_of(lines: Sequence[str]) -> str:
    """Tell what parts the cells, by the first line that shows it: a title above may hold no mark."""
    held = (line for line in lines if _holds_something(line))
    found = [(_delimiter(line), line) for line in islice(held, MOST_ABOVE)]
    parted = (mark for mark, line in found if len(_cells(line, mark)) >= 3)
    return next(parted, found[0][0] if found else ",")


def _cells(line: str, mark: str) -> list[str]:
    line = _QUOTED.sub('"', line)
    return line.split() if mark == BLANKS else line.split(mark)


def _delimiter(line: str) -> str:
    """Tell what parts the cells of a line: the marks in it, or blanks between numbers."""
    line = _QUOTED.sub("", line)
    if ";" not in line and (_has_numbers(line) or (_AXES.match(line.strip()) and "," not in line)):
        return "\t" if line.count("\t") >= 2 else BLANKS
    return next((mark for mark in ";\t," if mark in line), ",")


def _has_numbers(line: str) -> bool:
    """Whether a line has three numbers, blanks between them, and before them a name at most."""
    words = line.split()

    def numbers(words: Sequence[str]) -> Iterator[bool]:
        return (bool(_NUMBER.fullmatch(word)) for word in words)

    return any(len(words) >= at + 3 and all(numbers(words[at : at + 3])) for at in (0, 1))
