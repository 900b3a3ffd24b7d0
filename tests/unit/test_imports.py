"""The common command starts without the slow packages; the public names are all there."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from typer.testing import CliRunner

import cableroute
from cableroute.cli import COMMANDS, app

BUGGY = Path(__file__).parents[2] / "data" / "grass_track_buggy.toml"
SLOW = ("scipy", "matplotlib", "tomlkit")
LINKAGES = ("cableroute.linkage", "cableroute.linkages", "cableroute.verdict.linkage_rules")
LINKAGES += ("cableroute.verdict.linkage_figures", "cableroute.verdict.linkage_drilling")
CHECK = """
import sys
from typer.testing import CliRunner
from cableroute.cli import app
assert CliRunner().invoke(app, ["check", sys.argv[1]]).exit_code in (0, 1)
"""
ASSESS = "import sys, cableroute; cableroute.assess(cableroute.read_job(sys.argv[1]))"
HELP = "from cableroute.cli import app; app(['--help'], standalone_mode=False)"


def loaded(code: str, file: Path = BUGGY) -> set[str]:
    """Return the modules that a fresh interpreter has loaded after some code."""
    code += "\nimport sys; sys.stderr.write(' '.join(sys.modules))"
    run = [sys.executable, "-c", code, str(file)]
    return set(subprocess.run(run, capture_output=True, text=True, check=True).stderr.split())


def test_check_loads_neither_scipy_nor_matplotlib_nor_tomlkit():
    assert not loaded(CHECK).intersection((*SLOW, *LINKAGES))


def test_check_loads_no_other_command():
    commands = {name for name in loaded(CHECK) if name.startswith("cableroute.cli.")}
    own = ("check", "console", "job_options", "progress")
    assert commands == {f"cableroute.cli.{name}" for name in own}


def test_a_job_without_linkages_is_assessed_without_their_modules():
    assert not loaded(ASSESS).intersection((*SLOW, *LINKAGES))
    assert set(LINKAGES[:3]) <= loaded(ASSESS, BUGGY.with_name("grass_track_buggy_selector.toml"))


def test_every_command_of_the_table_is_listed_in_the_help():
    modules = {entry.split(":")[0] for entry in COMMANDS.values()}
    assert {f"cableroute.cli.{module}" for module in modules} <= loaded(HELP)
    lines = CliRunner().invoke(app, ["--help"]).stdout.splitlines()
    listed = {line.split()[0]: line.split()[1:] for line in lines if line.strip()}
    assert all(listed[name] for name in COMMANDS)


def test_a_mistyped_command_is_answered_with_the_nearest():
    wrong = CliRunner().invoke(app, ["chek"])
    assert wrong.exit_code == 2
    assert "check" in wrong.output


def test_the_public_names_are_explicit_sorted_and_present():
    assert sorted(cableroute.__all__) == cableroute.__all__
    assert len(set(cableroute.__all__)) == len(cableroute.__all__)
    for name in cableroute.__all__:
        assert getattr(cableroute, name) is not None


def test_the_names_of_the_contract_are_public():
    contract = {"assess", "read_job", "fit_arcs", "smooth_points", "natural_lay", "pull_force"}
    contract |= {"push_force", "locate", "Route", "CableRouteError"}
    assert contract <= set(cableroute.__all__)
