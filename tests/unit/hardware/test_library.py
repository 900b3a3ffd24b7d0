"""The shipped families are coherent, and a user's file is read or refused in full."""

from __future__ import annotations

from math import inf, log, pi
from pathlib import Path

import pytest

from cableroute.errors import CableRouteError, RouteFileError
from cableroute.hardware import library
from cableroute.hardware.family import Family
from cableroute.hardware.library import find_family, load_library
from cableroute.hardware.wire_strength import strength_band
from cableroute.mechanics.construction import CoreSection, core_section
from cableroute.mechanics.life import sheave_ratio
from cableroute.mechanics.stress import helix_stress, wire_stress
from cableroute.mechanics.validity import SLENDER
from cableroute.verdict.limits import Limits

LIBRARY = load_library()
FAMILIES = [pytest.param(family, id=name) for name, family in LIBRARY.items()]
PUSHES = [p for p in FAMILIES if p.id and p.id.startswith("push-")]

# Wires side by side across the core, and their number.
ACROSS = {"solid": 1, "1x7": 3, "1x19": 5, "7x7": 9, "7x19": 15}
WIRES = {"solid": 1, "1x7": 7, "1x19": 19, "7x7": 49, "7x19": 133}

OWN = """\
[family.shed-find]
construction = "solid"
core_od = "1/16 in"
conduit_id = 2.2
conduit_od = 5
min_bend_radius = 150
max_pull = "20 kgf"

[family.pull-7x7-medium]
title = "mine"
construction = "7x7"
core_od = 1.5
conduit_id = 2.0
conduit_od = 5
min_bend_radius = 55
"""


def metal_area(family: Family) -> float:
    wire = family.core_od / ACROSS[family.construction]
    return WIRES[family.construction] * pi * wire**2 / 4


