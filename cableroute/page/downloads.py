"""What can be taken away: the same files that the commands write."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from types import MappingProxyType

from cableroute.assess import Assessment, assess
from cableroute.errors import CableRouteError
from cableroute.output.dxf import dxf_text
from cableroute.output.exports import (
    CLIP_COLUMNS,
    POINT_COLUMNS,
    clip_rows,
    point_rows,
)
from cableroute.output.spreadsheet import csv_text
from cableroute.page.answers import read

_HTML, _PDF, _CSV = "text/html; charset=utf-8", "application/pdf", "text/csv; charset=utf-8"


def _report(ending: str, *, sheet: bool = False) -> Callable[[Assessment, str], bytes]:
    """Return what writes the report, or the sheets for the bench, as the command does."""

    def write(found: Assessment, source: str) -> bytes:
        from cableroute.output.report.written import report

        return report(found, ending=ending, source=source, when=date.today(), sheet=sheet)

    return write


def _template_pdf(found: Assessment, _source: str) -> bytes:
    from cableroute.output.template.sheets import template_sheets

    job = found.job
    return template_sheets(
        found.cables, title=job.title, unit=job.unit, tolerance=job.tape_tolerance
    ).pdf


def _route_dxf(found: Assessment, _source: str) -> bytes:
    return dxf_text(found.cables, found.job.keepouts).encode("ascii")


def _points_csv(found: Assessment, _source: str) -> bytes:
    rows = [row for cable in found.cables for row in point_rows(cable.figures)]
    return csv_text(POINT_COLUMNS, rows).encode()


def _clips_csv(found: Assessment, _source: str) -> bytes:
    rows = [row for cable in found.cables for row in clip_rows(cable)]
    return csv_text(CLIP_COLUMNS, rows).encode()


def _linkage_csv(found: Assessment, _source: str) -> bytes:
    from cableroute.figures.drill_list import drill_list
    from cableroute.output.linkage_csv import linkage_csv

    if not found.linkages:
        raise CableRouteError("the file has no [[linkage]]")
    drilled = [drill_list(linkage.figures) for linkage in found.linkages]
    return linkage_csv(found, drilled).encode()


_WRITERS: Mapping[str, tuple[str, Callable[[Assessment, str], bytes]]] = MappingProxyType(
    {
        "report.html": (_HTML, _report(".html")),
        "report.pdf": (_PDF, _report(".pdf")),
        "report.md": ("text/markdown; charset=utf-8", _report(".md")),
        "sheet.html": (_HTML, _report(".html", sheet=True)),
        "sheet.pdf": (_PDF, _report(".pdf", sheet=True)),
        "template.pdf": (_PDF, _template_pdf),
        "route.dxf": ("image/vnd.dxf", _route_dxf),
        "points.csv": (_CSV, _points_csv),
        "clips.csv": (_CSV, _clips_csv),
        "linkage.csv": (_CSV, _linkage_csv),
    }
)
#: By name, the media type of each download.
DOWNLOADS: Mapping[str, str] = MappingProxyType(
    {name: kind for name, (kind, _) in _WRITERS.items()}
    | {"file.toml": "application/toml; charset=utf-8"}
)


def download(name: str, text: str, path: Path) -> bytes:
    """Return one of the files that can be taken away."""
    if name == "file.toml":
        return text.encode()
    job = read(text.removeprefix("\ufeff")).job
    if job is None:
        raise CableRouteError("there is no run yet to write; see the faults of the file")
    return _WRITERS[name][1](assess(job), path.name)
