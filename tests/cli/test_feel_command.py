"""``cableroute feel``: its text, its JSON, its drawing, its exit statuses."""

from __future__ import annotations

import json
from dataclasses import replace
from math import exp
from pathlib import Path

import numpy as np
import pytest
import typer
from typer.testing import CliRunner, Result

from cableroute.assess import assess
from cableroute.cli.feel import feel_command
from cableroute.errors import CableRouteError
from cableroute.figures.feel import work_out_feel
from cableroute.measure.reading import read_job
from cableroute.output.pictures.feel_chart import draw_feel

app = typer.Typer()
app.command("feel")(feel_command)

BUGGY = Path(__file__).parents[2] / "data" / "grass_track_buggy.toml"
SHIFT = """
title = "Bench"
tape_tolerance = 0
[[cable]]
name = "shift"
kind = "push-pull"
family = "push-slick-medium"
friction = [0.05, 0.15]
travel = 40
drag = 3
points = [{ at = [0, 0, 0] }, { at = [600, 0, 0], passes = "inside" }, { at = [600, 600, 0] }]
[cable.resists]
preload = 5
spring = 0.5
friction = 10
detents = [{ at = 12, depth = 30, width = 4 }, { at = 300, depth = 9, width = 4 }]
"""
BARE = SHIFT[: SHIFT.index("[cable.resists]")].replace("drag = 3", "load = 120\npush_load = 80")
THROTTLE = """
[[cable]]
name = "throttle"
kind = "pull"
family = "throttle-thin"
friction = 0.1
travel = 28
points = [{ at = [0, 0, 0] }, { at = [600, 0, 0], passes = "inside" }, { at = [600, 600, 0] }]
[cable.resists]
preload = 6
spring = 0.8
friction = 2
"""


def run(*args: object) -> Result:
    return CliRunner().invoke(app, [str(arg) for arg in args])


def run_json(*args: object) -> dict:
    result = run(*args, "--json")
    assert result.exit_code in (0, 1), result.output
    assert result.stderr == ""
    return json.loads(result.stdout, parse_constant=pytest.fail)


@pytest.fixture
def both(tmp_path: Path) -> Path:
    path = tmp_path / "both.toml"
    path.write_text(SHIFT + THROTTLE)
    return path


@pytest.fixture
def weak(tmp_path: Path) -> Path:
    path = tmp_path / "weak.toml"
    path.write_text(THROTTLE.replace("preload = 6", "preload = 1").replace("n = 2", "n = 4"))
    return path


def test_the_text_says_what_is_felt(both: Path) -> None:
    result = run(both)

    assert result.exit_code == 0, result.output
    for words in (
        "shift (push-pull",
        "3.0 N of drag",
        "lost motion",
        "returns",
        "by itself",
        "J a cycle",
    ):
        assert words in result.stdout
    assert "at 300.0 mm: the far end does not get out of it" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_the_detent_in_the_text_is_its_depth_times_the_capstan_ratio(both: Path) -> None:
    shift = assess(read_job(both)).cables[0].figures
    low, high = (30.0 * exp(mu * shift.route.wrap) for mu in shift.apparent_friction)
    words = f"30 N to get out of it, at the hand {low:.0f} to {high:.0f} N"

    assert words in " ".join(run(both).stdout.split())


def test_the_table_has_both_ends_and_nine_rows(both: Path) -> None:
    lines = run(both, "--cable", "throttle").stdout.splitlines()
    start = next(i for i, line in enumerate(lines) if "out [N]" in line)
    rows = [[float(cell) for cell in line.split()] for line in lines[start + 2 : start + 11]]

    assert [rows[0][0], rows[-1][0]] == [0.0, 28.0]
    assert np.diff([row[0] for row in rows]) == pytest.approx(3.5)
    assert {len(row) for row in rows} == {9}
    # the force out at the turning place is that before turning
    assert rows[-1][1] == rows[-1][3]


