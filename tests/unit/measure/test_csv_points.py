"""Bare lists of points: delimiters, headers, units, and what is refused."""

from __future__ import annotations

import pytest

from cableroute.errors import RouteFileError
from cableroute.measure import csv_points
from cableroute.measure.csv_points import read_points
from cableroute.measure.models import PointEntry

PLAIN = [[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 300.0, 12.5]]


def read(text: str, unit: str | None = None) -> list[dict]:
    (cable,) = read_points(text, source="a.csv", unit=unit).cables
    return cable.points


def at(text: str, unit: str | None = None) -> list[list[float]]:
    return [point["at"] for point in read(text, unit)]


def faults(text: str, unit: str | None = None) -> tuple[str, ...]:
    try:
        return read_points(text, source="a.csv", unit=unit).faults
    except RouteFileError as error:
        return error.faults


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
    assert read_points(text, source="a.csv", unit=unit).unit == shown


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
    (cable,) = read_points(text, source="a.csv", unit=None).cables
    assert [point["at"] for point in cable.points] == PLAIN[:2]
    assert cable.lines == [4, 7]


def test_tape_notation_is_read_where_no_number_stands():
    assert at("3' 4 1/2\",1m20,12 in\n") == [pytest.approx([1028.7, 1200.0, 304.8])]


def test_semicolons_leave_the_comma_as_decimal_mark():
    assert at("x;y;z\n1,5;2,5;-3,25\n") == [[1.5, 2.5, -3.25]]


def test_every_fault_is_told_with_its_line():
    found = faults("x,y,z\n0,q,0\n0,0\n1,2,3,4\n,1,2\n")
    assert len(found) >= 4
    assert found[0].startswith("a.csv:2: y: cannot read `q` as a length")
    assert "a.csv:3: expected x, y and z, got 2 columns" in found
    assert "a.csv:4: expected 3 columns, got 4" in found
    assert any(fault.startswith("a.csv:5: x: ") for fault in found)


@pytest.mark.parametrize("cell", ["nan", "inf", "-inf", "1e999"])
def test_numbers_that_are_not_finite_are_refused(cell):
    assert faults(f"x,y,z\n0,0,{cell}\n")[0].startswith("a.csv:2: z: ")


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ("x,y", "expected a column z, got none; where all is flat, give it with 0 in every row"),
        ("x,y,z,lable", 'unknown column "lable"; the nearest is label'),
        ("a,b,c", 'expected columns x, y and z, or rows of three numbers; got "a", "b", "c"'),
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


def notes(text: str) -> tuple[str, ...]:
    return read_points(text, source="a.csv", unit=None).notes


@pytest.mark.parametrize(
    "head",
    [
        "X,Y,Z",
        "x [mm],y [mm],z [mm]",
        "X (millimetres),Y (mm),Z mm",
        "Position X,Position Y,Position Z",
        "pos_x_mm,pos_y_mm,pos_z_mm",
        "X-Coordinate,Y-Coordinate,Z-Coordinate",
        "point.x,point.y,point.z",
        "PosX,PosY,PosZ",
        "XCoord,YCoord,ZCoord",
        "X.MM,Y.MM,Z.MM",
        "Xmm,Ymm,Zmm",
        '"X, mm","Y, mm","Z, mm"',
        "X: mm,Y: mm,Z: mm",
        "X-Koordinate,Y-Koordinate,Z-Koordinate",
        "Coordonnée X,Coordonnée Y,Coordonnée Z",
    ],
)
def test_headers_are_read_as_other_programs_write_them(head):
    assert at(f"{head}\n0,0,0\n400,0,0\n400,300,12.5\n") == PLAIN


def test_inches_in_a_spelled_out_header():
    assert at("Position X (in),Position Y [inch],Position Z (inches)\n1,2,3\n") == [
        [25.4, 50.8, 76.2]
    ]


def test_an_unknown_unit_in_a_header_is_not_passed_over():
    assert faults("x [furlong],y,z\n1,2,3\n") == (
        'a.csv:1: expected a column x, got none; "x [furlong]" may be one, in a unit other than mm, cm, m, '
        "in, ft",
    )


