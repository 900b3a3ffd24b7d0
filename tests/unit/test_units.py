from __future__ import annotations

import math
import re
from contextlib import suppress
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy import constants

from cableroute.errors import TapeError
from cableroute.units import (
    GRAVITY,
    MM_PER_UNIT,
    N_PER_KGF,
    N_PER_LBF,
    N_PER_UNIT,
    format_both,
    format_inches,
    format_length,
    parse_angle,
    parse_force,
    parse_length,
)

IN = Fraction("25.4")

INCHES = {
    # feet and inches
    "3' 4 1/2\"": "40.5",
    "3'4 1/2\"": "40.5",
    "3' 4 1/2": "40.5",
    "3 ft 4.5 in": "40.5",
    "3 ft 4.5": "40.5",
    "3 ft 4 1/2 in.": "40.5",
    "3 ft. 4 in.": 40,
    "3 FT 4 IN": 40,
    "3 feet 4 inches": 40,
    "1 foot 1 inch": 13,
    "3.0 ft 4 in": 40,
    "3.5 ft": 42,
    "3-1/2'": 42,
    "3' 11\"": 47,
    "3' 1/2\"": "36.5",
    "5'": 60,
    "5'6": 66,
    # a dash after feet only parts
    "5'-6\"": 66,
    "5'-6": 66,
    "5' - 6\"": 66,
    "5' -6\"": 66,
    "5'-6-1/2\"": "66.5",
    "5 ft.-6 in.": 66,
    "3 ft -4 in": 40,
    # inches alone
    "40 1/4 in": "40.25",
    '12-3/8"': "12.375",
    "12 3 / 8 in": "12.375",
    "3/4 in": "0.75",
    "5/4 in": "1.25",
    "0 in": 0,
    ".5 in": "0.5",
    "12.in": 12,
    # vulgar fractions
    '½"': "0.5",
    '12½"': "12.5",
    "12 ½ in": "12.5",
    '12-½"': "12.5",
    "3'½\"": "36.5",
    "5⅝in": "5.625",
    "1⁄2 in": "0.5",
    "3∕4 in": "0.75",
    # signs belong to the whole
    '-2 1/4"': "-2.25",
    '-2-1/4"': "-2.25",
    "- 2 in": -2,
    "-3' 4\"": -40,
    "-3'-4\"": -40,
    "+3 in": 3,
    # typographic marks
    "3’ 4”": 40,
    "3‘ 4“": 40,
    "3′ 4″": 40,
    "3' 4''": 40,
    "3′ 4′′": 40,
    "5′–6″": 66,
    "5'—6\"": 66,
    "−2 in": -2,
    "–2 in": -2,
    "12‑3/8 in": "12.375",
    "3\u00a0ft\u20094\u202fin": 40,
    "\ufeff3 in\u200b": 3,
    "\t 3 in \n": 3,
    # decimal comma
    "4,5 in": "4.5",
    "3 ft 4,25 in": "40.25",
}

MILLIMETRES = {
    "1205": 1205,
    "12.50": "12.5",
    ".5": "0.5",
    "12.": 12,
    "1e3": 1000,
    "1E3 mm": 1000,
    "2.5e-1": "0.25",
    "-0": 0,
    "1200 mm": 1200,
    "120cm": 1200,
    "1.2 m": 1200,
    "1.205 mm": "1.205",
    "1m20": 1200,
    "1m05": 1050,
    "1m205": 1205,
    "1 m 20": 1200,
    "-1m20": -1200,
    "1 m 20 cm": 1200,
    "1m5cm": 1050,
    "1 m 20 cm 5 mm": 1205,
    "1 m 5 mm": 1005,
    "3 1/2 cm": 35,
    "½ m": 500,
    "1 millimetre": 1,
    "2 millimetres": 2,
    "1 millimeter": 1,
    "2 Millimeters": 2,
    "1 centimetre": 10,
    "2 centimetres": 20,
    "1 centimeter": 10,
    "2 centimeters": 20,
    "1 metre": 1000,
    "2 metres": 2000,
    "1 meter": 1000,
    "2 METERS": 2000,
    "5 MM": 5,
    "40,5 mm": "40.5",
    "40,25": "40.25",
    "1,2055 m": "1205.5",
    "0,205 m": 205,  # no thousands begin with 0
    "1205,300 mm": "1205.3",  # nor with four digits
}