def write(folder: Path, text: str, name: str = "mine.toml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def faults_of(path: Path) -> tuple[str, ...]:
    with pytest.raises(RouteFileError) as caught:
        load_library([path])
    return caught.value.faults


def test_the_library_has_a_choice_of_both_kinds_and_every_construction() -> None:
    assert len(LIBRARY) >= 11
    assert {family.kind for family in LIBRARY.values()} == {"push-pull", "pull"}
    assert {family.construction for family in LIBRARY.values()} == set(ACROSS)
    assert {"hdpe", "ptfe", "acetal", "nylon66"} <= {f.liner for f in LIBRARY.values()}
    assert all(name == family.name and family.title for name, family in LIBRARY.items())


@pytest.mark.parametrize("family", FAMILIES)
def test_every_number_says_where_it_comes_from(family: Family) -> None:
    numbers = (int, float, tuple)
    held = {name: value for name, value in family if not isinstance(value, bool)}
    numeric = {name for name, value in held.items() if isinstance(value, numbers) and value != ()}

    assert numeric - family.provenance.keys() == set()


@pytest.mark.parametrize("family", FAMILIES)
def test_nothing_but_a_pull_cables_rod_yield_is_left_unknown(family: Family) -> None:
    unknown = {name for name, value in family if value is None or value == ()}
    # nobody measured a stiffness: the construction's bounds stand; who greases a cable knows with what
    unknown -= {"bending_stiffness", "lubricant"}

    assert unknown <= ({"rod_yield"} if family.kind == "pull" else set())


def core_of(family: Family) -> CoreSection:
    return core_section(family.construction, diameter=family.core_od, modulus=family.core_modulus)


@pytest.mark.parametrize("family", FAMILIES)
def test_the_core_stays_in_the_programs_limits_at_least_radius_under_full_pull(
    family: Family,
) -> None:
    stress = wire_stress(
        core_of(family),
        radius=family.min_bend_radius,
        tension=family.max_pull,
        modulus=family.core_modulus,
        strength=family.core_strength,
    )

    assert float(stress.bending) < 0.65 * family.core_strength
    assert float(stress.total) <= Limits().wire_stress[0] * family.core_strength
    assert float(stress.direct) <= family.core_strength / 5


@pytest.mark.parametrize("family", PUSHES)
def test_the_pushed_core_stays_in_the_programs_limits(family: Family) -> None:
    for radius in (family.min_bend_radius, inf):
        stress = helix_stress(
            core_of(family), force=family.max_push, clearance=family.clearance, radius=radius
        )
        assert float(stress.total) <= Limits().push_stress[0] * family.core_strength


@pytest.mark.parametrize("family", FAMILIES)
def test_a_family_passes_every_check_of_a_strand_and_of_its_wire(family: Family) -> None:
    core = core_of(family)
    ratio = 2 * family.min_bend_radius / family.core_od
    asked = sheave_ratio(family.max_pull / (core.area * family.core_strength))

    assert ratio >= max(float(asked.least), Limits().bend_ratio)
    assert not asked.extrapolated
    assert 0.5 * family.clearance / family.min_bend_radius < SLENDER


@pytest.mark.parametrize("family", [p for p in FAMILIES if "solid" in str(p.id)])
def test_a_solid_cores_strength_is_within_the_tables_of_its_wire(family: Family) -> None:
    _, high = strength_band(family.core_od, wire=family.core_wire)

    assert family.core_strength <= float(high) * (1 + Limits().over_table)


@pytest.mark.parametrize("family", FAMILIES)
def test_a_plain_liners_high_end_is_above_what_shift_and_brake_cables_are_known_for(
    family: Family,
) -> None:
    """From memory: 1.1 to 1.2 times the force for a right angle."""
    published = log(1.2) / (pi / 2)
    if family.liner in ("hdpe", "nylon66"):
        assert 2.0 * published < family.friction[1] < 3.0 * published
    else:
        assert family.friction[0] < published


@pytest.mark.parametrize("family", FAMILIES)
def test_bends_are_gentle_enough_for_a_cable_at_a_fifth_of_its_strength(family: Family) -> None:
    """MIL-F-18372, table before 3.1.1.17.8: sheave ratio at least 28 at 20 % of breaking load."""
    assert 2 * family.min_bend_radius >= 28 * family.core_od


@pytest.mark.parametrize(
    ("name", "core_in", "pounds"),
    [("pull-7x7-medium", 1 / 16, 480), ("pull-7x19-heavy", 1 / 8, 2000)],
)
def test_rope_strength_gives_back_the_published_breaking_load(
    name: str, core_in: float, pounds: float
) -> None:
    """AC 43.13-1B table 7-3, per metal area of the inch size; the library rounds to 1 %."""
    family = LIBRARY[name]
    published = pounds * 4.44822 / (metal_area(family) * (25.4 * core_in / family.core_od) ** 2)

    assert family.core_strength == pytest.approx(published, rel=0.01)


@pytest.mark.parametrize("family", [p for p in FAMILIES if "solid" in str(p.id)])
def test_solid_core_strength_is_that_of_music_wire(family: Family) -> None:
    assert family.core_strength == pytest.approx(2211 / family.core_od**0.145, rel=0.002)


@pytest.mark.parametrize("family", FAMILIES)
def test_weight_is_as_computed(family: Family) -> None:
    wall = pi / 4 * (family.conduit_od**2 - family.conduit_id**2)
    weight = 9.80665e-6 * (7850 * metal_area(family) + 3500 * wall)

    assert family.weight_n_per_m == pytest.approx(weight, abs=0.005)


@pytest.mark.parametrize("family", PUSHES)
def test_rods_of_a_push_cable_reach_and_hold(family: Family) -> None:
    stiffness = family.rod_modulus * pi * family.rod_od**4 / 64
    euler = pi**2 * stiffness / family.rod_exposed**2
    yielding = family.rod_yield * pi * family.rod_od**2 / 4

    assert family.rod_exposed > family.stroke
    # Half a stroke in, a rod shows half a stroke less, and the core runs on through its guide.
    assert family.end_allowance >= 2 * family.rod_exposed - family.stroke
    assert family.max_push < family.max_pull
    assert family.max_push < min(euler, yielding / 2) / Limits().rod_safety[0]
    assert 0.2 <= family.guide_bore - family.rod_od <= 0.5


@pytest.mark.parametrize("family", FAMILIES)
def test_ends_stay_out_of_the_conduit_and_stock_is_longer_than_the_ends(family: Family) -> None:
    assert family.end_allowance >= family.stroke
    assert family.stock_measure == ("overall" if family.kind == "push-pull" else "conduit")
    assert family.stock_lengths[0] > family.end_allowance
    assert family.stock_lengths_ft[0] * 304.8 > family.end_allowance


def test_slick_families_differ_from_their_plain_sisters_by_friction() -> None:
    slick, plain = LIBRARY["push-slick-medium"], LIBRARY["push-solid-medium"]

    assert slick.friction[1] <= plain.friction[0]
    assert slick.core_od == plain.core_od


def test_the_shipped_library_cannot_be_changed_by_a_caller() -> None:
    with pytest.raises(TypeError):
        load_library()["push-solid-light"] = LIBRARY["push-solid-heavy"]

    assert load_library()["push-solid-light"].name == "push-solid-light"


def test_the_shipped_library_is_that_of_its_file_as_a_user_would_have_it_read() -> None:
    shipped = Path(library.__file__).with_name("families.toml")

    assert dict(load_library()) == load_library([shipped])
    assert list(load_library()) == list(load_library([shipped]))


def test_a_users_family_joins_and_one_of_the_same_name_overrides(tmp_path: Path) -> None:
    library = load_library([write(tmp_path, OWN)])

    assert library["shed-find"].core_od == pytest.approx(1.5875)
    assert library["shed-find"].max_pull == pytest.approx(196.133)
    assert library["shed-find"].provenance == {}
    assert library["pull-7x7-medium"].title == "mine"
    assert library.keys() == LIBRARY.keys() | {"shed-find"}
    assert load_library() == LIBRARY


def test_of_two_files_the_later_wins(tmp_path: Path) -> None:
    first = write(tmp_path, OWN)
    second = write(tmp_path, OWN.replace('"mine"', '"later"'), "second.toml")

    assert load_library([first, second])["pull-7x7-medium"].title == "later"
    assert load_library([second, first])["pull-7x7-medium"].title == "mine"


def test_provenance_of_the_file_holds_where_the_family_says_nothing(tmp_path: Path) -> None:
    text = OWN + '[family.pull-7x7-medium.provenance]\ncore_od = "computed"\n'
    text += '[provenance]\ncore_od = "common practice, no source"\n'
    library = load_library([write(tmp_path, text)])

    assert library["shed-find"].provenance == {"core_od": "common practice, no source"}
    assert library["pull-7x7-medium"].provenance == {"core_od": "computed"}


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    assert "shed-find" in load_library([write(tmp_path, "\ufeff" + OWN)])


def test_all_faults_of_a_file_come_at_once_with_line_family_and_field(tmp_path: Path) -> None:
    text = (
        OWN.replace('core_od = "1/16 in"', "core_od = -2")
        .replace('"solid"', '"braided"')
        .replace("min_bend_radius = 55", "min_bend_radis = 55\nfriction = [0.3, 0.1]")
    )
    path = write(tmp_path, text)
    shed, pull = f'{path}:1: family "shed-find"', f'{path}:9: family "pull-7x7-medium"'

    assert set(faults_of(path)) == {
        f"{shed}, construction: expected 'solid', '1x7', '1x19', '7x7' or '7x19', got 'braided'",
        f"{shed}, core_od: expected greater than 0, got -2.0",
        f"{pull}, min_bend_radius: expected a value, got none",
        f"{pull}, min_bend_radis: expected no such key here; the nearest is min_bend_radius",
        f"{pull}, friction: expected 0 <= low <= high < 2, got low 0.3, high 0.1",
    }


def test_a_family_written_without_a_header_is_named_without_a_line(tmp_path: Path) -> None:
    path = write(tmp_path, 'family = { odd = { construction = "solid" } }\n')

    assert f'{path}: family "odd", core_od: expected a value, got none' in faults_of(path)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "expected at least one table [family.NAME], got none"),
        ("family = 3\n", "expected at least one table [family.NAME], got none"),
        ("[family]\nx = 1\n", 'family "x": expected a table, got 1'),
        ('provenance = "mine"\n' + OWN, "provenance: expected a table, got something else"),
        ("unit = 'in'\n" + OWN, 'expected only [family.NAME] and [provenance], got "unit"'),
        (
            OWN + 'name = "x"\n',
            "family \"pull-7x7-medium\", name: expected only in the header, got 'x'",
        ),
    ],
)
def test_a_file_of_another_layout_is_refused(tmp_path: Path, text: str, fault: str) -> None:
    path = write(tmp_path, text)

    assert faults_of(path) == (f"{path}: {fault}",)


