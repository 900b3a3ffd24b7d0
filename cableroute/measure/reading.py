"""Read a route file or a bare CSV into a :class:`~cableroute.measure.job.Job`."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NoReturn

import numpy as np

from cableroute.errors import CableRouteError, RouteFileError
from cableroute.hardware.family import Family
from cableroute.hardware.library import find_family, load_library
from cableroute.measure.bounds import InAll, check_run, check_size
from cableroute.measure.job import Cable, CheckReading, Job, Remark
from cableroute.measure.models import CableEntry, RouteFile
from cableroute.measure.overrides import override
from cableroute.measure.point_keys import heading_of, move_of
from cableroute.measure.positions import Frame, Place, PointPlaces, keep_outs
from cableroute.measure.route_text import as_text, parse_toml, placer, read_data, validate
from cableroute.measure.sources import NO_NAME, STDIN, kind_of, read_list
from cableroute.measure.wording import no_such
from cableroute.units import Unit


def read_job(
    path: str | Path,
    *,
    unit: Unit | None = None,
    library: Mapping[str, Family] | None = None,
    overrides: Mapping[str, Any] | None = None,
    layer: str | None = None,
    content: bytes | None = None,
    called: Callable[[str], str] = str,
) -> Job:
    """Read a route file (TOML), a bare list of points (CSV), or a drawing (DXF, OBJ).

    Parameters
    ----------
    path : str or Path
        The file; ``.toml`` is a route file, ``.dxf`` and ``.obj`` are drawings, ``.csv`` is a list of
        points. Anything else, and ``-``, is looked at to tell what it is.
    unit : str, optional
        Unit of bare numbers, instead of the file's own.
    library : mapping of str to Family, optional
        Cable families by name; the shipped ones if not given.
    overrides : mapping, optional
        Values that replace those of every cable, by the names they have in the route file
        (``bend_radius`` in mm or with its unit, ``friction``, ``load`` and ``push_load`` in N or with
        their unit, ``family``);
        ``tape_tolerance``; and ``passes`` of every point between the ends but those with a heading.
    layer : str, optional
        Only this layer of a DXF.
    content : bytes, optional
        What the file holds, where it is not to be opened, as of standard input.
    called : callable, optional
        Words what an override is called, for faults in it; its own name if not given.

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
    content = read_data(path) if content is None else content
    kind = kind_of(path, content)
    if layer is not None and kind != ".dxf":
        told = f"{path}: expected a DXF to choose a layer of"
        raise RouteFileError([told], argument="layer")
    notes: tuple[str, ...] = ()
    shown: str | None = unit
    found = None
    if kind == ".toml":
        data, lines = parse_toml(as_text(content, source=str(path)), path)
        if unit:
            data["unit"] = unit
    else:
        from cableroute.measure.point_list import as_route_file

        found = read_list(path, content, kind, unit=unit, layer=layer)
        data, lines, notes = as_route_file(found, NO_NAME if path == STDIN else path.stem)
        shown = found.unit
    given = {key: value for key, value in (overrides or {}).items() if value is not None}
    override(data, given)
    place = placer(str(path), data, lines, {key: called(key) for key in given})
    if found and found.faults:
        _refuse(found.faults, data, place)
    job = job_of(data, place=place, library=library)
    job = replace(job, notes=notes, unit=shown or job.unit)
    if found and found.is_drawn:
        from cableroute.measure.drawn import not_below_the_least_radius

        job = not_below_the_least_radius(job)
    return job


