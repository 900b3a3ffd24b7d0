"""Read a route file or a bare CSV into a :class:`~cableroute.measure.job.Job`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from cableroute.errors import CableRouteError, RouteFileError
from cableroute.hardware.family import Family
from cableroute.hardware.library import find_family, load_library
from cableroute.measure.csv_points import read_points
from cableroute.measure.job import Cable, CheckReading, Job, Remark
from cableroute.measure.models import CableEntry, PointEntry, RouteFile
from cableroute.measure.positions import Frame, Place, keep_outs
from cableroute.measure.route_text import parse_toml, placer, read_text, validate
from cableroute.units import Unit

#: Points closer than this [mm] are at one place.
SAME_PLACE = 1e-6
#: Directions whose sum is shorter than this [-] are opposite.
STRAIGHT_BACK = 1e-6


def read_job(
    path: str | Path,
    *,
    unit: Unit | None = None,
    library: Mapping[str, Family] | None = None,
    overrides: Mapping[str, Any] | None = None,
) -> Job:
    """Read a route file (TOML) or a bare list of points (CSV).

    Parameters
    ----------
    path : str or Path
        The file; ``.toml`` is a route file, anything else a CSV of points.
    unit : str, optional
        Unit of bare numbers, instead of the file's own.
    library : mapping of str to Family, optional
        Cable families by name; the shipped ones if not given.
    overrides : mapping, optional
        Values that replace those of every cable, by the names they have in the route file
        (``bend_radius`` in mm or with its unit, ``friction``, ``load``, ``push_load``, ``family``), and
        ``tape_tolerance``.

    Returns
    -------
    Job
        Everything in mm and N.

    Raises
    ------
    RouteFileError
        With one line for every fault found, each with file, line, cable and point.
    """
    path = Path(path)
    text = read_text(path)
    if path.suffix.lower() == ".toml":
        data, lines = parse_toml(text, path)
        notes: tuple[str, ...] = ()
        shown: str | None = unit
        if unit:
            data["unit"] = unit
    else:
        points, rows, shown = read_points(text, source=str(path), unit=unit)
        data = {"title": path.stem, "cable": [{"name": path.stem, "points": points}]}
        lines = {("cable", 0, "points", i): row for i, row in enumerate(rows)}
        notes = (
            ("no unit is given in the CSV: its numbers are read as mm",) if shown is None else ()
        )
    given = {key: value for key, value in (overrides or {}).items() if value is not None}
    _override(data, given)
    place = placer(str(path), data, lines, given)
    entry = validate(data, place)
    if library is None:
        library = load_library()
    job = _assemble(entry, library=library, place=place, notes=notes)
    return replace(job, unit=shown) if shown else job


def _override(data: dict[str, Any], given: Mapping[str, Any]) -> None:
    cables = data.get("cable")
    for key, value in given.items():
        is_length = key in ("bend_radius", "tape_tolerance") and not isinstance(value, str)
        worded = f"{value} mm" if is_length else value
        if key == "tape_tolerance":
            data[key] = worded
        elif isinstance(cables, list):
            for cable in (cable for cable in cables if isinstance(cable, dict)):
                cable[key] = worded
                if key == "family":
                    cable.pop("build", None)


def _assemble(
    entry: RouteFile, *, library: Mapping[str, Family], place: Place, notes: tuple[str, ...]
) -> Job:
    faults: list[str] = []
    frame = Frame.of(entry, place=place, faults=faults)
    cables = []
    for i, cable in enumerate(entry.cable):
        family = cable.build
        if cable.family is not None:
            try:
                family = find_family(cable.family, library)
            except CableRouteError as error:
                faults.append(f"{place(('cable', i, 'family'))}: {error}")
                continue
        here = ("cable", i)
        kind = _kind(cable, family, place(here), faults)
        points, remarks = _points(cable, frame, family, here, place, faults)
        if len(points) == len(cable.points):
            _check_run(points, here, place, faults)
        checks = _checks(cable, here, place, faults)
        if not faults:
            remarks = frame.remarks + remarks
            cables.append(_cable(cable, family, kind, points, checks, remarks, frame))
    _check_names(entry, place, faults)
    if faults:
        raise RouteFileError(dict.fromkeys(faults))
    return Job(
        title=entry.title,
        cables=tuple(cables),
        unit=entry.unit,
        tape_tolerance=entry.tape_tolerance,
        notes=notes,
        keepouts=tuple(keep_outs(entry.keepout)),
        linkages=entry.linkage,
        selectors=entry.selector,
        nodes=frame.nodes,
        tubes=tuple(frame.tubes.values()),
    )


def _check_names(entry: RouteFile, place: Place, faults: list[str]) -> None:
    """Find fault with linkages of unknown cables and selectors of unknown linkages."""
    asked = [(("linkage", i, "cable"), each.cable) for i, each in enumerate(entry.linkage)]
    asked += [
        (("selector", i, axis), getattr(each, axis))
        for i, each in enumerate(entry.selector)
        for axis in ("select", "shift")
    ]
    for path, name in asked:
        what, held = ("cable", entry.cable) if path[-1] == "cable" else ("linkage", entry.linkage)
        known = [each.name for each in held]
        if name not in known:
            faults.append(f"{place(path)}: no {what} {name!r}; known: {', '.join(known) or 'none'}")


def _check_run(points: Any, here: tuple[Any, ...], place: Place, faults: list[str]) -> None:
    """Find fault with a run that leads nowhere or turns straight back on itself."""
    steps = np.diff(np.asarray(points, dtype=np.float64).reshape(-1, 3), axis=0)
    legs = np.linalg.norm(steps, axis=1)
    ends = np.flatnonzero(legs > SAME_PLACE)
    if len(steps) and not len(ends):
        faults.append(f"{place((*here, 'points'))}: expected two places at least, got one")
    directions = steps[ends] / legs[ends, None]
    back = np.linalg.norm(directions[1:] + directions[:-1], axis=1) < STRAIGHT_BACK
    faults += [
        f"{place((*here, 'points', int(ends[i])))}: the cable turns straight back on itself here; "
        "expected a point where the loop goes round"
        for i in np.flatnonzero(back) + 1
    ]


def _kind(cable: CableEntry, family: Family | None, where: str, faults: list[str]) -> str:
    """Kind as stated, or the family's, or what the loads imply; a pull family cannot push."""
    pushes = cable.kind == "push-pull" or (cable.kind is None and bool(cable.push_load))
    if family is not None and family.kind == "pull" and pushes:
        faults.append(f"{where}: the family {family.name} is for pulling only; expected no push")
    stated = cable.kind or (family.kind if family else None)
    return stated or ("push-pull" if pushes else "pull")


