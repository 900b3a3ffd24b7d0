"""Runs of a DXF drawing: lines, arcs, polylines, splines and points of its model space."""

from __future__ import annotations

import io
import logging
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from itertools import groupby
from math import pi, radians, tau
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import CableRouteError, RouteFileError
from cableroute.hardware.quantities import LONGEST
from cableroute.measure.drawn import listed
from cableroute.measure.point_list import PointList
from cableroute.measure.strands import Strand, arc, join, once, straight
from cableroute.shown import shown
from cableroute.units import MM_PER_UNIT, Unit

if TYPE_CHECKING:
    from ezdxf.document import Drawing

#: Layers of our own drawings begin so, each with the name of its cable after it.
CABLE_LAYER = "CABLE-"
#: A spline is taken as chords at most this far from it [mm].
CHORD = 0.01
#: The sentinel that a binary DXF begins with.
_BINARY = b"AutoCAD Binary DXF"
#: What $INSUNITS says, by its number (DXF reference, header variables; from memory).
_UNITS: dict[int, Unit] = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
#: The flag of a vertex that is a corner of the frame of a fitted polyline (DXF reference, VERTEX; from
#: memory).
_OF_THE_FRAME = 16
#: Each halves the chords of a spline where they lie too far off.
_MOST_HALVINGS = 16
_SAMPLED = ("SPLINE", "ELLIPSE")
_CURVES = ("LINE", "ARC", "LWPOLYLINE", "POLYLINE", *_SAMPLED)
_READ = (*_CURVES, "POINT")


def read_dxf(data: bytes, *, source: str, unit: Unit | None, layer: str | None) -> PointList:
    """Return the runs of a DXF drawing, one for each layer that holds any."""
    drawing = _drawing(data, source)
    code = int(drawing.header.get("$INSUNITS", 0) or 0)
    own = _UNITS.get(code)
    if code and own is None and unit is None:
        told = f"expected a drawing in mm, cm, m, in or ft, got $INSUNITS {code}; say the unit"
        raise RouteFileError([f"{source}: {told}"], argument="unit")
    factor = float(MM_PER_UNIT[unit or own or "mm"])
    by_layer: dict[str, list[Any]] = defaultdict(list)
    for entity in drawing.modelspace():
        by_layer[_layer(entity)].append(entity)
    chosen, hidden = _chosen(by_layer, layer, drawing, source)
    runs: dict[str, Strand] = {}
    faults: list[str] = []
    twice = 0
    for name, entities in chosen.items():
        try:
            run, left = _run(entities, factor, f"{source}: layer {shown(name, most=40)}")
        except RouteFileError as error:
            faults += error.faults
            continue
        twice += left
        if run is not None:
            runs[name.removeprefix(CABLE_LAYER)] = run
    if faults:
        raise RouteFileError(faults)
    if not runs:
        raise RouteFileError([f"{source}: {_none(chosen, hidden, drawing)}"])
    if list(runs) == ["0"]:  # the layer that everything is on where nobody made one names no cable
        runs = {"": runs["0"]}
    return listed(runs, unit=unit or own, notes=_notes(chosen, hidden, twice))


def _layer(entity: Any) -> str:
    return str(_own(entity, "layer", "0"))


def _own(entity: Any, name: str, default: Any) -> Any:
    """Return what an entity says of itself; one of an unknown kind says nothing."""
    return entity.dxf.get(name, default) if entity.dxf.is_supported(name) else default


def _drawing(data: bytes, source: str) -> Drawing:
    try:
        from ezdxf.filemanagement import read
    except ImportError as error:
        msg = f"{source}: reading a drawing needs ezdxf: pip install ezdxf"
        raise CableRouteError(msg) from error
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)
    try:
        if data.startswith(_BINARY):
            from ezdxf.document import Drawing
            from ezdxf.lldxf.tagger import binary_tags_loader

            return Drawing.load(binary_tags_loader(data))
        return read(io.StringIO(_text(data), newline=None))
    except Exception as error:  # whatever a file that is no drawing makes of the reader
        raise RouteFileError([f"{source}: expected a DXF drawing, got: {_brief(error)}"]) from error


