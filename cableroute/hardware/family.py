"""One cable family: the data a verdict needs, and where each figure comes from.

The same model serves a family of the library and an inline ``[cable.build]`` table, whose user
may know little more than what a calliper says. A figure that is not known is ``None``, never a
guess.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    ValidationInfo,
    field_validator,
)

from cableroute.hardware.liners import STEEL_EXPANSION
from cableroute.hardware.lubricants import LubricantName
from cableroute.hardware.quantities import (
    Force,
    FrictionRange,
    Length,
    Name,
    Number,
    PositiveForce,
    PositiveLength,
    PositiveNumber,
    StiffnessRange,
)
from cableroute.units import ABSOLUTE_ZERO

Construction = Literal["solid", "1x7", "1x19", "7x7", "7x19"]
SpringWire = Literal["A228", "A229", "A227", "A232", "A401", "A313"]

#: What a provenance entry may begin with; ``": note"`` may follow.
PROVENANCE_TAGS = (
    "computed",
    "published source",
    "common practice, no source",
    "from memory",
    "invented for illustration",
)

#: What an inline build is called that has no name.
OWN_BUILD = "own build"

#: Origins that say nothing until the source is named.
_NOTE_REQUIRED = ("published source", "from memory")


class Family(BaseModel):
    """A generic cable family: core, conduit, end rods, limits, stock lengths.

    Bare lengths are in the unit of the validation context (``{"unit": "in"}``), millimetres
    without one; a string is read as tape notation. Forces are N, stresses MPa.

    Notes
    -----
    ``kind`` may be left out of an inline build, whose cable states it. A push-pull family with
    ``max_push`` or ``rod_od`` of ``None`` has a figure that is not known; zero is refused.

    Examples
    --------
    >>> own = Family(
    ...     construction="7x7", core_od=1.6, conduit_id="2.2 mm", conduit_od=5, min_bend_radius=60
    ... )
    >>> round(own.clearance, 3)
    0.6
    """

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)

    name: Name = Field(OWN_BUILD, description="Name it is asked for by.")
    title: str = Field("", description="One line for a reader choosing among families.")
    kind: Literal["push-pull", "pull"] | None = Field(
        None, description="push-pull (carries both ways) or pull (a spring brings it back)."
    )
    construction: Construction = Field(
        description="Core: one solid wire, or a strand given as strands x wires."
    )
    core_od: PositiveLength = Field(description="Outside diameter of the core [mm].")
    core_modulus: PositiveNumber = Field(
        200_000.0, description="Young's modulus of the core's wire, not of the strand [MPa]."
    )
    core_strength: PositiveNumber | None = Field(
        None,
        description="Ultimate strength of the core's wire: breaking load over metal area [MPa].",
    )
    core_wire: SpringWire = Field(
        "A228",
        description="Spring wire of the core by its ASTM number, A228 being music wire and A313 "
        "stainless: what its strength is held against, and taken from where it is not given.",
    )
    bending_stiffness: StiffnessRange | None = Field(
        None,
        description="Bending stiffness EI of the core as measured, low and high, instead of the "
        "bounds of its construction; one number is both [N*mm^2].",
    )
    core_expansion: PositiveNumber = Field(
        STEEL_EXPANSION, description="Linear thermal expansion of the core; steel's [1/K]."
    )
    conduit_expansion: PositiveNumber = Field(
        STEEL_EXPANSION,
        description="That of the conduit; steel's, if there is steel in it [1/K].",
    )
    conduit_id: PositiveLength = Field(
        description="Bore the core runs in, liner included; above core_od [mm]."
    )
    conduit_od: PositiveLength = Field(
        description="Outside diameter of the conduit; above conduit_id [mm]."
    )
    conduit_stiffness: PositiveNumber | None = Field(
        None, description="Bending stiffness EI of the conduit alone, for buckling [N*mm^2]."
    )
    conduit_stiffness_range: StiffnessRange | None = Field(
        None,
        description="Low and high of conduit_stiffness, which lies between: its wires slide on "
        "each other or bind [N*mm^2].",
    )
    conduit_axial: PositiveNumber | None = Field(
        None, description="Axial stiffness EA of the conduit, for its shortening [N]."
    )
    liner: Name | None = Field(
        None,
        description='Liner material, as "ptfe", "hdpe", "acetal", "nylon66", or "none".',
    )
    lubricant: LubricantName | None = Field(
        None,
        description='"dry", or a grease by base oil and NLGI class, as "mineral-2", '
        '"synthetic-1", "silicone-2".',
    )
    min_bend_radius: PositiveLength = Field(
        description="Least bend radius, to the conduit's centreline [mm]."
    )
    max_pull: PositiveForce | None = Field(
        None, description="Largest working load of the core in tension [N]."
    )
    max_push: Force | None = Field(
        None, description="Largest working load in compression; 0 for a pull cable [N]."
    )
    stroke: PositiveLength | None = Field(None, description="Largest usable travel [mm].")
    rod_od: Length | None = Field(
        None, description="Diameter of the end rod; 0 for a pull cable [mm]."
    )
    rod_exposed: Length | None = Field(
        None, description="Rod out of its guide at full stroke, at one end [mm]."
    )
    guide_bore: Length | None = Field(
        None,
        description="Bore of the tube that guides the end rod, and the bare core behind it at full "
        "stroke; 0 for a pull cable [mm].",
    )
    rod_modulus: PositiveNumber = Field(
        200_000.0, description="Young's modulus of the end rod [MPa]."
    )
    rod_yield: PositiveNumber | None = Field(
        None, description="Yield strength of the end rod [MPa]."
    )
    end_allowance: Length | None = Field(
        None,
        description="Core, with its rods, beyond the conduit: both ends together, at mid stroke; "
        "the sum stays the same all through the stroke [mm].",
    )
    weight_n_per_m: PositiveNumber | None = Field(
        None, description="Weight of the whole cable, core and conduit [N/m]."
    )
    friction: FrictionRange | None = Field(
        None, description="Coefficient of friction, low and high; one number is both [-]."
    )
    temperature: tuple[Number, Number] | None = Field(
        None,
        description="Lowest and highest service temperature, of liner or jacket, whichever "
        "gives in first [degC].",
    )
    stock_lengths: tuple[PositiveLength, ...] = Field(
        (), description="Lengths sold, metric steps, shortest first [mm]."
    )
    stock_lengths_ft: tuple[PositiveNumber, ...] = Field(
        (), description="Lengths sold, in feet whatever the file's unit, shortest first [ft]."
    )
    stock_measure: Literal["conduit", "overall"] = Field(
        "conduit",
        description="What a stock length measures: the conduit, or overall with exposed ends.",
    )
    cut: bool = Field(
        False, description="Whether conduit and core are sold by the metre and cut to length."
    )
    provenance: dict[str, str] = Field(
        default_factory=dict,
        description="Field -> where its figure comes from: one of "
        + "; ".join(PROVENANCE_TAGS)
        + '; then, if wanted, ": note".',
    )

    @property
    def clearance(self) -> float:
        """Diametral clearance, ``conduit_id - core_od`` [mm]."""
        return self.conduit_id - self.core_od

    @field_validator("conduit_id", "conduit_od")
    @classmethod
    def _outside_the_last(cls, value: float, info: ValidationInfo) -> float:
        inner_name = {"conduit_id": "core_od", "conduit_od": "conduit_id"}[str(info.field_name)]
        inner = info.data.get(inner_name)
        if inner is not None and value <= inner:
            raise ValueError(f"expected more than {inner_name}, {inner:g} mm; got {value:g} mm")
        return value

    @field_validator("conduit_stiffness_range")
    @classmethod
    def _holds_the_figure(
        cls, value: tuple[float, float] | None, info: ValidationInfo
    ) -> tuple[float, float] | None:
        middle = info.data.get("conduit_stiffness")
        if value is not None and middle is not None and not value[0] <= middle <= value[1]:
            raise ValueError(
                f"expected conduit_stiffness, {middle:g}, between its ends, "
                f"got {value[0]:g} to {value[1]:g}"
            )
        return value

    @field_validator("guide_bore")
    @classmethod
    def _takes_the_rod(cls, value: float | None, info: ValidationInfo) -> float | None:
        rod = info.data.get("rod_od")
        if value and rod and value <= rod:
            raise ValueError(f"expected more than rod_od, {rod:g} mm; got {value:g} mm")
        return value

    @field_validator("max_push", "rod_od", "guide_bore")
    @classmethod
    def _fits_the_kind(cls, value: float | None, info: ValidationInfo) -> float | None:
        kind = info.data.get("kind")
        if kind == "push-pull" and value == 0:
            raise ValueError("expected a figure above 0 for a push-pull cable, got 0")
        if kind == "pull" and value:
            raise ValueError(f"expected 0 for a pull cable, got {value:g}")
        return value

    @field_validator("temperature")
    @classmethod
    def _warmer_than_cold(cls, value: tuple[float, float] | None) -> tuple[float, float] | None:
        if value is not None and not ABSOLUTE_ZERO <= value[0] < value[1]:
            raise ValueError(
                f"expected {ABSOLUTE_ZERO} <= low < high degC, "
                f"got low {value[0]:g}, high {value[1]:g}"
            )
        return value

    @field_validator("stock_lengths", "stock_lengths_ft")
    @classmethod
    def _ascending(cls, value: tuple[float, ...]) -> tuple[float, ...]:
        for shorter, longer in pairwise(value):
            if longer <= shorter:
                raise ValueError(f"expected ascending lengths, got {longer:g} after {shorter:g}")
        return value

    @field_validator("provenance")
    @classmethod
    def _known_tags(cls, value: dict[str, str]) -> dict[str, str]:
        for field, entry in value.items():
            if field not in cls.model_fields:
                raise ValueError(f'expected names of this family\'s fields, got "{field}"')
            tag, colon, note = entry.partition(":")
            if tag not in PROVENANCE_TAGS or (colon and not note.strip()):
                tags = "; ".join(PROVENANCE_TAGS)
                raise ValueError(f'{field}: expected one of {tags} (then ": note"), got "{entry}"')
            if tag in _NOTE_REQUIRED and not colon:
                raise ValueError(f'{field}: expected "{tag}: which", got "{entry}"')
        return value
