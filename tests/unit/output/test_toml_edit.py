from __future__ import annotations

import tomllib
from difflib import ndiff

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.output.toml_edit import Rows
from cableroute.output.toml_ops import Edit, edited

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
    assert Rows(text, ("cable", 0, "points")).with_rows(rows_of(text)) == text


def test_outside_the_points_every_byte_stays():
    rows = rows_of(ARRAY)
    new = (None, {"tape": {"A b": 3, "B": 4.5}, "side": "left"})
    out = Rows(ARRAY, ("cable", 0, "points")).with_rows([rows[0], new, rows[2], new])
    before, _, after = ARRAY.partition("points = [")
    assert out.startswith(before + "points = [\n")
    assert out.endswith("\n]  # closing" + after.partition("]  # closing")[2])
    assert points_of(out) == [rows[0][1], new[1], rows[2][1], new[1]]


def test_points_keep_their_notation_and_notes():
    rows = rows_of(ARRAY)
    changed = (1, {**rows[1][1], "label": "sill"})
    out = Rows(ARRAY, ("cable", 0, "points")).with_rows([rows[0], changed, rows[2]])
    plain = "  { at = [1.50, 0, 0x10] } ,"
    assert out == ARRAY.replace(plain, '  { at = [1.50, 0, 0x10], label = "sill" } ,')


def test_a_nested_table_takes_a_new_key_behind_its_brace():
    text = "[[cable]]\npoints = [{ tape = { A = 1, B = 2 } }]\n"
    values = {"tape": {"A": 1, "B": 2}, "fix": "clip"}
    out = Rows(text, ("cable", 0, "points")).with_rows([(0, values)])
    assert '{ tape = { A = 1, B = 2 }, fix = "clip" }' in out


def test_notes_above_a_point_removed_stay():
    rows = rows_of(ARRAY)
    out = Rows(ARRAY, ("cable", 0, "points")).with_rows(rows[:2])
    assert "# before third" in out
    assert "# third\n" not in out
    assert "# { on = 3 }, tail" in out


def test_another_cable_is_left_alone():
    text = ARRAY.replace('name = "t"\n', 'name = "t"\npoints = []\n')
    out = Rows(text, ("cable", 1, "points")).with_rows([(None, {"at": [1, 2, 3]})])
    assert out.startswith(text.rpartition("points = []")[0])
    assert out.endswith("\n# last words\n")
    assert points_of(out, 1) == [{"at": [1, 2, 3]}]


VALUES = st.fixed_dictionaries(
    {"at": st.tuples(*[st.sampled_from([0, 1.5, -3, "3' 4 1/2\""])] * 3).map(list)},
    optional={"label": st.text(st.characters(codec="utf-8", exclude_categories=["C"]), max_size=6)},
)


@settings(max_examples=60)
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
    out = Rows(text, ("cable", 0, "points")).with_rows(rows)
    assert points_of(out) == [values for _, values in rows]
    notes = ["# my machine", "# closing", "# next", "# last words", "# second", "# more", "# head"]
    assert all(note in out for note in notes if note in text)
    again = Rows(out, ("cable", 0, "points")).with_rows(
        [(i, row) for i, (_, row) in enumerate(rows)]
    )
    assert again == out


INTERLEAVED = """\
# the tool carrier
title = "carrier"  # as painted on it
unit = "in"

[nodes]  # where axes meet
A = [0, 0, 0]
B = [9.50, 0, 0]  # under the step

# the throttle hangs from the mast
[[cable]]
name = "throttle"  # thin
load = 28  # spring scale
points = [
  { at = [0, 0, 0], label = "hand" },  # sleeve
  # over the step
  { at = [ 40, 0, 0x1 ] }
]
anchors.hand.bulkhead = { diameter = 10, pitch = 1 }  # two nuts

[tubes.rail]  # welded
from = "A"
to = "B"
diameter = 38

# this note is about the throttle's build
[cable.build]
core_od = 1.5  # measured

# shift: ask about the bracket
[[cable]]
name = "shift"
points = [{ at = [0, 0, 0] }, { at = [9, 0, 0] }]

[[keepout]]  # hot
name = "exhaust"
sphere = { at = [1, 2, 3], radius = 5 }

# the end
"""


def changed_lines(old, new):
    """Lines that went and lines that came, but for empty ones."""
    lines = [line for line in ndiff(old.splitlines(), new.splitlines()) if line[0] in "+-"]
    lines = [line for line in lines if line[2:]]
    return ([x[2:] for x in lines if x[0] == "-"], [x[2:] for x in lines if x[0] == "+"])


