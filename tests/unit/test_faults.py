"""Pydantic's faults in one line each."""

from __future__ import annotations

from typing import Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from cableroute.faults import describe_fault
from cableroute.hardware.quantities import Name


class Inner(BaseModel):
    size: float = 0.0


class Model(BaseModel):
    model_config = ConfigDict(extra="forbid")

    length: float = Field(1.0, gt=0)
    kind: Literal["pull", "push"] = "pull"
    name: Name = "a"
    at: tuple[float, float, float] = (0.0, 0.0, 0.0)
    ways: tuple[str, str] = ("up", "down")
    count: int = Field(1, ge=1, le=100)
    pair: tuple[float, ...] = Field((1.0, 2.0), min_length=2)
    inner: Inner = Inner()
    even: int = 2

    @field_validator("even")
    @classmethod
    def _even(cls, value: int) -> int:
        if value % 2:
            raise ValueError("expected an even number")
        return value


def said(**data: object) -> str:
    with pytest.raises(ValidationError) as caught:
        Model.model_validate(data)
    (fault,) = caught.value.errors()
    return describe_fault(fault, known=Model.model_fields)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"length": -5}, "expected greater than 0, got -5"),
        ({"kind": "pul"}, "expected 'pull' or 'push', got 'pul'"),
        ({"name": 3}, "expected text in quotes, got 3"),
        ({"name": ""}, "expected a name, got blank"),
        ({"name": " \u00a0\u200b\t"}, "expected a name, got blank"),
        ({"at": [500, 5, 600, 0]}, "expected three lengths, got 4; decimals take a point"),
        ({"ways": ["up", "up", "up"]}, "expected two values, got 3"),
        ({"count": 0}, "expected at least 1, got 0"),
        ({"count": 101}, "expected at most 100, got 101"),
        ({"pair": "x"}, "expected a list, got 'x'"),
        ({"pair": [1.0]}, "expected at least 2, got 1"),
        ({"inner": 3}, "expected a table, got 3"),
        ({"even": 3}, "expected an even number"),
        ({"lenth": 3}, "expected no such key here; the nearest is length"),
        ({"zzz": 3}, f"expected no such key here; known: {', '.join(Model.model_fields)}"),
    ],
)
def test_it_says_what_was_expected_and_what_was_got(data, words):
    assert said(**data) == words


def test_a_missing_value():
    class Needy(BaseModel):
        name: str

    with pytest.raises(ValidationError) as caught:
        Needy.model_validate({})
    assert describe_fault(caught.value.errors()[0]) == "expected a value, got none"


def test_a_long_value_is_cut():
    assert len(said(length="x" * 1000)) < 120


def test_a_text_too_long_is_counted_and_not_repeated():
    class Named(BaseModel):
        name: str = Field(max_length=9)

    with pytest.raises(ValidationError) as caught:
        Named.model_validate({"name": "x" * 1000})
    assert describe_fault(caught.value.errors()[0]) == "expected at most 9 letters, got 1000"