def test_json_keys_and_arrays(both: Path) -> None:
    data = run_json(both)

    assert (data["schema"], data["title"], data["verdict"]) == (1, "Bench", "marginal")
    assert [cable["name"] for cable in data["cables"]] == ["shift", "throttle"]
    shift, throttle = data["cables"]
    assert shift["friction"] == [0.05, 0.15]
    hand, force, far = (
        np.array(shift[key]) for key in ("hand_travel_mm", "hand_force_n", "far_travel_mm")
    )
    assert len(hand) == len(force) == len(far) == len(shift["low_friction"]["hand_force_n"])
    assert (hand.min(), hand.max()) == (-20.0, 20.0)
    assert np.abs(force).max() == pytest.approx(shift["greatest_n_range"][1], rel=1e-3)
    assert np.ptp(far) == pytest.approx(shift["arrives_mm_range"][1], abs=1e-3)
    low, high = shift["work_lost_mj_range"]
    assert 0.0 < low < high
    assert [each["at_mm"] for each in shift["detents"]] == [12.0, 300.0]
    assert shift["detents"][1]["felt_n_range"] == [None, None]
    assert shift["left_out_mm_range"] is None
    assert throttle["left_out_mm_range"] == [0.0, 0.0]
    assert throttle["notes"]
    assert not shift["notes"]


def test_what_stiffness_adds_and_the_cycle_leaves_out_is_said_in_every_output(
    tmp_path: Path,
) -> None:
    path = tmp_path / "free.toml"
    path.write_text(SHIFT.replace("drag = 3\n", ""))
    figures = assess(read_job(path)).cables[0].figures
    assert figures.pull.stiffness > 1.0
    words = f"up to {figures.words.force(figures.pull.stiffness)} by the core's stiffness under the load"

    shift = run_json(path)["cables"][0]
    assert shift["stiffness_left_out_n"] == pytest.approx([figures.pull.stiffness, figures.drag])
    assert words in " ".join(shift["notes"])
    assert words in " ".join(run(path).stdout.split())
    assert words in draw_feel(work_out_feel(figures)).get_xlabel()


def test_a_stroke_that_stands_for_a_travel_is_told_with_the_feel(tmp_path: Path) -> None:
    path = tmp_path / "free.toml"
    path.write_text(SHIFT.replace("travel = 40\n", ""))
    assert "no travel is given" in " ".join(run_json(path)["cables"][0]["notes"])


def test_a_measured_drag_has_what_stiffness_adds_in_it(both: Path) -> None:
    assert run_json(both)["cables"][0]["stiffness_left_out_n"] is None
    figures = assess(read_job(both)).cables[0].figures
    assert "stiffness" not in draw_feel(work_out_feel(figures)).get_xlabel()


def test_drag_is_twice_felt_where_the_hand_turns(both: Path) -> None:
    shift = run_json(both)["cables"][0]
    middle = len(shift["hand_force_n"]) // 2

    before, after = shift["hand_force_n"][middle - 1 : middle + 1]
    assert before - after == pytest.approx(2.0 * 3.0)


def test_a_pull_cable_that_stays_out_fails(weak: Path) -> None:
    result = run(weak)
    data = run_json(weak)

    assert result.exit_code == 1
    assert "NOT by itself" in result.stdout
    assert data["verdict"] == data["cables"][0]["verdict"] == "fail"
    assert data["cables"][0]["returns"] is False
    # (P + k x - f) e^-mu*wrap = 0
    assert data["cables"][0]["left_out_mm_range"] == pytest.approx([3.75, 3.75], abs=0.01)


def test_a_lever_that_resists_is_not_brought_back(both: Path) -> None:
    both.write_text(both.read_text().replace("travel = 28", "travel = 28\nhand_resists = 8"))

    assert run_json(both, "--cable", "throttle")["cables"][0]["returns"] is False
    assert run(both, "--cable", "shift").exit_code == 0


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    path = tmp_path / "bare.toml"
    path.write_text(BARE)
    return path


def test_a_bare_load_is_taken_as_it_is(bare: Path) -> None:
    shift = run_json(bare)["cables"][0]
    figures = assess(read_job(bare)).cables[0].figures
    low, high = (exp(mu * figures.route.wrap) for mu in figures.apparent_friction)

    assert shift["greatest_n_range"] == pytest.approx([120.0 * low, 120.0 * high])
    assert min(shift["hand_force_n"]) == pytest.approx(-80.0 * high)
    assert shift["far_load"]["given"] is False
    assert any("resists" in note for note in shift["notes"])
    assert "120 N always, 80 N pushing" in run(bare).stdout


