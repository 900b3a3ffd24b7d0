"""The verdict on a file that is still being typed, in one line."""

from __future__ import annotations

from collections.abc import Mapping

from cableroute.cli.points_file import PointsFile
from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.measure.reading import job_of
from cableroute.measure.route_text import parse_toml, placer


def verdict_line(points_file: PointsFile, library: Mapping[str, Family]) -> str | None:
    """Return the verdict on the cable so far and its gravest finding; None for lack of points."""
    if len(points_file.dialogue.points) < 2:
        return None
    from cableroute.assess import assess

    try:
        data, lines = parse_toml(points_file.content, points_file.path)
        data["cable"] = [data["cable"][points_file.which]]
        for key in ("linkage", "selector"):
            data.pop(key, None)
        job = job_of(data, place=placer(points_file.shown.name, data, lines, {}), library=library)
        cable = assess(job).cables[0]
    except CableRouteError as error:
        return f"  no verdict yet: {error}"
    grave = next((each for each in cable.findings if each.level == cable.verdict), None)
    first = f": {grave.where}: {grave.message.split('. ')[0].rstrip('.')}" if grave else ""
    return f"  verdict so far: {cable.verdict}{first}"
