"""What the page can offer for one cable, each with its effect and the ops that bring it about."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from math import degrees
from typing import Any

from cableroute.assess import CableAssessment, assess
from cableroute.comparison.families import FamilyOnRun, rank_families
from cableroute.errors import CableRouteError, RouteFileError
from cableroute.figures.headed import headed
from cableroute.hardware.library import load_library
from cableroute.mechanics.calibration import calibrate_friction
from cableroute.output.calibrated_toml import measured
from cableroute.output.calibration_text import calibration_dict, verdict_sentence
from cableroute.output.family_ranking import family_dict
from cableroute.output.moved_toml import offer_edits, unit_edits
from cableroute.output.plain import JsonObject, number
from cableroute.output.toml_ops import Edit, edited
from cableroute.page.answers import Reading, read, tables_of
from cableroute.suggestions import Offer, Suggestion, suggest_for
from cableroute.units import parse_angle, parse_force

#: What an offer does, before the names of its points.
_VERBS = {"move": "Move", "leave-out": "Leave out", "sweep": "One sweep instead of"}


def op_of(edit: Edit) -> JsonObject:
    """Write an edit as a request for it."""
    op: JsonObject = {"op": edit.op, "path": list(edit.path)}
    if edit.op in ("set", "insert"):
        op["value"] = edit.value
    return op | ({"to": edit.to} if edit.op == "move" else {})


def which(reading: Reading, name: str) -> int:
    """Return which cable of the file has a name, or complain."""
    names = [cable.get("name") for cable in tables_of(reading.data, "cable")]
    if name not in names:
        known = ", ".join(each for each in names if isinstance(each, str))
        raise CableRouteError(f"no cable {name!r}; known: {known or 'none'}")
    return names.index(name)


def suggestions(body: str, name: str) -> JsonObject:
    """Return what to move or leave out on one cable, each judged in full."""
    reading = read(body)
    here = which(reading, name)
    if reading.job is None or here not in reading.cables:
        raise CableRouteError(f"{name}: no run to suggest anything for yet")
    cable = reading.job.cables[reading.cables.index(here)]
    found = suggest_for(cable, job=reading.job)
    tried = (_offer(body, reading, found, each) for each in found.offers)
    offers = [offer for offer in tried if offer is not None]
    return {"cable": name, "verdict": found.before.verdict, "suggestions": offers}


def _offer(body: str, reading: Reading, found: Suggestion, offer: Offer) -> JsonObject | None:
    """Return an offer with the ops that bring it about; None where the file so edited is no file."""
    assert reading.job is not None
    unit = reading.job.unit
    edits = [*unit_edits(reading.data, unit), *offer_edits(reading.data, found, offer, unit=unit)]
    try:
        if read(edited(body, edits)).job is None:
            return None
    except CableRouteError:
        return None
    joint = ", " if offer.kind == "move" else " and "
    return {
        "kind": offer.kind,
        "words": f"{_VERBS[offer.kind]} {joint.join(offer.at)}",
        "effect": _effect(found.before, offer),
        "ops": [op_of(edit) for edit in edits],
    }


def _judged_alone(reading: Reading, here: int) -> CableAssessment | None:
    """Judge one cable of a file alone."""
    if reading.job is None or here not in reading.cables:
        return None
    job = headed(reading.job)
    cable = job.cables[reading.cables.index(here)]
    return assess(replace(job, cables=(cable,), linkages=(), selectors=())).cables[0]


def _effect(before: CableAssessment, offer: Offer) -> JsonObject:
    """Say what a change does: verdict, forces, lengths, and each rule that is worse kept."""
    worse = [
        {"level": each.level, "where": each.where, "message": each.message} for each in offer.worse
    ]
    return {"before": _headline(before), "after": _headline(offer.after), "brings": worse}


def _headline(cable: CableAssessment) -> JsonObject:
    figures = cable.figures
    return {
        "verdict": cable.verdict,
        "hand_n": number(figures.pull.inputs[1]),
        "wrap_deg": degrees(figures.route.wrap),
        "length_mm": float(figures.route.length),
    }


def families(body: str, name: str) -> JsonObject:
    """Judge one run with every family there is, each with the ops that take it."""
    reading = read(body)
    here = which(reading, name)
    if reading.job is None or here not in reading.cables:
        raise CableRouteError(f"{name}: no run to try families on yet")
    ranked = rank_families(reading.job, cable=name, library=load_library())
    return {"cable": name, "families": [_with_ops(each, here) for each in ranked]}


def _with_ops(one: FamilyOnRun, here: int) -> JsonObject:
    edits = [Edit("delete", ("cable", here, key)) for key in one.dropped]
    edits.append(Edit("set", ("cable", here, "family"), one.family.name))
    return {**family_dict(one), "ops": [op_of(edit) for edit in edits]}


def calibration(body: str, name: str, readings: Any) -> JsonObject:
    """Fit friction to spring-scale readings of one cable, with the ops that take it over."""
    reading = read(body)
    here = which(reading, name)
    cable = _judged_alone(reading, here)
    wrap = None if cable is None else float(cable.figures.route.wrap)
    rows, labels = _readings(readings, wrap)
    columns = {key: [row[key] for row in rows] for key in ("wrap", "load", "hand")}
    found = calibrate_friction(**columns)
    told = {**calibration_dict(found, labels), "words": verdict_sentence(found), "ops": []}
    try:
        values = measured(found, reading.data.get("force_unit"))
    except CableRouteError as error:
        return {**told, "why_not": str(error)}
    edits = [
        Edit("set", ("cable", here, key), value, after="friction") for key, value in values.items()
    ]
    return {**told, "ops": [op_of(edit) for edit in edits]}


def _readings(readings: Any, wrap: float | None) -> tuple[list[dict[str, float]], list[str]]:
    """Read what was typed, each force in its unit; without a wrap the run's own is taken."""
    if not isinstance(readings, list) or not all(isinstance(each, Mapping) for each in readings):
        raise CableRouteError("expected readings as [{wrap_deg?, load_n, hand_n, label?}]")
    rows, faults = [], []
    for i, each in enumerate(readings):
        row: dict[str, float] = {}
        for key, parse in (
            ("wrap_deg", parse_angle),
            ("load_n", parse_force),
            ("hand_n", parse_force),
        ):
            value = each.get(key)
            if value in (None, "") and key == "wrap_deg" and wrap is not None:
                row["wrap"] = wrap
                continue
            try:
                row[key.split("_")[0]] = parse(
                    value if isinstance(value, str | int | float) else ""
                )
            except CableRouteError as error:
                faults.append(f"{json.dumps(['readings', i, key])}: {error}")
        rows.append(row)
    if faults:
        raise RouteFileError(faults)
    return rows, [str(each.get("label") or f"reading {i}") for i, each in enumerate(readings, 1)]
