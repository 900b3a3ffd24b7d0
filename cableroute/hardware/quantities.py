"""Names, lengths, forces and numbers as a file may write them; the bounds of what a machine can have."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, WithJsonSchema

from cableroute.units import force_unit_typed, parse_force, parse_length

#: No length of a machine is longer [mm], and none that is there is shorter: what is typed beyond
#: is a slip of the unit, and what follows from it would take all time and memory.
LONGEST, FINEST = 1e6, 1e-3
#: No force is larger [N].
LARGEST_FORCE = 1e7
#: No other figure is larger, nor nearer to nothing [any].
LARGEST, LEAST = 1e12, 1e-12


#: Letters of a name at most, a dozen lines of them; our own choice.
LONGEST_NAME = 1000
#: Text with something in it that can be seen, and no more than can be.
Name = Annotated[str, Field(pattern=r"[^\s\u200b\u2060\ufeff]", max_length=LONGEST_NAME)]


def read_length(value: Any, info: ValidationInfo) -> float:
    """Read a length, bare numbers in the unit of the validation context, into mm."""
    is_mm = not info.context or info.context["unit"] == "mm"
    if is_mm and type(value) in (int, float) and 0.0 <= value <= LONGEST:
        return float(value)  # the usual case by a short way: the library holds hundreds
    return parse_length(value, unit=info.context["unit"] if info.context else "mm")


def read_force(value: Any, info: ValidationInfo) -> float:
    """Read a force, bare numbers in the force unit of the context, into N; note its own unit there."""
    context = info.context or {}
    if isinstance(value, str) and "typed" in context:
        context["typed"].append(force_unit_typed(value))
    return parse_force(value, unit=context.get("force_unit", "N"))


def read_range(value: Any) -> Any:
    """Let one number stand for a range of no width."""
    return (value, value) if isinstance(value, int | float) else value


def _either(what: str) -> dict[str, Any]:
    """Say to editors that a quantity is a number, or text with its unit, and of what kind it is."""
    return {"anyOf": [{"type": "number"}, {"type": "string", "format": what}]}


LENGTH_OR_TEXT = WithJsonSchema(_either("length"))
FORCE_OR_TEXT = WithJsonSchema(_either("force"))


def _one_or_two(single: dict[str, Any]) -> WithJsonSchema:
    """Say to editors that one value may stand for two."""
    pair = {"type": "array", "items": single, "minItems": 2, "maxItems": 2}
    return WithJsonSchema({"anyOf": [single, pair]})


ONE_OR_TWO_NUMBERS = _one_or_two({"type": "number"})
ONE_OR_TWO_LENGTHS = _one_or_two(_either("length"))


def _within(least: float, most: float) -> AfterValidator:
    """Refuse a size that nothing has: no finer than the least, unless nothing, and no larger."""

    def check(value: float) -> float:
        if abs(value) > most:
            raise ValueError(f"expected at most {most:g}, got {value:g}")
        if 0.0 < value < least:
            raise ValueError(f"expected at least {least:g}, got {value:g}")
        return value

    return AfterValidator(check)


_POSITIVE = Field(gt=0, allow_inf_nan=False)
_NOT_NEGATIVE = Field(ge=0, allow_inf_nan=False)
_MM = (_within(FINEST, LONGEST), BeforeValidator(read_length), LENGTH_OR_TEXT)
_N = (_within(LEAST, LARGEST_FORCE), BeforeValidator(read_force), FORCE_OR_TEXT)

Length = Annotated[float, _NOT_NEGATIVE, _within(0.0, LONGEST), *_MM[1:]]
PositiveLength = Annotated[float, _POSITIVE, *_MM]
Force = Annotated[float, _NOT_NEGATIVE, *_N]
PositiveForce = Annotated[float, _POSITIVE, *_N]
#: Strict, so that neither true nor a quoted figure passes for a number.
Number = Annotated[float, Field(strict=True, allow_inf_nan=False), _within(0.0, LARGEST)]
PositiveNumber = Annotated[
    float, Field(strict=True, gt=0, allow_inf_nan=False), _within(LEAST, LARGEST)
]


def _in_order(value: tuple[float, float]) -> tuple[float, float]:
    low, high = value
    if not 0 <= low <= high < 2:
        raise ValueError(f"expected 0 <= low <= high < 2, got low {low:g}, high {high:g}")
    return value


FrictionRange = Annotated[
    tuple[Number, Number],
    AfterValidator(_in_order),
    BeforeValidator(read_range),
    ONE_OR_TWO_NUMBERS,
]


def _rising(value: tuple[float, float]) -> tuple[float, float]:
    low, high = value
    if low > high:
        raise ValueError(f"expected low <= high, got low {low:g}, high {high:g}")
    return value


StiffnessRange = Annotated[
    tuple[PositiveNumber, PositiveNumber],
    AfterValidator(_rising),
    BeforeValidator(read_range),
    ONE_OR_TWO_NUMBERS,
]