def job_of(
    data: Mapping[str, Any] | RouteFile,
    *,
    place: Place,
    library: Mapping[str, Family] | None = None,
    frame: Frame | None = None,
) -> Job:
    """Make a job of the plain data of a route file.

    Parameters
    ----------
    data : mapping or RouteFile
        What the file holds, or the same as it was checked.
    place : callable
        Words the place of a path of keys, for faults.
    library : mapping of str to Family, optional
        Cable families by name; the shipped ones if not given.
    frame : Frame, optional
        The nodes and tubes of the file, where they have been worked out before.

    Returns
    -------
    Job
        Everything in mm and N.

    Raises
    ------
    RouteFileError
        With one line for every fault found.
    """
    families = load_library() if library is None else library
    if isinstance(data, RouteFile):
        return _assemble(data, library=families, place=place, frame=frame)
    try:
        entry = validate(data, place)
    except RouteFileError as error:
        from cableroute.measure.unknown_names import unknown_names

        unknown = (f"{place(path)}: {fault}" for path, fault in unknown_names(data, families))
        faults = dict.fromkeys((*unknown, *error.faults))
        raise RouteFileError(faults, argument=error.argument) from error
    return _assemble(entry, library=families, place=place, frame=frame)


def _refuse(faults: Sequence[str], data: Mapping[str, Any], place: Place) -> NoReturn:
    """Refuse a list of points for its faults, and for what else is wrong with what could be read."""
    more: tuple[str, ...] = ()
    argument = ""
    try:
        validate(data, place)
    except RouteFileError as error:
        more, argument = error.faults, error.argument
    raise RouteFileError(dict.fromkeys((*faults, *more)), argument=argument)


def _assemble(
    entry: RouteFile, *, library: Mapping[str, Family], place: Place, frame: Frame | None
) -> Job:
    faults: list[str] = []
    check_size(entry, place)
    frame = frame or Frame.of(entry, place=place, faults=faults)
    cables, in_all = [], InAll()
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
            check_run(points, here, place, faults, in_all)
        checks = _checks(cable, here, place, faults)
        if not faults:
            remarks = frame.doubts_of(cable.points) + remarks
            places = PointPlaces(place, here, len(points))
            cables.append(_cable(cable, family, kind, points, checks, remarks, frame, places))
    _check_names(entry, place, faults)
    if faults:
        raise RouteFileError(dict.fromkeys(faults))
    return Job(
        title=entry.title,
        cables=tuple(cables),
        unit=entry.unit,
        force_unit=entry.forces_told_in,
        tape_tolerance=entry.tape_tolerance,
        keepouts=tuple(keep_outs(entry.keepout)),
        linkages=entry.linkage,
        selectors=entry.selector,
        nodes=frame.nodes,
        tubes=tuple(frame.tubes.values()),
        as_read=entry,
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
            faults.append(f"{place(path)}: {no_such(what, name, known)}")


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
    if all(point.at is not None for point in cable.points):
        return np.array([point.at for point in cable.points]), ()
    od = family.conduit_od if family else 0.0
    points, remarks = [], []
    for j, point in enumerate(cable.points):
        try:
            position, doubt = frame.placed(point, conduit_od=od)
        except CableRouteError as error:
            faults.append(f"{place((*here, 'points', j))}: {error}")
            continue
        points.append(position)
        if doubt:
            remarks.append(replace(doubt, where=point.label or f"point {j + 1}"))
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
    places: PointPlaces,
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
        bending_stiffness=cable.bending_stiffness,
        resists=cable.resists,
        hand_resists=cable.hand_resists,
        anchors=cable.anchors,
        temperature=cable.temperature,
        lubricant=cable.lubricant,
        checks=checks,
        remarks=remarks,
        places=places,
        moves=tuple(move_of(point, is_end=j in (0, last)) for j, point in enumerate(cable.points)),
        tube_axes=tuple(tube.axis if tube else None for tube in tubes),
        tubes=tuple(point.on for point in cable.points),
        passes=tuple(point.passes for point in cable.points),
        headings=tuple(
            heading_of(point, tube, points, j)
            for j, (point, tube) in enumerate(zip(cable.points, tubes, strict=True))
        ),
        cut=cable.cut if cable.cut is not None else bool(family and family.cut),
        tube_rooms=tuple(
            (point.along or 0.0, tube.length - (point.along or 0.0)) if tube else None
            for point, tube in zip(cable.points, tubes, strict=True)
        ),
    )
