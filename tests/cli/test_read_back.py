"""The runs that are exported read back as themselves, in every file of the demonstration data."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from cableroute.cli import app

DATA = Path(__file__).resolve().parents[2] / "data"
MACHINES = sorted(path.name for path in DATA.glob("*.toml"))
TOLD = ("length_mm", "wrap_deg", "min_bend_radius_mm")


def check(file: Path, *options: str) -> list[dict[str, Any]]:
    result = CliRunner().invoke(app, ["check", str(file), "--json", *options])
    assert result.exit_code < 2, result.output
    cables: list[dict[str, Any]] = json.loads(result.stdout)["cables"]
    return cables


@pytest.mark.parametrize("ending", ["csv", "dxf"])
@pytest.mark.parametrize("name", MACHINES)
def test_an_exported_run_reads_back_as_itself(tmp_path: Path, name: str, ending: str) -> None:
    """Length, wrap and tightest bend within half a per cent; read for a cable that bends tighter."""
    file = tmp_path / f"again.{ending}"
    told = CliRunner().invoke(app, ["export", str(DATA / name), "-o", str(file)])
    assert told.exit_code == 0, told.output
    for old, new in zip(check(DATA / name), check(file, "--bend-radius", "20"), strict=True):
        assert [new["route"][key] for key in TOLD] == pytest.approx(
            [old["route"][key] for key in TOLD], rel=0.005
        )
        assert new["route"]["fits"]


def test_a_run_read_back_for_its_own_cable_is_not_told_to_be_drawn_too_tight(
    tmp_path: Path,
) -> None:
    file = tmp_path / "again.csv"
    machine = DATA / "grass_track_buggy_selector.toml"
    CliRunner().invoke(app, ["export", str(machine), "-o", str(file)])
    (cable,) = check(file, "--bend-radius", "160")
    assert "drawn-too-tight" not in {finding["code"] for finding in cable["findings"]}
    (note,) = [each for each in cable["findings"] if "drawn curve" in each["message"]]
    assert "5 bends between, which miss none of the points by more than 0.01 mm" in note["message"]