def _points(
    cable: CableEntry,
    frame: Frame,
    family: Family | None,
    here: tuple[Any, ...],
    place: Place,
    faults: list[str],
) -> tuple[Any, tuple[Remark, ...]]:
    """Place every point; what is doubtful about one becomes a remark."""
    od = family.conduit_od if family else 0.0
    points, remarks = [], []
    for j, point in enumerate(cable.points):
        try:
            position, doubt = frame.place_point(point, conduit_od=od)
        except CableRouteError as error:
            faults.append(f"{place((*here, 'points', j))}: {error}")
            continue
        points.append(position)
        if doubt:
            remarks.append(Remark("tape-doubt", point.label or f"point {j + 1}", doubt))
    return np.array(points), tuple(remarks)


def _checks(
    cable: CableEntry, here: tuple[Any, ...], place: Place, faults: list[str]
) -> tuple[CheckReading, ...]:
    """Find the points that check readings name, by label or by number."""
    names: dict[str | int, int] = {i + 1: i for i in range(len(cable.points))}
    names |= {point.label: i for i, point in enumerate(cable.points) if point.label}
    labels: list[str | int] = [point.label for point in cable.points]
    readings = []
    for k, check in enumerate(cable.check):
        unknown = [name for name in (check.start, check.end) if name not in names]
        if unknown:
            got = f"{unknown[0]!r}; expected a label or a number from 1 to {len(cable.points)}"
            faults.append(f"{place((*here, 'check', k))}: no point {got}")
            continue
        shared = [name for name in (check.start, check.end) if labels.count(name) > 1]
        if shared:
            got = f"several points are called {shared[0]!r}; expected the number of one"
            faults.append(f"{place((*here, 'check', k))}: {got}")
            continue
        if names[check.start] == names[check.end]:
            faults.append(f"{place((*here, 'check', k))}: expected two points, got one twice")
            continue
        axis = "xyz".index(check.axis) if check.axis else None
        readings.append(CheckReading(names[check.start], names[check.end], check.read, axis))
    return tuple(readings)


def _cable(
    cable: CableEntry,
    family: Family | None,
    kind: str,
    points: Any,
    checks: tuple[CheckReading, ...],
    remarks: tuple[Remark, ...],
    frame: Frame,
) -> Cable:
    last = len(cable.points) - 1
    tubes = [frame.tubes[point.on] if point.on else None for point in cable.points]
    radius = cable.bend_radius or (family.min_bend_radius if family else 0.0)
    return Cable(
        name=cable.name,
        points=points,
        kind=kind,
        bend_radius=radius,
        labels=tuple(point.label for point in cable.points),
        fixes=tuple(point.fix for point in cable.points),
        point_radii=tuple(point.radius for point in cable.points),
        family=family,
        friction=cable.friction,
        load=cable.load,
        push_load=cable.push_load if kind != "pull" else None,
        preload=cable.preload,
        travel=cable.travel,
        slack=cable.slack,
        rod_end=cable.rod_end,
        controls=cable.controls,
        drag=cable.drag,
        resists=cable.resists,
        hand_resists=cable.hand_resists,
        anchors=cable.anchors,
        temperature=cable.temperature,
        checks=checks,
        remarks=remarks,
        moves=tuple(_move(point, is_end=j in (0, last)) for j, point in enumerate(cable.points)),
        tube_axes=tuple(tube.axis if tube else None for tube in tubes),
        tube_rooms=tuple(
            (point.along or 0.0, tube.length - (point.along or 0.0)) if tube else None
            for point, tube in zip(cable.points, tubes, strict=True)
        ),
    )


def _move(point: PointEntry, *, is_end: bool) -> str:
    """Where a point may be moved: as stated, else anchors and ends nowhere, others as they can."""
    if point.move:
        return point.move
    if is_end or point.fix == "anchor":
        return "no"
    return "tube" if point.on else "free"
