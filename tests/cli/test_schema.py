"""``cableroute schema``: a JSON Schema that editors can use."""

from __future__ import annotations

import json

from typer.testing import CliRunner

from cableroute.cli import app


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
