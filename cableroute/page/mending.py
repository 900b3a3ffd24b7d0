"""Mends of a mirrored motion as edits of the file, each tried before it is offered."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import LinkageAssessment
from cableroute.errors import CableRouteError
from cableroute.linkage.arms import Arm
from cableroute.linkage.ends import Swivel
from cableroute.linkage.mends import Mend
from cableroute.output.plain import JsonObject
from cableroute.output.toml_ops import Edit, edited
from cableroute.page.answers import Reading, judge, read
from cableroute.page.offers import op_of
from cableroute.units import MM_PER_UNIT

#: A swivel that is moved by less than this is where it was [mm].
_SAME = 1e-6
_DECIMALS = 3


def mends(body: str, name: str) -> JsonObject:
    """Return the mends of a linkage that an edit of the file can make, with what comes of each."""
    reading = read(body)
    found = () if reading.job is None else judge(reading, reading.job).linkages
    for linkage in found:
        if linkage.name == name:
            ways = [_mend(body, reading, linkage, mend) for mend in linkage.figures.mends]
            return {"linkage": name, "mends": ways}
    raise CableRouteError(f"no linkage {name!r} that can be judged yet")


def _mend(body: str, reading: Reading, linkage: LinkageAssessment, mend: Mend) -> JsonObject:
    edits = list(_edits(reading, linkage, mend))
    verdict = _tried(body, edits, linkage.figures.name) if edits else None
    return {
        "kind": mend.kind,
        "what": mend.what,
        "cable_moved_mm": mend.moved,
        "cable_turned_deg": degrees(mend.turned),
        "travel_mm": mend.travel if np.isfinite(mend.travel) else None,
        "verdict": verdict,
        "ops": [op_of(edit) for edit in edits] if verdict else [],
    }


def _tried(body: str, edits: list[Edit], name: str) -> str | None:
    """Verdict of the linkage in a file so edited; None if it cannot be read or is still mirrored."""
    try:
        reading = read(edited(body, edits))
        found = () if reading.job is None else judge(reading, reading.job).linkages
    except CableRouteError:
        return None
    for each in found:
        going = each.figures.direction
        if each.figures.name == name and going is not None and not going.mirrored:
            return str(each.verdict)
    return None


def _edits(reading: Reading, linkage: LinkageAssessment, mend: Mend) -> Iterator[Edit]:
    """Write the arm that is turned, and the ends of the cable that move with it or by themselves."""
    entry = linkage.figures.built.entry
    here = ("linkage", [each["name"] for each in reading.data["linkage"]].index(entry.name))
    chain, old = mend.chain, linkage.figures.built.chain
    if mend.kind == "lever-end" and isinstance(chain.bodies[0].out, Arm):
        yield Edit(
            "set", (*here, "hand", "cable", "direction"), _rounded_way(chain.bodies[0].out.neutral)
        )
    if mend.kind == "far-arm" and isinstance(chain.bodies[-1].incoming, Arm):
        yield Edit(
            "set", (*here, "far", "arm", "neutral"), _rounded_way(chain.bodies[-1].incoming.neutral)
        )
    if mend.kind == "crank-pivot":
        yield from _crank(reading, here, mend, linkage)
    for end, point in (("hand", 0), ("far", -1)):
        before, after = getattr(old.cable, end), getattr(chain.cable, end)
        if before is not None and np.abs(after.point - before.point).max() > _SAME:
            yield from _swivel(reading, (*here, end, "swivel"), entry.cable, point, after)


def _crank(
    reading: Reading, here: tuple[Any, ...], mend: Mend, linkage: LinkageAssessment
) -> Iterator[Edit]:
    """Turn the driving arm of the crank that the mend is about by half a turn."""
    pairs = zip(mend.chain.bodies, linkage.figures.built.chain.bodies, strict=True)
    (turned,) = [i for i, (new, old) in enumerate(pairs) if new is not old]
    path = (*here, "crank", turned - 1, "between_deg")
    crank = reading.data["linkage"][here[1]]["crank"][turned - 1]
    now = crank["between_deg"]
    yield Edit("set", path, now - 180 if now > 0 else now + 180)


def _swivel(
    reading: Reading, path: tuple[Any, ...], cable: str, point: int, swivel: Swivel
) -> Iterator[Edit]:
    """Move a cable's end: the swivel if the file gives it, else the point that the run ends on."""
    at = _rounded_place(swivel.point, reading.data.get("unit", "mm"))
    given = reading.data
    for part in path:
        given = given.get(part, {}) if isinstance(given, dict) else given[part]
    if "at" in given:
        yield Edit("set", (*path, "at"), at)
    if "out" in given:
        yield Edit("set", (*path, "out"), _rounded_way(swivel.axis))
    place = [each["name"] for each in reading.data["cable"]].index(cable)
    points = reading.data["cable"][place]["points"]
    last = point % len(points)
    if "at" not in given and "at" in points[last]:
        yield Edit("set", ("cable", place, "points", last, "at"), at)


def _rounded_place(point: Array, unit: str) -> list[float]:
    scale = MM_PER_UNIT[unit]
    return [round(float(value) / scale, _DECIMALS) + 0.0 for value in point]


def _rounded_way(direction: Array) -> list[float]:
    return [round(float(value), 6) + 0.0 for value in direction]
