"""A friction calibration written into a route file, every other byte kept."""

from __future__ import annotations

import tomllib
from datetime import date
from math import ceil, floor
from typing import Any

from cableroute.errors import CableRouteError
from cableroute.mechanics.calibration import Calibration

#: Friction above this [-] is a brake, not a cable; the route file refuses it too.
MOST_FRICTION = 2.0


def friction_range(found: Calibration) -> tuple[float, float]:
    """Return the interval of friction as a route file takes it, rounded outwards.

    Parameters
    ----------
    found : Calibration
        What was fitted.

    Returns
    -------
    tuple of float
        Low, not below 0, and high [-].

    Raises
    ------
    CableRouteError
        For an interval that no cable has.
    """
    low, high = found.friction_interval
    if not 0.0 < high < MOST_FRICTION - 1e-4 or low >= MOST_FRICTION:
        raise CableRouteError(
            f"expected a friction between 0 and {MOST_FRICTION:g} to write, got {low:.4f} to "
            f"{high:.4f}; nothing is written. More readings make the interval narrower."
        )
    return max(floor(low * 1e4) / 1e4, 0.0), ceil(high * 1e4) / 1e4


def measured(found: Calibration) -> dict[str, Any]:
    """Return what a calibration tells of a cable, by its keys in the route file.

    Parameters
    ----------
    found : Calibration
        What was fitted.

    Returns
    -------
    dict
        ``friction``, and ``drag`` [N] where it can be told from none.

    Raises
    ------
    CableRouteError
        For an interval of friction that no cable has.
    """
    values: dict[str, Any] = {"friction": list(friction_range(found))}
    if found.has_drag and found.drag > 0.0:
        values["drag"] = round(found.drag, 1)
    return values


def with_calibration(text: str, *, cable: int, found: Calibration, day: date) -> str:
    r"""Return a route file with friction and drag of one cable replaced, every other byte kept.

    Parameters
    ----------
    text : str
        The route file.
    cable : int
        Which cable, the first being 0 [-].
    found : Calibration
        What was fitted.
    day : date
        Date for the comment beside a new value, which replaces an old comment there.

    Returns
    -------
    str
        TOML.

    Raises
    ------
    CableRouteError
        For a friction that no cable has, and a file in which the values have no lines of their own.
    """
    import tomlkit
    from tomlkit.items import Table

    values = measured(found)
    out = len(found.outliers)
    note = f"calibrated {day.isoformat()}: {found.used.sum()} readings used" + (
        f", {out} left out" if out else ""
    )
    end = "\r\n" if "\r\n" in text else "\n"
    document: Any = tomlkit.parse(text)
    table = document["cable"][cable]
    if not isinstance(table, Table):
        raise CableRouteError(
            "expected the cable as [[cable]] with a line for each key, to edit it"
        )
    after = next((key for key in ("family", "kind", "name") if key in table), next(iter(table)))
    for key, value in values.items():
        item = tomlkit.parse(f"{key} = {value}  # {note}{end}")[key]
        if key in table:
            table[key] = item
        else:
            table.value._insert_after(after, key, item)  # tomlkit itself only appends
        after = key
    new = str(tomlkit.dumps(document))
    _check_same(text, new, cable, values)
    return new


def _check_same(old: str, new: str, cable: int, values: dict[str, Any]) -> None:
    """Make sure that nothing but those values is another: the file is the user's."""
    wanted = tomllib.loads(old)
    wanted["cable"][cable] |= values
    if tomllib.loads(new) != wanted:
        raise CableRouteError(f"the file cannot be edited safely; write {values} into it by hand")