# text -> what the refusal must say
REFUSED = {
    "1,205 mm": "type `1205 mm` or `1.205 mm`",
    "-1,205": "type `-1205` or `-1.205`",
    "1,205,300 mm": "a comma is read only",
    "1,205.5 mm": "a comma is read only",
    "1.205,5 mm": "a comma is read only",
    "3 ft, 4 in": "a comma is read only",
    ",5": "a comma is read only",
    "1m5": "type `1m05` or `1m50`",
    "-1 m 5": "type `-1 m 05` or `-1 m 50`",
    "1m2000": "`2000` has no unit",
    "1m20.5": "`20.5` has no unit",
    "1m-05": "range or a subtraction",
    "1m-5": "range or a subtraction",
    "1 m - 20 cm": "range or a subtraction",
    "1.5m20": "`1.5` m is not whole",
    "1cm20": "`20` has no unit",
    "4 ft 5 ft": "ft stands twice; type `4 ft` or `5 ft`",
    '4 in 5"': "in stands twice",
    "6 in 2 ft": "type `2 ft 6 in`",
    "20 cm 1 m": "type `1 m 20 cm`",
    "1/0 in": "divides by zero",
    "3/0": "divides by zero",
    "1 3/0 in": "divides by zero",
    "": "there is no number",
    " \u00a0\n": "there is no number",
    "-": "there is no number",
    "nan": "not finite",
    "NaN": "not finite",
    "inf": "not finite",
    "-Infinity": "not finite",
    '5 - 6"': "range or a subtraction",
    '5-6"': "range or a subtraction",
    '5" - 6"': "range or a subtraction",
    "12 - 3/8 in": "range or a subtraction",
    "40 -1/4 in": "range or a subtraction",
    "5 to 6 in": "`to` is not a known unit",
    "3 ft 20 cm": "mixes ft and cm",
    "1 m 4 in": "mixes m and in",
    "1 3/4 1/2 in": "`1 3/4` has no unit",
    "½½ in": "`1/2` has no unit",
    "½3 in": "`1/2` has no unit",
    "1 205 mm": "no space inside a number",
    "1\u202f205 mm": "no space inside a number",
    "1.205.300": "has no unit",
    "1.5 1/2 in": "has no unit",
    "1'205": "feet or for thousands; type `1205`",
    "1'050": "feet or for thousands",
    "1'205.5": "feet or for thousands",
    "1 5/4 in": "type `2 1/4 in`",
    "2' 11 9/8\"": "type `3' 0 1/8\"`",
    "-2' 11 8/8\"": "type `-3' 0\"`",
    "2' 23 9/8": "type `4' 0 1/8`",
    "2' 3 9/8": "type `2' 4 1/8`",
    "5' 111/2\"": "type `5' 11 1/2\"`, or a decimal",
    "11/2 in": "type `1 1/2 in`, or a decimal",
    "5' 111/16": "a space may be missing",
    "10'.5": "type `10.5 ft`",
    "10' .5": "type `10.5 ft`",
    "1m 205cm": "205 cm is not below 1 m; type `305 cm`",
    "2'99": "99 in is not below 1 ft; type `123 in`",
    "3 ft 13 in": "type `49 in`",
    "-3 ft 13 in": "type `-49 in`",
    "3' 12\"": "12 in is not below 1 ft",
    "5 cm 12 mm": "12 mm is not below 1 cm",
    "12_5": "should stand at `_5`",
    "１２": "should stand at",
    "3 1/2 ft 2 in": "`3 1/2` ft is not whole",
    "3 yd": "`yd` is not a known unit; type one of mm, cm, m, in, ft",
    "3 ft.5 in": "should stand at `.5 in`",
    "1m.50": "should stand at `.50`",
    "in 5": "should stand at `in 5`",
    "3 mm $": "should stand at `$`",
    "1.5/2 in": "should stand at `/2 in`",
    "1/2/3 in": "should stand at `/3 in`",
    "3'''": "should stand at `'`",
    "5²": "`²` is not a known unit",
    "٣": "should stand at",
    "--3": "two signs; type `-3`",
    "+-3 mm": "two signs; type `-3 mm`",
    "1e999999999": "exponent is out of range",
    "1e-999999999 in": "exponent is out of range",
    "1" * 201: "it has 201 characters",
    "40 1/4": "type `40 1/4 in`",
    "12-3/8": "type `12-3/8 in`",
    "12½": "type `12 1/2 in`",
    "-3/4": "type `-3/4 in`",
}


