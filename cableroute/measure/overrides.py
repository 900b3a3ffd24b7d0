"""What is given beside a file, put in the place of what the file says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

#: Units of bare numbers that replace those of a file, whatever the file's own are.
_BARE = {"bend_radius": "mm", "tape_tolerance": "mm", "load": "N", "push_load": "N"}


def override(data: dict[str, Any], given: Mapping[str, Any]) -> None:
    """Put what is given in the place of what a file says of every cable."""
    cables = data.get("cable")
    for key, value in given.items():
        unit = None if isinstance(value, str) else _BARE.get(key)
        worded = f"{value} {unit}" if unit else value
        if key == "tape_tolerance":
            data[key] = worded
        elif key == "passes":
            _pass_all(cables, value)
        elif isinstance(cables, list):
            for cable in (cable for cable in cables if isinstance(cable, dict)):
                cable[key] = worded
                if key == "family":
                    cable.pop("build", None)


def _pass_all(cables: Any, how: Any) -> None:
    """Say of all points between the ends how the run meets them; a heading is one gone through."""
    tables = cables if isinstance(cables, list) else ()
    each = [cable.get("points") for cable in tables if isinstance(cable, dict)]
    between = (point for points in each if isinstance(points, list) for point in points[1:-1])
    for point in between:
        if isinstance(point, dict) and point.get("heading") is None:
            point["passes"] = how
