import copy
import re
import tomllib
from pathlib import Path

import pytest
from pydantic import ValidationError

from cableroute.errors import RouteFileError
from cableroute.measure.known_keys import known_keys
from cableroute.measure.linkage_models import (
    SWIVEL_LIMIT_DEG,
    CrankEntry,
    HandEntry,
    LinkageEntry,
    SelectorEntry,
    linkage_table,
)
from cableroute.measure.reading import read_job
from cableroute.measure.tables import read_way

DATA = Path(__file__).parents[3] / "data"
BUGGY = DATA / "grass_track_buggy_selector.toml"
LOCOMOTIVE = DATA / "works_locomotive_forward.toml"
ENTRY = tomllib.loads(BUGGY.read_text(encoding="utf-8"))["linkage"][0]


def entry(**changes):
    """The buggy's linkage with keys changed, as hand__radius; None takes a key out."""
    data = copy.deepcopy(ENTRY)
    for path, value in changes.items():
        *tables, key = path.split("__")
        table = data
        for name in tables:
            table = table[name]
        table.pop(key, None)
        if value is not None:
            table[key] = value
    return data


def read(**changes):
    return LinkageEntry.model_validate(entry(**changes), context={"unit": "mm"})


@pytest.mark.parametrize(
    ("words", "way"),
    [
        ("forward", (1, 0, 0)),
        ("aft and up", (-1, 0, 1)),
        ("Left", (0, 1, 0)),
        ([0, 0, -2], [0, 0, -2]),
    ],
)
def test_a_direction_is_words_or_three_numbers(words, way):
    assert read_way(words) == way


@pytest.mark.parametrize("bad", ["sideways", "", "up and down", [0, 0, 0]])
def test_what_is_no_direction_is_refused(bad):
    with pytest.raises(ValueError, match="expected"):
        read_way(bad)


def test_one_figure_stands_for_both_ways():
    assert read().far.travel == (20.0, 20.0)
    assert read(far__travel=["1 in", 0]).far.travel == (25.4, 0.0)
    assert read(far__travel=None, far__angle_deg=15).far.angle_deg == (15, 15)


def test_lengths_are_in_the_unit_of_the_file():
    found = LinkageEntry.model_validate(entry(), context={"unit": "in"})
    assert found.hand.handle.radius == pytest.approx(300 * 25.4)
    assert found.hand.range_deg == (-20, 20)
    assert found.hand.swivel.limit_deg == SWIVEL_LIMIT_DEG


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"hand__cable": None}, "expected one of cable, drum, got none"),
        ({"hand__travel": [-5, 5]}, "expected one of range_deg, travel"),
        ({"hand__range_deg": [5, 20]}, "holds neutral 0"),
        ({"hand__range_deg": [0, 0]}, "holds neutral 0"),
        ({"hand__facing": "up"}, "not straight up or down"),
        ({"hand__handle__radius": 0}, "greater than 0"),
        ({"hand__handle__radius": float("nan")}, "finite|greater"),
        ({"hand__swivel": {"limit_deg": 95}}, "less than 90"),
        ({"far__load": None}, "expected one of load, torque_nmm, got none"),
        ({"far__load": None, "far__torque_nmm": 1.1e7}, "less than or equal to 10000000"),
        ({"far__arm": None}, "expected one of arm, slide, got none"),
        ({"far__travel": 0}, "above 0"),
        ({"far__travel": -4}, "greater than or equal to 0"),
        ({"adjusters": [1, 2, 3]}, "at most 2"),
        ({"wanted__far": "backwards"}, "expected forward, aft"),
        ({"wanted": None}, "Field required"),
        ({"name": ""}, "String should match pattern"),
    ],
)
def test_what_makes_no_sense_is_refused(changes, said):
    with pytest.raises(ValidationError, match=said):
        read(**changes)


def test_a_slide_has_neither_angle_nor_torque():
    slide = {"origin": [0, 0, 0], "direction": "left"}
    with pytest.raises(ValidationError, match="no angle and no torque"):
        read(far__arm=None, far__slide=slide, far__load=None, far__torque_nmm=5)


def test_cranks_before_the_cable_come_first():
    crank = {
        "pivot": [0, 0, 0],
        "axis": "left",
        "neutral": "up",
        "radius_in": 40,
        "radius_out": 20,
        "between_deg": 90,
    }
    with pytest.raises(ValidationError, match="before the cable first"):
        read(crank=[crank, {**crank, "before_cable": True}])
    assert len(read(crank=[{**crank, "before_cable": True}, crank]).crank) == 2


@pytest.mark.parametrize(
    ("path", "table"),
    [
        (("linkage", 0, "nmae"), LinkageEntry),
        (("linkage", 0, "hand", "pivvot"), HandEntry),
        (("linkage", 0, "crank", 1, "radius"), CrankEntry),
        (("selector", 0, "colums"), SelectorEntry),
    ],
)
def test_keys_known_at_a_place(path, table):
    assert linkage_table(path) is table
    assert known_keys(path) == tuple(table.model_fields)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('cable = "shift"\nadj', 'cable = "shfit"\nadj', r"no cable 'shfit'; known: shift"),
        ("pivot = [330", "pivvot = [330", "the nearest is pivot"),
        ("range_deg = [-20, 20]", "range_deg = [1, 20]", 'linkage "gear", hand: expected a range'),
        ('name = "gear"', 'name = ""', "linkage 1, name"),
    ],
)
def test_a_fault_names_its_line_and_its_linkage(tmp_path, old, new, said):
    file = tmp_path / "machine.toml"
    text = BUGGY.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(RouteFileError, match=said) as caught:
        read_job(file)
    assert any(fault.startswith(f"{file}:") for fault in caught.value.faults)


def test_a_selector_names_linkages_of_the_file(tmp_path):
    file = tmp_path / "machine.toml"
    text = LOCOMOTIVE.read_text(encoding="utf-8").replace('shift = "shift"', 'shift = "shaft"')
    file.write_text(text, encoding="utf-8")
    with pytest.raises(RouteFileError, match="no linkage 'shaft'; known: select, shift"):
        read_job(file)


def test_linkages_have_names_of_their_own(tmp_path):
    file = tmp_path / "machine.toml"
    text = LOCOMOTIVE.read_text(encoding="utf-8")
    head, tail = text.split("[[linkage]]", 1)
    tail = tail.replace('name = "select"', 'name = "shift"', 1)
    file.write_text(f"{head}[[linkage]]{tail}", encoding="utf-8")
    with pytest.raises(RouteFileError, match="each linkage to have its own name, got twice: shift"):
        read_job(file)


def test_the_job_carries_them():
    job = read_job(LOCOMOTIVE)
    assert [each.name for each in job.linkages] == ["select", "shift"]
    assert job.selectors[0].columns[0] == ("R", "")
    assert read_job(DATA / "grass_track_buggy.toml").linkages == ()


def test_the_linkage_shown_in_the_readme_is_read():
    text = (DATA.parent / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"^```toml\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)
    [shown] = [block for block in blocks if "[[linkage]]" in block]
    [found] = tomllib.loads(shown)["linkage"]
    assert LinkageEntry.model_validate(found).far.travel == (20, 20)