@pytest.mark.parametrize(
    ("edit", "gone", "new"),
    [
        (
            Edit("set", ("cable", 0, "load"), "6 lbf"),
            ["load = 28  # spring scale"],
            ['load = "6 lbf"  # spring scale'],
        ),
        (
            Edit("set", ("cable", 0, "points", 1, "at", 1), "1 1/2"),
            ["  { at = [ 40, 0, 0x1 ] }"],
            ['  { at = [ 40, "1 1/2", 0x1 ] }'],
        ),
        (
            Edit("set", ("cable", 0, "points", 0, "fix"), "anchor"),
            ['  { at = [0, 0, 0], label = "hand" },  # sleeve'],
            ['  { at = [0, 0, 0], label = "hand", fix = "anchor" },  # sleeve'],
        ),
        (
            Edit("insert", ("cable", 0, "points", 1), {"on": "rail", "along": 3}),
            [],
            ['  { on = "rail", along = 3 },'],
        ),
        (
            Edit("insert", ("cable", 0, "points", 2), {"at": [1, 2, 3]}),
            ["  { at = [ 40, 0, 0x1 ] }"],
            ["  { at = [ 40, 0, 0x1 ] },", "  { at = [1, 2, 3] },"],
        ),
        (
            Edit("delete", ("cable", 0, "points", 0)),
            ['  { at = [0, 0, 0], label = "hand" },  # sleeve'],
            [],
        ),
        (Edit("set", ("cable", 0, "travel"), 40), [], ["travel = 40"]),
        (
            Edit("set", ("cable", 0, "anchors", "far", "clamp"), {"bolts": 2}),
            [],
            ["anchors.far.clamp = { bolts = 2 }"],
        ),
        (
            Edit("set", ("cable", 0, "anchors", "hand", "bulkhead", "pitch"), 1.25),
            ["anchors.hand.bulkhead = { diameter = 10, pitch = 1 }  # two nuts"],
            ["anchors.hand.bulkhead = { diameter = 10, pitch = 1.25 }  # two nuts"],
        ),
        (
            Edit("set", ("cable", 0, "build", "core_od"), 2),
            ["core_od = 1.5  # measured"],
            ["core_od = 2  # measured"],
        ),
        (
            Edit("set", ("cable", 1, "family"), "push-slick-medium"),
            [],
            ['family = "push-slick-medium"'],
        ),
        (Edit("set", ("tape_tolerance",), 2), [], ["tape_tolerance = 2"]),
        (Edit("set", ("nodes", "C d"), [1, 2, 3]), [], ['"C d" = [1, 2, 3]']),
        (
            Edit("set", ("tubes", "post"), {"from": "A", "to": "B", "diameter": 20}),
            [],
            ["[tubes.post]", 'from = "A"', 'to = "B"', "diameter = 20"],
        ),
        (
            Edit("delete", ("tubes", "rail")),
            ["[tubes.rail]  # welded", 'from = "A"', 'to = "B"', "diameter = 38"],
            [],
        ),
        (Edit("delete", ("cable", 0, "load")), ["load = 28  # spring scale"], []),
        (
            Edit("delete", ("cable", 0, "anchors")),
            ["anchors.hand.bulkhead = { diameter = 10, pitch = 1 }  # two nuts"],
            [],
        ),
        (
            Edit("insert", ("cable", 1), {"name": "brake", "points": [{"at": [0, 0, 0]}]}),
            [],
            ["[[cable]]", 'name = "brake"', "points = [", "  { at = [0, 0, 0] },", "]"],
        ),
        (
            Edit("insert", ("linkage", 0), {"name": "gear", "cable": "shift"}),
            [],
            ["[[linkage]]", 'name = "gear"', 'cable = "shift"'],
        ),
        (
            Edit("delete", ("cable", 1)),
            [
                "# shift: ask about the bracket",
                "[[cable]]",
                'name = "shift"',
                "points = [{ at = [0, 0, 0] }, { at = [9, 0, 0] }]",
            ],
            [],
        ),
        (
            Edit("delete", ("keepout", 0, "sphere", "radius")),
            ["sphere = { at = [1, 2, 3], radius = 5 }"],
            ["sphere = { at = [1, 2, 3] }"],
        ),
    ],
)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_an_edit_changes_its_own_lines_and_no_other(edit, gone, new, line_end):
    text = INTERLEAVED.replace("\n", line_end)
    out = edited(text, [edit])
    assert changed_lines(text, out) == (gone, new)
    assert out.count("\r\n") == (out.count("\n") if line_end == "\r\n" else 0)