def refusal(call, *args, **kwargs):
    with pytest.raises(TapeError) as caught:
        call(*args, **kwargs)
    return str(caught.value)


@pytest.mark.parametrize("mark", ["'", " ft ", " ft-"])
@pytest.mark.parametrize("feet", [0, 2, 11])
@pytest.mark.parametrize("inches", [1, 10, 11, 12, 23])
@pytest.mark.parametrize("fraction", ["8/8", "9/8", "24/8"])
def test_what_to_type_for_a_fraction_above_one_can_be_read_and_is_as_long(
    feet, mark, inches, fraction
):
    told = refusal(parse_length, f"{feet}{mark}{inches} {fraction} in")
    instead = told.split("type `")[1].removesuffix("` if that is meant")
    assert parse_length(instead) == float(IN * (12 * feet + inches + Fraction(fraction)))


@pytest.mark.parametrize(("text", "inches"), INCHES.items())
@pytest.mark.parametrize("unit", MM_PER_UNIT)
def test_marked_inches_read_the_same_in_every_unit(text, inches, unit):
    assert parse_length(text, unit=unit) == float(Fraction(inches) * IN)


@pytest.mark.parametrize(("text", "mm"), MILLIMETRES.items())
def test_metric_forms(text, mm):
    assert parse_length(text) == float(Fraction(mm))


@pytest.mark.parametrize(("unit", "mm"), [("mm", 1), ("cm", 10), ("m", 1000), ("in", 25.4)])
def test_a_bare_number_is_in_the_unit_given(unit, mm):
    assert parse_length(2, unit=unit) == parse_length("2", unit=unit) == 2 * mm


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [
        ("40 1/4", "in", 1022.35),
        ("12-3/8", "in", 314.325),
        ("½", "in", 12.7),
        ("1 1/2", "ft", 457.2),
    ],
)
def test_a_bare_fraction_is_read_in_inches_and_feet(text, unit, mm):
    assert parse_length(text, unit=unit) == mm


@pytest.mark.parametrize("unit", ["mm", "cm", "m"])
def test_a_bare_fraction_is_refused_in_a_metric_unit(unit):
    assert f"type `40 1/4 in` or `40 1/4 {unit}`" in refusal(parse_length, "40 1/4", unit=unit)


@pytest.mark.parametrize(("text", "said"), REFUSED.items())
def test_refusals_say_what_was_got_and_what_to_type(text, said):
    message = refusal(parse_length, text)
    assert message.startswith("cannot read `")
    assert said in message
    assert "; type " in message


@pytest.mark.parametrize("text", REFUSED)
def test_what_a_refusal_offers_can_be_read(text):
    offered = refusal(parse_length, text).rpartition("; type ")[2]
    for instead in re.findall("`([^`]+)`", offered):
        assert math.isfinite(parse_length(instead))


@pytest.mark.parametrize("text", ['5 - 6"', "5-6", "40 -1/4", "3 4"])
@pytest.mark.parametrize("unit", ["in", "ft"])
def test_a_first_bare_number_takes_no_unit_when_others_follow(text, unit):
    refusal(parse_length, text, unit=unit)


@pytest.mark.parametrize(
    ("value", "mm"),
    [
        (3, 3.0),
        (2.5, 2.5),
        (-0.0, 0.0),
        (1e-320, 1e-320),
        (Decimal("40.25"), 40.25),
        (np.float64(1.5), 1.5),
        (np.float32(0.5), 0.5),
        (np.int64(7), 7.0),
    ],
)
def test_numbers(value, mm):
    length = parse_length(value)
    assert type(length) is float
    assert length == mm


