"""What must be true of a file that was written, by the ending of its name."""

from __future__ import annotations

import csv
import io
import re
import tomllib
from collections.abc import Callable
from html.parser import HTMLParser
from itertools import groupby
from xml.etree import ElementTree

import numpy as np

#: Elements of HTML that have no end.
_VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}
#: Elements whose end may be left out.
_MAY_STAY_OPEN = {"p", "li", "dt", "dd", "tr", "td", "th", "thead", "tbody", "tfoot"}
_TRIANGLE = np.dtype([("corners", "<f4", (4, 3)), ("more", "<u2")])
_PDF_END = re.compile(rb"startxref\s+\d+\s+%%EOF\s*\Z")


class _Nest(HTMLParser):
    """Finds an end that does not belong to what is open."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.wrong = ""

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag not in _VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open[-1] != tag and self.open[-1] in _MAY_STAY_OPEN:
            self.open.pop()
        if not self.open or self.open.pop() != tag:
            self.wrong = self.wrong or f"</{tag}> ends nothing"


def _html(data: bytes) -> None:
    nest = _Nest()
    nest.feed(data.decode())
    nest.close()
    left = [tag for tag in nest.open if tag not in _MAY_STAY_OPEN]
    if nest.wrong or left:
        raise ValueError(nest.wrong or f"<{left[-1]}> has no end")


def _csv(data: bytes) -> None:
    rows = csv.reader(io.StringIO(data.decode(), newline=""), strict=True)
    for is_table, table in groupby(rows, bool):  # an empty row is between two tables
        if is_table and len({len(row) for row in table}) > 1:
            raise ValueError("rows of several lengths")


def _stl(data: bytes) -> None:
    count = int.from_bytes(data[80:84], "little")
    if len(data) != 84 + 50 * count:
        raise ValueError("its length is not that of its triangles")
    if not np.isfinite(np.frombuffer(data[84:], _TRIANGLE)["corners"]).all():
        raise ValueError("a corner that is no number")


def _dxf(data: bytes) -> None:
    from ezdxf.filemanagement import read

    audit = read(io.StringIO(data.decode("ascii"))).audit()
    if audit.has_errors or audit.has_fixes:
        raise ValueError(str([each.message for each in (*audit.errors, *audit.fixes)][:1]))


def _pdf(data: bytes) -> None:
    if not data.startswith(b"%PDF-1.") or not _PDF_END.search(data):
        raise ValueError("it does not begin and end as a PDF")


def _png(data: bytes) -> None:
    if not data.startswith(b"\x89PNG\r\n") or not data.endswith(b"IEND\xaeB`\x82"):
        raise ValueError("it does not begin and end as a PNG")


def _toml(data: bytes) -> None:
    tomllib.loads(data.decode())


def _svg(data: bytes) -> None:
    ElementTree.fromstring(data)


_READERS: dict[str, Callable[[bytes], None]] = {
    "html": _html,
    "svg": _svg,
    "csv": _csv,
    "stl": _stl,
    "dxf": _dxf,
    "pdf": _pdf,
    "png": _png,
    "toml": _toml,
    "md": lambda data: None,
}
#: Endings of what is text, of ours alone.
TEXTS = ("md", "csv", "dxf", "svg", "html")


def unreadable(ending: str, data: bytes) -> str:
    """Say what is wrong with a file for whoever reads it; nothing if all is well."""
    try:
        _READERS[ending](data)
    except Exception as error:
        return f"cannot be read as {ending}: {type(error).__name__}: {str(error)[:80]}"
    return ""
