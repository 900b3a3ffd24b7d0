"""The route file, as pydantic models: what may be written and in which unit.

Lengths come out in mm and forces in N, whatever they were typed in. No file is opened here.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, Field, model_validator

from cableroute.hardware.family import (
    Family,
    Force,
    FrictionRange,
    Length,
    Number,
    PositiveLength,
)
from cableroute.measure.linkage_models import LinkageEntry, SelectorEntry, linkage_table
from cableroute.measure.load_models import AnchorsEntry, Controls, ResistsEntry, load_table
from cableroute.measure.tables import Coordinate, Position, Table
from cableroute.units import ABSOLUTE_ZERO, Unit

#: Hottest that a cable can be asked to stand [degC].
HOTTEST = 2000.0

Move = Literal["no", "x", "y", "z", "tube", "free"]
Side = Literal["left", "right", "up", "down", "fore", "aft"]
Kind = Literal["push-pull", "pull", "pull-pair"]
RodEnd = Literal["free", "pinned", "fixed-pinned", "fixed"]


class PointEntry(Table):
    """One point of a cable: by coordinates, on a tube, or by tape distances to nodes."""

    at: Position | None = Field(None, description="x forward, y left, z up from the datum.")
    on: str | None = Field(None, description="Name of the tube it lies on.")
    along: Length | None = Field(None, description="Distance along that tube from its `from` node.")
    clock: float | str | None = Field(
        None,
        description="Place round that tube, seen from `from` towards `to`, 0 (or 12 o'clock) "
        "being its upper side: degrees clockwise, or a time as 3 o'clock.",
    )
    tape: dict[str, PositiveLength] | None = Field(
        None, description="Tape distances to three or more nodes."
    )
    side: Side | None = Field(None, description="Which of two possible places the tapes mean.")
    label: str = Field("", description="What to call the point.")
    fix: Literal["anchor", "clip"] | None = Field(
        None, description="How the conduit is held here; the two ends are anchors anyway."
    )
    radius: PositiveLength | None = Field(
        None, description="Least bend radius at this corner, instead of the cable's."
    )
    move: Move | None = Field(
        None,
        description="Where `cableroute suggest` may move it: no, along x, y or z, along its tube, "
        "or free. If not given: anchors and the two ends no, a point on a tube tube, others free.",
    )

    @model_validator(mode="after")
    def _one_way(self) -> PointEntry:
        ways = [way for way in ("at", "on", "tape") if getattr(self, way) is not None]
        if len(ways) != 1:
            got = " and ".join(ways) or "none"
            raise ValueError(f"expected one of at, on, tape to say where it is, got {got}")
        if ways == ["on"] and (self.along is None or self.clock is None):
            raise ValueError('a point on a tube needs "along" and "clock"')
        if ways != ["on"] and (self.along is not None or self.clock is not None):
            raise ValueError('"along" and "clock" go with "on" only')
        if ways != ["tape"] and self.side is not None:
            raise ValueError('"side" goes with "tape" only')
        if ways == ["on"] and self.move not in (None, "no", "tube"):
            got = f'got "{self.move}"'
            raise ValueError(f'a point on a tube moves along it: expected "no" or "tube", {got}')
        if ways != ["on"] and self.move == "tube":
            raise ValueError('move = "tube" goes with "on" only')
        return self


class NodeTapeEntry(Table):
    """A distance taped between two nodes."""

    start: str = Field(alias="from", description="One node.")
    end: str = Field(alias="to", description="The other node.")
    read: PositiveLength = Field(description="What the tape said.")


class CheckEntry(Table):
    """A distance taped between two points, to check their coordinates with."""

    start: str | int = Field(alias="from", description="Label or number of one point.")
    end: str | int = Field(alias="to", description="Label or number of the other.")
    read: Coordinate = Field(description="What the tape said; along an axis it has a sign.")
    axis: Literal["x", "y", "z"] | None = Field(
        None, description="An offset along this axis, to minus from, instead of the distance."
    )


class TubeEntry(Table):
    """A straight round tube between two nodes."""

    start: str = Field(alias="from", description="Node where distances along it begin.")
    end: str = Field(alias="to", description="Node at the other end.")
    diameter: PositiveLength = Field(description="Outside diameter.")


class CableEntry(Table):
    """One cable: what it is, what it must do, and where it runs."""

    name: str = Field(min_length=1, description="What to call the cable.")
    kind: Kind | None = Field(
        None, description="push-pull, pull (a spring brings it back) or pull-pair."
    )
    family: str | None = Field(None, description="A family of the library (`cableroute stock`).")
    build: Family | None = Field(None, description="The cable's own data, instead of a family.")
    bend_radius: PositiveLength | None = Field(
        None, description="Least bend radius to the conduit's centreline, instead of the family's."
    )
    friction: FrictionRange | None = Field(
        None, description="Coefficient of friction: one number, or [low, high]."
    )
    load: Force | None = Field(None, description="Force at the far end, pulling.")
    push_load: Force | None = Field(
        None, description="Force at the far end, pushing; of a pull pair, pulled the other way."
    )
    preload: Force | None = Field(
        None, description="Tension of both cores of a pull pair as assembled."
    )
    travel: PositiveLength | None = Field(None, description="Travel needed at the far end.")
    slack: Length = Field(0.0, description="Slack wanted at least in the length ordered.")
    rod_end: RodEnd = Field(
        "pinned", description="How the exposed rod is held, for its buckling at full stroke."
    )
    controls: Controls | None = Field(
        None, description="What it works: throttle, brake, clutch, steering, selector or other."
    )
    drag: Force | None = Field(
        None, description="Force at the hand that moves the core with no load on it, as measured."
    )
    resists: ResistsEntry | None = Field(
        None, description="What the far end resists with: spring, friction, detents."
    )
    hand_resists: Force = Field(
        0.0, description="Force on the core that brings a pedal or lever let go back to rest."
    )
    anchors: AnchorsEntry | None = Field(None, description="How the conduit's ends are held.")
    temperature: tuple[Number, Number] | None = Field(
        None, description="Coldest and hottest that the cable works at [degC]."
    )
    check: tuple[CheckEntry, ...] = Field(
        (), description="Distances taped between points, to find a bad one."
    )
    points: tuple[PointEntry, ...] = Field(
        min_length=2, description="From the hand end to the far end."
    )

    @model_validator(mode="after")
    def _makes_sense(self) -> CableEntry:
        if self.family is not None and self.build is not None:
            raise ValueError("expected a family or a build table, got both")
        if self.family is None and self.build is None and self.bend_radius is None:
            raise ValueError("expected a least bend radius: give bend_radius, a family or a build")
        cold, hot = self.temperature or (0.0, 0.0)
        if not ABSOLUTE_ZERO <= cold <= hot <= HOTTEST:
            raise ValueError(
                f"expected temperature = [coldest, hottest] within {ABSOLUTE_ZERO:g} to {HOTTEST:g} "
                f"degC, got [{cold:g}, {hot:g}]"
            )
        if self.kind == "pull" and self.push_load:
            raise ValueError("a pull cable cannot push; expected no push_load")
        if self.preload is not None and self.kind != "pull-pair":
            raise ValueError('preload goes with kind = "pull-pair" only')
        return self


class SphereEntry(Table):
    """A ball."""

    at: Position = Field(description="Its centre.")
    radius: PositiveLength = Field(description="Its radius.")


class CapsuleEntry(Table):
    """A round bar with round ends, as a pipe or a shaft."""

    start: Position = Field(alias="from", description="One end of its axis.")
    end: Position = Field(alias="to", description="The other end.")
    radius: PositiveLength = Field(description="Its radius.")


class KeepOutEntry(Table):
    """Space that the cable must keep out of."""

    name: str = Field(min_length=1, description="What it is, as exhaust or footwell.")
    box: tuple[Position, Position] | None = Field(None, description="Two opposite corners.")
    sphere: SphereEntry | None = Field(None, description="A ball: at, radius.")
    capsule: CapsuleEntry | None = Field(None, description="A round bar: from, to, radius.")
    distance: Length = Field(0.0, description="Distance to keep, surface to surface.")
    temperature: Number | None = Field(None, description="How hot it gets [degC].")

    @model_validator(mode="after")
    def _one_shape(self) -> KeepOutEntry:
        shapes = [name for name in ("box", "sphere", "capsule") if getattr(self, name) is not None]
        if len(shapes) != 1:
            got = " and ".join(shapes) or "none"
            raise ValueError(f"expected one of box, sphere, capsule, got {got}")
        return self


class RouteFile(Table):
    """One machine with one or more cables."""

    title: str = Field("", description="What the machine is.")
    unit: Unit = Field("mm", description="Unit of bare numbers.")
    tape_tolerance: Length = Field(3.0, description="One reading is good to plus or minus this.")
    nodes: dict[str, Position] = Field(
        default_factory=dict, description="Known points of the frame."
    )
    node_tape: tuple[NodeTapeEntry, ...] = Field(
        (), description="Distances taped between nodes, which tie up those without coordinates."
    )
    nodes_flat: bool = Field(False, description="Whether all taped nodes are in one level plane.")
    tubes: dict[str, TubeEntry] = Field(default_factory=dict, description="Tubes between nodes.")
    keepout: tuple[KeepOutEntry, ...] = Field(
        (), description="Solids that every cable must keep away from."
    )
    cable: tuple[CableEntry, ...] = Field(min_length=1, description="The cables.")
    linkage: tuple[LinkageEntry, ...] = Field((), description="From hand to far arm by a cable.")
    selector: tuple[SelectorEntry, ...] = Field((), description="Two-axis levers.")

    @model_validator(mode="after")
    def _names_differ(self) -> RouteFile:
        for what in ("cable", "linkage", "selector"):
            names = [entry.name for entry in getattr(self, what)]
            twice = sorted({name for name in names if names.count(name) > 1})
            if twice:
                raise ValueError(
                    f"expected each {what} to have its own name, got twice: {twice[0]}"
                )
        return self


def known_keys(path: tuple[Any, ...]) -> tuple[str, ...]:
    """Return the keys allowed in the table that a path lies in.

    Parameters
    ----------
    path : tuple
        Path of a key in the route file, as ``("cable", 0, "points", 2, "lable")``.

    Returns
    -------
    tuple of str
        Keys as they are written.
    """
    table: type[BaseModel] = RouteFile
    if path[0] == "tubes" and len(path) > 2:
        table = TubeEntry
    elif "points" in path[:-1]:
        table = PointEntry
    elif path[0] in ("linkage", "selector") and len(path) > 1:
        table = linkage_table(path)
    elif path[0] == "node_tape" and len(path) > 1:
        table = NodeTapeEntry
    elif "check" in path[:-1]:
        table = CheckEntry
    elif "build" in path[:-1]:
        table = Family
    elif path[0] == "keepout" and len(path) > 1:
        shapes: dict[Any, type[BaseModel]] = {"sphere": SphereEntry, "capsule": CapsuleEntry}
        table = shapes.get(path[-2], KeepOutEntry)
    elif path[0] == "cable" and len(path) > 1:
        table = load_table(path) or CableEntry
    return tuple(field.alias or name for name, field in table.model_fields.items())
