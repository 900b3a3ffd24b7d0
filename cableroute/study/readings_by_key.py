"""Numbers of a route file by the key that a person would write: ``cable.shift.points.3.z``."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from copy import deepcopy
from difflib import get_close_matches
from typing import Any

from cableroute.errors import CableRouteError
from cableroute.measure.models import RouteFile
from cableroute.units import MM_PER_UNIT, N_PER_UNIT

#: Tables whose members have names of their own.
_NAMED = ("cable", "linkage", "selector", "keepout")
#: Last words of keys that are a force.
_FORCES = frozenset(
    [
        "load",
        "push_load",
        "preload",
        "drag",
        "hand_resists",
        "max_pull",
        "max_push",
        "depth",
        "dead",
        "tension",
    ]
)
#: Last words of keys that are neither a force nor a length.
_NO_LENGTHS = frozenset(
    [
        "friction",
        "clock",
        "bending_stiffness",
        "temperature",
        "heading",
        "core_modulus",
        "core_strength",
        "conduit_stiffness",
        "conduit_stiffness_range",
        "conduit_axial",
        "rod_modulus",
        "rod_yield",
        "weight_n_per_m",
        "core_expansion",
        "conduit_expansion",
        "spring",
        "torque",
        "strength",
        "stiffness",
        "modulus",
        "stock_lengths_ft",
    ]
)
#: Numbers of a cable that may be given where the file leaves them to others.
_ALWAYS = ("friction", "load", "push_load", "bend_radius", "travel", "slack", "drag")
#: Tables that no cable is judged by.
_NOT_SWEPT = ("linkage", "selector", "study")

Path = tuple[str | int, ...]


def plain_data(file: RouteFile) -> dict[str, Any]:
    """Return what was read of cables as plain data in mm and N, as the reader takes it again."""
    data = file.model_dump(by_alias=True, exclude_unset=True, mode="json", warnings=False)
    for table in _NOT_SWEPT:
        data.pop(table, None)
    return {**data, "unit": "mm", "force_unit": "N"}


def numbers_of(data: Mapping[str, Any]) -> dict[str, Path]:
    """Return the path of every number of a file with cables, by its key."""
    known = dict(_walk(data, (), ()))
    for i, cable in enumerate(data["cable"]):
        for field in _ALWAYS:
            known.setdefault(f"cable.{cable['name']}.{field}", ("cable", i, field))
    return known


def _walk(value: Any, words: tuple[str, ...], path: Path) -> Iterator[tuple[str, Path]]:
    if isinstance(value, bool):
        return
    if isinstance(value, int | float):
        yield ".".join(words), path
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            if key == "at" and isinstance(inner, Sequence):
                yield from _coordinates(inner, words, (*path, key))
            else:
                yield from _walk(inner, (*words, str(key)), (*path, key))
    elif isinstance(value, list | tuple):
        yield from _members(value, words, path)


def _members(
    value: Sequence[Any], words: tuple[str, ...], path: Path
) -> Iterator[tuple[str, Path]]:
    """Yield what is in a list: members by name or number, coordinates of a node, both ends alike."""
    if words[:1] == ("nodes",) and len(words) == 2:
        yield from _coordinates(value, words, path)
        return
    if words[-1] in ("friction", "bending_stiffness"):
        yield ".".join(words), path
    for i, inner in enumerate(value):
        name = inner.get("name") if isinstance(inner, Mapping) and words[-1] in _NAMED else None
        yield from _walk(inner, (*words, str(name or i + 1)), (*path, i))


def _coordinates(
    value: Sequence[Any], words: tuple[str, ...], path: Path
) -> Iterator[tuple[str, Path]]:
    for i, axis in enumerate("xyz"):
        yield from _walk(value[i], (*words, axis), (*path, i))


def path_of(key: str, known: Mapping[str, Path]) -> Path:
    """Return where a key leads, or say which is nearest."""
    if key in known:
        return known[key]
    near = get_close_matches(key, known, n=1, cutoff=0.0)
    hint = f'; the nearest is "{near[0]}"' if near else ""
    raise CableRouteError(f'no number "{key}" in the file{hint}')


def put(data: Mapping[str, Any], changes: Mapping[Path, float]) -> dict[str, Any]:
    """Return a copy with other numbers in some places."""
    changed: dict[str, Any] = deepcopy(dict(data))
    for path, number in changes.items():
        inner: Any = changed
        for step in path[:-1]:
            inner = inner[step]
        inner[path[-1]] = number
    return changed


def scale_of(key: str, file: RouteFile) -> float:
    """Return what a bare number of a key is in mm or N: lengths and forces are in the file's units."""
    words = key.split(".")
    ends = [word for word in words if not word.isdigit()]
    if ends[-1] in _FORCES or ends[-2:] == ["resists", "friction"]:
        return float(N_PER_UNIT[file.force_unit or "N"])
    return 1.0 if ends[-1] in _NO_LENGTHS else float(MM_PER_UNIT[file.unit])
