"""Lines of keys and array elements in TOML."""

from __future__ import annotations

import tomllib

import pytest

from cableroute.measure.toml_lines import key_lines

TEXT = '''# a comment with [brackets] and "quotes
title = "a # no comment"   # one
note = """
[not.a.table]
x = 1
"""
raw = \'\'\'it's " here
\'\'\'
day = 1979-05-27 07:32:00

[nodes]
A = [0,
  0, # "]"
  0]
"odd name" = [1, 2, 3]

[tubes.rail]
from = "A"

[[cable]]
name = 'shift'
points = [
  { at = [0, 0, 0], label = "}" },
  # { at = [9, 9, 9] },
  { at = [1,
          "2", 3], tape = { A = 1, B = 2 }, side = "left" },
]
[cable.build]
core_od = 2

[[cable]]
name = "brake"
build.conduit_id = 3
points = []
'''

EXPECTED = {
    ("title",): 2,
    ("note",): 3,
    ("raw",): 7,
    ("day",): 9,
    ("nodes", "A"): 12,
    ("nodes", "A", 0): 12,
    ("nodes", "A", 1): 13,
    ("nodes", "A", 2): 14,
    ("nodes", "odd name"): 15,
    ("tubes", "rail"): 17,
    ("tubes", "rail", "from"): 18,
    ("cable", 0): 20,
    ("cable", 0, "name"): 21,
    ("cable", 0, "points"): 22,
    ("cable", 0, "points", 0, "label"): 23,
    ("cable", 0, "points", 1): 25,
    ("cable", 0, "points", 1, "tape", "B"): 26,
    ("cable", 0, "points", 1, "side"): 26,
    ("cable", 0, "build", "core_od"): 29,
    ("cable", 1): 31,
    ("cable", 1, "name"): 32,
    ("cable", 1, "build", "conduit_id"): 33,
    ("cable", 1, "points"): 34,
}


@pytest.mark.parametrize("path", EXPECTED, ids=str)
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_each_key_is_on_its_line(path, end):
    assert key_lines(TEXT.replace("\n", end))[path] == EXPECTED[path]


def _paths(value: object, path: tuple = ()) -> set[tuple]:
    found = {path} if path else set()
    pairs = value.items() if isinstance(value, dict) else ()
    pairs = enumerate(value) if isinstance(value, list) else pairs
    for key, inner in pairs:
        found |= _paths(inner, (*path, key))
    return found


def test_every_value_that_the_parser_finds_has_a_line():
    assert _paths(tomllib.loads(TEXT)) <= key_lines(TEXT).keys()


def test_an_empty_text_has_no_keys():
    assert key_lines("") == {}
