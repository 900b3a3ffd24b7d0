"""What the library says of a route file: the only place where the page asks for a verdict."""

from __future__ import annotations

import json
import pickle
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from math import isfinite
from typing import Any, TypeAlias, TypeVar

from cableroute.assess import Assessment, CableAssessment, LinkageAssessment, assess
from cableroute.errors import CableRouteError, RouteFileError
from cableroute.frozen import frozen
from cableroute.measure.job import Job
from cableroute.measure.reading import job_of
from cableroute.measure.toml_lines import parsed
from cableroute.output.as_dict import assessment_dict
from cableroute.output.plain import JsonObject
from cableroute.page.picture import picture

#: Where points are put in that a run still lacks, so that all else can be checked [mm].
_ASIDE = 98765
#: Cables and linkages remembered as they were judged [-].
REMEMBERED = 64
Judged = TypeVar("Judged", CableAssessment, LinkageAssessment)
Key: TypeAlias = tuple[bytes, ...]
_judged: dict[Key, CableAssessment] = {}
_worked: dict[Key, LinkageAssessment] = {}
#: What was told of the cables judged last, and how they are drawn.
_told: dict[CableAssessment, JsonObject] = {}
_drawn: dict[CableAssessment, JsonObject] = {}


@frozen
class Reading:
    """A route file read as far as it can be.

    Parameters
    ----------
    data : dict
        What it holds, as written.
    job : Job or None
        The cables that have points enough, in mm and N; None with a fault, or without any.
    cables : tuple of int
        Which cables of the file those are [-].
    faults : tuple of dict
        ``path`` and ``message`` of what cannot be read.
    lacks : tuple of dict
        ``path`` and ``message`` of what is still to come.
    """

    data: dict[str, Any]
    job: Job | None
    cables: tuple[int, ...]
    faults: tuple[dict[str, Any], ...]
    lacks: tuple[dict[str, Any], ...]


def read(body: str) -> Reading:
    """Read the text of a route file; what is wrong is told by its path."""
    data, filled = _plain(parsed(body)), _copied(parsed(body))
    lacks = tuple(fill(filled))
    short = {lack["path"][1] for lack in lacks if len(lack["path"]) > 1}
    try:
        job = job_of(filled, place=json.dumps)
    except CableRouteError as error:
        return Reading(data, None, (), tuple(faults_of(error)), lacks)
    whole = tuple(i for i in range(len(job.cables)) if i not in short)
    if not data.get("cable") or not whole:
        return Reading(data, None, (), (), lacks)
    return Reading(data, _whole_cables_only(job, whole), whole, (), lacks)


