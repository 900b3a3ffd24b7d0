"""``cableroute schema``: a JSON Schema that editors can use."""

from __future__ import annotations

import json
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from cableroute.cli import app

DATA = Path(__file__).resolve().parents[2] / "data"
MACHINE = '[[cable]]\nname = "a"\nbend_radius = 60\n'
POINTS = "points = [{at = [0, 0, 0]}, {at = [400, 0, 0]}]\n"


def schema() -> dict:
    result = CliRunner().invoke(app, ["schema"])
    assert result.exit_code == 0
    return json.loads(result.stdout)


def test_keys_are_those_of_the_file_and_no_others_are_allowed():
    found = schema()
    assert {"title", "unit", "tape_tolerance", "nodes", "tubes", "cable"} <= found[
        "properties"
    ].keys()
    assert found["additionalProperties"] is False
    assert "from" in found["$defs"]["TubeEntry"]["properties"]


def test_lengths_may_be_numbers_or_text():
    radius = schema()["$defs"]["CableEntry"]["properties"]["bend_radius"]
    types = {kind for option in radius["anyOf"] for kind in _types(option)}
    assert types == {"number", "string", "null"}


def _types(option: dict) -> list[str]:
    if "anyOf" in option:
        return [kind for inner in option["anyOf"] for kind in _types(inner)]
    return [option["type"]]


def test_every_field_has_a_description():
    found = schema()
    for table in (found, *found["$defs"].values()):
        for name, field in table.get("properties", {}).items():
            assert field.get("description"), name


def faults(text: str) -> list:
    """What an independent reader of JSON Schema, as an editor's, has to say."""
    found = schema()
    Draft202012Validator.check_schema(found)
    return list(Draft202012Validator(found).iter_errors(tomllib.loads(text)))


@pytest.mark.parametrize("file", sorted(DATA.glob("*.toml")), ids=lambda file: file.stem)
def test_an_editor_finds_no_fault_with_the_shipped_files(file):
    assert faults(file.read_text(encoding="utf-8")) == []


def test_the_starter_file_points_editors_at_the_schema_and_is_sound_by_it():
    text = files("cableroute.output").joinpath("starter.toml").read_text(encoding="utf-8")
    assert text.startswith("#:schema ./cableroute.schema.json\n")
    assert "cableroute schema > cableroute.schema.json" in text
    assert faults(text) == []


@pytest.mark.parametrize("range_", ["0.12", "[0.08, 0.15]"])
def test_one_number_may_stand_for_a_range(range_):
    assert faults(f"{MACHINE}friction = {range_}\nbending_stiffness = 900\n{POINTS}") == []


@pytest.mark.parametrize("line", ["friction = [0.1]", 'friction = "low"', "colour = 3"])
def test_an_editor_finds_what_the_program_would_refuse(line):
    assert faults(f"{MACHINE}{line}\n{POINTS}")
