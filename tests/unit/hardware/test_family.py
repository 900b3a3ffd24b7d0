"""The family model: what it takes, what it refuses, and how it says so."""

from __future__ import annotations

import ast
import inspect
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

import cableroute.hardware.family as family_module
from cableroute.hardware.family import PROVENANCE_TAGS, Family

MEASURED: dict[str, Any] = {
    "construction": "7x7",
    "core_od": 1.6,
    "conduit_id": 2.2,
    "conduit_od": 5.0,
    "min_bend_radius": 60.0,
}


def faults(context: dict[str, str] | None = None, **changes: Any) -> dict[str, str]:
    """Give the faults of a measured build with some changes, by field."""
    with pytest.raises(ValidationError) as caught:
        Family.model_validate(MEASURED | changes, context=context)
    return {".".join(map(str, e["loc"])): e["msg"] for e in caught.value.errors()}


def test_what_a_calliper_says_is_enough() -> None:
    family = Family.model_validate(MEASURED)

    assert family.clearance == pytest.approx(0.6)
    assert family.core_modulus == 200_000
    unknown = ("kind", "max_push", "stroke", "rod_od", "friction", "end_allowance", "temperature")
    assert [getattr(family, field) for field in unknown] == [None] * len(unknown)
    assert family.stock_lengths == family.stock_lengths_ft == ()
    assert family.provenance == {}


@pytest.mark.parametrize("field", sorted(MEASURED))
def test_what_must_be_measured_is_required(field: str) -> None:
    with pytest.raises(ValidationError) as caught:
        Family.model_validate({k: v for k, v in MEASURED.items() if k != field})

    assert [e["loc"] for e in caught.value.errors()] == [(field,)]


def test_a_family_is_frozen() -> None:
    with pytest.raises(ValidationError, match="frozen"):
        Family.model_validate(MEASURED).core_od = 2.0  # type: ignore[misc]


def test_every_field_has_a_description_and_every_quantity_its_unit() -> None:
    words = {"name", "title", "kind", "construction", "liner", "stock_measure", "provenance"}
    words |= {"core_wire", "cut", "lubricant"}

    for name, field in Family.model_fields.items():
        assert field.description, name
        assert ("[" in field.description) == (name not in words), name


def test_tape_notation_and_the_unit_of_the_file() -> None:
    inches = Family.model_validate(
        MEASURED
        | {
            "core_od": "1.6 mm",
            "conduit_id": 0.1,
            "conduit_od": '1/4"',
            "min_bend_radius": 3,
            "stroke": "2 in",
            "stock_lengths": [40, "4 ft"],
            "max_pull": "10 kgf",
        },
        context={"unit": "in"},
    )

    assert inches.core_od == pytest.approx(1.6)
    assert inches.conduit_id == pytest.approx(2.54)
    assert inches.conduit_od == pytest.approx(6.35)
    assert inches.min_bend_radius == pytest.approx(76.2)
    assert inches.stroke == pytest.approx(50.8)
    assert inches.stock_lengths == pytest.approx((1016.0, 1219.2))
    assert inches.max_pull == pytest.approx(98.0665)


def test_bare_numbers_are_millimetres_without_a_context() -> None:
    assert Family.model_validate(MEASURED).core_od == 1.6


def test_an_unreadable_length_is_a_fault_of_its_field() -> None:
    assert list(faults(core_od="thin")) == ["core_od"]


def test_the_file_unit_reaches_the_checks() -> None:
    given_in_inches = faults(context={"unit": "in"}, core_od="1.6 mm", conduit_id=0.05)

    assert "more than core_od, 1.6 mm; got 1.27 mm" in given_in_inches["conduit_id"]


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("conduit_id", 1.6, "more than core_od, 1.6 mm; got 1.6 mm"),
        ("conduit_id", 1.2, "more than core_od, 1.6 mm; got 1.2 mm"),
        ("conduit_od", 2.2, "more than conduit_id, 2.2 mm; got 2.2 mm"),
        ("core_od", 0, "greater than 0"),
        ("min_bend_radius", -60, "greater than 0"),
        ("core_modulus", 0, "greater than 0"),
        ("core_strength", float("inf"), "finite"),
        ("rod_exposed", -1, "greater than or equal to 0"),
        ("max_pull", 0, "greater than 0"),
        ("weight_n_per_m", "1.5", "valid number"),
        ("construction", "6x19", "'solid', '1x7', '1x19', '7x7' or '7x19'"),
        ("kind", "push", "'push-pull' or 'pull'"),
        ("stock_measure", "core", "'conduit' or 'overall'"),
        ("colour", "black", "not permitted"),
        ("friction", -0.1, "expected 0 <= low <= high < 2, got low -0.1, high -0.1"),
        ("friction", [0.2, 0.1], "got low 0.2, high 0.1"),
        ("friction", [0.2, 2], "got low 0.2, high 2"),
        ("temperature", [60, -20], "got low 60, high -20"),
        ("temperature", [-300, 60], "got low -300, high 60"),
        ("stock_lengths", [1000, 2000, 1500], "ascending lengths, got 1500 after 2000"),
        ("stock_lengths_ft", [3, 3], "ascending lengths, got 3 after 3"),
    ],
)
def test_refusals_name_the_field_and_the_figures(field: str, value: Any, message: str) -> None:
    found = faults(**{field: value})

    assert list(found) == [field]
    assert message in found[field]


