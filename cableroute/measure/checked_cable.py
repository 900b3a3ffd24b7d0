"""A cable made in Python is looked at as it comes in, as a route file is when it is read."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import inf, isfinite
from numbers import Real
from typing import Any, Literal, get_args

import numpy as np

from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.hardware.library import find_family
from cableroute.units import MM_PER_UNIT, ForceUnit

Kind = Literal["push-pull", "pull", "pull-pair"]
RodEnd = Literal["free", "pinned", "fixed-pinned", "fixed"]
#: What a cable works; brakes, steering and throttles have rules of their own.
Controls = Literal["throttle", "brake", "clutch", "steering", "selector", "other"]
Fix = Literal["anchor", "clip"]

#: Words that a field takes, beside None where it may be left out.
_WORDS: dict[str, tuple[str | None, ...]] = {
    "kind": get_args(Kind),
    "rod_end": get_args(RodEnd),
    "controls": (*get_args(Controls), None),
}
#: Numbers that may be left out, and are not negative.
_AMOUNTS = ("load", "push_load", "preload", "travel", "slack", "drag", "hand_resists")
#: Fields with one entry for each point, or none at all; a point without a label has its number.
_BY_POINT = ("fixes", "point_radii", "moves", "tube_axes", "tube_rooms")


def check_cable(cable: Any) -> None:
    """Put what may be written in several ways into one, and refuse what no file could hold."""
    say = _complaint(cable.name)
    for field, words in _WORDS.items():
        if getattr(cable, field) not in words:
            known = ", ".join(word for word in words if word)
            raise say(field, f"expected one of {known}", getattr(cable, field))
    for field in _AMOUNTS:
        value = getattr(cable, field)
        if value is not None and not (_is_number(value) and value >= 0.0):
            raise say(field, "expected a number that is not negative", value)
    if not (_is_number(cable.bend_radius) and cable.bend_radius > 0.0):
        raise say("bend_radius", "expected a number above 0 [mm]", cable.bend_radius)
    if cable.kind == "pull" and cable.push_load:
        raise say("push_load", "expected none, as a pull cable cannot push", cable.push_load)
    found = {
        "points": _points(cable.points, say),
        "friction": _range(cable, "friction", say, below=2.0),
        "bending_stiffness": _range(cable, "bending_stiffness", say),
        "family": _family(cable.family, say),
        "labels": tuple(cable.labels),
        **{field: tuple(getattr(cable, field)) for field in _BY_POINT},
    }
    for field, value in found.items():
        if field in _BY_POINT and len(value) not in (0, len(found["points"])):
            raise say(field, f"expected {len(found['points'])}, one for each point", value)
        object.__setattr__(cable, field, value)
    if len(cable.places) not in (0, len(found["points"])):
        raise say("places", f"expected {len(found['points'])}, one for each point", cable.places)
    known_fixes = (*get_args(Fix), None)
    if wrong := [fix for fix in cable.fixes if fix not in known_fixes]:
        raise say("fixes", "expected anchor, clip or None for each point", wrong[0])


def check_job(job: Any, cable: type) -> None:
    """Refuse a job of things that are no cables, or read in no unit."""
    object.__setattr__(job, "cables", tuple(job.cables))
    for each in job.cables:
        if not isinstance(each, cable):
            raise CableRouteError(f"cables: expected cables, got {each!r}")
    if job.unit not in MM_PER_UNIT:
        raise CableRouteError(f"unit: expected one of {', '.join(MM_PER_UNIT)}, got {job.unit!r}")
    if job.force_unit not in (known := get_args(ForceUnit)):
        expected = f"expected one of {', '.join(known)}"
        raise CableRouteError(f"force_unit: {expected}, got {job.force_unit!r}")
    if not (_is_number(job.tape_tolerance) and job.tape_tolerance >= 0.0):
        got = f"got {job.tape_tolerance!r}"
        raise CableRouteError(f"tape_tolerance: expected a number that is not negative, {got}")


Complaint = Callable[[str, str, Any], CableRouteError]


def _complaint(name: str) -> Complaint:
    def say(field: str, expected: str, got: Any) -> CableRouteError:
        return CableRouteError(f'cable "{name}", {field}: {expected}, got {got!r}')

    return say


def _is_number(value: Any) -> bool:
    return isinstance(value, Real) and not isinstance(value, bool) and isfinite(value)


def _points(points: Any, say: Complaint) -> Any:
    try:
        found = np.asarray(points, dtype=np.float64)
    except (TypeError, ValueError):
        raise say("points", "expected rows of x, y, z [mm]", points) from None
    if found.ndim != 2 or found.shape[1] != 3 or len(found) < 2:
        raise say("points", "expected two rows or more of x, y, z [mm]", f"shape {found.shape}")
    if not np.isfinite(found).all():
        raise say("points", "expected finite numbers [mm]", found.tolist())
    return found


def _range(
    cable: Any, field: str, say: Complaint, *, below: float = inf
) -> tuple[float, float] | None:
    """Let one number stand for low and high."""
    given = getattr(cable, field)
    if given is None:
        return None
    pair = tuple(given) if isinstance(given, Iterable) else (given, given)
    if not (len(pair) == 2 and all(map(_is_number, pair)) and 0.0 <= pair[0] <= pair[1] < below):
        most = f", below {below:g}" if below < inf else ""
        raise say(field, f"expected one number, or low and high{most}", given)
    return float(pair[0]), float(pair[1])


def _family(family: Any, say: Complaint) -> Family | None:
    if isinstance(family, str):
        return find_family(family)
    if family is not None and not isinstance(family, Family):
        raise say("family", "expected a Family, or the name of one in the library", family)
    return family
