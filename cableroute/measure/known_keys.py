"""Which keys may stand where in a route file, for a word that is none of them."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from cableroute.hardware.family import Family
from cableroute.measure.frame_models import (
    CapsuleEntry,
    CheckEntry,
    DoubtEntry,
    KeepOutEntry,
    NodeTapeEntry,
    SphereEntry,
    TubeEntry,
)
from cableroute.measure.linkage_models import linkage_table
from cableroute.measure.load_models import load_table
from cableroute.measure.models import CableEntry, PointEntry, RouteFile


def known_keys(path: tuple[Any, ...]) -> tuple[str, ...]:
    """Return the keys allowed in the table that a path lies in."""
    table: type[BaseModel] = RouteFile
    if path[0] == "tubes" and len(path) > 2:
        table = TubeEntry
    elif path[0] == "study" and len(path) > 1:
        table = DoubtEntry
    elif "points" in path[:-1]:
        table = PointEntry
    elif path[0] in ("linkage", "selector") and len(path) > 1:
        table = linkage_table(path)
    elif path[0] == "node_tape" and len(path) > 1:
        table = NodeTapeEntry
    elif "check" in path[:-1]:
        table = CheckEntry
    elif "build" in path[:-1]:
        table = Family
    elif path[0] == "keepout" and len(path) > 1:
        shapes: dict[Any, type[BaseModel]] = {"sphere": SphereEntry, "capsule": CapsuleEntry}
        table = shapes.get(path[-2], KeepOutEntry)
    elif path[0] == "cable" and len(path) > 1:
        table = load_table(path) or CableEntry
    return tuple(field.alias or name for name, field in table.model_fields.items())