def test_columns_of_other_programs_are_ignored_and_said_once():
    text = "Count,Layer,Position X,Position Y,Position Z\n1,0,0,0,0\n1,0,400,0,0\n"
    assert at(text) == PLAIN[:2]
    (note,) = notes(text)
    assert note == (
        'read are x from "Position X", y from "Position Y", z from "Position Z"; '
        'the columns "Count", "Layer" are ignored'
    )
    assert notes("x_mm,y_mm,z_mm,label\n0,0,0,a\n") == ()


def test_several_cables_in_one_file_by_their_name():
    text = "cable,x,y,z\nshift,0,0,0\nbrake,5,0,0\nshift,400,0,0\nbrake,9,0,0\n"
    first, second = read_points(text, source="a.csv", unit=None).cables
    assert (first.name, [point["at"][0] for point in first.points]) == ("shift", [0, 400])
    assert (second.name, second.lines) == ("brake", [3, 5])
    assert "a.csv:2: cable: expected the name" in faults("cable,x,y,z\n,0,0,0\n")[0]


def test_blanks_may_part_the_numbers_and_labels_hold_them():
    assert at("0 0   0\n 400\t0 0\n400 300 12.5\n") == PLAIN
    assert at("x y z\n0 0 0\n400 0 0\n400 300 12.5\n") == PLAIN
    assert read("0 0 0 lever bracket\n4 5 6\n")[0]["label"] == "lever bracket"
    assert at("1,5 2,5 3,25\n") == [[1.5, 2.5, 3.25]]


@pytest.mark.parametrize("mark", ["#", "//", "%"])
def test_comments_in_the_common_ways(mark):
    assert at(f"{mark} of Sunday\n0,0,0\n{mark} more\n400,0,0\n") == PLAIN[:2]


def test_one_clear_decimal_comma_settles_those_that_may_mark_thousands():
    text = "x;y;z\n1,205;0;0\n12,5;0;0\n"
    assert at(text) == [[1.205, 0, 0], [12.5, 0, 0]]
    assert notes(text) == ("commas are read as the decimal mark",)
    assert "thousands" in faults("x;y;z\n1,205;0;0\n")[0]


def test_a_spreadsheet_may_name_its_delimiter():
    text = "sep=;\nx;y;z\n0;0;0\n1,5;0;0\n"
    (cable,) = read_points(text, source="a.csv", unit=None).cables
    assert cable.lines == [3, 4]


def test_cells_are_read_by_the_grammar_of_the_tape():
    for cell in ("12_5", "１２", "0x10", "1 2"):
        assert faults(f"x,y,z\n0,0,{cell}\n")[0].startswith("a.csv:2: z: cannot read")


def test_points_along_a_run_bring_no_least_radius():
    (point,) = read("cable,along_mm,x_mm,y_mm,z_mm,radius_mm\nshift,0,1,2,3,60\n")
    assert point == {"at": [1, 2, 3]}


def test_how_a_point_may_move_is_a_column():
    assert read("x,y,z,move\n0,0,0,no\n9,0,0,\n") == [
        {"at": [0, 0, 0], "move": "no"},
        {"at": [9, 0, 0]},
    ]


@pytest.mark.parametrize("head", ["x_in,y,z_cm,label", "label,z,y,x,Layer", None])
@pytest.mark.parametrize("odd", [None, "1' 2\"", "12_5", "nan", "2e9", ""])
def test_a_scan_is_read_by_the_column_as_it_is_by_the_cell(monkeypatch, head, odd):
    count = csv_points.MANY + 3
    rows = [[f"{i}", f"{-i}.5", f"{i}e-1", f"{2 * i}", f"{i}"] for i in range(count)]
    width = len(head.split(",")) if head else 3
    if odd is not None:
        rows[7][1] = odd
    lines = [head] * bool(head) + [",".join(row[:width]) for row in rows]
    told = []
    for many in (1, count + 1):
        monkeypatch.setattr(csv_points, "MANY", many)
        try:
            found = read_points("\n".join(lines), source="a.csv", unit="mm")
        except RouteFileError as error:
            told.append(error.faults)
            continue
        if found.faults:
            told.append(found.faults)
            continue
        (cable,) = found.cables
        context = {"unit": "mm"}
        try:
            points = [
                p if isinstance(p, PointEntry) else PointEntry.model_validate(p, context=context)
                for p in cable.points
            ]
            told.append([(p.at, p.label) for p in points])
        except ValueError:
            told.append("too far")
    assert told[0] == told[1]