@pytest.mark.parametrize(
    "value",
    [
        *(None, True, [1], {"a": 1}, b"3 mm", 1j, object(), np.True_, np.array([1.0, 2.0])),
        *(math.nan, math.inf, -math.inf, np.nan, 1e300, 10**250, 10**6000),
        *map(Decimal, ("NaN", "sNaN", "-Infinity", "1e999999999", "1e-999999999")),
    ],
    ids=lambda value: type(value).__name__,
)
@pytest.mark.parametrize("parse", [parse_length, parse_force, parse_angle])
def test_other_values_are_refused_with_a_tape_error(parse, value):
    assert len(refusal(parse, value)) < 400


def test_the_type_of_a_refused_value_is_named():
    assert refusal(parse_length, True).endswith("got True (bool)")
    assert refusal(parse_force, None).endswith("got None (NoneType)")


def test_a_number_and_its_text_agree():
    assert parse_length(40.1, unit="in") == parse_length("40.1 in") == 1018.54


@pytest.mark.parametrize("text", ["x" * 100_000, "1 " * 90, "y" * 150, "\x1b[31m red"])
def test_a_refusal_is_short_and_printable(text):
    message = refusal(parse_length, text)
    assert len(message) < 400
    assert message.isprintable()


@pytest.mark.parametrize("call", [parse_length, format_length])
def test_an_unknown_unit_argument_is_refused(call):
    assert "one of mm, cm, m, in, ft; got 'yd'" in refusal(call, 1.0, unit="yd")


@pytest.mark.parametrize(
    ("value", "newtons"),
    [
        (120, 120.0),
        ("120", 120.0),
        ("120 N", 120.0),
        ("120 newtons", 120.0),
        ("-5 n", -5.0),
        ("1.2 kN", 1200.0),
        ("40,5 N", 40.5),
        ("27 lbf", 27 * 4.4482216152605),
        ("27 lb", 27 * 4.4482216152605),
        ("27 lbs.", 27 * 4.4482216152605),
        ("27 1/2 lb", 27.5 * 4.4482216152605),
        ("12 kgf", 117.6798),
        ("12 kg", 117.6798),
    ],
)
def test_forces(value, newtons):
    assert parse_force(value) == pytest.approx(newtons, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("5 mm", "type one of N, kN, lbf, kgf"),
        ("1,205 N", "type `1205 N` or `1.205 N`"),
        ("3 N 4 N", "2 numbers"),
        ("80 - 120 N", "2 numbers"),
        ("", "type for instance `120 N`"),
        ("nan", "not finite"),
    ],
)
def test_refused_forces(text, said):
    message = refusal(parse_force, text)
    assert "as a force" in message
    assert said in message


@pytest.mark.parametrize(
    ("value", "degrees"),
    [
        (30, 30),
        ("30", 30),
        ("30 deg", 30),
        ("30°", 30),
        ("30 º", 30),
        ("-30 degrees", -30),
        ("22½°", 22.5),
        ("0.5 rad", math.degrees(0.5)),
        ("0,5 radians", math.degrees(0.5)),
    ],
)
def test_angles(value, degrees):
    assert parse_angle(value) == pytest.approx(math.radians(degrees), rel=1e-15)


@pytest.mark.parametrize("text", ["30' ", "30° 15'", "30 mm", "30 to 40", "", "inf"])
def test_refused_angles(text):
    assert "as an angle" in refusal(parse_angle, text)


def test_factors_agree_with_an_independent_table():
    assert N_PER_LBF == float(N_PER_UNIT["lbf"]) == constants.pound_force
    assert N_PER_KGF == float(N_PER_UNIT["kgf"]) == constants.kilogram_force
    assert constants.g == GRAVITY
    assert N_PER_UNIT["lbf"] == Fraction("0.45359237") * Fraction("9.80665")
    assert float(MM_PER_UNIT["in"]) == constants.inch * 1000
    assert MM_PER_UNIT["ft"] == 12 * MM_PER_UNIT["in"]


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        ("40.5", "3' 4 1/2\""),
        ("0", '0"'),
        ("0.01", '0"'),
        ("-0.01", '0"'),
        ("-2.25", '-2 1/4"'),
        ("11.9375", '11 15/16"'),
        ("11.96", '11 15/16"'),
        ("11.98", "1' 0\""),
        ("-11.98", "-1' 0\""),
        ("35.99", "3' 0\""),
        ("36.5", "3' 0 1/2\""),
        ("0.99", '1"'),
        ("0.0625", '1/16"'),
    ],
)
def test_format_inches(inches, text):
    assert format_inches(float(Fraction(inches) * IN)) == text


