"""Runs of a DXF drawing: lines, arcs, polylines, splines and points of its model space."""

from __future__ import annotations

import io
import logging
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from math import pi, radians, tau
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.errors import CableRouteError, RouteFileError
from cableroute.hardware.quantities import LONGEST
from cableroute.measure.drawn import listed
from cableroute.measure.point_list import PointList
from cableroute.measure.strands import Strand, arc, join, straight
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
    chosen = _chosen(by_layer, layer, source)
    runs: dict[str, Strand] = {}
    faults: list[str] = []
    for name, entities in chosen.items():
        try:
            run = _run(entities, factor, f"{source}: layer {shown(name, most=40)}")
        except RouteFileError as error:
            faults += error.faults
            continue
        if run is not None:
            runs[name.removeprefix(CABLE_LAYER)] = run
    if faults:
        raise RouteFileError(faults)
    if not runs:
        got = ", ".join(_left_out(chosen)) or "none"
        raise RouteFileError(
            [f"{source}: expected lines, arcs or points in its model space, got {got}"]
        )
    return listed(runs, unit=unit or own, notes=_notes(chosen))


def _layer(entity: Any) -> str:
    return str(entity.dxf.layer) if entity.dxf.is_supported("layer") else "0"


def _drawing(data: bytes, source: str) -> Drawing:
    try:
        from ezdxf.filemanagement import read
    except ImportError as error:
        msg = f"{source}: reading a drawing needs ezdxf: pip install 'cableroute[cad]'"
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


def _chosen(by_layer: dict[str, list[Any]], layer: str | None, source: str) -> dict[str, list[Any]]:
    """Pick the layer asked for, else the cables of our own drawings, else all."""
    if layer is not None:
        wanted = {name.lower(): name for name in by_layer}
        for each in (layer, CABLE_LAYER + layer):
            if each.lower() in wanted:
                name = wanted[each.lower()]
                return {name: by_layer[name]}
        known = ", ".join(shown(name, most=40) for name in list(by_layer)[:20])
        raise RouteFileError([f"{source}: no layer {layer!r} with anything on it; known: {known}"])
    ours = {name: each for name, each in by_layer.items() if name.startswith(CABLE_LAYER)}
    return ours or by_layer


def _notes(chosen: dict[str, list[Any]]) -> list[str]:
    counts = _counted(chosen)
    taken = [f"{counts[kind]} {kind}" for kind in _READ if counts[kind]]
    notes = [f"read are {', '.join(taken)}"]
    if left := _left_out(chosen):
        notes.append(f"left out are {', '.join(left)}")
    if any(counts[kind] for kind in _SAMPLED):
        notes.append(f"splines are taken as chords within {CHORD} mm")
    return notes


def _counted(chosen: dict[str, list[Any]]) -> Counter[str]:
    return Counter(entity.dxftype() for entities in chosen.values() for entity in entities)


def _left_out(chosen: dict[str, list[Any]]) -> list[str]:
    """Return what is drawn there besides, kind by kind: a block has to be exploded first."""
    left = [f"{count} {kind}" for kind, count in _counted(chosen).items() if kind not in _READ]
    return sorted(left)[:8]


def _run(entities: Sequence[Any], factor: float, where: str) -> Strand | None:
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
    if strands:
        return join(strands, where=where)
    return straight(points) if len(points) > 1 else None


def _strands(entity: Any, factor: float) -> Iterator[Strand]:
    """Yield an entity as lines and arcs, in mm."""
    kind = entity.dxftype()
    if kind == "LINE":
        yield straight(_mm([entity.dxf.start, entity.dxf.end], factor))
    elif kind == "ARC":
        yield _arc(entity, factor)
    elif kind in _SAMPLED:
        places = list(entity.flattening(CHORD / factor))
        if not places:
            raise ValueError(f"{kind} without a point on it")
        yield straight(_mm(places, factor))
    elif kind == "POLYLINE" and entity.is_3d_polyline:
        points = _mm([vertex.dxf.location for vertex in entity.vertices], factor)
        yield straight(np.concatenate([points, points[:1]]) if entity.is_closed else points)
    elif kind in ("LWPOLYLINE", "POLYLINE"):
        for part in entity.virtual_entities():
            yield from _strands(part, factor)


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