def test_a_unit_may_stand_behind_a_stroke():
    assert at("x/cm,y / cm,z/cm\n1,2,3\n") == [[10.0, 20.0, 30.0]]


def test_a_point_among_decimal_commas_may_mark_thousands():
    assert faults("x;y;z\n1.000;0;0\n900,5;0;0\n") == (
        "a.csv:2: x: cannot read `1.000` as a length: where commas are decimal marks, its point "
        "may mark thousands; type `1000` or `1,000`",
    )
    assert at("x;y;z\n1,000;0.5;0\n900,5;0;0\n") == [[1.0, 0.5, 0.0], [900.5, 0.0, 0.0]]


def test_both_ends_of_a_line_in_a_row_are_no_point_with_a_label():
    assert faults("0 0 0 400 0 0\n400 0 0 400 300 0\n") == (
        "a.csv:1: expected 3 numbers and perhaps a label, got 6 numbers; "
        "put each point on a line of its own",
    )
    (cable,) = read_points("0 0 0 7\n400 0 0 post 2\n", source="a.csv", unit=None).cables
    assert [point["label"] for point in cable.points] == ["7", "post 2"]


def test_a_cell_beyond_reason_is_told_as_that():
    (told,) = faults(f"0,0,0,{'z' * 200_000}\n4,0,0,b\n")
    assert told == "a.csv:1: expected cells of at most 131072 letters"


def test_point_numbers_or_names_before_the_coordinates_are_no_coordinates():
    rows = ("0,0,0", "400,0,0", "400,300,12.5")
    numbered = "\n".join(f"{i},{row}" for i, row in enumerate(rows, start=1))
    named = "\n".join(f"P{i},{row},post {i}" for i, row in enumerate(rows, start=1))
    assert at(numbered) == at(named) == at(named.replace(",", " ")) == PLAIN
    assert "as the first counts the points" in notes(numbered)[0]
    assert read(named)[1]["label"] == "post 2"
    assert read("P1 0 0 0\nP2 9 0 0\n")[1]["label"] == "P2"


@pytest.mark.parametrize(
    "text", ["1,0,0,1\n2,0,0,2\n", "1,0,0,5\n4,400,0,5\n", "0 0 0 7\n4 0 0 9\n"]
)
def test_of_four_numbers_in_every_row_it_is_asked_which_are_the_coordinates(text):
    (told,) = faults(text)
    assert told.endswith("; name them in a first line, as number,x,y,z or x,y,z,label")
    assert at("0,0,0,1\n400,0,0,2\n") == PLAIN[:2]  # the last counts: labels


def test_words_may_have_capitals():
    (point,) = read("x,y,z,fix,move,passes\n1,2,3,Anchor,X,THROUGH\n")
    assert point == {"at": [1, 2, 3], "fix": "anchor", "move": "x", "passes": "through"}


def test_a_header_in_a_comment_is_one():
    for text in ("# x_in y_in z_in\n10 0 0\n", "# x_in, y_in, z_in\n10,0,0\n"):
        assert at(text) == [[254.0, 0.0, 0.0]]
        assert "the comment in line 1 names the columns" in notes(text)[0]
    assert at("#,X,Y,Z\n1,0,0,0\n2,400,0,0\n3,400,300,12.5\n") == PLAIN
    assert at("# x, y and z, as taped\n1,2,3\n") == [[1, 2, 3]]


def test_what_stands_above_a_header_is_passed_over():
    text = "Frame survey\nMay;2;left side\n\nx;y;z;;\n0;0;0;;\n400;0;0;;\n;;;;\n"
    assert at(text) == PLAIN[:2]
    assert notes(text) == ("what stands above line 4 is passed over",)


def test_columns_that_are_empty_throughout_are_none():
    assert at("x,y,z,,\n1,2,3,,\n,,,,\n") == at("1,2,3,,,,,\n") == [[1, 2, 3]]
    assert notes("x,y,z,,\n1,2,3,,\n") == ()


