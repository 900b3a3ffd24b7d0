"""Lengths worded for a tape: what millimetres and what feet and inches look like."""

from __future__ import annotations

from math import ceil, floor

import numpy as np
import pytest

from cableroute.measure.wording import Words
from cableroute.units import parse_length


@pytest.mark.parametrize(
    ("unit", "value", "words"),
    [
        ("mm", 1234.4, "1234 mm"),
        ("m", 1234.4, "1234 mm"),
        ("mm", -0.2, "0 mm"),
        ("ft", 1028.7, "3' 4 1/2\""),
        ("in", 304.8, "1' 0\""),
        ("in", -0.2, '0"'),
        ("mm", float("inf"), "none"),
        ("in", float("inf"), "none"),
    ],
)
def test_lengths_follow_the_tape(unit, value, words):
    assert Words(unit).length(value) == words


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("value", [3.3, 50.0, 127.9, 1000.4])
def test_a_length_is_rounded_to_the_side_that_is_safe(unit, value):
    words = Words(unit)
    step = 25.4 / 16 if words.inches else 1.0
    above, below = (parse_length(words.length(value, rounding=way)) for way in (ceil, floor))
    assert value <= above < value + step
    assert value - step < below <= value


def test_small_lengths_are_decimals():
    assert Words().fine(2.345) == "2.3 mm"
    assert Words().fine(2.345, digits=2, sign="+") == "+2.35 mm"
    assert Words("in").fine(2.345) == '0.09"'
    assert Words("ft").fine(-2.345, digits=2, sign="+") == '-0.092"'
    assert Words("in").fine(-0.01) == '0.00"'


def test_a_number_is_told_as_typed_or_as_stamped_on_a_part():
    assert Words("in").plain(parse_length("40 1/4", unit="in")) == '40.25"'
    assert Words("in").plain(8.0) == '0.315"'
    assert Words("cm").plain(12.7) == "12.7 mm"


def test_a_place_has_no_unit_in_millimetres():
    assert Words("in").place(np.array([25.4, -25.4, 0.0])) == '1", -1", 0"'
    assert Words("mm").place(np.array([25.4, -25.4, 0.0])) == "25, -25, 0"
