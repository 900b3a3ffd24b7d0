"""What the tables of a route file share: coordinates, directions, and no unknown keys."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, WithJsonSchema

from cableroute.hardware.family import NUMBER_OR_TEXT, Number, read_length

#: No machine reaches further than this from its datum [mm].
FARTHEST = 1e9

WAYS = {
    "forward": (1, 0, 0),
    "aft": (-1, 0, 0),
    "left": (0, 1, 0),
    "right": (0, -1, 0),
    "up": (0, 0, 1),
    "down": (0, 0, -1),
}
"""The six words and their directions: x forward, y left, z up [-]."""


def read_coordinate(value: Any, info: ValidationInfo) -> float:
    """Read a coordinate into mm; the usual case by a short way, as a survey may have thousands."""
    is_mm = not info.context or info.context["unit"] == "mm"
    if is_mm and isinstance(value, float) and abs(value) <= FARTHEST:
        return value
    return read_length(value, info)


def read_way(value: Any) -> Any:
    """Read a direction: one of the six words, several joined by "and", or three numbers."""
    if isinstance(value, str):
        words = [word.strip() for word in value.lower().split(" and ")]
        strange = [word for word in words if word not in WAYS]
        if strange:
            known = ", ".join(WAYS)
            raise ValueError(f'expected {known}, or some of them joined by "and", got {value!r}')
        value = tuple(float(sum(WAYS[word][i] for word in words)) for i in range(3))
    if isinstance(value, list | tuple) and len(value) == 3 and not any(value):
        raise ValueError("expected a direction, got one of no length")
    return value


Coordinate = Annotated[
    float,
    Field(ge=-FARTHEST, le=FARTHEST),
    BeforeValidator(read_coordinate),
    NUMBER_OR_TEXT,
]
Position = tuple[Coordinate, Coordinate, Coordinate]
Way = Annotated[
    tuple[Number, Number, Number],
    BeforeValidator(read_way),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string"},
                {"type": "array", "items": {"type": "number"}, "minItems": 3, "maxItems": 3},
            ]
        }
    ),
]


class Table(BaseModel):
    """A table of the route file: frozen, and with no key that is not known."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)
