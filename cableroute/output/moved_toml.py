"""Write the points that a suggestion moves into a route file, and leave all else as it was."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from cableroute.output.advice_text import Suggestion
from cableroute.units import MM_PER_UNIT, format_inches

#: Decimals that write whole millimetres, by unit.
_DECIMALS = {"mm": 0, "cm": 1, "m": 3}


def moved_text(text: str, moved: Sequence[Suggestion], *, unit: str) -> str:
    """Return a route file with the moved points where they are to go.

    Parameters
    ----------
    text : str
        The route file.
    moved : sequence of Suggestion
        What was found for each cable with points that move.
    unit : str
        Unit of bare numbers in the copy.

    Returns
    -------
    str
        TOML, with every note and all the keys that do not change.
    """
    import tomlkit

    document: Any = tomlkit.parse(text)
    if document.get("unit", "mm") != unit:
        document["unit"] = unit
    entries = {entry["name"]: entry for entry in document["cable"]}
    for item in moved:
        points = entries[item.before.figures.cable.name]["points"]
        for i in np.flatnonzero(item.repair.distances).tolist():
            _move(points[i], item, i, unit)
    return tomlkit.dumps(document)


def _move(entry: Any, item: Suggestion, i: int, unit: str) -> None:
    """Write where one point goes: its `along`, or the coordinates that change."""
    assert item.after is not None
    step, cable = item.repair.moves[i], item.before.figures.cable
    place = item.after.figures.cable.points[i].tolist()
    if "on" in entry:
        axis, room = cable.tube_axes[i], cable.tube_rooms[i]
        assert axis is not None
        assert room is not None
        entry["along"] = _written(room[0] + float(step @ axis), unit, like=entry["along"])
    elif "at" in entry:
        for k in np.flatnonzero(step).tolist():
            entry["at"][k] = _written(place[k], unit, like=entry["at"][k])
    else:  # taped distances give way to coordinates
        entry.pop("tape")
        entry.pop("side", None)
        entry["at"] = [_written(value, unit, like=0.0) for value in place]


def _written(value: float, unit: str, *, like: Any) -> float | str:
    """Write a length in the file's unit; a text stays a text where the tape is in inches."""
    if unit == "ft" or (unit == "in" and isinstance(like, str)):
        return format_inches(value)
    number = round(value / float(MM_PER_UNIT[unit]) * 16) / 16 if unit == "in" else None
    if number is None:
        number = round(value / float(MM_PER_UNIT[unit]), _DECIMALS[unit])
    return int(number) if number == int(number) else number
