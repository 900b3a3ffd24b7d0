"""What a cable works against and what holds its ends, in the route file.

Lengths come out in mm, forces in N. What a table leaves out is not known, or not there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, Field, model_validator

from cableroute.errors import CableRouteError
from cableroute.hardware.quantities import Force, Number, PositiveLength, PositiveNumber
from cableroute.hardware.set_screws import set_screw
from cableroute.measure.on_demand import Later
from cableroute.measure.tables import Coordinate, Table

if TYPE_CHECKING:
    from cableroute.hardware.hole_rows import HoleRows

#: Finest thread and thinnest plate [mm]; below it a figure is a slip of the unit.
FINEST = 0.01
#: More screws or bolts than any end has [-].
MOST = 100
#: More springs than anyone hangs side by side [-].
MOST_SPRINGS = 8


class DetentEntry(Table):
    """A place that the far end clicks into."""

    at: Coordinate = Field(description="Its bottom, in travel of the far end from rest.")
    depth: Force = Field(description="Force that gets out of it.")
    width: PositiveLength = Field(description="From its bottom to its crest, on either side.")


class ResistsEntry(Table):
    """What the far end resists with, as a spring scale reads it there."""

    preload: Force = Field(0.0, description="Pull of its spring at rest.")
    spring: Number = Field(0.0, ge=0, le=1e6, description="How much that grows with travel [N/mm].")
    springs: int | None = Field(
        None,
        ge=1,
        le=MOST_SPRINGS,
        strict=True,
        description="How many springs that is, alike and together; each must bring it back alone.",
    )
    friction: Force = Field(0.0, description="Friction of the mechanism, either way.")
    dead: Force = Field(
        0.0, description="A load that never changes, as a weight, against the pull."
    )
    detents: tuple[Later[DetentEntry], ...] = Field((), description="Places that it clicks into.")


def _given(table: Table, *keys: str) -> list[str]:
    """Those of the keys that the table gives."""
    return [key for key in keys if getattr(table, key) is not None]


def _known_screw(size: str) -> str:
    try:
        set_screw(size)
    except CableRouteError as error:
        raise ValueError(str(error)) from error
    return size


class ScrewsEntry(Table):
    """Set screws that hold the conduit's end."""

    size: Annotated[str, AfterValidator(_known_screw)] = Field(description="Thread, as M5 or 1/4.")
    count: int = Field(1, ge=1, le=MOST, strict=True, description="How many.")
    on: Literal["groove", "sleeve"] = Field(
        "sleeve", description="Whether they stand in a groove or on a smooth sleeve."
    )


class RowsEntry(Table):
    """A sleeve with rows of set-screw holes, staggered round it, to shift the anchor by."""

    screw: Annotated[str, AfterValidator(_known_screw)] = Field(description="Thread, as M3.")
    groove: PositiveLength = Field(description="Width of the groove in the conduit's end.")
    adjust: PositiveLength = Field(description="Range of the anchor, end to end.")
    step: PositiveLength | None = Field(
        None,
        ge=FINEST,
        description="From setting to setting; by default the screw's play in the groove, so that a "
        "screw finds it anywhere.",
    )
    share: int = Field(
        1, ge=1, le=8, strict=True, description="Screws that share the load at one setting."
    )
    outside: PositiveLength | None = Field(
        None, description="Outside diameter of the sleeve; by default the least that will do."
    )

    @model_validator(mode="after")
    def _can_be_drilled(self) -> RowsEntry:
        try:
            self.pattern()
        except CableRouteError as error:
            raise ValueError(str(error)) from error
        return self

    def pattern(self) -> HoleRows:
        """Return the holes."""
        from cableroute.hardware.hole_rows import hole_rows

        return hole_rows(
            diameter=set_screw(self.screw).diameter,
            groove=self.groove,
            adjust=self.adjust,
            step=self.step,
            share=self.share,
            outside=self.outside,
        )


class ClampEntry(Table):
    """A split clamp round the conduit's end."""

    bolts: int = Field(1, ge=1, le=MOST, strict=True, description="How many bolts close it.")
    tension: Force | None = Field(None, description="Tension of one bolt.")
    torque: PositiveNumber | None = Field(None, le=1e6, description="Or the torque on it [N*m].")
    diameter: PositiveLength | None = Field(
        None, ge=FINEST, description="Bolt diameter, with the torque."
    )
    friction: PositiveNumber = Field(0.15, lt=2, description="Of the clamp on the conduit [-].")

    @model_validator(mode="after")
    def _knows_its_bolts(self) -> ClampEntry:
        given = _given(self, "tension", "torque", "diameter")
        if given not in (["tension"], ["torque", "diameter"]):
            got = " and ".join(given) or "none"
            raise ValueError(f"expected tension, or torque and diameter, of a bolt, got {got}")
        return self