@pytest.mark.parametrize("value", [True, "0.1", [0.1], [0.1, 0.2, 0.3], [0.1, True]])
def test_friction_is_one_number_or_two(value: Any) -> None:
    assert all(field.startswith("friction") for field in faults(friction=value))


def test_one_number_of_friction_is_both_ends_of_the_range() -> None:
    assert Family.model_validate(MEASURED | {"friction": 0}).friction == (0.0, 0.0)
    assert Family.model_validate(MEASURED | {"friction": 0.12}).friction == (0.12, 0.12)
    assert Family.model_validate(MEASURED | {"friction": [0.1, 0.2]}).friction == (0.1, 0.2)


@pytest.mark.parametrize("field", ["max_push", "rod_od"])
def test_a_push_pull_cable_pushes_and_a_pull_cable_does_not(field: str) -> None:
    assert "above 0 for a push-pull" in faults(kind="push-pull", **{field: 0})[field]
    assert "0 for a pull cable, got 5" in faults(kind="pull", **{field: 5})[field]
    assert Family.model_validate(MEASURED | {"kind": "pull", field: 0})
    assert Family.model_validate(MEASURED | {"kind": "push-pull", field: 5})
    assert getattr(Family.model_validate(MEASURED | {"kind": "push-pull"}), field) is None


@pytest.mark.parametrize("tag", PROVENANCE_TAGS)
def test_provenance_is_a_tag_and_a_note(tag: str) -> None:
    noted = {"core_od": f"{tag}: how"}

    assert Family.model_validate(MEASURED | {"provenance": noted}).provenance == noted


@pytest.mark.parametrize(
    ("provenance", "message"),
    [
        ({"core_size": "computed"}, 'names of this family\'s fields, got "core_size"'),
        ({"core_od": "guessed"}, 'core_od: expected one of computed; .*, got "guessed"'),
        ({"core_od": "computed: "}, 'core_od: expected one of .*, got "computed: "'),
        ({"core_od": "computed, roughly"}, "core_od: expected one of"),
        ({"core_od": "published source"}, 'core_od: expected "published source: which"'),
        ({"core_od": "from memory"}, 'core_od: expected "from memory: which"'),
    ],
)
def test_provenance_of_another_form_is_refused(provenance: dict[str, str], message: str) -> None:
    with pytest.raises(ValidationError, match=message):
        Family.model_validate(MEASURED | {"provenance": provenance})


def test_all_faults_are_reported_together() -> None:
    assert set(faults(core_od=-1, friction=3, liner="", kind="none")) == {
        "core_od",
        "friction",
        "liner",
        "kind",
    }


@settings(max_examples=30)
@given(sizes=st.tuples(*[st.floats(0.1, 20.0)] * 3))
def test_sizes_nest_or_are_refused(sizes: tuple[float, float, float]) -> None:
    core, bore, outside = sizes
    build = MEASURED | {"core_od": core, "conduit_id": bore, "conduit_od": outside}

    if core < bore < outside:
        assert Family.model_validate(build).clearance == pytest.approx(bore - core)
    else:
        with pytest.raises(ValidationError):
            Family.model_validate(build)


def test_the_editor_schema_lets_a_length_be_text_but_not_a_modulus() -> None:
    fields = Family.model_json_schema()["properties"]

    assert {"type": "string", "format": "length"} in fields["core_od"]["anyOf"]
    assert fields["core_modulus"]["type"] == "number"


OURS = ("liners", "lubricants", "quantities")


def test_the_model_imports_nothing_that_opens_files() -> None:
    tree = ast.parse(inspect.getsource(family_module))
    modules = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    modules |= {a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names}

    ours = {"cableroute.units", *(f"cableroute.hardware.{name}" for name in OURS)}
    assert modules == {"__future__", "itertools", "typing", "pydantic"} | ours
