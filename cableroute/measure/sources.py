"""Which kind of file points come from, and the reader for it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from cableroute.measure.route_text import table_text
from cableroute.units import Unit

if TYPE_CHECKING:
    from cableroute.measure.point_list import PointList

#: The name of standard input, and of a cable from it.
STDIN, NO_NAME = Path("-"), "points"
#: Kinds of files that points are read from, by the ending of their name.
ENDINGS = (".toml", ".csv", ".dxf", ".obj")
_LOOKS = {
    ".csv": re.compile(rb"(?im)\A(?:.*[\s,])?x\s*=\s*\S+[\s,]+y\s*=\s*\S+[\s,]+z\s*=\s*\S+\s*$"),
    ".dxf": re.compile(rb"\s*(?:999\s*\n[^\n]*\n\s*)*0\s*\n\s*SECTION|AutoCAD Binary DXF"),
    ".toml": re.compile(rb"(?m)^\s*\[\[?\s*cable\s*\]\]?|^\s*[\w.]+\s*=(?!\S\s*$)"),
    ".obj": re.compile(rb"(?m)^\s*v\s+[-+.\d]"),
}


def kind_of(path: Path, content: bytes) -> str:
    """Tell what a file holds, by its name, or by a look at it where it has none."""
    if path != STDIN:
        suffix = path.suffix.lower()
        return suffix if suffix in ENDINGS else ".csv"
    head = content[:100_000].replace(b"\r\n", b"\n")
    return next((kind for kind, look in _LOOKS.items() if look.search(head)), ".csv")


def read_list(
    path: Path, content: bytes, kind: str, *, unit: Unit | None, layer: str | None
) -> PointList:
    """Return the points of a file that is no route file; each kind's reader is loaded for it alone."""
    source = str(path)
    if kind == ".dxf":
        from cableroute.measure.dxf_points import read_dxf

        return read_dxf(content, source=source, unit=unit, layer=layer)
    text, notes = table_text(content, source=source)
    if kind == ".obj":
        from cableroute.measure.obj_points import read_obj

        return read_obj(text, source=source, unit=unit)
    from cableroute.measure.csv_points import read_points

    found = read_points(text, source=source, unit=unit)
    return replace(found, notes=(*found.notes, *notes))
