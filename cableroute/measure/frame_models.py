"""Tapes, tubes, solids and doubts in the route file: the tables beside its cables.

Lengths come out in mm, whatever they were typed in.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from cableroute.hardware.quantities import Length, Name, Number, PositiveLength
from cableroute.measure.on_demand import Later
from cableroute.measure.tables import Coordinate, Position, Side, Table

#: A number, or text with its unit.
Quantity = Number | str


class NodeTapeEntry(Table):
    """A distance taped between two nodes."""

    start: Name = Field(alias="from", description="One node.")
    end: Name = Field(alias="to", description="The other node.")
    read: PositiveLength = Field(description="What the tape said.")
    side: Side | None = Field(
        None,
        description="Which of two possible places the tapes mean, of the node that is not known; of "
        "`to` where neither is.",
    )


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

    name: Name = Field(description="What it is, as exhaust or footwell.")
    box: tuple[Position, Position] | None = Field(None, description="Two opposite corners.")
    sphere: Later[SphereEntry] | None = Field(None, description="A ball: at, radius.")
    capsule: Later[CapsuleEntry] | None = Field(None, description="A round bar: from, to, radius.")
    distance: Length = Field(0.0, description="Distance to keep, surface to surface.")
    temperature: Number | None = Field(None, description="How hot it gets [degC].")

    @model_validator(mode="after")
    def _one_shape(self) -> KeepOutEntry:
        shapes = [name for name in ("box", "sphere", "capsule") if getattr(self, name) is not None]
        if len(shapes) != 1:
            got = " and ".join(shapes) or "none"
            raise ValueError(f"expected one of box, sphere, capsule, got {got}")
        return self


class DoubtEntry(Table):
    """How doubtful one input of a study is: one distribution, by its name.

    Numbers are in the input's own unit, lengths in the file's; or text with a unit.
    """

    uniform: tuple[Quantity, Quantity] | None = Field(
        None, description="Anywhere from low to high alike."
    )
    normal: tuple[Quantity, Quantity] | None = Field(
        None, description="Mean and standard deviation."
    )
    triangular: tuple[Quantity, Quantity, Quantity] | None = Field(
        None, description="Low, most likely, high."
    )
    tolerance: Quantity | None = Field(
        None, description="As read, good to plus or minus this 19 times in 20."
    )
    fixed: Quantity | None = Field(None, description="This and nothing else.")

    @model_validator(mode="after")
    def _one_way(self) -> DoubtEntry:
        ways = [name for name, value in self if value is not None]
        if len(ways) != 1:
            got = " and ".join(ways) or "none"
            raise ValueError(
                f"expected one of uniform, normal, triangular, tolerance, fixed, got {got}"
            )
        return self
