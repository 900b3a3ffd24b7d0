"""What the page offers: suggestions, families, calibration, lengths and places as typed."""

from __future__ import annotations

from math import dist, exp, pi
from pathlib import Path

import pytest

from cableroute.errors import CableRouteError
from cableroute.hardware.library import load_library
from cableroute.output.toml_ops import Edit, edited
from cableroute.page import answers
from cableroute.page.answers import answer, read
from cableroute.page.levers import linkages
from cableroute.page.mending import mends
from cableroute.page.offers import calibration, families, suggestions
from cableroute.page.places import echo, place
from cableroute.page.starters import KINDS, machine_text, starters

DATA = Path(__file__).parents[2] / "data"
SHORT = """\
unit = "in"  # the tape
[[cable]]
name = "shift"
kind = "pull"
bend_radius = "100 mm"
friction = 0.1
points = [
  { at = [0, 0, 0], label = "hand", fix = "anchor" },
  { at = ["500 mm", 0, 0], label = "corner", move = "no" },
  { at = ["500 mm", "70 mm", 0], label = "far", move = "y" },  # 30 mm short
]
"""
TAPED = """\
[nodes]
A = [0, 0, 0]
B = [700, 0, 0]
C = [0, 400, 0]
[tubes]
rail = { from = "A", to = "B", diameter = 40 }
[[cable]]
name = "a"
family = "throttle-thin"
points = []
"""


def done(body: str, offer) -> str:
    edits = [Edit(op["op"], tuple(op["path"]), op.get("value")) for op in offer["ops"]]
    return edited(body, edits)


def test_a_move_says_its_effect_and_its_ops_bring_it_about():
    offer, *others = suggestions(SHORT, "shift")["suggestions"]
    assert offer["kind"] == "move"
    assert all(other["kind"] != "move" for other in others)
    assert offer["words"] == "Move far"
    assert offer["effect"]["before"]["verdict"] == "fail"
    after = answer(read(done(SHORT, offer)))
    assert after["verdict"] == offer["effect"]["after"]["verdict"] != "fail"
    assert "# 30 mm short" in done(SHORT, offer)
    assert [each["level"] for each in offer["effect"]["brings"]] == [
        "note"
    ]  # a long way without a clip


def test_a_leave_out_says_its_effect_and_its_ops_bring_it_about():
    body = (DATA / "recumbent_trike.toml").read_text()
    name = read(body).data["cable"][0]["name"]
    offers = [x for x in suggestions(body, name)["suggestions"] if x["kind"] == "leave-out"]
    assert offers
    for offer in offers:
        cable = answer(read(done(body, offer)))["assessment"]["cables"][0]
        assert cable["route"]["wrap_deg"] == pytest.approx(offer["effect"]["after"]["wrap_deg"])
        assert offer["effect"]["after"]["wrap_deg"] < offer["effect"]["before"]["wrap_deg"]


def test_every_family_is_judged_on_the_run_and_says_why_not():
    body = (DATA / "grass_track_buggy.toml").read_text()
    rows = families(body, "shift")["families"]
    assert {row["family"] for row in rows} == set(load_library())
    order = [("pass", "marginal", "fail", None).index(row["verdict"]) for row in rows]
    assert order == sorted(order)
    for row in rows:
        assert bool(row["why"]) == (row["verdict"] != "pass")
        reading = read(done(body, row))
        if row["verdict"] is None:
            assert reading.faults
        else:
            cable = answer(reading)["assessment"]["cables"][0]
            assert cable["verdict"] == row["verdict"]
            assert cable["order"]["stock_mm"] == row["stock_mm"]
    pull_only = [row for row in rows if row["verdict"] is None]
    assert pull_only
    assert all(row["kind"] == "pull" for row in pull_only)


def test_readings_become_a_friction_and_the_ops_that_take_it_over():
    readings = [
        {
            "wrap_deg": deg,
            "load_n": load,
            "hand_n": f"{load * exp(0.12 * deg * pi / 180) + k:.2f} N",
        }
        for k, (deg, load) in enumerate([(90, 50), (180, 60), (360, 40), (270, 80), (90, 90)])
    ]
    told = calibration(SHORT, "shift", readings)
    low, high = told["friction_interval"]
    assert low < told["friction"] < high
    assert told["words"]
    out = done(SHORT, told)
    assert read(out).data["cable"][0]["friction"][0] <= told["friction"]
    assert "# the tape" in out
    with pytest.raises(CableRouteError, match=r'"readings", 1, "hand_n"'):
        calibration(SHORT, "shift", [readings[0], {"load_n": 3, "hand_n": "x"}, readings[1]])
    with pytest.raises(CableRouteError, match="no cable"):
        calibration(SHORT, "clutch", readings)
    for bad in (None, 3, [3], {"a": 1}):
        with pytest.raises(CableRouteError, match="expected readings"):
            calibration(SHORT, "shift", bad)


@pytest.mark.parametrize(
    ("text", "unit", "mm", "inches"),
    [
        ("3' 4 1/2\"", "mm", 1028.7, "3' 4 1/2\""),
        ("40 1/4", "in", 1022.35, "3' 4 1/4\""),
        ("1m20", "mm", 1200.0, None),
        (508, "mm", 508.0, "1' 8\""),
    ],
)
def test_a_length_is_told_back_in_both_ways(text, unit, mm, inches):
    told = echo(text, unit)
    assert told["mm"] == pytest.approx(mm)
    assert inches in (None, told["inches"])


