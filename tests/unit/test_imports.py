"""The common command starts without the slow packages; the public names are all there."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from typer.testing import CliRunner

import cableroute
from cableroute.cli import COMMANDS, app

BUGGY = Path(__file__).parents[2] / "data" / "grass_track_buggy.toml"
SLOW = ("scipy", "matplotlib", "cableroute.route.lay")
LINKAGES = ("cableroute.linkage", "cableroute.figures.linkage", "cableroute.verdict.linkage")
LINKAGES += ("cableroute.figures.selector", "cableroute.figures.drill_list")
LINKAGES += ("cableroute.measure.linkage_models",)
CHECK = """
import sys
from typer.testing import CliRunner
from cableroute.cli import app
assert CliRunner().invoke(app, ["check", sys.argv[1]]).exit_code in (0, 1)
"""
ASSESS = "import sys, cableroute; cableroute.assess(cableroute.read_job(sys.argv[1]))"
BUILT = """
import sys
from pydantic import BaseModel
def below(model):
    return {model}.union(*map(below, model.__subclasses__()))
for model in below(BaseModel):
    if model.__module__.startswith("cableroute.") and "__pydantic_core_schema__" in vars(model):
        if isinstance(model.__pydantic_core_schema__, dict):
            sys.stderr.write(f"built:{model.__name__} ")
"""
HELP = "from cableroute.cli import app; app(['--help'], standalone_mode=False)"


def loaded(code: str, file: Path = BUGGY) -> set[str]:
    """Return the modules that a fresh interpreter has loaded after some code."""
    code += "\nimport sys; sys.stderr.write(' '.join(sys.modules))"
    run = [sys.executable, "-c", code, str(file)]
    return set(subprocess.run(run, capture_output=True, text=True, check=True).stderr.split())


def test_check_loads_neither_scipy_nor_matplotlib():
    assert not loaded(CHECK).intersection((*SLOW, *LINKAGES))


def test_check_builds_only_the_models_that_the_file_holds():
    words = loaded(CHECK + BUILT, BUGGY.with_name("survey_coordinates.toml"))
    built = {word.removeprefix("built:") for word in words if word.startswith("built:")}
    assert built == {"RouteFile", "CheckEntry", "Family"}  # cables and points are within the first


def test_the_terminal_draws_the_blocks_of_a_report_without_what_pages_need():
    for full in (CHECK, CHECK.replace("sys.argv[1]]", "sys.argv[1], '--full']")):
        modules = loaded(full, BUGGY.with_name("grass_track_buggy_selector.toml"))
        assert "cableroute.output.report.as_text" in modules
        pages = {"contents", "as_html", "as_pdf", "as_markdown", "cable", "linkage"}
        assert not modules & {f"cableroute.output.report.{name}" for name in pages}
        assert not modules.intersection(("cableroute.output.drawings", *SLOW))


def test_check_loads_no_other_command():
    commands = {name for name in loaded(CHECK) if name.startswith("cableroute.cli.")}
    own = ("check", "console", "job_options", "progress")
    assert commands == {f"cableroute.cli.{name}" for name in own}


def test_only_the_page_loads_a_server():
    server = {"starlette", "uvicorn", "segno", "cableroute.page"}
    assert not loaded(HELP).intersection(server - {"cableroute.page"})
    assert not loaded(CHECK).intersection(server)
    assert server - {"segno"} <= loaded("import cableroute.page.serve")


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
