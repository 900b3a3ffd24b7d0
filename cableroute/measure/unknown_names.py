"""Names that a file uses and does not have, found in its plain data where models find other faults.

What is wrong elsewhere in the file does not keep them from being told with it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.hardware.library import find_family
from cableroute.measure.wording import no_such

Path = tuple[Any, ...]


def unknown_names(
    data: Mapping[str, Any], library: Mapping[str, Family]
) -> Iterator[tuple[Path, str]]:
    """Yield the path of each name that nothing in the file or the library has, and its fault."""
    nodes = [*_table(data.get("nodes")), *_ends(_rows(data, "node_tape"))]
    tubes = _table(data.get("tubes"))
    for name, tube in tubes.items():
        yield from _missing("node", (("tubes", name), _ends([tube])), nodes)
    for i, cable in enumerate(_rows(data, "cable")):
        yield from _of_cable(cable, ("cable", i), nodes, tubes, library)
    for what, keys, held in (
        ("linkage", ("cable",), "cable"),
        ("selector", ("select", "shift"), "linkage"),
    ):
        known = [row["name"] for row in _rows(data, held) if isinstance(row.get("name"), str)]
        for i, row in enumerate(_rows(data, what)):
            for key in keys:
                yield from _missing(held, ((what, i, key), [row.get(key)]), known)


def _of_cable(
    cable: Mapping[str, Any],
    here: Path,
    nodes: Collection[str],
    tubes: Collection[str],
    library: Mapping[str, Family],
) -> Iterator[tuple[Path, str]]:
    if isinstance(family := cable.get("family"), str):
        try:
            find_family(family, library)
        except CableRouteError as error:
            yield (*here, "family"), str(error)
    for j, point in enumerate(_rows(cable, "points")):
        at = (*here, "points", j)
        yield from _missing("tube", (at, [point.get("on")]), tubes)
        for path, fault in _missing("node", (at, list(_table(point.get("tape")))), nodes):
            yield path, f"tape: {fault}"


def _missing(
    what: str, used: tuple[Path, list[Any]], known: Collection[str]
) -> Iterator[tuple[Path, str]]:
    path, names = used
    for name in names:
        if isinstance(name, str) and name not in known:
            yield path, no_such(what, name, known)


def _ends(rows: list[Any]) -> list[Any]:
    """Return the names that stand at `from` and `to` of each row."""
    found = [row.get(end) for row in rows if isinstance(row, dict) for end in ("from", "to")]
    return [name for name in found if isinstance(name, str)]


def _rows(table: Mapping[str, Any], key: str) -> list[Any]:
    """Tables under a key, each in its place; what is no table counts as an empty one."""
    found = table.get(key)
    return (
        [row if isinstance(row, dict) else {} for row in found] if isinstance(found, list) else []
    )


def _table(found: Any) -> Mapping[str, Any]:
    return found if isinstance(found, dict) else {}
