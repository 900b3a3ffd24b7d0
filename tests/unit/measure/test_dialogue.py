from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.measure.dialogue import Dialogue
from cableroute.measure.positions import Frame
from cableroute.measure.tubes import Tube

NODES = {
    "A": np.zeros(3),
    "B": np.array([1000.0, 0.0, 0.0]),
    "front cross": np.array([0.0, 800.0, 0.0]),
}
FRAME = Frame(NODES, {"rail": Tube("rail", [0, 0, 0], [1000, 0, 0], 38)}, 1.5)


def typed(*lines, **options):
    dialogue = Dialogue(FRAME, **options)
    for line in lines:
        dialogue.apply(line)
    return dialogue


def written(dialogue):
    return [dict(spot.written) for spot in dialogue.points]


@pytest.mark.parametrize(
    ("line", "at", "mm"),
    [
        ("100 -20 350.5", [100, -20, 350.5], [100, -20, 350.5]),
        ("100, -20, 350", [100, -20, 350], [100, -20, 350]),
        ("1,5 2 3", [1.5, 2, 3], [1.5, 2, 3]),
        ("3' 4 1/2\"; 0; 12 in", ["3' 4 1/2\"", 0, "12 in"], [1028.7, 0, 304.8]),
        ("1m20, 5 cm, 7", ["1m20", "5 cm", 7], [1200, 50, 7]),
    ],
)
def test_three_lengths_on_one_line(line, at, mm):
    dialogue = typed(line)
    assert written(dialogue) == [{"at": at}]
    np.testing.assert_allclose(dialogue.points[0].position, mm, rtol=1e-12)


def test_one_length_is_x_and_y_and_z_are_asked_for():
    dialogue = Dialogue(FRAME)
    prompts = [dialogue.prompt]
    for line in ("3' 4", "7", "back", "8", "9"):
        dialogue.apply(line)
        prompts.append(dialogue.prompt)
    ask = ["point 1> ", "point 1, y> ", "point 1, z> ", "point 1, y> ", "point 1, z> ", "point 2> "]
    assert prompts == ask
    assert written(dialogue) == [{"at": ["3' 4", 8, 9]}]


def test_numbers_typed_in_another_unit_than_the_file_s_carry_it():
    dialogue = typed("40; 0; 12 1/2", "1' 2; 0; 300 mm", unit="in", file_unit="mm")
    assert written(dialogue) == [{"at": ["40 in", 0, "12 1/2 in"]}, {"at": ["1' 2", 0, "300 mm"]}]
    np.testing.assert_allclose(dialogue.points[0].position, [1016, 0, 317.5])
    np.testing.assert_allclose(dialogue.points[1].position, [355.6, 0, 300])


@pytest.mark.parametrize(
    ("line", "clock"),
    [
        ("on rail 350 3:00", "3:00"),
        ("on rail 350 3 o'clock", "3 o'clock"),
        ("on rail 350 90", 90),
        ("on rail; 350; 90 deg", "90 deg"),
    ],
)
def test_a_point_on_a_tube(line, clock):
    dialogue = typed(line, conduit_od=8.0)
    assert written(dialogue) == [{"on": "rail", "along": 350, "clock": clock}]
    # 3 o'clock looking forward is the right, -y: half of tube and conduit away
    np.testing.assert_allclose(dialogue.points[0].position, [350, -23, 0], atol=1e-9)


def test_a_length_with_spaces_along_a_tube():
    assert written(typed("on rail 2' 4 1/2\" 12:30"))[0]["along"] == "2' 4 1/2\""


@pytest.mark.parametrize(
    "line",
    [
        "tape A 500 B 900 front cross 700 up",
        "tape A=500, B=900, front cross=700 up",
        "tape A 500; B 900; front cross 700; up",
    ],
)
def test_tape_distances(line):
    dialogue = typed(line)
    assert written(dialogue) == [{"tape": {"A": 500, "B": 900, "front cross": 700}, "side": "up"}]
    here = dialogue.points[0].position
    reach = [np.linalg.norm(here - node) for node in NODES.values()]
    np.testing.assert_allclose(reach, [500, 900, 700], atol=1e-6)
    assert here[2] > 0


def test_the_echo_is_in_both_systems():
    assert Dialogue(FRAME).apply("1028.7 0 -12") == (
        'point 1: x 1029 mm (3\' 4 1/2"), y 0 mm (0"), z -12 mm (-1/2")',
    )