@pytest.mark.parametrize("text", ["three", "1/0", "", None, [], "1,5,3"])
def test_a_length_that_cannot_be_read_says_so(text):
    with pytest.raises(CableRouteError):
        echo(text, "mm")


def test_taped_distances_give_both_places_with_their_sides():
    tape = {"A": 350, "B": 650, "C": 450}
    told = place(TAPED, 0, {"tape": tape})
    (one, two) = told["places"]
    assert {one["side"], two["side"]} == {"up", "down"}
    for node, at in (("A", (0, 0, 0)), ("B", (700, 0, 0)), ("C", (0, 400, 0))):
        assert dist(one["at_mm"], at) == pytest.approx(tape[node], abs=0.1)
        assert dist(two["at_mm"], at) == pytest.approx(tape[node], abs=0.1)
    assert told["doubt_mm"] > 0
    with pytest.raises(CableRouteError, match="no node 'Z'"):
        place(TAPED, 0, {"tape": {**tape, "Z": 4}})


def test_a_point_on_a_tube_stands_off_by_half_of_both_diameters():
    (spot,) = place(TAPED, 0, {"on": "rail", "along": 100, "clock": 0})["places"]
    od = load_library()["throttle-thin"].conduit_od
    assert spot["at_mm"] == pytest.approx([100, 0, 20 + od / 2])
    with pytest.raises(CableRouteError, match="no tube"):
        place(TAPED, 0, {"on": "post", "along": 1, "clock": 0})
    for bad in (None, 3, {}, {"at": [1, 2]}, {"at": [1, 2, "x"]}):
        with pytest.raises(CableRouteError):
            place(TAPED, 0, bad)


def test_levers_have_a_line_for_every_position_of_the_hand():
    told = linkages((DATA / "grass_track_buggy_selector.toml").read_text())
    (linkage,) = told["linkages"]
    steps = len(linkage["stroke"])
    for member in linkage["members"]:
        assert len(member["arms"]) == len(member["rods"]) == len(member["path"]) == steps
        (pivot, first), (_, last) = member["arms"][0][0], member["arms"][-1][0]
        assert pivot == member["middle"]
        assert dist(pivot, first) == pytest.approx(dist(pivot, last), abs=0.02)
    assert linkage["members"][0]["first"]
    assert linkage["members"][-1]["needed"]
    assert linkages(TAPED) == {"linkages": [], "selectors": []}


def test_each_mend_of_a_mirrored_motion_is_tried_and_its_ops_bring_it_about():
    text = (DATA / "works_locomotive_aft.toml").read_text()
    found = mends(text, "shift")["mends"]
    assert [each["kind"] for each in found] == ["cable-side-hand", "cable-side-far", "lever-end"]
    for each in found:
        changed = linkages(done(text, each))["linkages"][1]
        assert changed["mirrored"] is False
        assert changed["verdict"] == each["verdict"]
    with pytest.raises(CableRouteError, match="no linkage 'gear'"):
        mends(text, "gear")


@pytest.mark.parametrize("kind", KINDS)
def test_what_new_things_begin_with_can_be_read(kind):
    reading = read(machine_text("my machine", kind))
    assert reading.faults == ()
    assert [lack["path"] for lack in reading.lacks] == [["cable", 0, "points"]]
    assert starters()["cables"][kind]["kind"] == kind
    body = machine_text("my machine", kind)
    for k in range(2):
        point = starters()["points"]["at"] | {"at": [0, 900 * k, 0]}
        body = edited(body, [Edit("insert", ("cable", 0, "points", k), point)])
    assert answer(read(body))["verdict"]


def test_a_linkage_judged_before_is_judged_again_only_when_it_or_its_cable_changed():
    body = (DATA / "works_locomotive_forward.toml").read_text()
    first = answer(read(body))
    for edit in (
        Edit("set", ("cable", 1, "load"), 177),
        Edit("set", ("linkage", 0, "hand", "range_deg"), [-8.5, 8]),
        Edit("set", ("linkage", 1, "name"), "row"),
        Edit("set", ("unit",), "cm"),
    ):
        edits = (
            [edit, Edit("set", ("selector", 0, "shift"), "row")] if edit.value == "row" else [edit]
        )
        out = edited(body, edits)
        warm = answer(read(out))
        answers._judged.clear()
        answers._worked.clear()
        assert warm == answer(read(out))
    assert answer(read(body)) == first


def test_a_cable_judged_before_is_judged_again_only_when_something_of_its_own_changed():
    body = (DATA / "recumbent_trike.toml").read_text()
    first = answer(read(body))
    for edit in (
        Edit("set", ("cable", 0, "load"), 77),
        Edit("set", ("title",), "other"),
        Edit("set", ("tape_tolerance",), 9),
        Edit("set", ("cable", 0, "name"), "renamed"),
    ):
        out = edited(body, [edit])
        warm = answer(read(out))
        answers._judged.clear()
        assert warm == answer(read(out))
    assert answer(read(body)) == first


@pytest.mark.parametrize("asks", [suggestions, families, lambda *of: calibration(*of, [])])
@pytest.mark.parametrize("faulty", ["cable = [3]\n", 'cable = "a"\n', "cable = 3\n", "[cable]\n"])
def test_of_a_file_whose_cables_are_none_nothing_is_known(asks, faulty):
    with pytest.raises(CableRouteError, match="no cable 'a'; known: none"):
        asks(faulty, "a")
