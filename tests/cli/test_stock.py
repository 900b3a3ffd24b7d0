"""``cableroute stock``: every family, and one with its sources."""

from __future__ import annotations

import json

from typer.testing import CliRunner

from cableroute.cli import app
from cableroute.hardware.library import load_library


def stock(*args: str):
    return CliRunner().invoke(app, ["stock", *args])


def test_the_table_has_a_line_for_each_family():
    result = stock()
    assert result.exit_code == 0
    first_words = [line.split(" ")[0] for line in result.stdout.splitlines()]
    assert set(load_library()) <= set(first_words)
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_one_family_shows_figures_with_units_and_sources():
    text = stock("push-solid-medium").stdout
    assert "160 mm" in " ".join(text.split())
    assert "invented for illustration" in text
    assert "from memory" in text
    assert max(map(len, text.splitlines())) <= 80


def test_an_unknown_family_names_the_nearest():
    result = stock("push-solid-medum")
    assert result.exit_code == 2
    assert "push-solid-medium" in result.stderr
    assert result.stdout == ""


def test_json_has_every_family_and_can_be_read_back():
    found = json.loads(stock("--json").stdout)
    assert found.keys() == load_library().keys()
    assert json.loads(stock("throttle-thin", "--json").stdout) == {
        "throttle-thin": found["throttle-thin"]
    }


def test_a_user_s_own_file_adds_and_a_broken_one_complains(tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(
        "[family.mine]\nconstruction = 'solid'\ncore_od = 2\nconduit_id = 3\nconduit_od = 7\n"
        "min_bend_radius = 100\n"
    )
    assert "mine" in stock("--library", str(own)).stdout
    own.write_text("[family.mine]\ncore_od = -2\n")
    result = stock("--library", str(own))
    assert result.exit_code == 2
    assert 'family "mine", core_od: expected greater than 0' in result.stderr