#: Pitch of the coarsest metric thread, M64 (from memory) [mm].
COARSEST = 6.0


class BulkheadEntry(Table):
    """A threaded end held by a nut on either side of a plate."""

    diameter: PositiveLength = Field(description="Outside diameter of the thread.")
    pitch: PositiveLength = Field(description="Pitch of the thread.")
    nut: PositiveLength | None = Field(
        None, description="Height of one nut; half the diameter if not given."
    )
    strength: PositiveNumber = Field(
        240.0,
        le=1e5,
        description="Yield strength of the softer thread; from memory, mild steel [MPa].",
    )

    @model_validator(mode="after")
    def _has_a_core(self) -> BulkheadEntry:
        if self.pitch >= 0.5 * self.diameter:
            raise ValueError(
                f"expected a pitch below half the diameter, {self.diameter:g} mm, "
                f"got {self.pitch:g} mm"
            )
        if self.pitch > COARSEST:
            raise ValueError(
                f"expected a pitch of at most {COARSEST:g} mm, got {self.pitch:g} mm; bare lengths are "
                "read in the unit of the file"
            )
        return self


class BracketEntry(Table):
    """What the anchor stands on: its stiffness as measured, or a plate held at one edge."""

    stiffness: PositiveNumber | None = Field(
        None, ge=1e-3, le=1e9, description="As measured [N/mm]."
    )
    length: PositiveLength | None = Field(
        None, ge=FINEST, description="From the held edge to the cable."
    )
    width: PositiveLength | None = Field(None, ge=FINEST, description="Width of the plate.")
    thickness: PositiveLength | None = Field(None, ge=FINEST, description="Thickness of the plate.")
    modulus: PositiveNumber = Field(
        200_000.0, ge=1.0, le=1e7, description="Young's modulus of the plate [MPa]."
    )

    @model_validator(mode="after")
    def _one_way(self) -> BracketEntry:
        given = _given(self, "stiffness", "length", "width", "thickness")
        if given not in (["stiffness"], ["length", "width", "thickness"]):
            got = " and ".join(given) or "none"
            raise ValueError(
                f"expected stiffness, or length, width and thickness of a plate, got {got}"
            )
        return self


class AnchorEntry(Table):
    """How one end of the conduit is held."""

    screws: Later[ScrewsEntry] | None = Field(None, description="Set screws: size, count, on.")
    rows: Later[RowsEntry] | None = Field(
        None, description="Rows of set-screw holes to shift it by: screw, groove, adjust."
    )
    clamp: Later[ClampEntry] | None = Field(None, description="A split clamp: bolts, tension.")
    bulkhead: Later[BulkheadEntry] | None = Field(
        None, description="A thread and nuts: diameter, pitch."
    )
    bracket: Later[BracketEntry] | None = Field(None, description="What it all stands on.")

    @model_validator(mode="after")
    def _one_hold(self) -> AnchorEntry:
        holds = _given(self, "screws", "rows", "clamp", "bulkhead")
        if len(holds) > 1:
            expected = "screws, rows, clamp, bulkhead"
            raise ValueError(f"expected one of {expected}, got {' and '.join(holds)}")
        return self

    @property
    def set_screws(self) -> ScrewsEntry | None:
        """The set screws that hold it at one time, of a row of holes those that share the load."""
        if self.rows is None:
            return self.screws
        return ScrewsEntry(size=self.rows.screw, count=self.rows.share, on="groove")


class AnchorsEntry(Table):
    """The two ends of the conduit."""

    hand: Later[AnchorEntry] | None = Field(None, description="At the hand end.")
    far: Later[AnchorEntry] | None = Field(None, description="At the far end.")


#: Tables by the key that holds them; a detent is one of a list.
_TABLES: dict[Any, type[BaseModel]] = {
    "detents": DetentEntry,
    "resists": ResistsEntry,
    "screws": ScrewsEntry,
    "rows": RowsEntry,
    "clamp": ClampEntry,
    "bulkhead": BulkheadEntry,
    "bracket": BracketEntry,
    "hand": AnchorEntry,
    "far": AnchorEntry,
    "anchors": AnchorsEntry,
}


def load_table(path: tuple[Any, ...]) -> type[BaseModel] | None:
    """Return the table that a key of a cable's load or anchors lies in."""
    return next((_TABLES[key] for key in reversed(path[:-1]) if key in _TABLES), None)