@pytest.mark.parametrize("units", ["in,in,in", "(in),(in),(in)", "[in],[inch],[inches]"])
def test_units_may_stand_in_the_row_below_the_header(units):
    assert at(f"X,Y,Z\n{units}\n1,0,0\n", "mm") == [[25.4, 0.0, 0.0]]
    assert "z: cannot read" in faults(f"x,y,z_mm\n{units}\n1,0,0\n")[-1]


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ('x,y,z\n"1,420","1,310.5",0\n', "commas mark thousands"),
        ("x;y;z\n1.420;1.310,5;0\n", "commas are read as the decimal mark; points mark thousands"),
        ("x;y;z\n1 420;1\u202f310,5;0\n", "blanks mark thousands"),
    ],
)
def test_thousands_are_read_where_one_number_shows_what_marks_them(text, note):
    assert at(text) == [[1420.0, 1310.5, 0.0]]
    assert notes(text) == (note,)


def test_numbers_that_contradict_each_other_settle_nothing():
    assert "thousands" in faults('x,y,z\n"1,420","1,310.5","12,5"\n')[0]


def test_what_a_spreadsheet_could_not_work_out_is_no_comment():
    assert len(faults("x,y,z\n0,0,0\n#REF!,0,0\n#N/A,#DIV/0!,0\n# 1,2,3\n4,5,6\n")) == 3


@pytest.mark.parametrize(
    "text",
    [
        "Start X,Start Y,Start Z,End X,End Y,End Z\n0,0,0,4,0,0\n",
        "Center X,Start X,Start Y,Start Z,End X,End Y,End Z\n,0,0,0,4,0,0\n",
        "x1,y1,z1,x2,y2,z2\n0,0,0,4,0,0\n",
    ],
)
def test_both_ends_of_a_piece_in_a_row_are_no_point(text):
    assert faults(text) == (
        "a.csv:1: expected one point in each row, got both ends of a piece; give the drawing itself, "
        "or list its points in order as x, y, z",
    )
    assert "got 6 numbers" in faults("0,0,0,400,0,0\n400,0,0,400,300,0\n")[0]


def test_of_several_labels_the_one_called_so_is_taken():
    text = "Name,Label,Description,x,y,z\na,b,c,0,0,0\n"
    assert read(text)[0]["label"] == "b"
    assert '"Name", "Description" are ignored' in notes(text)[0]
    assert "stands twice" in faults("x,y,z,label,label\n0,0,0,a,b\n")[0]


def test_a_column_may_say_that_it_names_the_cable():
    found = read_points("Cable Name,x,y,z\na,0,0,0\nb,1,0,0\n", source="a.csv", unit=None)
    assert [cable.name for cable in found.cables] == ["a", "b"]


def test_doubtful_columns_are_told_with_the_rows():
    found = faults("x,y,z,lable,raduis\n0,q,0,a,\n")
    assert [fault.split(":")[1] for fault in found] == ["1", "1", "2"]


@pytest.mark.parametrize(
    "text",
    [
        "(0, 0, 0)\n(400, 0, 0)\n(400, 300, 12.5)\n",
        "[[0; 0; 0],\n[400; 0; 0],\n[400; 300; 12.5]]\n",
        "{0 0 0}\n{400 0 0}\n{400 300 12.5}\n",
        "  at point  X = 0.0  Y = 0.0  Z = 0.0\nX=400, Y=0, Z=0\nx=400 y=300 z=12.5\n",
        "1. 0 0 0\n2. 400 0 0\n3. 400 300 12.5\n",
        "1: 0, 0, 0\n2: 400, 0, 0\n3: 400, 300, 12.5\n",
        "lever 0, 0, 0\nsill 2 400, 0, 0\nx 400, 300, 12.5\n",
        "0mm 0mm 0mm\n400mm 0mm 0mm\n400mm 300mm 12.5mm\n",
    ],
)
def test_points_as_they_are_pasted(text):
    assert at(text) == PLAIN


def test_labels_are_what_tells_points_apart():
    text = "Count,Name,Position X,Position Y,Position Z\n1,Point,0,0,0\n1,Point,400,0,0\n"
    assert [point.get("label") for point in read(text)] == [None, None]
    assert '"Count", "Name" are ignored' in notes(text)[0]
    text = "Point,X,Y,Z\nP1,0,0,0\nP2,400,0,0\n"
    assert [point["label"] for point in read(text)] == ["P1", "P2"]
    assert 'label from "Point"' in notes(text)[0]
    assert read("Point,X,Y,Z\n1,0,0,0\n2,400,0,0\n")[0] == {"at": [0, 0, 0]}
