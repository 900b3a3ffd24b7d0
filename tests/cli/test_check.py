"""``cableroute check``: the contract of its JSON, its text, its exit statuses."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from math import exp, pi
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from cableroute import __version__
from cableroute.cli import app

DATA = Path(__file__).parents[2] / "data"
BUGGY = DATA / "grass_track_buggy.toml"
MACHINES = sorted(DATA.glob("*.toml"))
BARE = ("--bend-radius", "60", "--friction", "0.12", "--load", "80")

CABLE = {
    *("name", "kind", "verdict", "route", "order", "pull", "push", "findings"),
    *("pull_range", "push_range"),
}
ROUTE = {
    *("length_mm", "polyline_length_mm", "wrap_deg", "wrap_as_measured_deg", "min_bend_radius_mm"),
    *("fits", "tightest_leg", "bends"),
}
BEND = {"at", "turn_deg", "radius_mm", "arc_length_mm", "tangent_mm", "fits"}
ORDER = {"conduit_mm", "core_mm", "stock_mm", "slack_mm"}
PULL = {"load_n", "input_n", "efficiency"}
PUSH = PULL | {"lockup", "snaking_onset_n", "rod_buckling_n", "rod_safety_factor"}
FINDING = {"code", "level", "where", "value", "limit", "unit", "message"}


def run(*args: object) -> Result:
    return CliRunner().invoke(app, [str(arg) for arg in args])


def run_json(*args: object) -> dict:
    result = run("check", *args, "--json")
    assert result.exit_code in (0, 1), result.output
    assert result.stderr == ""
    return json.loads(result.stdout, parse_constant=pytest.fail)


def in_process(*args: object, **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "cableroute", *map(str, args)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, **env},
    )


@pytest.fixture
def corner(tmp_path: Path) -> Path:
    path = tmp_path / "points.csv"
    path.write_text("x,y,z\n0,0,0\n400,0,0\n400,300,0\n")
    return path


def check_contract(found: dict) -> None:
    assert {"schema", "title", "verdict", "cables"} <= found.keys()
    assert found["schema"] == 1
    assert found["verdict"] in ("pass", "marginal", "fail")
    for cable in found["cables"]:
        assert cable.keys() >= CABLE
        assert cable["verdict"] in ("pass", "marginal", "fail")
        assert cable["route"].keys() >= ROUTE
        assert cable["route"]["tightest_leg"].keys() >= {"from", "to", "slack_mm"}
        assert all(bend.keys() >= BEND for bend in cable["route"]["bends"])
        assert cable["order"].keys() >= ORDER
        assert cable["pull"].keys() >= PULL
        assert all(finding.keys() >= FINDING for finding in cable["findings"])
        assert all(len(cable["pull_range"][key]) == 2 for key in ("input_n", "efficiency"))
        if cable["kind"] == "push-pull":
            assert cable["push"].keys() >= PUSH
            assert all(len(cable["push_range"][key]) == 2 for key in ("input_n", "efficiency"))
        else:
            assert cable["push"] is None
            assert cable["push_range"] is None


@pytest.mark.parametrize("machine", MACHINES, ids=lambda path: path.stem)
def test_every_key_of_the_contract_is_there_for_each_machine(machine):
    check_contract(run_json(machine))


def test_every_key_of_the_contract_is_there_for_a_bare_list_of_points(corner):
    found = run_json(corner, *BARE)
    check_contract(found)
    assert found["title"] == "points"


def test_bare_points_give_the_capstan_force_and_the_filleted_length(corner):
    cable = run_json(corner, *BARE, "--inside", "--tolerance", "0")["cables"][0]
    assert cable["pull_range"]["input_n"][0] == pytest.approx(80 * exp(0.12 * pi / 2), rel=1e-12)
    assert cable["pull_range"]["efficiency"][1] == pytest.approx(exp(-0.12 * pi / 2), rel=1e-12)
    assert cable["route"]["wrap_deg"] == pytest.approx(90.0, abs=1e-9)
    assert cable["route"]["length_mm"] == pytest.approx(700 - 120 + 60 * pi / 2, abs=1e-9)
    (bend,) = cable["route"]["bends"]
    assert bend["at"] == "point 2"
    assert bend["tangent_mm"] == pytest.approx(60.0)


def test_pull_holds_the_pessimistic_end_of_the_range():
    for cable in run_json(BUGGY)["cables"]:
        low, high = cable["pull_range"]["input_n"]
        assert low < high == cable["pull"]["input_n"]
        assert cable["pull_range"]["efficiency"][0] == cable["pull"]["efficiency"]


@pytest.mark.parametrize("machine", MACHINES, ids=lambda path: path.stem)
def test_text_keeps_to_eighty_columns_and_shows_each_verdict(machine):
    result = run("check", machine)
    assert result.exit_code in (0, 1)
    assert result.stderr == ""
    assert max(map(len, result.stdout.splitlines())) <= 80
    for cable in run_json(machine)["cables"]:
        head = cable["verdict"].upper()
        assert any(
            line.startswith(head) and cable["name"] in line for line in result.stdout.splitlines()
        )
    assert "Caution:" in result.stdout


@pytest.mark.parametrize(("radius", "status"), [("60", 0), ("301", 1)])
def test_exit_status_follows_the_verdict(corner, radius, status):
    result = run("check", corner, "--bend-radius", radius, "--friction", "0.12")
    assert result.exit_code == status
    assert ("FAIL" in result.stdout) == bool(status)


def test_options_override_every_cable_of_the_file():
    found = run_json(BUGGY, "--load", "200", "--friction", "0.2", "--bend-radius", "170")
    for cable in found["cables"]:
        assert cable["pull"]["load_n"] == 200
        assert cable["friction"] == [0.2, 0.2]
        assert cable["range_shares"]["friction"] == 0  # what is left is the shape's
        assert {bend["radius_mm"] for bend in cable["route"]["bends"] if bend["fits"]} <= {170}


def test_push_load_makes_a_bare_list_push(corner):
    cable = run_json(corner, *BARE, "--push-load", "50")["cables"][0]
    assert cable["kind"] == "push-pull"
    assert cable["push"]["load_n"] == 50


def test_unit_scales_bare_points(corner):
    in_mm = run_json(corner, *BARE, "--inside")["cables"][0]["route"]
    in_inches = run_json(corner, *BARE, "--inside", "--unit", "in")["cables"][0]["route"]
    assert in_inches["polyline_length_mm"] == pytest.approx(25.4 * in_mm["polyline_length_mm"])
    assert in_inches["min_bend_radius_mm"] == in_mm["min_bend_radius_mm"] == 60


def test_a_family_supplies_what_bare_points_lack(corner):
    cable = run_json(corner, "--family", "push-solid-light", "--load", "50")["cables"][0]
    assert cable["push"]["rod_buckling_n"] > 0
    assert cable["order"]["stock_mm"] >= cable["order"]["conduit_mm"]


def test_a_user_s_library_adds_a_family(corner, tmp_path):
    library = tmp_path / "own.toml"
    library.write_text(
        "[family.mine]\nconstruction = 'solid'\ncore_od = 2\nconduit_id = 3\nconduit_od = 7\n"
        "min_bend_radius = 100\n"
    )
    found = run_json(corner, "--library", library, "--family", "mine", "--load", "10")
    assert found["cables"][0]["route"]["min_bend_radius_mm"] == 100


def test_lock_up_is_null_in_json_and_words_in_text(tmp_path):
    path = tmp_path / "coil.toml"
    turns = ", ".join(f"{{ at = [{0 if i % 2 else 300}, {300 * i}, 0] }}" for i in range(12))
    path.write_text(
        "[[cable]]\nname = 'a'\nkind = 'push-pull'\nfriction = 0.6\nload = 100\npush_load = 4000\n"
        f"points = [{turns}]\n[cable.build]\nconstruction = '7x19'\ncore_od = 2\nconduit_id = 6\n"
        "conduit_od = 8\nmin_bend_radius = 60\n"
    )
    push = run_json(path)["cables"][0]["push"]
    assert push["lockup"]
    assert push["input_n"] is None
    assert push["efficiency"] is None
    assert "locks up: no force at the hand moves 4000 N" in run("check", path).stdout


def test_a_pipe_and_no_color_get_no_escape_codes():
    piped = in_process("check", BUGGY)
    assert "\x1b" not in piped.stdout
    assert "\x1b" not in in_process("check", BUGGY, NO_COLOR="1").stdout
    coloured = CliRunner().invoke(app, ["check", str(BUGGY)], color=True)
    assert "\x1b" in coloured.stdout
    plain = CliRunner().invoke(app, ["check", str(BUGGY)], color=True, env={"NO_COLOR": "1"})
    assert "\x1b" not in plain.stdout


def test_a_reader_that_leaves_early_causes_no_traceback():
    command = f'"{sys.executable}" -m cableroute check "{BUGGY}" --json | head -1'
    done = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)
    assert done.stdout == "{\n"
    assert "Traceback" not in done.stderr


def test_a_stream_that_cannot_show_a_label_gets_an_escape_instead(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("x,y,z,label\n0,0,0,lever Ω\n900,0,0,box\n", encoding="utf-8")
    done = in_process("check", path, *BARE, PYTHONIOENCODING="latin-1")
    assert done.returncode == 0, done.stderr
    assert "lever \\u03a9" in done.stdout


def test_text_and_json_agree_on_the_verdict():
    found = run_json(BUGGY)
    worst = max(
        (cable["verdict"] for cable in found["cables"]), key=("pass", "marginal", "fail").index
    )
    assert found["verdict"] == worst


def test_help_says_what_to_type():
    result = run("check", "--help")
    assert result.exit_code == 0
    assert "cableroute check points.csv --bend-radius 60" in " ".join(result.stdout.split())


def test_friction_may_be_a_range(corner):
    given = run_json(corner, "--bend-radius", "60", "--load", "80", "--friction", "0.08:0.15")
    pull = given["cables"][0]["pull_range"]["input_n"]
    assert given["cables"][0]["friction"] == [0.08, 0.15]
    assert pull[0] < pull[1] == given["cables"][0]["pull"]["input_n"]


@pytest.mark.parametrize("words", ["0.1:0.2:0.3", "slick", "0.1:", "inf", ":", "0.1-0.2"])
def test_friction_that_is_no_number_says_what_would_do(corner, words):
    result = run("check", corner, "--bend-radius", "60", "--friction", words)
    assert result.exit_code == 2
    assert "0.08:0.15" in result.output


def test_version_is_that_of_the_package():
    result = run("--version")
    assert result.exit_code == 0
    assert result.stdout == f"cableroute {__version__}\n"


INCHES = "x_in,y_in,z_in\n0,0,0\n16,0,0\n16,12,0\n"


@pytest.mark.parametrize(("given", "mm"), [("2 in", 50.8), ("60mm", 60.0), ("60", 60.0)])
def test_a_radius_may_come_with_its_unit(tmp_path, given, mm):
    (tmp_path / "a.csv").write_text(INCHES)
    words = ("--bend-radius", given, "--friction", "0.1", "--load", "10 lbf")
    found = run_json(tmp_path / "a.csv", *words, "--tolerance", "1/8 in")["cables"][0]
    assert found["route"]["min_bend_radius_mm"] == pytest.approx(mm)
    assert found["pull"]["load_n"] == pytest.approx(44.482216)
    assert "radius-slip" not in {finding["code"] for finding in found["findings"]}


def test_a_radius_in_inches_read_as_millimetres_is_asked_about(tmp_path):
    (tmp_path / "a.csv").write_text(INCHES)
    words = ("--bend-radius", "2", "--friction", "0.1", "--load", "5")
    found = run_json(tmp_path / "a.csv", *words)["cables"][0]
    (slip,) = [each for each in found["findings"] if each["code"] == "radius-slip"]
    assert slip["level"] == "marginal"
    assert "2 in" in slip["message"]


def test_a_choice_that_is_none_is_refused_in_plain_words(corner):
    result = run("check", corner, "--unit", "yard")
    assert result.exit_code == 2
    assert "'yard' is not one of" in result.output
    assert "Value error" not in result.output


@pytest.mark.skipif(not hasattr(signal, "SIGPIPE"), reason="has no such signal")
def test_a_reader_that_has_had_enough_is_no_failing_verdict():
    read, write = os.pipe()
    os.close(read)
    with subprocess.Popen(
        [sys.executable, "-m", "cableroute", "check", str(BUGGY)],
        stdout=write,
        stderr=subprocess.PIPE,
    ) as process:
        os.close(write)
        complaints = process.stderr.read()
    assert process.returncode == -signal.SIGPIPE
    assert complaints == b""
