"""Spring-scale readings as CSV: separators, units, labels, and what is refused."""

from __future__ import annotations

import math

import pytest

from cableroute.errors import RouteFileError
from cableroute.measure.readings import read_readings


def read(text, **more):
    return read_readings(text, source="r.csv", **more)


def faults(text, **more):
    with pytest.raises(RouteFileError) as caught:
        read(text, **more)
    return caught.value.faults


@pytest.mark.parametrize("mark", [",", ";", "\t", " ; "])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_separators_and_line_ends(mark, end):
    rows = [["wrap_deg", "load_n", "hand_n", "label"], ["180", "50", "70.5", "a"], ["90", "0", "4"]]
    found = read(end.join(mark.join(row) for row in rows))
    assert found.wrap.tolist() == pytest.approx([math.pi, math.pi / 2])
    assert found.load.tolist() == [50.0, 0.0]
    assert found.hand.tolist() == [70.5, 4.0]
    assert found.labels == ("a", "line 3")


def test_columns_in_any_order_and_case_and_notes():
    found = read("# bench\nHand N,WRAP_DEG,Load_N\n\n70,180,50\n# more\n")
    assert (found.hand[0], found.load[0], found.labels) == (70.0, 50.0, ("line 4",))


def test_a_cell_may_name_its_unit():
    found = read("wrap_deg,load_n,hand_n\n1 rad,10 kg,22.5 lbf\n")
    assert found.wrap[0] == pytest.approx(1.0)
    assert found.load[0] == pytest.approx(98.0665)
    assert found.hand[0] == pytest.approx(100.085, abs=1e-3)


def test_a_route_fills_in_the_wrap_where_the_file_has_none():
    assert read("load_n,hand_n\n50,70\n20,30\n", route_wrap=2.0).wrap.tolist() == [2.0, 2.0]
    mixed = read("wrap_deg,load_n,hand_n\n180,50,70\n,20,30\n", route_wrap=2.0)
    assert mixed.wrap.tolist() == pytest.approx([math.pi, 2.0])


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", ["r.csv:1: expected a column load_n", "r.csv:1: expected a column hand_n"]),
        ("90,50,57\n", ["column load_n", "column hand_n", '"90"', '"50"', '"57"']),
        ("wrap_deg,load_n,hand_n,hand_n\n1,2,3,4\n", ["hand_n stands twice"]),
        ("wrap_deg,load_n,hand_n,mass\n1,2,3,4\n", ['unknown column "mass"']),
        ("load_n,hand_n\n50,70\n", ["r.csv:2: wrap_deg: expected an angle here, or the route"]),
        ("wrap_deg,load_n,hand_n\n90,50\n90,x,3\n", ["r.csv:2: hand_n", "r.csv:3: load_n"]),
        ("wrap_deg,load_n,hand_n\n-90,50,-3\n", ["r.csv:2: wrap_deg: ", "r.csv:2: hand_n: "]),
        ("wrap_deg,load_n,hand_n\n90,50,60,a,b\n", ["expected 3 columns, got 5"]),
        ("wrap_deg,load_n,hand_n\n90,nan,60\n90,50,inf\n", [":2: load_n", ":3: hand_n"]),
        ('wrap_deg,load_n,hand_n\n90,50,"60\n', ["quotation mark"]),
    ],
)
def test_every_fault_is_told_with_its_line(text, told):
    found = faults(text)
    assert len(found) == len(told)
    for fault, part in zip(found, told, strict=True):
        assert part in fault


def test_headers_may_be_spelled_out_and_columns_empty_at_the_right():
    text = "Wrap (deg);Load [N];Hand N;;\n90;50;70,5;;\n"
    assert read_readings(text, source="r.csv").hand.tolist() == [70.5]
