"""Say in one line what pydantic found wrong."""

from __future__ import annotations

import reprlib
from collections.abc import Collection, Mapping
from difflib import get_close_matches
from typing import Any

#: What pydantic calls things, and what the writer of a TOML file does.
_WORDS = {
    "a valid tuple": "a list",
    "a valid dictionary": "a table",
    "a valid string": "text in quotes",
    "a valid number": "a number",
}
#: What is said of a fault of a kind, whatever was got.
_PLAIN = {
    "missing": "expected a value, got none",
    "string_pattern_mismatch": "expected a name, got blank",
}
_NUMBERS = ("none", "one", "two", "three", "four", "five", "six")


def describe_fault(fault: Mapping[str, Any], *, known: Collection[str] = ()) -> str:
    """Return what was expected and what was got."""
    kind = fault["type"]
    if kind in _PLAIN:
        return _PLAIN[kind]
    if kind == "extra_forbidden":
        near = get_close_matches(str(fault["loc"][-1]), known, n=1)
        hint = f"the nearest is {near[0]}" if near else f"known: {', '.join(known)}"
        return f"expected no such key here; {hint}"
    if kind == "value_error":
        return str(fault["ctx"]["error"])
    if kind == "too_short":
        bounds = fault["ctx"]
        return f"expected at least {bounds['min_length']}, got {bounds['actual_length']}"
    if kind in ("too_long", "string_too_long"):
        return _too_many(fault)
    expected = fault["msg"].removeprefix("Input should be ").split(" or instance of ")[0]
    expected = expected.replace("greater than or equal to", "at least")
    expected = expected.replace("less than or equal to", "at most")
    expected = _WORDS.get(expected, expected)
    return f"expected {expected}, got {reprlib.repr(fault['input'])}"


def _too_many(fault: Mapping[str, Any]) -> str:
    """Say how many were got; among plain numbers a decimal comma is the likeliest cause."""
    most, got = fault["ctx"]["max_length"], len(fault["input"])
    if fault["type"] == "string_too_long":
        return f"expected at most {most} letters, got {got}"
    count = _NUMBERS[most] if most < len(_NUMBERS) else f"at most {most}"
    given = fault["input"]
    plain = isinstance(given, list | tuple) and any(isinstance(each, int | float) for each in given)
    hint = "; decimals take a point" if plain else ""
    return f"expected {count} {_things(fault['loc'])}, got {got}{hint}"


def _things(loc: Collection[Any]) -> str:
    """Points are made of lengths; directions and ranges need not be."""
    return "lengths" if {"at", "pivot", "nodes"} & set(loc) else "values"
