"""Lengths and points as they are typed, told back before they are saved."""

from __future__ import annotations

import json
import tomllib
from typing import Any

from pydantic import ValidationError

from cableroute.errors import CableRouteError, RouteFileError
from cableroute.faults import describe_fault
from cableroute.hardware.library import load_library
from cableroute.measure.locate import locate, telling_sides
from cableroute.measure.models import PointEntry
from cableroute.measure.positions import Frame
from cableroute.measure.route_text import validate
from cableroute.output.plain import JsonObject
from cableroute.page.answers import fill
from cableroute.units import format_inches, format_length, parse_length


def echo(text: Any, unit: Any) -> JsonObject:
    """Say what a length that was typed comes to, or complain."""
    if not isinstance(text, str | int | float) or unit not in ("mm", "cm", "m", "in", "ft"):
        raise CableRouteError("expected a text and a unit: mm, cm, m, in or ft")
    mm = parse_length(text, unit=unit)
    return {"mm": mm, "inches": format_inches(mm), "text": format_length(mm, unit)}


def place(body: str, cable: Any, point: Any) -> JsonObject:
    """Say where a point would be; both places, where taped distances leave two."""
    data = tomllib.loads(body)
    list(fill(data))
    faults: list[str] = []
    entry = validate(data, json.dumps)
    frame = Frame.of(entry, place=json.dumps, faults=faults)
    if faults:
        raise RouteFileError(faults)
    try:
        typed = PointEntry.model_validate(point, context={"unit": entry.unit})
    except ValidationError as error:
        told = error.errors(include_url=False)
        paths = (json.dumps(["point", *each["loc"]]) for each in told)
        words = (f"{path}: {describe_fault(each)}" for path, each in zip(paths, told, strict=True))
        raise RouteFileError(words) from None
    if typed.tape is None:
        at, doubt = frame.place_point(typed, conduit_od=_diameter(data, cable))
        return {"places": [{"at_mm": at.tolist(), "side": None}], "doubt": doubt, "doubt_mm": None}
    unknown = [node for node in typed.tape if node not in frame.nodes]
    if unknown:
        raise CableRouteError(f"no node {unknown[0]!r}; known: {', '.join(frame.nodes)}")
    found = locate(frame.nodes, typed.tape, sigma=frame.sigma)
    sides = telling_sides(found)[:2]
    places = [{"at_mm": found.point.tolist(), "side": None}]
    if found.mirror is not None and len(sides) == 2:
        places = [
            {
                "at_mm": locate(
                    frame.nodes, typed.tape, sigma=frame.sigma, side=side
                ).point.tolist(),
                "side": side,
            }
            for side in sides
        ]
    told_doubt = ""
    if found.blunder is not None:
        told_doubt = f"{found.blunder.node} does not agree with the rest"
    return {"places": places, "doubt": told_doubt, "doubt_mm": 2.0 * found.doubt}


def _diameter(data: JsonObject, cable: Any) -> float:
    """Outside diameter of the conduit, which a point on a tube stands off by."""
    cables = data.get("cable", [])
    entry = cables[cable] if type(cable) is int and 0 <= cable < len(cables) else {}
    family = load_library().get(entry.get("family", ""))
    return family.conduit_od if family else 0.0
