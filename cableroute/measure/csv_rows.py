"""Rows of a CSV text as programs write it: by comma, semicolon, tab or blanks, with comments."""

from __future__ import annotations

import csv
import re

from cableroute.errors import RouteFileError

#: What begins a line of comment.
COMMENTS = ("#", "//", "%")
_QUOTED = re.compile(r'"[^"]*"')
_LINE_END = re.compile(r"\r\n|\n|\r")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]+|\.)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?")
_AXES = re.compile(r"\W?x\W?\s+\W?y\W?\s+\W?z\b", re.IGNORECASE)
#: A spreadsheet's own way to name the delimiter.
_SAID = re.compile(r"sep=(.)\s*")
BLANKS = " "


def read_rows(text: str, *, source: str) -> list[tuple[int, list[str]]]:
    """Return the rows of a CSV text that hold something; its first row shows the delimiter."""
    return rows_and_delimiter(text, source=source)[0]


def rows_and_delimiter(text: str, *, source: str) -> tuple[list[tuple[int, list[str]]], str]:
    """Return the rows of a CSV text, as `read_rows` does, and what parts their cells."""
    lines = _LINE_END.split(text)
    first = next((i for i, line in enumerate(lines) if _holds_something(line)), 0)
    said = _SAID.fullmatch(lines[first])
    if said:
        lines[first] = ""
    delimiter = said[1] if said else _delimiter(lines[first])
    if delimiter == BLANKS:
        lines = [" ".join(line.split()) for line in lines]
    reader = csv.reader(lines, delimiter=delimiter, skipinitialspace=True, strict=True)
    rows, line = [], 1
    try:
        for cells in reader:
            line = reader.line_num + 1
            bare = [cell.strip() for cell in cells]
            if any(bare) and not cells[0].startswith(COMMENTS):
                rows.append((reader.line_num, bare))
    except csv.Error as error:
        msg = f"{source}:{line}: expected a closed quotation mark and a comma after it, got neither"
        if "limit" in str(error) and reader.line_num == line:  # else a quotation ran on over lines
            msg = f"{source}:{line}: expected cells of at most {csv.field_size_limit()} letters"
        raise RouteFileError([msg]) from error
    return rows, delimiter


def _holds_something(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith(COMMENTS)


def _delimiter(line: str) -> str:
    """Tell what parts the cells of the first row that holds something."""
    line = _QUOTED.sub("", line)
    words = line.split()
    numbers = len(words) >= 3 and all(_NUMBER.fullmatch(word) for word in words[:3])
    if ";" not in line and (numbers or (_AXES.match(line.strip()) and "," not in line)):
        return "\t" if line.count("\t") >= 2 else BLANKS
    return next((mark for mark in ";\t," if mark in line), ",")