@pytest.mark.parametrize("text", ["[family.x\n", OWN + OWN, "a = \x00\n"])
def test_what_is_not_toml_is_refused_in_one_line(tmp_path: Path, text: str) -> None:
    path = write(tmp_path, text)
    (fault,) = faults_of(path)

    assert fault.startswith(f"{path}: expected valid TOML, got: ")


def test_files_that_cannot_be_read_are_refused_in_one_line(tmp_path: Path) -> None:
    binary = tmp_path / "picture.toml"
    binary.write_bytes(b"\x89PNG\r\n\xff\xfe\x00")

    assert faults_of(binary) == (f"{binary}: expected a text file in UTF-8, got something else",)
    for path in (tmp_path / "absent.toml", tmp_path):
        (fault,) = faults_of(path)
        assert fault.startswith(f"{path}: expected a library file, got: ")


def test_a_name_nearly_right_gets_the_nearest_and_the_list() -> None:
    assert find_family("push-solid-light", LIBRARY) is LIBRARY["push-solid-light"]
    with pytest.raises(CableRouteError) as caught:
        find_family("Push-Sold-Light", LIBRARY)
    message = str(caught.value)

    assert 'got "Push-Sold-Light"; the nearest: push-solid-light' in message
    assert all(name in message for name in LIBRARY)


def test_a_name_like_no_other_gets_the_list_alone() -> None:
    with pytest.raises(CableRouteError, match=r'got "zzz"; all: pull-') as caught:
        find_family("zzz", LIBRARY)

    assert "nearest" not in str(caught.value)
    with pytest.raises(CableRouteError, match="all: none"):
        find_family("zzz", {})