def test_a_cable_moves_with_the_notes_above_it_and_the_tables_in_it():
    out = edited(INTERLEAVED, [Edit("move", ("cable", 1), to=0)])
    first, second = (out.index(name) for name in ("# shift: ask", "# the throttle hangs"))
    assert first < out.index('name = "shift"') < second < out.index('name = "throttle"')
    assert second < out.index("# this note is about") < out.index("core_od = 1.5")
    assert sorted(out.splitlines()) == sorted(INTERLEAVED.splitlines())
    assert edited(out, [Edit("move", ("cable", 1), to=0)]).split() != out.split()
    again = tomllib.loads(edited(out, [Edit("move", ("cable", 0), to=1)]))
    assert again == tomllib.loads(INTERLEAVED)


def test_a_point_that_moves_takes_its_notes_along():
    out = edited(ARRAY, [Edit("move", ("cable", 0, "points", 2), to=0)])
    lines = out.splitlines()
    assert lines[lines.index("  # before third") + 1].endswith("# third")
    assert [point["at"][0] for point in points_of(out)] == [2, 0, 1.5]


@pytest.mark.parametrize(
    "edit",
    [
        Edit("set", ("cable", 7, "load"), 3),
        Edit("set", ("title", "x"), 3),
        Edit("set", ("cable", 0, "load"), None),
        Edit("set", ("cable", 0, "load"), float("nan")),
        Edit("set", ("cable", 0, "name"), "half \ud800"),
        Edit("delete", ("cable", 0, "slack")),
        Edit("insert", ("cable", 0, "points", 9), {}),
        Edit("insert", ("cable", 0, "load", 0), 3),
        Edit("move", ("cable", 0, "load", 0), to=0),
        Edit("insert", ("cable", 0), 1e-6),
        Edit("insert", ("cable", 0), "a"),
        Edit("move", ("cable", 0, "points", 0), to=2),
        Edit("move", ("title", 0), to=0),
        Edit("delete", ()),
        Edit("set", (), 3),
    ],
)
def test_an_edit_that_leads_nowhere_is_refused(edit):
    with pytest.raises(CableRouteError):
        edited(INTERLEAVED, [edit])


@pytest.mark.parametrize("value", ["0", '""', "false", "0.0", "{}"])
@pytest.mark.parametrize("op", ["insert", "move"])
def test_what_is_no_list_takes_no_member(value, op):
    with pytest.raises(CableRouteError, match="a: expected the number of a member, got 0"):
        edited(f"a = {value}\n", [Edit(op, ("a", 0), 3)])


NAMES = st.sampled_from(["load", "a b", "é", "x.y", '"', "points", "build"])
PLAIN = st.recursive(
    st.one_of(st.integers(-9, 9), st.floats(-9, 9), st.booleans(), st.text(max_size=5)),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(NAMES, inner, max_size=3)),
    max_leaves=6,
)


@settings(max_examples=150)
@given(st.sampled_from([*TEXTS, INTERLEAVED]), st.data())
def test_any_run_of_edits_reads_back_and_keeps_the_notes_outside(text, data):
    for _ in range(data.draw(st.integers(1, 4))):
        rows = points_of(text)
        cables = len(tomllib.loads(text)["cable"])
        pick = st.integers(0, max(len(rows) - 1, 0))
        edit = data.draw(
            st.one_of(
                st.builds(
                    Edit,
                    st.just("set"),
                    st.tuples(
                        st.just("cable"),
                        st.just(0),
                        NAMES.filter(lambda name: name not in ("points", "build")),
                    ),
                    PLAIN,
                ),
                st.builds(
                    Edit,
                    st.just("insert"),
                    st.tuples(st.just("cable"), st.integers(0, cables)),
                    st.fixed_dictionaries({"name": st.text(max_size=3)}),
                ),
                st.builds(
                    Edit,
                    st.just("insert"),
                    st.tuples(st.just("cable"), st.just(0), st.just("points"), pick),
                    VALUES,
                ),
                st.builds(
                    Edit,
                    st.just("move"),
                    st.tuples(st.just("cable"), st.integers(0, cables - 1)),
                    st.none(),
                    st.integers(0, cables - 1),
                ),
            )
        )
        text = edited(text, [edit])  # holds itself against the plain data
    notes = ["# my machine", "# last words", "# the tool carrier", "# the end", "# hot", "# welded"]
    assert [note for note in notes if note in text] in (notes[:2], notes[2:], [])