def _plain(data: Any) -> Any:
    """Write out what TOML has and JSON has not: dates, and numbers that are none."""
    if isinstance(data, dict):
        return {key: _plain(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_plain(value) for value in data]
    is_json = isinstance(data, str | int) or (isinstance(data, float) and isfinite(data))
    return data if is_json else str(data)


def _copied(data: Any) -> Any:
    """Return plain data that may be changed."""
    if isinstance(data, dict):
        return {key: _copied(value) for key, value in data.items()}
    return [_copied(value) for value in data] if isinstance(data, list) else data


def fill(data: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Give every cable two points, and say where there were fewer."""
    if data.get("cable", []) == []:
        data["cable"] = [{"name": "-", "bend_radius": "60 mm", "points": []}]
        yield {"path": ["cable"], "message": "no cable yet"}
    cables = data["cable"] if isinstance(data["cable"], list) else []
    for i, cable in enumerate(cables):
        points = cable.setdefault("points", []) if isinstance(cable, dict) else None
        if isinstance(points, list) and len(points) < 2:
            words = f"a run needs two points at least, this has {len(points) or 'none'} yet"
            yield {"path": ["cable", i, "points"], "message": words}
            points += [{"at": [f"{_ASIDE * (k + 1)} mm", 0, 0]} for k in range(2 - len(points))]


def tables_of(data: Mapping[str, Any], key: str) -> list[Mapping[str, Any]]:
    """Return the tables of an array, an empty one for what is none: a file may be faulty."""
    rows = data.get(key)
    return [row if isinstance(row, dict) else {} for row in rows] if isinstance(rows, list) else []


def _whole_cables_only(job: Job, whole: tuple[int, ...]) -> Job:
    """Leave out the cables that are not whole yet, and the linkages that need them."""
    cables = tuple(job.cables[i] for i in whole)
    names = {cable.name for cable in cables}
    linkages = tuple(each for each in job.linkages if each.cable in names)
    held = {each.name for each in linkages}
    selectors = tuple(each for each in job.selectors if {each.select, each.shift} <= held)
    return replace(job, cables=cables, linkages=linkages, selectors=selectors)


def faults_of(error: CableRouteError) -> list[dict[str, Any]]:
    """Return the faults that an error tells, by path; a place worded as JSON is a path."""
    lines = error.faults if isinstance(error, RouteFileError) else (str(error),)
    return [_fault(line) for line in lines]


def _fault(line: str) -> dict[str, Any]:
    try:
        path, end = json.JSONDecoder().raw_decode(line)
    except ValueError:
        path, end = [], -2
    return {"path": path, "message": line[end + 2 :]}


def answer(reading: Reading) -> dict[str, Any] | None:
    """Judge a route file and say everything that a page shows."""
    if reading.job is None:
        return None
    found = judge(reading, reading.job)
    told = assessment_dict(found, known=_told)
    shown = picture(found, reading.cables, known=_drawn)
    _remember(_told, found.cables, told["cables"])
    _remember(_drawn, found.cables, shown["cables"])
    return {
        "verdict": found.verdict,
        "assessment": told,
        "scene": shown,
        "cables": list(reading.cables),
        "findings": list(_findings(reading, found, told)),
    }


def judge(reading: Reading, job: Job) -> Assessment:
    """Judge the job of a file, and again only the cables and linkages that are not as they were."""
    keys = _keys(job)
    levers = _lever_keys(reading, job, keys)
    found = assess(job, known=_recalled(_judged, keys), known_linkages=_recalled(_worked, levers))
    _remember(_judged, (keys[each.name] for each in found.cables), found.cables)
    _remember(_worked, (levers[each.name] for each in found.linkages), found.linkages)
    return found


def _keys(job: Job) -> dict[str, Key]:
    """By the name of a cable, all that its verdict depends on, as it was read.

    So a point moved, or a node or tube that it hangs on, changes the keys of its own cables only.
    """
    frame = replace(job, title="", cables=(), linkages=(), selectors=(), nodes={}, as_read=None)
    shared = pickle.dumps(frame)
    worked = {  # their rods say how its ends are held
        cable.name: [each for each in job.linkages if each.cable == cable.name]
        for cable in job.cables
    }
    return {
        each.name: (shared, pickle.dumps((replace(each, places=()), worked[each.name])))
        for each in job.cables
    }


def _lever_keys(reading: Reading, job: Job, cables: Mapping[str, Key]) -> dict[str, Key]:
    """By the name of a linkage, the same: all that its cable depends on, and what binds it to gates."""
    selectors = reading.data.get("selector", [])
    gated = [(each.get("select"), each.get("shift")) for each in selectors]
    return {
        each.name: (*cables[each.cable], pickle.dumps((each.name, gated))) for each in job.linkages
    }


def _recalled(kept: Mapping[Key, Judged], keys: Mapping[str, Key]) -> dict[str, Judged]:
    return {name: kept[key] for name, key in keys.items() if key in kept}


def _remember(kept: dict[Any, Any], keys: Iterable[Any], found: Iterable[Any]) -> None:
    """Keep what was found last; an edit is about one, and the others wait for it."""
    for key, each in zip(keys, found, strict=True):
        kept.pop(key, None)
        kept[key] = each
    for key in list(kept)[: len(kept) - REMEMBERED]:
        del kept[key]


def _findings(
    reading: Reading, found: Assessment, told: Mapping[str, Any]
) -> Iterator[dict[str, Any]]:
    for place, (cable, said) in enumerate(zip(found.cables, told["cables"], strict=True)):
        here = ["cable", reading.cables[place]]
        names = cable.figures.cable.labels
        for finding in said["findings"]:
            path = _path(finding["where"], here, names, reading.data)
            yield {**finding, "of": cable.figures.cable.name, "path": path}
    for kind in ("linkage", "selector"):
        written = [each.get("name") for each in reading.data.get(kind, ())]
        for said in told[f"{kind}s"]:
            here = [kind, written.index(said["name"])]
            yield from ({**each, "of": said["name"], "path": here} for each in said["findings"])


def _path(
    where: str, here: list[Any], labels: tuple[str, ...], data: Mapping[str, Any]
) -> list[Any]:
    """Find the row that a finding speaks of: a point by label or number, what to keep clear of."""
    for first in (where, where.split(" to ", maxsplit=1)[0]):
        for j, label in enumerate(labels):
            if first in (label, f"point {j + 1}") and first:
                return [*here, "points", j]
    zones = [zone.get("name") for zone in data.get("keepout", ())]
    return ["keepout", zones.index(where)] if where in zones else here
