"""What the tables of a route file share: coordinates, directions, and no unknown keys."""

from __future__ import annotations

from math import isfinite
from numbers import Real
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainValidator,
    ValidationInfo,
    WithJsonSchema,
)

from cableroute.hardware.quantities import LENGTH_OR_TEXT, LONGEST, Number, read_length
from cableroute.units import plain_number

#: No machine reaches further than this from its datum [mm].
FARTHEST = LONGEST

#: Least that the largest number of a direction may be: of less none could be worked out [-].
SHORTEST_WAY = 1e-9

#: Which way one of two possible places lies from the other.
SideWord = Literal["left", "right", "up", "down", "forward", "aft"]
#: An older word, which is still read, by what it means.
OLD_SIDES = {"fore": "forward"}
Side = Annotated[
    SideWord,
    BeforeValidator(lambda word: OLD_SIDES.get(word, word) if isinstance(word, str) else word),
]

#: The six words and their directions: x forward, y left, z up [-].
WAYS = {
    "forward": (1, 0, 0),
    "aft": (-1, 0, 0),
    "left": (0, 1, 0),
    "right": (0, -1, 0),
    "up": (0, 0, 1),
    "down": (0, 0, -1),
}


def read_coordinate(value: Any, info: ValidationInfo) -> float:
    """Read a coordinate into mm; the usual case by a short way, as a survey may have thousands."""
    is_mm = not info.context or info.context["unit"] == "mm"
    if is_mm and type(value) in (int, float) and abs(value) <= FARTHEST:
        return float(value)
    return read_length(value, info)


def _three_numbers(text: str) -> list[float] | None:
    """Read three numbers in one cell, as "1 0 0.5" or "[1, 0, 0.5]"."""
    words = text.strip().strip("[]()").replace(",", " ").replace(";", " ").split()
    numbers = [plain_number(word) for word in words]
    found = [number for number in numbers if number is not None]
    return found if len(found) == len(words) == 3 else None


def read_way(value: Any) -> Any:
    """Read a direction: one of the six words, several joined by "and", or three numbers."""
    if isinstance(value, str) and (numbers := _three_numbers(value)):
        value = numbers
    if isinstance(value, str):
        words = [word.strip() for word in value.lower().split(" and ")]
        strange = [word for word in words if word not in WAYS]
        if strange:
            known = ", ".join(WAYS)
            raise ValueError(f'expected {known}, or some of them joined by "and", got {value!r}')
        value = tuple(float(sum(WAYS[word][i] for word in words)) for i in range(3))
    if isinstance(value, list | tuple) and len(value) == 3:
        _check_size([abs(each) for each in value if isinstance(each, Real)])
    return value


def _check_size(parts: list[Any]) -> None:
    """Refuse what has no length, or so little or much of it that none could be worked out."""
    if len(parts) == 3 and not any(parts):
        raise ValueError("expected a direction, got one of no length")
    if len(parts) == 3 and not SHORTEST_WAY <= max(parts) <= FARTHEST:
        raise ValueError(
            f"expected a direction, the largest of its numbers from {SHORTEST_WAY:g} to "
            f"{FARTHEST:g}, got another"
        )


def read_heading(value: Any) -> Any:
    """Read a direction, or the word that stands for that of the tube a point lies on."""
    if isinstance(value, str) and value.strip().lower() == "tube":
        return "tube"
    way = read_way(value)
    numbers = [x for x in way if isinstance(x, Real)] if isinstance(way, list | tuple) else []
    if len(numbers) != 3 or len(way) != 3 or not all(map(isfinite, numbers)):
        raise ValueError(f'expected a word as forward, [x, y, z] or "tube", got {value!r}')
    return tuple(map(float, numbers))


Coordinate = Annotated[
    float,
    Field(ge=-FARTHEST, le=FARTHEST),
    BeforeValidator(read_coordinate),
    LENGTH_OR_TEXT,
]
Position = tuple[Coordinate, Coordinate, Coordinate]
_WAY_OR_TEXT = WithJsonSchema(
    {
        "anyOf": [
            {"type": "string"},
            {"type": "array", "items": {"type": "number"}, "minItems": 3, "maxItems": 3},
        ]
    }
)
Way = Annotated[tuple[Number, Number, Number], BeforeValidator(read_way), _WAY_OR_TEXT]
Heading = Annotated[
    Literal["tube"] | tuple[float, float, float], PlainValidator(read_heading), _WAY_OR_TEXT
]


class Table(BaseModel):
    """A table of the route file: frozen, and with no key that is not known."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, defer_build=True)
