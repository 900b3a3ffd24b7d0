"""Bare lists of points: delimiters, headers, units, and what is refused."""

from __future__ import annotations

import pytest

from cableroute.errors import RouteFileError
from cableroute.measure.csv_points import read_points

PLAIN = [[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 300.0, 12.5]]


def read(text: str, unit: str | None = None) -> list[dict]:
    return read_points(text, source="a.csv", unit=unit)[0]


def at(text: str, unit: str | None = None) -> list[list[float]]:
    return [point["at"] for point in read(text, unit)]


def faults(text: str, unit: str | None = None) -> tuple[str, ...]:
    with pytest.raises(RouteFileError) as caught:
        read(text, unit)
    return caught.value.faults


@pytest.mark.parametrize("mark", [",", ";", "\t", ", ", " ;"])
@pytest.mark.parametrize("header", [True, False])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_delimiters_headers_and_line_ends(mark, header, end):
    rows = [["x", "y", "z"]] if header else []
    rows += [["0", "0", "0"], ["400", "0", "0"], ["400", "300", "12.5"]]
    assert at(end.join(mark.join(row) for row in rows)) == PLAIN


@pytest.mark.parametrize("head", ["x_in,y_in,z_in", "x (in),y (in),z (in)", "X [in],Y[in],Z in"])
def test_a_header_may_name_the_unit(head):
    assert at(f"{head}\n10,0,0\n") == [[254.0, 0.0, 0.0]]


def test_units_of_columns_may_differ_and_beat_the_one_given():
    assert at("x_mm,y_cm,z\n10,10,10\n", "in") == [[10.0, 100.0, 254.0]]


@pytest.mark.parametrize(
    ("text", "unit", "shown"),
    [
        ("x,y,z\n0,0,0\n", None, None),
        ("0,0,0\n", None, None),
        ("x_mm,y_mm,z_mm\n0,0,0\n", None, "mm"),
        ("x_in,y_in,z_in\n0,0,0\n", None, "in"),
        ("x_mm,y,z_mm\n0,0,0\n", None, None),
        ("x,y,z\n0,0,0\n", "cm", "cm"),
    ],
)
def test_it_tells_the_unit_or_that_it_was_guessed(text, unit, shown):
    assert read_points(text, source="a.csv", unit=unit)[2] == shown


def test_columns_may_stand_in_any_order():
    text = "label,z,y,x,fix,radius_cm\nsill,3,2,1,clip,5\n,6,5,4,,\n"
    first, second = read(text)
    assert first == {"at": [1.0, 2.0, 3.0], "label": "sill", "fix": "clip", "radius": 50.0}
    assert second == {"at": [4.0, 5.0, 6.0]}


def test_without_a_header_label_radius_and_fix_follow():
    (point,) = read("1,2,3,sill,80,clip\n")
    assert point == {"at": [1.0, 2.0, 3.0], "label": "sill", "radius": 80.0, "fix": "clip"}


def test_a_label_that_is_a_column_s_name_makes_no_header():
    assert at("1,2,3,fix\n4,5,6,label\n") == [[1, 2, 3], [4, 5, 6]]


def test_a_quoted_label_may_hold_the_delimiter_and_others():
    first, second = read('0,0,0,"sill, left"\n9,0,0,"a;b ""c"""\n')
    assert first["label"] == "sill, left"
    assert second["label"] == 'a;b "c"'
    assert read('0,0,0,"a;b"\n9,0,0,c\n')[0]["label"] == "a;b"


def test_comments_and_blank_lines_count_as_lines():
    text = "# from the tape\n\nx,y,z\n0,0,0\n  # corner next\n,,\n400,0,0\n"
    points, lines, _ = read_points(text, source="a.csv", unit=None)
    assert [point["at"] for point in points] == PLAIN[:2]
    assert lines == [4, 7]


def test_tape_notation_is_read_where_no_number_stands():
    assert at("3' 4 1/2\",1m20,12 in\n") == [pytest.approx([1028.7, 1200.0, 304.8])]


def test_semicolons_leave_the_comma_as_decimal_mark():
    assert at("x;y;z\n1,5;2,5;-3,25\n") == [[1.5, 2.5, -3.25]]


def test_every_fault_is_told_with_its_line():
    found = faults("x,y,z\n0,q,0\n0,0\n1,2,3,4\n,1,2\n")
    assert len(found) >= 4
    assert found[0].startswith("a.csv:2: y: cannot read `q` as a length")
    assert "a.csv:3: expected x, y and z, got 2 column" in found
    assert "a.csv:4: expected 3 columns, got 4" in found
    assert any(fault.startswith("a.csv:5: x: ") for fault in found)


@pytest.mark.parametrize("cell", ["nan", "inf", "-inf", "1e999"])
def test_numbers_that_are_not_finite_are_refused(cell):
    assert faults(f"x,y,z\n0,0,{cell}\n")[0].startswith("a.csv:2: z: ")


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ("x,y", "expected a column z, got none"),
        ("x,y,z,colour", "unknown column 'colour'; known: x, y, z, radius, label, fix"),
        ("x,y,z,x", "column x stands twice"),
    ],
)
def test_a_header_that_cannot_be_told_is_refused(head, words):
    assert f"a.csv:1: {words}" in faults(f"{head}\n1,2,3,4\n")


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n"])
def test_an_empty_list_is_refused(text):
    assert "empty" in faults(text)[0]


@pytest.mark.parametrize("row", ['0,0,0,"open', '0,0,0,"closed" too soon'])
def test_a_quotation_mark_out_of_place_names_its_line(row):
    assert faults(f"x,y,z,label\n1,2,3,a\n{row}\n4,5,6,b\n")[0].startswith("a.csv:3: ")