@pytest.mark.parametrize(
    ("denominator", "text"), [(1, '3"'), (2, '3"'), (8, '2 7/8"'), (32, '2 27/32"')]
)
def test_format_inches_to_other_fractions(denominator, text):
    assert format_inches(2.85 * 25.4, denominator=denominator) == text


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (1028.7, "mm", "1028.7 mm"),
        (1029.0, "mm", "1029 mm"),
        (1000.0, "mm", "1000 mm"),
        (1028.74, "mm", "1028.7 mm"),
        (-0.04, "mm", "0 mm"),
        (1028.7, "cm", "102.87 cm"),
        (1028.7, "m", "1.0287 m"),
        (1028.7, "in", "3' 4 1/2\""),
        (1028.7, "ft", "3' 4 1/2\""),
    ],
)
def test_format_length(mm, unit, text):
    assert format_length(mm, unit) == text


@pytest.mark.parametrize(
    ("mm", "text"),
    [(1028.7, "1029 mm (3' 4 1/2\")"), (-0.2, '0 mm (0")'), (-57.15, '-57 mm (-2 1/4")')],
)
def test_format_both(mm, text):
    assert format_both(mm) == text


@pytest.mark.parametrize("mm", [math.nan, math.inf, -math.inf])
def test_no_writer_takes_what_is_not_finite(mm):
    for write in (format_inches, format_both, lambda x: format_length(x, "mm")):
        assert "finite" in refusal(write, mm)


def test_a_denominator_below_one_is_refused():
    assert "denominator" in refusal(format_inches, 1.0, denominator=0)


@given(st.floats(-1e6, 1e6))
@settings(max_examples=100)
def test_round_trip_is_within_half_a_tick(mm):
    text = format_inches(mm)
    assert abs(parse_length(text) - mm) <= 25.4 / 32 * (1 + 1e-9)
    assert format_inches(parse_length(text)) == text


@given(st.integers(-(10**6), 10**6))
@settings(max_examples=100)
@example(192)
@example(191)
def test_round_trip_is_exact_on_the_marks_of_the_tape(sixteenths):
    mm = float(Fraction(sixteenths, 16) * IN)
    assert parse_length(format_inches(mm)) == mm


@given(st.floats(-1e6, 1e6), st.sampled_from(["mm", "cm", "m"]))
@settings(max_examples=50)
def test_metric_round_trip_is_within_half_a_tenth(mm, unit):
    assert parse_length(format_length(mm, unit)) == pytest.approx(mm, abs=0.05 * (1 + 1e-6))


TAPE_MARKS = st.text(st.sampled_from("0123459 .,-+/'\"°½⅞’”–eEmftincrad\u00a0$"), max_size=24)
PIECES = st.lists(
    st.sampled_from(
        ["1", "20", "3.5", "1/2", "½", "1e9", ",", "-", " ", "'", '"', "ft", "m", "in."]
    ),
    max_size=9,
).map("".join)


@given(st.one_of(st.text(), TAPE_MARKS, PIECES), st.sampled_from(sorted(MM_PER_UNIT)))
@settings(max_examples=400)
@example("9" * 197 + "e99", "m")
@example("9" * 200, "ft")
@example("1/" + "0" * 150 + "1", "in")
@example("1 " * 100, "in")
@example("," * 200, "mm")
@example("1." * 100, "mm")
@example("\ud800", "mm")
def test_any_text_gives_a_finite_number_or_a_tape_error(text, unit):
    for parse in (lambda t: parse_length(t, unit=unit), parse_force, parse_angle):
        with suppress(TapeError):
            assert math.isfinite(parse(text))


@given(PIECES)
@settings(max_examples=200)
def test_a_leading_minus_negates_whatever_can_be_read(text):
    try:
        length = parse_length(text)
    except TapeError:
        return
    if not text.lstrip().startswith("-"):
        assert parse_length("-" + text) == -length
