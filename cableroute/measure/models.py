"""The route file, as pydantic models: what may be written and in which unit.

Lengths come out in mm and forces in N, whatever they were typed in. No file is opened here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Literal

from pydantic import Field, PrivateAttr, ValidationInfo, model_validator

from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.hardware.lubricants import LubricantName
from cableroute.hardware.quantities import (
    Force,
    FrictionRange,
    Length,
    Name,
    Number,
    PositiveLength,
    StiffnessRange,
)
from cableroute.measure.checked_cable import Controls, Kind, RodEnd
from cableroute.measure.on_demand import Later
from cableroute.measure.tables import Heading, Position, Side, Table
from cableroute.units import ABSOLUTE_ZERO, ForceUnit, Unit, most_typed

if TYPE_CHECKING:
    from cableroute.measure.frame_models import (
        CheckEntry,
        DoubtEntry,
        KeepOutEntry,
        NodeTapeEntry,
        TubeEntry,
    )
    from cableroute.measure.linkage_models import LinkageEntry, SelectorEntry
    from cableroute.measure.load_models import AnchorsEntry, ResistsEntry
else:
    CheckEntry = "cableroute.measure.frame_models:CheckEntry"
    DoubtEntry = "cableroute.measure.frame_models:DoubtEntry"
    KeepOutEntry = "cableroute.measure.frame_models:KeepOutEntry"
    NodeTapeEntry = "cableroute.measure.frame_models:NodeTapeEntry"
    TubeEntry = "cableroute.measure.frame_models:TubeEntry"
    LinkageEntry = "cableroute.measure.linkage_models:LinkageEntry"
    SelectorEntry = "cableroute.measure.linkage_models:SelectorEntry"
    AnchorsEntry = "cableroute.measure.load_models:AnchorsEntry"
    ResistsEntry = "cableroute.measure.load_models:ResistsEntry"

#: Hottest that a cable can be asked to stand [degC].
HOTTEST = 2000.0

Move = Literal["no", "x", "y", "z", "tube", "free"]
Passes = Literal["through", "inside"]


#: What gives a cable its least radius, and what is said where nothing does.
GIVES_RADIUS = ("bend_radius", "family", "build")
NO_RADIUS = "expected a least bend radius: give bend_radius, a family or a build"
#: With these keys alone a point can contradict nothing; a scan has many such.
_BARE = frozenset({"at", "label", "fix", "radius"})


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
    passes: Passes = Field(
        "through",
        description="Whether it lies on the conduit's centreline (through) or is the corner of two "
        "straights that the bend cuts off (inside).",
    )
    heading: Heading | None = Field(
        None,
        description="Direction in which the conduit is held here, towards the far end: forward, aft, "
        'left, right, up, down, some of them joined by "and", [x, y, z], or "tube".',
    )
    move: Move | None = Field(
        None,
        description="Where `cableroute suggest` may move it: no, along x, y or z, along its tube, "
        "or free. If not given: anchors and the two ends no, a point on a tube tube, others free.",
    )

    @classmethod
    def many(cls, places: Iterable[tuple[Sequence[float], str]]) -> list[PointEntry]:
        """Return points of places in mm and labels, all looked at before: a scan has very many."""
        bare = cls.model_construct(at=(0.0, 0.0, 0.0), label="")
        return [
            bare.model_copy(update={"at": (x, y, z), "label": label}) for (x, y, z), label in places
        ]

    @model_validator(mode="after")
    def _one_way(self) -> PointEntry:
        if self.at is not None and self.model_fields_set <= _BARE:
            return self
        ways = [way for way in ("at", "on", "tape") if getattr(self, way) is not None]
        if len(ways) != 1:
            got = " and ".join(ways) or "none"
            raise ValueError(f"expected one of at, on, tape to say where it is, got {got}")
        if wrong := [words for words, is_wrong in self._contradictions(ways[0]) if is_wrong]:
            raise ValueError("; ".join(wrong))
        return self

    def _contradictions(self, way: str) -> Iterator[tuple[str, bool]]:
        """Yield what keys say against each other and the way it is placed, and whether these do."""
        is_on, given = way == "on", [each is not None for each in (self.along, self.clock)]
        yield 'a point on a tube needs "along" and "clock"', is_on and not all(given)
        yield '"along" and "clock" go with "on" only', any(given) and not is_on
        yield '"side" goes with "tape" only', self.side is not None and way != "tape"
        yield 'heading = "tube" goes with "on" only', self.heading == "tube" and not is_on
        yield (
            'a point passed inside has no heading; expected passes = "through"',
            self.heading is not None and self.passes == "inside",
        )
        yield (
            f'a point on a tube moves along it: expected "no" or "tube", got "{self.move}"',
            is_on and self.move not in (None, "no", "tube"),
        )
        yield 'move = "tube" goes with "on" only', self.move == "tube" and not is_on


class CableEntry(Table):
    """One cable: what it is, what it must do, and where it runs."""

    name: Name = Field(description="What to call the cable.")
    kind: Kind | None = Field(
        None, description="push-pull, pull (a spring brings it back) or pull-pair."
    )
    family: str | None = Field(None, description="A family of the library (`cableroute stock`).")
    build: Later[Family] | None = Field(
        None, description="The cable's own data, instead of a family."
    )
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
    cut: bool | None = Field(
        None,
        description="Whether conduit and core are bought by the metre and cut to length; if not given, "
        "as its family says.",
    )
    rod_end: RodEnd = Field(
        "pinned", description="How the exposed rod is held, for its buckling at full stroke."
    )
    controls: Controls | None = Field(
        None, description="What it works: throttle, brake, clutch, steering, selector or other."
    )
    drag: Force | None = Field(
        None, description="Force at the hand that moves the core with no load on it, as measured."
    )
    bending_stiffness: StiffnessRange | None = Field(
        None,
        description="Bending stiffness EI of the core as measured (`cableroute calibrate`, by its sag), one "
        "number or [low, high] [N*mm^2].",
    )
    resists: Later[ResistsEntry] | None = Field(
        None, description="What the far end resists with: spring, friction, detents."
    )
    hand_resists: Force = Field(
        0.0, description="Force on the core that brings a pedal or lever let go back to rest."
    )
    anchors: Later[AnchorsEntry] | None = Field(
        None, description="How the conduit's ends are held."
    )
    temperature: tuple[Number, Number] | None = Field(
        None, description="Coldest and hottest that the cable works at [degC]."
    )
    lubricant: LubricantName | None = Field(
        None, description='"dry", or base oil and NLGI class of its grease, as "mineral-2".'
    )
    check: tuple[Later[CheckEntry], ...] = Field(
        (), description="Distances taped between points, to find a bad one."
    )
    points: tuple[PointEntry, ...] = Field(
        min_length=2, description="From the hand end to the far end."
    )

    @model_validator(mode="after")
    def _makes_sense(self) -> CableEntry:
        if wrong := [words for words, is_wrong in self._contradictions() if is_wrong]:
            lacking = "bend_radius" if NO_RADIUS in wrong else ""
            raise CableRouteError("; ".join(wrong), argument=lacking)
        return self

    def _contradictions(self) -> Iterator[tuple[str, bool]]:
        """Yield what keys say against each other, and whether these do."""
        known = [each for each in (self.family, self.build) if each is not None]
        yield "expected a family or a build table, got both", len(known) == 2
        yield NO_RADIUS, not known and self.bend_radius is None
        cold, hot = self.temperature or (0.0, 0.0)
        yield (
            f"expected temperature = [coldest, hottest] within {ABSOLUTE_ZERO:g} to {HOTTEST:g} "
            f"degC, got [{cold:g}, {hot:g}]",
            not ABSOLUTE_ZERO <= cold <= hot <= HOTTEST,
        )
        yield (
            "a pull cable cannot push; expected no push_load",
            self.kind == "pull" and bool(self.push_load),
        )
        yield (
            "the run begins and ends on its first and last point; expected no "
            'passes = "inside" there',
            "inside" in (self.points[0].passes, self.points[-1].passes),
        )
        yield (
            'preload goes with kind = "pull-pair" only',
            self.preload is not None and self.kind != "pull-pair",
        )


class RouteFile(Table):
    """One machine with one or more cables."""

    title: str = Field("", description="What the machine is.")
    unit: Unit = Field("mm", description="Unit of bare numbers.")
    force_unit: ForceUnit | None = Field(
        None,
        description="Unit of bare forces, and the one that forces are told in: N, lbf or kgf. If not "
        "given, bare forces are N, and all are told in the unit that most were typed with.",
    )
    tape_tolerance: Length = Field(
        3.0,
        description="One reading is good to plus or minus this 19 times in 20: a 95 % half-width, "
        "two standard deviations.",
    )
    nodes: dict[Name, Position] = Field(
        default_factory=dict, description="Known points of the frame."
    )
    node_tape: tuple[Later[NodeTapeEntry], ...] = Field(
        (), description="Distances taped between nodes, which tie up those without coordinates."
    )
    nodes_flat: bool = Field(False, description="Whether all taped nodes are in one level plane.")
    tubes: dict[Name, Later[TubeEntry]] = Field(
        default_factory=dict, description="Tubes between nodes."
    )
    keepout: tuple[Later[KeepOutEntry], ...] = Field(
        (), description="Solids that every cable must keep away from."
    )
    cable: tuple[CableEntry, ...] = Field(min_length=1, description="The cables.")
    linkage: tuple[Later[LinkageEntry], ...] = Field(
        (), description="From hand to far arm by a cable."
    )
    selector: tuple[Later[SelectorEntry], ...] = Field((), description="Two-axis levers.")
    study: dict[str, Later[DoubtEntry]] = Field(
        default_factory=dict,
        description="How doubtful inputs are, instead of what `cableroute study` takes: by the names "
        'that it lists, as "friction" or "points.3.z".',
    )

    _typed_most: ForceUnit = PrivateAttr("N")

    @property
    def forces_told_in(self) -> ForceUnit:
        """Unit that forces are told in: as given, else the one that most were typed with."""
        return self.force_unit or self._typed_most

    @model_validator(mode="after")
    def _units_typed(self, info: ValidationInfo) -> RouteFile:
        self._typed_most = most_typed((info.context or {}).get("typed", ()))
        return self

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
