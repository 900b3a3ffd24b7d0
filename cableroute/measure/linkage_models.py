"""Linkages and selectors in the route file: ``[[linkage]]`` and ``[[selector]]``.

Lengths come out in mm, forces in N; angles stay in degrees, as the keys ending in ``_deg`` say.
"""

from __future__ import annotations

from math import degrees
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, Field, field_validator, model_validator

from cableroute.hardware.adapter import COARSE
from cableroute.hardware.quantities import (
    ONE_OR_TWO_LENGTHS,
    ONE_OR_TWO_NUMBERS,
    Force,
    Length,
    Name,
    Number,
    PositiveLength,
    PositiveNumber,
)
from cableroute.measure.tables import Coordinate, Position, Table, Way

#: What a cable end's swivel allows where nothing is given: common practice, no source [deg].
SWIVEL_LIMIT_DEG = 8.0


def _same_both_ways(value: Any) -> Any:
    """Let one figure stand for both ways."""
    return value if isinstance(value, list | tuple) else (value, value)


BothLengths = Annotated[tuple[Length, Length], BeforeValidator(_same_both_ways), ONE_OR_TWO_LENGTHS]
#: No member is turned further than this from neutral: ten turns, our own bound [deg].
MOST_TURNED = 3600.0
#: No arm that a cable works asks for more than this: a tonne on a metre, our own bound [N*mm].
MOST_TORQUE = 1e7
Turned = Annotated[float, Field(strict=True, ge=-MOST_TURNED, le=MOST_TURNED, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(strict=True, ge=0, le=MOST_TURNED, allow_inf_nan=False)]
Torque = Annotated[float, Field(strict=True, ge=0, le=MOST_TORQUE, allow_inf_nan=False)]
BothAngles = Annotated[
    tuple[NotNegative, NotNegative], BeforeValidator(_same_both_ways), ONE_OR_TWO_NUMBERS
]
SmallAngle = Annotated[float, Field(strict=True, gt=0, lt=90)]


def _one_of(table: BaseModel, *keys: str) -> None:
    """Refuse a table that holds none or several of some keys."""
    got = [key for key in keys if getattr(table, key) is not None]
    if len(got) != 1:
        expected = ", ".join(keys)
        raise ValueError(f"expected one of {expected}, got {' and '.join(got) or 'none'}")


class AttachmentEntry(Table):
    """An arm from a pivot to a hole or a grip."""

    radius: PositiveLength = Field(description="From the pivot's axis to the hole or the grip.")
    direction: Way = Field(description='Where the arm points at neutral: "up", or three numbers.')
    offset: Coordinate = Field(0.0, description="Along the axis, from the pivot as given.")


class DrumEntry(Table):
    """A twist grip, quadrant or cam that winds the core on."""

    table: tuple[tuple[Turned, PositiveLength], ...] = Field(
        min_length=2, description="Rows of angle from neutral [deg] and radius, angles rising."
    )
    pays_out: bool = Field(False, description="Whether a growing angle pays out instead.")


class SwivelEntry(Table):
    """The conduit's end that the rod swings about."""

    at: Position | None = Field(None, description="Its centre; by default the cable's end point.")
    out: Way | None = Field(
        None,
        description="From conduit to rod; by default along the heading of its end, or the cable's last leg there.",
    )
    limit_deg: SmallAngle = Field(
        SWIVEL_LIMIT_DEG, description="How far the rod may lean from that line [deg]."
    )
    fitting: Length | None = Field(
        None,
        description="From the end of the cable's own rod to the pin, screwed on as far as it goes, "
        "any extension rod counted in; by default three rod diameters.",
    )
    thread: Length = Field(
        0.0,
        description="How far the fitting may be backed off from there, a rod's diameter of thread "
        "still in it.",
    )
    thread_in_fitting: str | None = Field(
        None, description='Thread of the fitting, as "M6", where it is not that of the rod.'
    )

    @field_validator("thread_in_fitting")
    @classmethod
    def _known(cls, value: str | None) -> str | None:
        if value is not None and value not in COARSE:
            raise ValueError(f"expected one of {', '.join(COARSE)}, got {value!r}")
        return value


class HandEntry(Table):
    """The member that the driver moves."""

    name: Name = Field("lever", description="What to call it.")
    pivot: Position = Field(description="A point on its axis.")
    axis: Way = Field(description="Its pin; angles grow by the right-hand rule about it.")
    handle: AttachmentEntry = Field(description="From the pivot to the grip, pedal or knob.")
    cable: AttachmentEntry | None = Field(None, description="From the pivot to the cable's rod.")
    drum: DrumEntry | None = Field(None, description="What the core winds on, instead of an arm.")
    range_deg: tuple[Turned, Turned] | None = Field(
        None, description="Least and greatest angle, neutral being 0 [deg]."
    )
    travel: tuple[Coordinate, Coordinate] | None = Field(
        None, description="The same as path of the grip, instead of the angle."
    )
    swivel: SwivelEntry = Field(SwivelEntry(), description="The cable's end at the lever.")
    facing: Way = Field((1.0, 0.0, 0.0), description="Where the driver looks.")
    by: Literal["hand", "two hands", "foot"] = Field("hand", description="What moves it.")

    @model_validator(mode="after")
    def _makes_sense(self) -> HandEntry:
        _one_of(self, "cable", "drum")
        _one_of(self, "range_deg", "travel")
        low, high = self.range_deg or self.travel or (0.0, 0.0)
        if not low <= 0 <= high or low == high:
            raise ValueError(f"expected a range that holds neutral 0, got {low:g} to {high:g}")
        if self.travel and degrees(max(-low, high) / self.handle.radius) > MOST_TURNED:
            raise ValueError(
                f"expected a travel within {MOST_TURNED / 360:g} turns of the handle, got "
                f"{low:g} to {high:g} mm on a radius of {self.handle.radius:g} mm"
            )
        if self.facing[:2] == (0, 0):
            raise ValueError("facing: expected a direction that is not straight up or down")
        return self


class FarArmEntry(Table):
    """An arm at the far end."""

    pivot: Position = Field(description="The pivot, in the plane the arm swings in.")
    axis: Way = Field(description="Its pin.")
    neutral: Way = Field(description="Where the driven arm points at neutral.")
    radius: PositiveLength = Field(description="From the pivot to the hole of the cable's rod.")
    work: AttachmentEntry | None = Field(
        None, description="The point that works, as a fork's tip; by default that hole."
    )


class SlideEntry(Table):
    """A sliding shaft at the far end."""

    origin: Position = Field(description="Where the rod takes hold at neutral.")
    direction: Way = Field(description="Line of the shaft.")


class FarEntry(Table):
    """The member at the far end, and what it needs."""

    name: Name = Field("arm", description="What to call it.")
    arm: FarArmEntry | None = Field(None, description="It swings.")
    slide: SlideEntry | None = Field(None, description="It slides.")
    travel: BothLengths | None = Field(
        None, description="Path of the working point needed: the wanted way, and back past neutral."
    )
    angle_deg: BothAngles | None = Field(None, description="The same as an angle of an arm [deg].")
    load: Force | None = Field(None, description="Force at the working point, detents included.")
    torque_nmm: Torque | None = Field(None, description="The same as a torque [N*mm].")
    swivel: SwivelEntry = Field(SwivelEntry(), description="The cable's end here.")

    @model_validator(mode="after")
    def _makes_sense(self) -> FarEntry:
        _one_of(self, "arm", "slide")
        _one_of(self, "travel", "angle_deg")
        _one_of(self, "load", "torque_nmm")
        if self.slide is not None and (self.angle_deg or self.torque_nmm is not None):
            raise ValueError("a slide has no angle and no torque; expected travel and load")
        if not any(self.travel or self.angle_deg or ()):
            raise ValueError("expected a travel needed above 0, got 0 both ways")
        return self


class CrankEntry(Table):
    """A bellcrank or a reversing idler in the chain."""

    name: Name = Field("crank", description="What to call it.")
    pivot: Position = Field(description="The pivot, in the plane of its arms.")
    axis: Way = Field(description="Its pin.")
    neutral: Way = Field(description="Where the driven arm points at neutral.")
    radius_in: PositiveLength = Field(description="The driven arm.")
    radius_out: PositiveLength = Field(description="The driving arm.")
    between_deg: Turned = Field(
        description="From the driven to the driving arm, by the right-hand rule [deg]."
    )
    before_cable: bool = Field(
        False, description="Whether it sits between the lever and the cable, not beyond the cable."
    )
    rod: PositiveLength | None = Field(
        None, description="The rod on its side away from the cable; by default it fits at neutral."
    )


class WantedEntry(Table):
    """Which way the far end is to go."""

    hand: Way = Field(description="Which way the hand goes, as the driver sees it.")
    far: Way = Field(description="Which way the working point then goes, x being forward.")


class LinkageEntry(Table):
    """From the hand through a cable to the far arm."""

    name: Name = Field(description="What to call the linkage.")
    cable: str = Field(description="Name of its cable.")
    hand: HandEntry = Field(description="The lever, pedal or grip.")
    crank: tuple[CrankEntry, ...] = Field((), description="Cranks, from the hand to the far end.")
    far: FarEntry = Field(description="The far arm or sliding shaft.")
    wanted: WantedEntry = Field(description="Which way it is to go.")
    lost: Length | None = Field(
        None, description="Play from pulled to pushed, instead of what is worked out."
    )
    adjusters: tuple[Length, ...] = Field(
        (),
        max_length=2,
        description="Thread for adjustment at the ends, hand end first, nut in the middle.",
    )
    adjusted: Coordinate = Field(
        0.0,
        description="Conduit let out at the adjusters since neutral, both together; taken up below 0.",
    )

    @model_validator(mode="after")
    def _in_order(self) -> LinkageEntry:
        sides = [crank.before_cable for crank in self.crank]
        if sides != sorted(sides, reverse=True):
            raise ValueError("crank: expected those before the cable first")
        return self

    @model_validator(mode="after")
    def _on_the_thread(self) -> LinkageEntry:
        reach = sum(self.adjusters) / 2
        if self.adjusters and abs(self.adjusted) > reach:
            raise ValueError(
                f"adjusted: expected within {reach:g} mm of the middle of the adjusters, "
                f"got {self.adjusted:g}"
            )
        return self


class SelectorEntry(Table):
    """Two linkages on one lever, bound into a pattern of gates."""

    name: Name = Field(description="What to call the selector.")
    select: str = Field(description="Name of the linkage that picks the column.")
    shift: str = Field(description="Name of the linkage that works the row.")
    columns: tuple[tuple[str, ...], ...] = Field(
        min_length=1, description='Gate names, column by column; "" where there is none.'
    )
    lever_columns_deg: tuple[Turned, ...] = Field(
        description="Lever angle of each column, above 0 the way `wanted.hand` of select says."
    )
    lever_rows_deg: tuple[Turned, ...] = Field(
        description="Lever angle of each row, above 0 the way `wanted.hand` of shift says."
    )
    box_columns: tuple[Number, ...] = Field(
        description="Where the box wants each column: mm of a slide, degrees of an arm, above 0 "
        "the way `wanted.far` of select says."
    )
    box_rows: tuple[Number, ...] = Field(description="The same for each row, by shift.")
    tolerance: tuple[PositiveNumber, PositiveNumber] = Field(
        description="How far select and shift may be off in a gate, each way, in the same units."
    )
    press: tuple[str, ...] = Field((), description="Gates that want a press to pass.")
    joint: Literal["ball", "shift-outer", "select-outer"] = Field(
        "ball", description="How the lever is held."
    )
    shift_rides: bool = Field(
        False, description="Whether the shifting arm rides on the shaft that select slides."
    )


_INNER: dict[Any, type[BaseModel]] = {
    "hand": HandEntry,
    "handle": AttachmentEntry,
    "cable": AttachmentEntry,
    "work": AttachmentEntry,
    "drum": DrumEntry,
    "swivel": SwivelEntry,
    "far": FarEntry,
    "arm": FarArmEntry,
    "slide": SlideEntry,
    "crank": CrankEntry,
    "wanted": WantedEntry,
}


def linkage_table(path: tuple[Any, ...]) -> type[BaseModel]:
    """Return the model of the table that a key of ``[[linkage]]`` or ``[[selector]]`` lies in."""
    if path[0] == "selector":
        return SelectorEntry
    names = [part for part in path[1:-1] if isinstance(part, str)]
    return _INNER.get(names[-1], LinkageEntry) if names else LinkageEntry
