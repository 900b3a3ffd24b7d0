"""What a route file says about loads and anchors, in which unit, and what its models refuse."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from cableroute.measure.known_keys import known_keys
from cableroute.measure.load_models import (
    AnchorEntry,
    AnchorsEntry,
    BracketEntry,
    BulkheadEntry,
    ClampEntry,
    DetentEntry,
    ResistsEntry,
    ScrewsEntry,
    load_table,
)
from cableroute.measure.models import CableEntry
from cableroute.measure.tables import Table

PLATE = {"length": 60, "width": 40, "thickness": 3}


def complaint(model: type[Table], data: object) -> str:
    with pytest.raises(ValidationError) as caught:
        model.model_validate(data, context={"unit": "mm"})
    return " | ".join(error["msg"] for error in caught.value.errors())


@pytest.mark.parametrize(("unit", "factor"), [("mm", 1.0), ("in", 25.4), ("ft", 304.8)])
def test_bare_lengths_are_in_the_unit_and_rates_and_forces_are_not(unit, factor):
    context = {"unit": unit}
    resists = ResistsEntry.model_validate(
        {"preload": 5, "spring": 2, "detents": [{"at": 3, "depth": 7, "width": 4}]},
        context=context,
    )
    assert (resists.preload, resists.spring) == (5.0, 2.0)
    detent = resists.detents[0]
    assert (detent.at, detent.width) == (pytest.approx(3 * factor), pytest.approx(4 * factor))
    assert detent.depth == 7.0
    bracket = BracketEntry.model_validate(PLATE, context=context)
    assert bracket.length == pytest.approx(60 * factor)


def test_text_says_its_own_unit():
    resists = ResistsEntry.model_validate({"preload": "3 lbf", "friction": "1 kgf"})
    assert resists.preload == pytest.approx(13.3447, rel=1e-5)
    assert resists.friction == pytest.approx(9.80665)
    clamp = ClampEntry.model_validate({"torque": 5.0, "diameter": "1/4 in"})
    assert clamp.diameter == pytest.approx(6.35)


def test_what_is_left_out_is_nothing_or_not_known():
    resists = ResistsEntry()
    assert (resists.preload, resists.spring, resists.friction, resists.dead) == (0, 0, 0, 0)
    assert resists.detents == ()
    assert AnchorsEntry().hand is None
    entry = AnchorEntry()
    assert (entry.screws, entry.clamp, entry.bulkhead, entry.bracket) == (None,) * 4
    assert (ScrewsEntry(size="M5").count, ScrewsEntry(size="M5").on) == (1, "sleeve")


@pytest.mark.parametrize("size", ["M3", "M6", "#10", "1/4"])
def test_screws_of_either_system_are_known(size):
    assert ScrewsEntry(size=size).size == size


REFUSED = [
    (DetentEntry, {"at": 0, "depth": 5, "width": 0}, "greater than 0"),
    (DetentEntry, {"at": 0, "depth": -5, "width": 1}, "greater than or equal to 0"),
    (DetentEntry, {"at": float("nan"), "depth": 5, "width": 1}, "length"),
    (DetentEntry, {"depth": 5, "width": 1}, "required"),
    (ResistsEntry, {"preload": -1}, "greater than or equal to 0"),
    (ResistsEntry, {"spring": -1.0}, "greater than or equal to 0"),
    (ResistsEntry, {"spring": 1e300}, "less than or equal to"),
    (ResistsEntry, {"spring": "2 N/mm"}, "valid number"),
    (ResistsEntry, {"friction": True}, "force"),
    (ResistsEntry, {"dead": -1}, "greater than or equal to 0"),
    (ResistsEntry, {"sprung": 1}, "not permitted"),
    (ScrewsEntry, {}, "required"),
    (ScrewsEntry, {"size": "M7"}, "expected one of #4"),
    (ScrewsEntry, {"size": 5}, "valid string"),
    (ScrewsEntry, {"size": "M5", "count": 0}, "greater than or equal to 1"),
    (ScrewsEntry, {"size": "M5", "count": 10**400}, "less than or equal to 100"),
    (ScrewsEntry, {"size": "M5", "count": 1.5}, "valid integer"),
    (ScrewsEntry, {"size": "M5", "count": True}, "valid integer"),
    (ScrewsEntry, {"size": "M5", "on": "shaft"}, "'groove' or 'sleeve'"),
    (ClampEntry, {}, "expected tension, or torque and diameter, of a bolt, got none"),
    (ClampEntry, {"torque": 5.0}, "got torque"),
    (ClampEntry, {"diameter": 6}, "got diameter"),
    (ClampEntry, {"tension": 900, "torque": 5.0}, "got tension and torque"),
    (ClampEntry, {"tension": 900, "bolts": 0}, "greater than or equal to 1"),
    (ClampEntry, {"tension": 900, "bolts": 10**400}, "less than or equal to 100"),
    (ClampEntry, {"tension": -1}, "greater than or equal to 0"),
    (ClampEntry, {"torque": 0.0, "diameter": 6}, "greater than 0"),
    (ClampEntry, {"torque": 1e307, "diameter": 6}, "expected at most"),
    (ClampEntry, {"torque": 5.0, "diameter": 1e-30}, "expected at least"),
    (ClampEntry, {"tension": 9, "friction": 0.0}, "greater than 0"),
    (ClampEntry, {"tension": 9, "friction": 2.0}, "less than 2"),
    (BulkheadEntry, {"diameter": 10}, "required"),
    (BulkheadEntry, {"diameter": 10, "pitch": 5}, "below half the diameter, 10 mm, got 5 mm"),
    (BulkheadEntry, {"diameter": 10, "pitch": 0}, "greater than 0"),
    (BulkheadEntry, {"diameter": 10, "pitch": 1, "nut": 0}, "greater than 0"),
    (BulkheadEntry, {"diameter": 10, "pitch": 1, "strength": 1e307}, "less than or equal to"),
    (BracketEntry, {}, "expected stiffness, or length, width and thickness of a plate, got none"),
    (BracketEntry, {"length": 5, "width": 5}, "got length and width"),
    (BracketEntry, {"stiffness": 5.0, "length": 5}, "got stiffness and length"),
    (BracketEntry, {"stiffness": 5.0, **PLATE}, "got stiffness and length and width"),
    (BracketEntry, {"stiffness": 1e-320}, "expected at least"),
    (BracketEntry, {"stiffness": 0.0}, "greater than 0"),
    (BracketEntry, {**PLATE, "thickness": 1e-60}, "expected at least"),
    (BracketEntry, {**PLATE, "modulus": 1e300}, "less than or equal to"),
    (AnchorEntry, {"screws": {"size": "M5"}, "clamp": {"tension": 9}}, "got screws and clamp"),
    (AnchorsEntry, {"middle": {}}, "not permitted"),
]


@pytest.mark.parametrize(("model", "data", "words"), REFUSED, ids=range(len(REFUSED)))
def test_what_makes_no_sense_is_refused(model, data, words):
    assert words in complaint(model, data)


@pytest.mark.parametrize(
    "data",
    [
        {"size": "M5", "count": 100},
        {"stiffness": 0.001},
        {"stiffness": 1e9},
        {"tension": 0},
        {"torque": 5.0, "diameter": 6},
        {"diameter": 10, "pitch": 4.9},
        {"length": 0.01, "width": 0.01, "thickness": 0.01},
    ],
)
def test_what_lies_at_a_limit_is_taken(data):
    model = {"size": ScrewsEntry, "stiffness": BracketEntry, "length": BracketEntry}.get(
        next(iter(data)), BulkheadEntry if "pitch" in data else ClampEntry
    )
    model.model_validate(data)


@pytest.mark.parametrize(
    ("path", "table"),
    [
        (("resists", "sprung"), ResistsEntry),
        (("resists", "detents", 0, "dept"), DetentEntry),
        (("anchors", "hnad"), AnchorsEntry),
        (("anchors", "hand", "srews"), AnchorEntry),
        (("anchors", "far", "screws", "sise"), ScrewsEntry),
        (("anchors", "far", "clamp", "bolt"), ClampEntry),
        (("anchors", "hand", "bulkhead", "picth"), BulkheadEntry),
        (("anchors", "hand", "bracket", "lenght"), BracketEntry),
    ],
)
def test_a_wrong_key_is_looked_up_in_the_table_that_it_lies_in(path, table):
    whole = ("cable", 0, *path)
    assert load_table(whole) is table
    assert known_keys(whole) == tuple(table.model_fields)


def test_a_key_of_the_cable_itself_is_the_cable_s():
    assert load_table(("cable", 0, "ancors")) is None
    assert load_table(("cable", 0, "resists")) is None
    assert "anchors" in known_keys(("cable", 0, "ancors"))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"temperature": [40, -20]}, "expected temperature = [coldest, hottest]"),
        ({"temperature": [-300, 20]}, "expected temperature = [coldest, hottest]"),
        ({"temperature": [20]}, "required"),
        ({"temperature": [0, float("inf")]}, "finite"),
        ({"temperature": ["cold", 20]}, "valid number"),
        ({"drag": -1}, "greater than or equal to 0"),
        ({"hand_resists": -1}, "greater than or equal to 0"),
        ({"controls": "gear"}, "'throttle', 'brake', 'clutch', 'steering', 'selector' or 'other'"),
    ],
)
def test_a_cable_s_own_new_keys_are_checked(changes, words):
    points = [{"at": [0, 0, 0]}, {"at": [9, 0, 0]}]
    assert words in complaint(
        CableEntry, {"name": "a", "bend_radius": 5, "points": points, **changes}
    )
