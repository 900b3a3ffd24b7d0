"""The common command starts without the slow packages; the public names are all there."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import cableroute

BUGGY = Path(__file__).parents[2] / "data" / "grass_track_buggy.toml"
PROBE = """
import sys
from typer.testing import CliRunner
from cableroute.cli import app
assert CliRunner().invoke(app, ["check", sys.argv[1]]).exit_code in (0, 1)
print([name for name in ("scipy", "matplotlib", "tomlkit") if name in sys.modules])
"""


def test_check_loads_neither_scipy_nor_matplotlib_nor_tomlkit():
    done = subprocess.run(
        [sys.executable, "-c", PROBE, str(BUGGY)], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_the_public_names_are_explicit_sorted_and_present():
    assert sorted(cableroute.__all__) == cableroute.__all__
    assert len(set(cableroute.__all__)) == len(cableroute.__all__)
    for name in cableroute.__all__:
        assert getattr(cableroute, name) is not None


def test_the_names_of_the_contract_are_public():
    contract = {"assess", "read_job", "fit_arcs", "smooth_points", "natural_lay", "pull_force"}
    contract |= {"push_force", "locate", "Route", "CableRouteError"}
    assert contract <= set(cableroute.__all__)