def test_options_override_the_file(bare: Path) -> None:
    plain, more = run_json(bare), run_json(bare, "--friction", "0.3", "--load", "200")
    wraps = assess(read_job(bare)).cables[0].figures.wraps

    assert more["cables"][0]["greatest_n_range"] == pytest.approx(
        [200 * exp(0.3 * wrap) for wrap in wraps]
    )
    assert plain["cables"][0]["friction"] != [0.3, 0.3]


def test_a_soft_bracket_swallows_travel(both: Path) -> None:
    stiff = run_json(both, "--cable", "shift")["cables"][0]
    text = both.read_text().replace("drag = 3", "drag = 3\nanchors.far.bracket.stiffness = 100", 1)
    both.write_text(text)
    soft = run_json(both, "--cable", "shift")["cables"][0]

    ends = np.array([min(stiff["far_travel_mm"]), max(stiff["far_travel_mm"])])
    load = 5.0 + 10.0 + 0.5 * np.abs(ends)  # preload, friction and spring at either end
    swallowed = stiff["arrives_mm_range"][1] - soft["arrives_mm_range"][1]
    assert swallowed == pytest.approx(load.sum() / 100.0, rel=0.02)


def test_two_cables_that_pull_in_turn_are_alike_both_ways(tmp_path: Path) -> None:
    path = tmp_path / "pair.toml"
    path.write_text(THROTTLE.replace('"pull"', '"pull-pair"').replace("preload = 6", "preload = 0"))
    (cable,) = run_json(path)["cables"]
    force = np.array(cable["hand_force_n"])

    assert force.max() == pytest.approx(-force.min())
    assert cable["left_out_mm_range"] is None
    assert any("each way" in note for note in cable["notes"])


def test_snaking_is_noted(both: Path) -> None:
    figures = assess(read_job(both)).cables[0].figures
    soft = replace(figures, push=replace(figures.push, snaking_onset=20.0))

    assert not any("snakes" in note for note in work_out_feel(figures).notes)
    assert any("snakes from 20 N on" in note for note in work_out_feel(soft).notes)


@pytest.mark.parametrize(
    ("suffix", "begins"), [(".png", b"\x89PNG"), (".svg", b"<?xml"), (".pdf", b"%PDF")]
)
def test_a_drawing_is_written(both: Path, tmp_path: Path, suffix: str, begins: bytes) -> None:
    out = tmp_path / f"loop{suffix}"

    result = run(both, "--cable", "shift", "-o", out)
    assert result.exit_code == 0, result.output
    assert out.read_bytes().startswith(begins)
    assert f"{out.name} is written." in result.stdout


def test_a_drawing_is_never_written_over_another_unasked(both: Path, tmp_path: Path) -> None:
    out = tmp_path / "loop.svg"
    out.write_text("mine")

    result = run(both, "--cable", "shift", "-o", out)
    assert result.exit_code == 2
    assert "exists already" in result.stderr
    assert out.read_text() == "mine"
    assert run(both, "--cable", "shift", "-o", out, "--force").exit_code == 0
    assert out.read_text().startswith("<?xml")


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["-o", "x.gif"], "expected a name ending in .png"),
        (["-o", "x.png"], "one picture shows one cable; expected --cable, one of: shift, throttle"),
        (["--cable", "clutch"], "no cable 'clutch'; known: shift, throttle"),
        (["--family", "no-such"], "no-such"),
    ],
)
def test_wrong_use_is_told(both: Path, args: list[str], said: str) -> None:
    result = run(both, *args)

    assert result.exit_code == 2
    assert said in result.stderr
    assert not Path("x.png").exists()


def test_without_cable_data_or_travel_it_says_what_to_give(tmp_path: Path) -> None:
    points = tmp_path / "points.csv"
    points.write_text("x_mm,y_mm,z_mm\n0,0,0\n600,0,0\n600,600,0\n")
    bare = run(points, "--bend-radius", "60")
    assert bare.exit_code == 2
    assert "expected the cable's data" in bare.stderr
    assert "name a family" in bare.stderr

    path = tmp_path / "throttle.toml"
    path.write_text(THROTTLE)
    figures = assess(read_job(path)).cables[0].figures
    with pytest.raises(CableRouteError, match='cable "throttle": expected a travel, got none'):
        work_out_feel(replace(figures, travel=None))
