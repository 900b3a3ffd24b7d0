"""Write what is suggested into a route file: points moved or left out, all else as it was."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from cableroute.measure.fewer_points import renumbered
from cableroute.measure.toml_lines import Path
from cableroute.output.plain import JsonObject
from cableroute.output.toml_edit import value_at
from cableroute.output.toml_ops import Edit, edited
from cableroute.suggestions import Offer, Suggestion
from cableroute.units import MM_PER_UNIT, format_inches

#: Decimals that write whole millimetres, by unit.
_DECIMALS = {"mm": 0, "cm": 1, "m": 3}


def changed_text(text: str, taken: Sequence[tuple[Suggestion, Offer]], *, unit: str) -> str:
    """Return a route file with the offers that are taken, one of a cable at most."""
    data = tomllib.loads(text)
    edits = [edit for item, offer in taken for edit in offer_edits(data, item, offer, unit=unit)]
    return edited(text, [*unit_edits(data, unit), *edits])


def offer_edits(data: JsonObject, item: Suggestion, offer: Offer, *, unit: str) -> list[Edit]:
    """Return what writes an offer into a route file."""
    if offer.kind == "move":
        return move_edits(data, item, unit=unit)
    names = [entry["name"] for entry in data["cable"]]
    here = ("cable", names.index(offer.cable.name))
    return list(_fewer(value_at(data, here), offer, here, unit))


def _fewer(entry: JsonObject, offer: Offer, here: Path, unit: str) -> Iterator[Edit]:
    """Leave points out, put a sweep's in their place, and mend what names them by number."""
    change = offer.change
    assert change is not None
    first, points, new = min(change.gone), entry["points"], len(change.point) // 3
    labels = {points[i].get("label") for i in change.gone}
    for i in sorted(change.gone, reverse=True):
        yield Edit("delete", (*here, "points", i))
    if change.point:
        at = [_written(float(x), unit, like=0.0) for x in offer.cable.points[first]]
        point = {"at": at, "label": offer.cable.labels[first], "fix": "clip"}
        if offer.cable.passes[first] == "inside":
            point["passes"] = "inside"
        yield Edit("insert", (*here, "points", first), point)
    checks = entry.get("check", [])
    for k in reversed(range(len(checks))):
        ends = {key: checks[k][key] for key in ("from", "to")}
        if any(
            end - 1 in change.gone if _is_number(end) else end in labels for end in ends.values()
        ):
            yield Edit("delete", (*here, "check", k))
            continue
        for key, end in ends.items():
            now = renumbered(end - 1, change.gone, new) + 1 if _is_number(end) else end
            if now != end:
                yield Edit("set", (*here, "check", k, key), now)


def _is_number(end: Any) -> bool:
    return isinstance(end, int)


def unit_edits(data: Mapping[str, Any], unit: str) -> list[Edit]:
    """Return what makes a file's unit another, if it is."""
    return [Edit("set", ("unit",), unit)] if data.get("unit", "mm") != unit else []


def move_edits(data: Mapping[str, Any], item: Suggestion, *, unit: str) -> list[Edit]:
    """Return what writes the moved points of one cable where they are to go."""
    names = [entry["name"] for entry in data["cable"]]
    here = ("cable", names.index(item.before.figures.cable.name), "points")
    return [
        edit
        for i in np.flatnonzero(item.repair.distances).tolist()
        for edit in _move(value_at(data, (*here, i)), item, i, unit, here=(*here, i))
    ]


def _move(entry: Any, item: Suggestion, i: int, unit: str, *, here: Path) -> Iterator[Edit]:
    """Write where one point goes: its `along`, or the coordinates that change."""
    assert item.after is not None
    step, cable = item.repair.moves[i], item.before.figures.cable
    place = item.after.figures.cable.points[i].tolist()
    if "on" in entry:
        axis, room = cable.tube_axes[i], cable.tube_rooms[i]
        assert axis is not None
        assert room is not None
        along = _written(room[0] + float(step @ axis), unit, like=entry["along"])
        yield Edit("set", (*here, "along"), along)
    elif "at" in entry:
        for k in np.flatnonzero(step).tolist():
            yield Edit("set", (*here, "at", k), _written(place[k], unit, like=entry["at"][k]))
    else:  # taped distances give way to coordinates
        yield from (Edit("delete", (*here, key)) for key in ("tape", "side") if key in entry)
        yield Edit("set", (*here, "at"), [_written(value, unit, like=0.0) for value in place])


def _written(value: float, unit: str, *, like: Any) -> float | str:
    """Write a length in the file's unit; a text stays a text where the tape is in inches."""
    if unit == "ft" or (unit == "in" and isinstance(like, str)):
        return format_inches(value)
    number = round(value / float(MM_PER_UNIT[unit]) * 16) / 16 if unit == "in" else None
    if number is None:
        number = round(value / float(MM_PER_UNIT[unit]), _DECIMALS[unit])
    return int(number) if number == int(number) else number
