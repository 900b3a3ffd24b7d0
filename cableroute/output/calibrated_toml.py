"""What was measured of a cable written into a route file, every other byte kept."""

from __future__ import annotations

from datetime import date
from math import ceil, floor, log10
from typing import Any

from cableroute.errors import CableRouteError
from cableroute.measure.toml_lines import Path, places
from cableroute.mechanics.calibration import Calibration
from cableroute.mechanics.sag import SagStiffness
from cableroute.output.toml_ops import Edit, edited
from cableroute.units import N_PER_UNIT

#: Friction above this [-] is a brake, not a cable; the route file refuses it too.
MOST_FRICTION = 2.0


def friction_range(found: Calibration) -> tuple[float, float]:
    """Return the interval of friction as a route file takes it, rounded outwards."""
    low, high = found.friction_interval
    if not 0.0 < high < MOST_FRICTION - 1e-4 or low >= MOST_FRICTION:
        raise CableRouteError(
            f"expected a friction between 0 and {MOST_FRICTION:g} to write, got {low:.4f} to "
            f"{high:.4f}; nothing is written. More readings make the interval narrower."
        )
    return max(floor(low * 1e4) / 1e4, 0.0), ceil(high * 1e4) / 1e4


def most_drag(found: Calibration, force_unit: str | None = None) -> float:
    """Return the high end of the drag, as a route file of that force unit takes it, rounded up.

    A route file takes one drag, and every rule asks for its most: what must come back, forces, wires.
    """
    unit = force_unit or "N"
    per = 10.0 if unit == "N" else 100.0
    most = per * found.drag_interval[1] / float(N_PER_UNIT[unit])
    return ceil(round(most, 6)) / per


def measured(found: Calibration, force_unit: str | None = None) -> dict[str, Any]:
    """Return what a calibration tells of a cable, by its keys in a route file with that force unit."""
    values: dict[str, Any] = {"friction": list(friction_range(found))}
    if found.has_drag and found.drag > 0.0:
        values["drag"] = most_drag(found, force_unit)
    return values


def measured_stiffness(found: SagStiffness) -> dict[str, Any]:
    """Return a measured bending stiffness by its key in the route file, rounded outwards."""
    step = 10.0 ** (floor(log10(found.low)) - 2)
    ends = (floor(found.low / step) * step, ceil(found.high / step) * step)
    return {"bending_stiffness": [float(f"{each:.6g}") for each in ends]}


def fit_note(found: Calibration, day: date) -> str:
    """Say in a comment where fitted values come from."""
    out = len(found.outliers)
    return f"calibrated {day.isoformat()}: {found.used.sum()} readings used" + (
        f", {out} left out" if out else ""
    )


def with_measured(text: str, *, cable: int, values: dict[str, Any], note: str) -> str:
    r"""Return a route file with measured values of one cable replaced, every other byte kept."""
    here: Path = ("cable", cable)
    if all(block.path != here for block in places(text).blocks):
        raise CableRouteError(
            "expected the cable as [[cable]] with a line for each key, to edit it"
        )
    changes = [Edit("set", (*here, key), value, after="friction") for key, value in values.items()]
    text = edited(text, changes)
    for key in values:
        text = _noted(text, (*here, key), note)
    return text


def calibrated(text: str, found: Calibration, *, cable: int = 0, when: date) -> str:
    """Return a route file with the friction and drag of a calibration, and a note beside them."""
    return with_measured(text, cable=cable, values=measured(found), note=fit_note(found, when))


def _noted(text: str, path: Path, note: str) -> str:
    """Put a note beside a value, instead of an old one there."""
    end = places(text).values[path].end
    line_end = text.find("\n", end)
    line_end = len(text) if line_end < 0 else line_end
    rest = "\r" if text[end:line_end].endswith("\r") else ""
    return f"{text[:end]}  # {note}{rest}{text[line_end:]}"
