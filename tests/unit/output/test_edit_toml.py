from __future__ import annotations

import tomllib

from cableroute.output.edit_toml import cable_text, starter_text
from cableroute.output.toml_edit import Rows


def test_a_new_file_and_a_new_cable():
    text = starter_text(title='a "b"', unit="in", cable="shift", bend_radius="60 mm", note="guess")
    text += cable_text(cable="clutch", bend_radius="3 in")
    data = tomllib.loads(text)
    assert (data["title"], data["unit"]) == ('a "b"', "in")
    assert [cable["name"] for cable in data["cable"]] == ["shift", "clutch"]
    assert "# guess" in text
    text = Rows(text, ("cable", 1, "points")).with_rows([(None, {"at": [1, 2, 3]})])
    assert tomllib.loads(text)["cable"][1]["points"] == [{"at": [1, 2, 3]}]
