"""Which kind of file points come from, and the reader for it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from cableroute.errors import RouteFileError
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
    ".toml": re.compile(rb"(?m)^\s*\[\[?\s*cable\s*\]\]?"),
    ".obj": re.compile(rb"(?m)^\s*v\s+[-+.\d]"),
}
#: A route file that is begun only, on standard input: elsewhere such a line may stand above a table.
_A_KEY = re.compile(rb"(?m)^\s*[\w.]+\s*=(?!\S\s*$)")
#: How files begin that other programs write, and of which nothing is read.
_FOREIGN = {
    "XML": re.compile(rb"\s*<[?!a-zA-Z]"),
    "JSON": re.compile(rb"\s*\{\s*\""),
    "STEP": re.compile(rb"ISO-10303-21"),
    "IGES": re.compile(rb".{72}S      1"),
    "STL": re.compile(rb"solid\s[^\n]*\s+facet\s"),
    "DWG": re.compile(rb"AC10\d\d\0"),
    "PDF": re.compile(rb"%PDF"),
    "a workbook or an archive": re.compile(rb"PK\x03\x04|\xd0\xcf\x11\xe0"),
}
#: The header of a sheet of readings, as `calibrate` reads it.
_READINGS = re.compile(rb"(?im)^[^\n]*\b(?:hand_n|sag_mm)\b")


def is_readings(content: bytes) -> bool:
    """Whether a table holds readings of the bench, and no points."""
    return bool(_READINGS.search(content))


def kind_of(path: Path, content: bytes) -> str:
    """Tell what a file holds, by its name, or by a look at it where that does not say."""
    if path != STDIN and path.suffix.lower() in ENDINGS:
        return path.suffix.lower()
    head = content[:100_000].replace(b"\r\n", b"\n")
    found = next((kind for kind, look in _LOOKS.items() if look.search(head)), ".csv")
    is_begun = found == ".csv" and path == STDIN and not _LOOKS[".csv"].search(head)
    return ".toml" if is_begun and _A_KEY.search(head) else found


def read_list(
    path: Path, content: bytes, kind: str, *, unit: Unit | None, layer: str | None
) -> PointList:
    """Return the points of a file that is no route file; each kind's reader is loaded for it alone."""
    source = str(path)
    if kind == ".dxf":
        from cableroute.measure.dxf_points import read_dxf

        return read_dxf(content, source=source, unit=unit, layer=layer)
    foreign = next((what for what, look in _FOREIGN.items() if look.match(content)), None)
    if foreign:
        told = (
            f"expected points (.csv), a drawing (.dxf, .obj) or a route file (.toml), got {foreign}"
        )
        raise RouteFileError([f"{source}: {told}; export it as one of these"])
    text, notes = table_text(content, source=source)
    if kind == ".obj":
        from cableroute.measure.obj_points import read_obj

        return read_obj(text, source=source, unit=unit)
    from cableroute.measure.csv_points import read_points

    found = read_points(text, source=source, unit=unit)
    return replace(found, notes=(*found.notes, *notes))
