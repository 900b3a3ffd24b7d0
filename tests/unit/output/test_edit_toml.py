from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.output.edit_toml import PointsText, cable_text, starter_text

ARRAY = """# my machine
title = "x"   # two spaces kept
unit = 'mm'

[[cable]]
name = "s" # n
points = [
  # head
  { at = [0, 0, 0], label = "a, [b" }, # first, [x
  { at = [1.50, 0, 0x10] } ,
  # before third
  { at = [2, "3' 4\\"", 0] } # third
  # { on = 3 }, tail
]  # closing
load = 3 # end
[cable.build]
x = 1
# next
[[cable]]
name = "t"

# last words
"""
TABLES = """[[cable]]
name="a"
[[cable.points]]
at=[1,2,3] # x

[[cable.points]]
tape={A=1, B=2}

# before third
[[cable.points]]
at=[7,5,6] # y

# second
[[cable]]
name="b"
points=[]
"""
ONE_LINE = 'cable = [{name = "x", points = [{at = [1, 2, 3]}, {at = [4, 2, 3]}]}]  # e\n'
NONE = '[[cable]]\nname = "x"\n[cable.build]\nq = 1\n# more\n[[cable]]\nname = "y"\n'
TEXTS = [ARRAY, ARRAY.replace("] } # third", "] }, # third"), TABLES, ONE_LINE, NONE]


def points_of(text, cable=0):
    return tomllib.loads(text)["cable"][cable].get("points", [])


def rows_of(text):
    return list(enumerate(points_of(text)))


@pytest.mark.parametrize("text", TEXTS)
def test_nothing_changed_is_the_very_text(text):
    assert PointsText(text, cable=0).with_points(rows_of(text)) == text


def test_outside_the_points_every_byte_stays():
    rows = rows_of(ARRAY)
    new = (None, {"tape": {"A b": 3, "B": 4.5}, "side": "left"})
    out = PointsText(ARRAY, cable=0).with_points([rows[0], new, rows[2], new])
    before, _, after = ARRAY.partition("points = [")
    assert out.startswith(before + "points = [\n")
    assert out.endswith("\n]  # closing" + after.partition("]  # closing")[2])
    assert points_of(out) == [rows[0][1], new[1], rows[2][1], new[1]]


def test_points_keep_their_notation_and_notes():
    rows = rows_of(ARRAY)
    changed = (1, {**rows[1][1], "label": "sill"})
    out = PointsText(ARRAY, cable=0).with_points([rows[0], changed, rows[2]])
    plain = "  { at = [1.50, 0, 0x10] } ,"
    assert out == ARRAY.replace(plain, '  { at = [1.50, 0, 0x10], label = "sill" } ,').replace(
        "] } # third", "] }, # third"
    )


def test_a_nested_table_takes_a_new_key_behind_its_brace():
    text = "[[cable]]\npoints = [{ tape = { A = 1, B = 2 } }]\n"
    values = {"tape": {"A": 1, "B": 2}, "fix": "clip"}
    out = PointsText(text, cable=0).with_points([(0, values)])
    assert '{ tape = { A = 1, B = 2 }, fix = "clip" }' in out


def test_notes_above_a_point_removed_stay():
    rows = rows_of(ARRAY)
    out = PointsText(ARRAY, cable=0).with_points(rows[:2])
    assert "# before third" in out
    assert "# third\n" not in out
    assert "# { on = 3 }, tail" in out


def test_another_cable_is_left_alone():
    text = ARRAY.replace('name = "t"\n', 'name = "t"\npoints = []\n')
    out = PointsText(text, cable=1).with_points([(None, {"at": [1, 2, 3]})])
    assert out.startswith(text.rpartition("points = []")[0])
    assert out.endswith("\n# last words\n")
    assert points_of(out, 1) == [{"at": [1, 2, 3]}]


def test_a_new_file_and_a_new_cable():
    text = starter_text(title='a "b"', unit="in", cable="shift", bend_radius="60 mm", note="guess")
    text += cable_text(cable="clutch", bend_radius="3 in")
    data = tomllib.loads(text)
    assert (data["title"], data["unit"]) == ('a "b"', "in")
    assert [cable["name"] for cable in data["cable"]] == ["shift", "clutch"]
    assert "# guess" in text
    assert points_of(PointsText(text, cable=1).with_points([(None, {"at": [1, 2, 3]})]), 1)


VALUES = st.fixed_dictionaries(
    {"at": st.tuples(*[st.sampled_from([0, 1.5, -3, "3' 4 1/2\""])] * 3).map(list)},
    optional={"label": st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=6)},
)


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(TEXTS), st.data())
def test_any_change_is_read_back_and_loses_no_outer_note(text, data):
    rows = rows_of(text)
    for _ in range(data.draw(st.integers(1, 5))):
        at = data.draw(st.integers(0, len(rows)))
        what = data.draw(st.sampled_from(["insert", "delete", "label", "bare"]))
        if what == "insert" or at == len(rows):
            rows.insert(at, (None, data.draw(VALUES)))
        elif what == "delete":
            del rows[at]
        elif what == "label":
            rows[at] = (rows[at][0], {**rows[at][1], "label": "new", "fix": "clip"})
        else:
            rows[at] = (rows[at][0], {"at": [9, 9, 9]})
    out = PointsText(text, cable=0).with_points(rows)
    assert points_of(out) == [values for _, values in rows]
    notes = ["# my machine", "# closing", "# next", "# last words", "# second", "# more", "# head"]
    assert all(note in out for note in notes if note in text)
    again = PointsText(out, cable=0).with_points([(i, row) for i, (_, row) in enumerate(rows)])
    assert again == out