def test_back_and_redo_take_back_every_kind_of_change():
    dialogue = typed("0 0 0", "100 0 0", "label sill", "fix clip", "delete 1")
    after = written(dialogue)
    for _ in range(5):
        dialogue.apply("back")
    assert dialogue.points == ()
    for _ in range(5):
        dialogue.apply("redo")
    assert written(dialogue) == after == [{"at": [100, 0, 0], "label": "sill", "fix": "clip"}]
    dialogue.apply("back")
    dialogue.apply("5 5 5")
    with pytest.raises(CableRouteError, match="nothing to make again"):
        dialogue.apply("redo")


def test_insert_label_and_fix_mean_the_point_just_typed():
    dialogue = typed("0 0 0", "200 0 0", "insert 2", "100 0 0", "label knee", "fix clip", "300 0 0")
    dialogue.apply("label 1: lever")
    dialogue.apply("fix anchor 4")
    assert written(dialogue) == [
        {"at": [0, 0, 0], "label": "lever"},
        {"at": [100, 0, 0], "label": "knee", "fix": "clip"},
        {"at": [200, 0, 0]},
        {"at": [300, 0, 0], "fix": "anchor"},
    ]
    dialogue.apply("label 1:")
    dialogue.apply("fix none 4")
    assert [len(point) for point in written(dialogue)] == [1, 3, 1, 1]


def test_old_points_keep_their_place_of_origin():
    old = [{"at": [0, 0, 0]}, {"at": ["4 in", 0, 0], "radius": 60}, {"at": [300, 0, 0]}]
    dialogue = Dialogue(FRAME, old)
    for line in ("insert 2", "50 0 0", "delete 1", "label 2: x"):
        dialogue.apply(line)
    assert [spot.origin for spot in dialogue.points] == [None, 1, 2]
    assert dialogue.points[1].entry.radius == 60


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("bogus", "type help"),
        ("1 2", "expected x y z"),
        ("1 2 3 4", "got 4"),
        ("3' 4 12 in 0", "put ;"),
        ("1e9; 0; 0", "within 1 km"),
        ("on nix 2 3:00", "known: rail"),
        ("on rail 350", "expected the distance"),
        ("on rail 350 3", "3:00 or 3 deg"),
        ("on rail 2000 3:00", "along must be within"),
        ("on rail -5 3:00", "along"),
        ("on", "got nothing"),
        ("tape A 500 B 900 front cross 700", "side"),
        ("tape A 500 A 900 B 700", "two to A"),
        ("tape A 500 Q 900", "distance to A"),
        ("tape Q 500", "known: A, B"),
        ("tape A 500 B 900", "at least 3"),
        ("label x", "a point first"),
        ("delete 1", "a point first"),
        ("insert 0", "a point first"),
        ("back", "nothing to take back"),
        ("fix glue", "anchor, clip or none"),
    ],
)
def test_what_cannot_be_read_changes_nothing(line, words):
    dialogue = Dialogue(FRAME)
    with pytest.raises(CableRouteError, match=words):
        dialogue.apply(line)
    assert dialogue.points == ()
    assert dialogue.prompt == "point 1> "


def test_the_same_place_twice_is_said():
    assert "same place as point 1" in " ".join(typed("1 2 3").apply("1 2 3"))


def test_blank_lines_and_notes_are_passed_over_and_stop_stops():
    dialogue = typed("", "  ", "# from the lever")
    assert dialogue.points == ()
    assert dialogue.apply("list") == ("There are no points.",)
    dialogue.apply("stop")
    assert dialogue.stopped


COMMANDS = st.sampled_from(
    ["back", "redo", "insert 1", "insert 2", "delete 1", "delete 3", "label x", "fix clip",
     "fix none", "7", "1 2 3", "4' 2; 0; 1 in", "on rail 10 6:00", "list", "help", "nonsense"]
)  # fmt: skip


@settings(max_examples=30)
@given(st.lists(COMMANDS | st.text(max_size=12), max_size=25))
def test_any_lines_leave_points_that_can_be_read_again(lines):
    dialogue = Dialogue(FRAME)
    for line in lines:
        try:
            replies = dialogue.apply(line)
        except CableRouteError:
            continue
        assert all(isinstance(reply, str) for reply in replies)
    again = Dialogue(FRAME, written(dialogue))
    for one, two in zip(dialogue.points, again.points, strict=True):
        np.testing.assert_array_equal(one.position, two.position)