def _text(data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")  # before 2007; only names can suffer


def _brief(error: Exception) -> str:
    return shown(" ".join(str(error).split()), most=80) or type(error).__name__


def _chosen(
    by_layer: dict[str, list[Any]], layer: str | None, drawing: Drawing, source: str
) -> tuple[dict[str, list[Any]], list[str]]:
    """Pick the layer asked for, else the cables of our own drawings, else all that are shown.

    Returns them, and the names of those that are not shown.
    """
    if layer is not None:
        wanted = {name.lower(): name for name in by_layer}
        for each in (layer, CABLE_LAYER + layer):
            if each.lower() in wanted:
                name = wanted[each.lower()]
                return {name: by_layer[name]}, []
        known = ", ".join(shown(name, most=40) for name in list(by_layer)[:20])
        asked = shown(layer, most=40)
        raise RouteFileError([f'{source}: no layer "{asked}" with anything on it; known: {known}'])
    ours = {name: each for name, each in by_layer.items() if name.startswith(CABLE_LAYER)}
    if ours:
        return ours, []
    hidden = [name for name in by_layer if _is_hidden(name, drawing)]
    seen = {
        name: [entity for entity in each if not _own(entity, "invisible", 0)]
        for name, each in by_layer.items()
        if name not in hidden
    }
    return seen, hidden


def _is_hidden(name: str, drawing: Drawing) -> bool:
    """Whether a layer is off or frozen, so that whoever drew it does not see it."""
    if name not in drawing.layers:
        return False
    layer = drawing.layers.get(name)
    return bool(layer.is_off() or layer.is_frozen())


def _none(chosen: dict[str, list[Any]], hidden: Sequence[str], drawing: Drawing) -> str:
    """Word that there is no run, and where one may be."""
    got = ", ".join(_left_out(chosen)) or "none"
    told = f"expected lines, arcs or points in its model space, got {got}"
    if hidden:
        names = ", ".join(shown(name, most=40) for name in hidden[:8])
        return f"{told} that are shown; off or frozen is the layer {names}"
    if any(entity.dxftype() == "INSERT" for each in chosen.values() for entity in each):
        return f"{told}; what is inside a block (INSERT) is not read: explode it first"
    sheets = Counter(
        entity.dxftype()
        for name in drawing.layout_names()
        if name != "Model"
        for entity in drawing.layout(name)
        if entity.dxftype() in _READ
    )
    there = ", ".join(f"{count} {kind}" for kind, count in sorted(sheets.items()))
    return f"{told}; on its sheets stand {there}: draw the run in the model" if there else told


def _notes(chosen: dict[str, list[Any]], hidden: Sequence[str], twice: int) -> list[str]:
    counts = _read_of(chosen)
    taken = [f"{counts[kind]} {kind}" for kind in _READ if counts[kind]]
    notes = [f"read are {', '.join(taken)}"]
    if twice:
        notes.append(f"{twice} drawn twice {'is' if twice == 1 else 'are'} taken once")
    if left := _left_out(chosen):
        notes.append(f"left out are {', '.join(left)}")
    if hidden:
        names = ", ".join(shown(name, most=40) for name in hidden[:8])
        notes.append(f"left out is what is on layers that are off or frozen: {names}")
    if any(counts[kind] for kind in _SAMPLED):
        notes.append(f"splines are taken as chords within {CHORD} mm")
    return notes


def _counted(entities: Sequence[Any]) -> Counter[str]:
    return Counter(entity.dxftype() for entity in entities)


def _read_of(chosen: dict[str, list[Any]]) -> Counter[str]:
    """Count what is read, kind by kind: on a layer with lines its points are none of the run."""
    read: Counter[str] = Counter()
    for entities in chosen.values():
        held = _counted(entities)
        kinds = [kind for kind in _CURVES if held[kind]] or ["POINT"] * (held["POINT"] > 1)
        read.update({kind: held[kind] for kind in kinds})
    return read


def _left_out(chosen: dict[str, list[Any]]) -> list[str]:
    """Return what is drawn there besides, kind by kind: a block has to be exploded first."""
    every = [entity for entities in chosen.values() for entity in entities]
    left = _counted(every) - _read_of(chosen)
    return sorted(f"{count} {kind}" for kind, count in left.items())[:8]


def _run(entities: Sequence[Any], factor: float, where: str) -> tuple[Strand | None, int]:
    """Return the run of a layer, if it holds one, and how many of its pieces are drawn twice."""
    try:
        strands = [strand for entity in entities for strand in _strands(entity, factor)]
        points = _mm([each.dxf.location for each in entities if each.dxftype() == "POINT"], factor)
    except Exception as error:  # an entity whose own data contradict each other
        raise RouteFileError([f"{where}: cannot be read: {_brief(error)}"]) from error
    for each in (*(strand.points for strand in strands), points):
        if not (np.abs(each) <= LONGEST).all():
            far = f"expected coordinates within {LONGEST / 1e6:g} km, got others; say the unit"
            raise RouteFileError([f"{where}: {far}"], argument="unit")
    strands = [each for each in strands if (each.points != each.points[:1]).any()]
    if not strands:
        return (straight(points) if len(points) > 1 else None), 0
    pieces = once(strands)
    return join(pieces, where=where), len(strands) - len(pieces)


def _strands(entity: Any, factor: float) -> Iterator[Strand]:
    """Yield an entity as lines and arcs, in mm."""
    kind = entity.dxftype()
    if kind == "LINE":
        yield straight(_mm([entity.dxf.start, entity.dxf.end], factor))
    elif kind == "ARC":
        yield _arc(entity, factor)
    elif kind == "ELLIPSE":
        places = list(entity.flattening(CHORD / factor))
        if not places:
            raise ValueError("ELLIPSE without a point on it")
        yield straight(_mm(places, factor))
    elif kind == "SPLINE":
        yield straight(factor * _spline(entity, CHORD / factor))
    elif kind in ("LWPOLYLINE", "POLYLINE"):
        yield from _polyline(entity, factor)


def _polyline(entity: Any, factor: float) -> Iterator[Strand]:
    if entity.dxftype() == "POLYLINE":
        # one that is fitted keeps the corners of its frame among its points
        entity.vertices[:] = [v for v in entity.vertices if not v.dxf.flags & _OF_THE_FRAME]
        if entity.is_3d_polyline:
            points = _mm([vertex.dxf.location for vertex in entity.vertices], factor)
            yield straight(np.concatenate([points, points[:1]]) if entity.is_closed else points)
            return
    for part in entity.virtual_entities():
        yield from _strands(part, factor)


def _spline(entity: Any, chord: float) -> Array:
    """Return points of a spline whose chords lie within a distance of it, in the drawing's unit."""
    if not len(entity.control_points):
        given = [tuple(point) for point in entity.fit_points]
        entity.fit_points = [each for each, _ in groupby(given)]
    tool = entity.construction_tool()
    knots = np.array(tool.knots())
    # where its knots are not clamped it begins and ends inside of them
    first, last = knots[tool.order - 1], knots[tool.count]
    spans = np.unique(np.clip(knots, first, last))
    at = np.interp(np.arange(0, 4 * len(spans) - 3) / 4.0, np.arange(len(spans)), spans)
    points = _on(tool, at)
    for _ in range(_MOST_HALVINGS):
        middle = (at[1:] + at[:-1]) / 2.0
        between = _on(tool, middle)
        steps, off = np.diff(points, axis=0), between - points[:-1]
        length = np.linalg.norm(steps, axis=1)
        ways = steps / np.where(length > 0.0, length, 1.0)[:, None]
        off -= np.einsum("ij,ij->i", off, ways)[:, None] * ways
        split = np.flatnonzero(np.linalg.norm(off, axis=1) > chord)
        if not split.size:
            break
        at = np.insert(at, split + 1, middle[split])
        points = np.insert(points, split + 1, between[split], axis=0)
    return points


def _on(tool: Any, at: Array) -> Array:
    return np.array([tuple(point) for point in tool.points(at)], dtype=np.float64)


def _arc(entity: Any, factor: float) -> Strand:
    """Take an arc out of the system of its own plane."""
    frame, dxf = entity.ocs(), entity.dxf
    begin = radians(dxf.start_angle)
    turn = (radians(dxf.end_angle) - begin) % tau or tau
    ways = [(np.cos(at), np.sin(at), 0.0) for at in (begin, begin + pi / 2.0)]
    start, across = (_mm([frame.to_wcs(way)], factor * dxf.radius)[0] for way in ways)
    centre = _mm([frame.to_wcs(dxf.center)], factor)[0]
    return arc(centre=centre, start=start, across=across, turn=turn)


def _mm(points: Sequence[Any], factor: float) -> Any:
    with np.errstate(over="ignore"):  # what is too far is told as such
        return factor * np.array([tuple(point)[:3] for point in points], dtype=np.float64).reshape(
            -1, 3
        )
