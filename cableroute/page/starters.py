"""What new things begin with: a machine, a cable, a point."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from cableroute.measure.models import CableEntry, PointEntry, RouteFile
from cableroute.output.toml_values import table_text, written

#: Kinds of cable, and what to say of each.
KINDS: Mapping[str, str] = MappingProxyType(
    {
        "push-pull": "a stiff core that pushes and pulls",
        "pull": "a wire that pulls, and a spring that brings it back (Bowden)",
        "pull-pair": "two wires, one for each way",
    }
)
#: The family that a new cable of a kind begins with; the page offers the others.
_FAMILIES = {"push-pull": "push-slick-medium", "pull": "pull-slick-medium"}


def cable_values(name: str, kind: str) -> dict[str, Any]:
    """Return the keys of a new cable."""
    family = _FAMILIES.get(kind, _FAMILIES["pull"])
    return {"name": name, "kind": kind, "family": family, "points": []}


def machine_text(title: str, kind: str, *, unit: str = "mm") -> str:
    """Return a route file with one cable that has no points yet."""
    head = f"title = {written(title)}\nunit = {written(unit)}\n\n"
    return head + table_text(("cable",), cable_values(title, kind), is_array=True)


@cache
def tables() -> dict[str, Any]:
    """Return what each table of a route file may hold, as JSON Schema: its forms are made of it."""
    return {"tables": RouteFile.model_json_schema()["$defs"]}


def starters() -> dict[str, Any]:
    """Return what new rows begin with."""
    return {
        "kinds": dict(KINDS),
        "cables": {kind: cable_values("", kind) for kind in KINDS},
        "points": {
            "at": {"at": [0, 0, 0]},
            "on": {"on": "", "along": 0, "clock": 0},
            "tape": {"tape": {}},
        },
        "keys": {
            "cable": list(CableEntry.model_fields),
            "point": list(PointEntry.model_fields),
        },
    }
