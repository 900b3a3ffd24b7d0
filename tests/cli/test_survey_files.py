"""Route files from end to end: three ways to measure, taped nodes, checks, noise, keep-out, lay."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from cableroute import read_job
from cableroute.cli import app
from cableroute.errors import RouteFileError

DATA = Path(__file__).parents[2] / "data"
WAYS = ("coordinates", "tubes", "tapes")

PLAIN = """
[[cable]]
name = "one"
bend_radius = 50
friction = 0.1
load = 50
points = [
  {at = [0, 0, 0], label = "lever"},
  {at = [500, 0, 0], label = "sill"},
  {at = [500, 500, 0], label = "post"},
  {at = [500, 500, 600], label = "arm"},
]
"""


def run(*arguments: object) -> tuple[int, str, str]:
    result = CliRunner().invoke(app, [str(argument) for argument in arguments])
    return result.exit_code, result.stdout, result.stderr


def checked(file: Path, *options: object) -> dict:
    """The first cable of ``check --json``."""
    code, out, err = run("check", file, "--json", *options)
    assert code in (0, 1), err
    return json.loads(out)["cables"][0]


def refused(file: Path) -> str:
    code, out, err = run("check", file)
    assert (code, out) == (2, "")
    return err


def found(cable: dict, code: str) -> list[dict]:
    return [finding for finding in cable["findings"] if finding["code"] == code]


@pytest.fixture
def write(tmp_path):
    def write(text: str, name: str = "machine.toml") -> Path:
        file = tmp_path / name
        file.write_text(text, encoding="utf-8")
        return file

    return write


# three ways to measure


def test_three_ways_place_the_same_points():
    ways = [read_job(DATA / f"survey_{way}.toml") for way in WAYS]
    placed = [job.cables[0].points for job in ways]
    assert {job.cables[0].labels for job in ways} == {ways[0].cables[0].labels}
    for points in placed[1:]:
        assert np.linalg.norm(points - placed[0], axis=1).max() < ways[0].tape_tolerance


def test_three_ways_give_the_same_route_and_order():
    cables = [checked(DATA / f"survey_{way}.toml") for way in WAYS]
    for cable in cables:
        assert cable["verdict"] == "pass"
        assert cable["route"]["moved_mm"] == 0.0
        assert cable["route"]["length_mm"] == pytest.approx(2547, abs=3)
        assert cable["route"]["wrap_deg"] == pytest.approx(157.2, abs=0.5)
        assert cable["pull"]["input_n"] == pytest.approx(cables[0]["pull"]["input_n"], rel=2e-3)
    assert len({cable["order"]["stock_mm"] for cable in cables}) == 1


@pytest.mark.parametrize("way", WAYS)
def test_rounding_is_no_blunder_where_points_are_fitted_as_read(way):
    cable = checked(DATA / f"survey_{way}.toml", "--tolerance", 0)
    assert {finding["code"] for finding in cable["findings"]} <= {"assumed", "clip-spacing"}


def test_node_tied_up_by_tape_stands_where_it_should():
    """The distances were worked out from (900, 0, 1500) and rounded to the millimetre."""
    text = (DATA / "survey_tapes.toml").read_text(encoding="utf-8")
    assert "\njib_end = " not in text
    points = read_job(DATA / "survey_tapes.toml").cables[0].points
    assert points[3] == pytest.approx([200, 27.5, 1500], abs=3)  # taped from it


# sides


def test_missing_side_says_which_words_to_add(write):
    text = (DATA / "survey_tapes.toml").read_text(encoding="utf-8")
    complaint = refused(write(text.replace('side = "forward"\n', "")))
    assert "point 5 (brake stop)" in complaint
    assert 'add side = "forward" or "aft"' in complaint
    assert "up" in complaint


def test_other_side_is_the_twin(write):
    text = (DATA / "survey_tapes.toml").read_text(encoding="utf-8")
    old = read_job(write(text.replace('side = "forward"', 'side = "fore"'))).cables[0].points
    assert np.array_equal(old, read_job(write(text)).cables[0].points)  # an older word
    points = read_job(write(text.replace('side = "forward"', 'side = "aft"'))).cables[0].points
    assert points[-1, 0] < 750
    reach = np.linalg.norm(points[-1] - [[0, 0, 1500], [800, 250, 0], [800, -250, 0]], axis=1)
    assert reach == pytest.approx([850, 1517, 1526], abs=0.5)


def test_point_in_the_plane_of_its_nodes_needs_no_side(write):
    text = """
nodes = {A = [0, 0, 0], B = [700, 0, 0], C = [0, 700, 0]}
[[cable]]
name = "one"
bend_radius = 50
points = [{tape = {A = 495, B = 495, C = 495}, label = "low"}, {at = [900, 0, 0]}]
"""
    cable = read_job(write(text)).cables[0]
    assert cable.points[0] == pytest.approx([350, 350, 0], abs=6)
    (remark,) = cable.remarks
    assert "mm only, up and down" in remark.message


# nodes and tubes


QUADRILATERAL = """
nodes_flat = true
node_tape = [
  {from = "A", to = "B", read = 300},
  {from = "B", to = "C", read = 400},
  {from = "C", to = "D", read = 300},
  {from = "D", to = "A", read = 400},
  {from = "A", to = "C", read = 500},
  {from = "B", to = "D", read = 500},
]
tubes = {rail = {from = "A", to = "B", diameter = 38}, side = {from = "B", to = "C", diameter = 38}}
[[cable]]
name = "one"
bend_radius = 50
points = [
  {on = "rail", along = 50, clock = 0},
  {on = "rail", along = 299, clock = 0},
  {on = "side", along = 350, clock = 0},
]
"""


def test_braced_quadrilateral_ties_up_its_nodes(write):
    points = read_job(write(QUADRILATERAL)).cables[0].points
    assert points[1] - points[0] == pytest.approx([249, 0, 0], abs=1e-6)
    assert np.abs(points[2] - points[0]) == pytest.approx([250, 350, 0], abs=1e-6)
    assert points[:, 2] == pytest.approx(19.0)


def test_braced_quadrilateral_shows_a_misread_diagonal(write):
    cable = checked(write(QUADRILATERAL.replace('"C", read = 500', '"C", read = 540')))
    (odd,) = found(cable, "tape-blunder")
    assert odd["level"] == "fail"
    assert cable["verdict"] == "fail"
    assert "A to C reads 540 mm" in odd["message"]
    assert (odd["value"], odd["limit"]) == (pytest.approx(40, abs=1), 15)
    assert odd["message"].endswith("Tape it again.")


def test_quadrilateral_without_diagonals_is_refused(write):
    text = QUADRILATERAL.replace('  {from = "A", to = "C", read = 500},\n', "")
    text = text.replace('  {from = "B", to = "D", read = 500},\n', "")
    assert "node_tape: " in refused(write(text))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("along = 850", "along = 950", 'tube "jib": along must be within 0 and its length 900.0'),
        ("along = 850", "along = -1", "along"),
        ('on = "leg"', 'on = "lag"', "no tube 'lag'; known: post, jib, leg"),
        ('to = "jib_end"', 'to = "jib_tip"', "no node 'jib_tip'; known: foot, head"),
        ('"3 o\'clock"', '"13 o\'clock"', "clock"),
        ("toe_left = [800, 250, 0]", "toe_left = [0, 0, 0]", "its two ends must be apart"),
        ("diameter = 60", "diameter = 0", "diameter"),
    ],
)
def test_tube_faults_are_told_with_their_place(write, old, new, words):
    text = (DATA / "survey_tubes.toml").read_text(encoding="utf-8")
    assert old in text
    complaint = refused(write(text.replace(old, new)))
    assert words in complaint
    assert ".toml:" in complaint.splitlines()[0]


def test_faults_in_several_points_are_told_together(write):
    text = (DATA / "survey_tubes.toml").read_text(encoding="utf-8")
    complaint = refused(write(text.replace("along = 850", "along = 950").replace("250,", "2500,")))
    assert "point 2 (post low)" in complaint
    assert "point 5 (brake stop)" in complaint


def test_unknown_node_of_a_tape_is_told(write):
    text = (DATA / "survey_tapes.toml").read_text(encoding="utf-8")
    complaint = refused(write(text.replace("tape = { head = 850", "tape = { haed = 850")))
    assert "point 5 (brake stop): tape: no node 'haed'; known: " in complaint


def test_distances_that_cannot_meet_name_the_pair(write):
    text = (DATA / "survey_tapes.toml").read_text(encoding="utf-8")
    complaint = refused(write(text.replace("toe_right = 1526", "toe_right = 2526")))
    assert "toe_left" in complaint
    assert "toe_right" in complaint


# doubtful readings


def test_blunder_is_a_finding_and_is_left_out_when_certain(write):
    text = (DATA / "survey_tapes.toml").read_text(encoding="utf-8")
    old = "tape = { foot = 1514, jib_end = 701, toe_left = 1631, toe_right = 1639 }"
    new = "tape = { foot = 1414, head = 202, jib_end = 701, toe_left = 1631, toe_right = 1639 }"
    assert old in text
    file = write(text.replace(old, new))
    cable = checked(file)
    (doubt,) = found(cable, "tape-doubt")
    assert (doubt["where"], doubt["level"]) == ("jib root", "marginal")
    assert "reading foot, 1414 mm" in doubt["message"]
    assert "1514 mm would" in doubt["message"] or "1513 mm would" in doubt["message"]
    assert "left out" in doubt["message"]
    assert read_job(file).cables[0].points[3] == pytest.approx([200, 27.5, 1500], abs=4)


def test_nodes_nearly_in_line_are_a_finding_with_the_doubt(write):
    text = """
nodes = {A = [0, 0, 0], B = [500, 8, 0], C = [1000, 0, 0]}
[[cable]]
name = "one"
bend_radius = 50
points = [{tape = {A = 640, B = 400, C = 640}, side = "up", label = "bracket"}, {at = [900, 0, 0]}]
"""
    cable = checked(write(text))
    (doubt,) = found(cable, "tape-doubt")
    assert doubt["where"] == "bracket"
    assert "nearly in line" in doubt["message"]
    assert re.search(r"good to [1-9]\d+ mm only", doubt["message"])


# check readings


def test_check_readings_that_agree_are_silent():
    assert not found(checked(DATA / "survey_coordinates.toml"), "check-mismatch")


def test_check_mismatch_names_the_likeliest_bad_point(write):
    text = (DATA / "survey_coordinates.toml").read_text(encoding="utf-8")
    bad = text.replace("at = [0, 33, 1350]", "at = [0, 33, 1305]")
    mismatches = found(checked(write(bad)), "check-mismatch")
    assert [finding["where"] for finding in mismatches] == [
        "post low to post high",
        "post high to brake stop",
    ]
    assert all("Measure post high again" in finding["message"] for finding in mismatches)
    assert mismatches[0]["value"] == pytest.approx(45, abs=0.1)
    assert mismatches[1]["value"] == pytest.approx(45, abs=1e-9)


def test_check_of_an_unknown_point_is_refused(write):
    text = (DATA / "survey_coordinates.toml").read_text(encoding="utf-8")
    complaint = refused(write(text.replace('to = "post low"', 'to = "post lower"')))
    assert "no point 'post lower'; expected a label or a number from 1 to 5" in complaint


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('label = "jib root"', 'label = "post low"', "several points are called 'post low'"),
        ('to = "post low"', "to = 1", "expected two points, got one twice"),
    ],
)
def test_check_that_does_not_name_two_points_is_refused(write, old, new, words):
    text = (DATA / "survey_coordinates.toml").read_text(encoding="utf-8")
    assert old in text
    assert words in refused(write(text.replace(old, new)))


# keep-out


def test_keep_out_fails_with_the_place_and_heat_is_compared(write):
    zone = """
[[keepout]]
name = "exhaust"
capsule = {from = [520, 250, -300], to = [520, 250, 300], radius = 10}
distance = 40
temperature = 300
"""
    text = (
        PLAIN.replace("bend_radius = 50", 'bend_radius = 75\nfamily = "pull-slick-medium"') + zone
    )
    cable = checked(write(text), "--inside")
    (near,) = found(cable, "keep-out")
    assert (near["level"], near["where"], near["unit"]) == ("fail", "exhaust", "mm")
    assert near["value"] == pytest.approx(20 - 10 - 2.5, abs=1e-3)
    assert near["limit"] == 40.0
    (clearance,) = cable["clearances"]
    assert clearance["point_mm"] == pytest.approx([500, 250, 0], abs=0.2)
    at = 750 - (2 - np.pi / 2) * 75
    assert clearance["at_mm"] == pytest.approx(at, abs=0.2)
    assert f"{at:.0f} mm from the hand end" in near["message"]
    (heat,) = found(cable, "heat")
    assert (heat["level"], heat["value"], heat["limit"]) == ("marginal", 300.0, 100.0)


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        ("distance = 5", "expected one of box, sphere, capsule, got none"),
        ("box = [[0,0,0],[1,1,1]]\nsphere = {at = [0,0,0], radius = 5}", "got box and sphere"),
        ("sphere = {at = [0,0,0], radius = -5}", "radius"),
        ("capsule = {from = [0,0,0], too = [0,0,1], radius = 5}", "too"),
    ],
)
def test_keep_out_faults_are_told(write, shape, words):
    complaint = refused(write(f'{PLAIN}\n[[keepout]]\nname = "pipe"\n{shape}\n'))
    assert words in complaint
    assert "keepout" in complaint


# noise


@pytest.fixture
def noisy(tmp_path) -> tuple[Path, float]:
    """A quarter circle of 600 mm between straights, read every 48 mm with 1 mm of noise."""
    angle = np.linspace(0.0, np.pi / 2, 20)
    arc = 600.0 * np.stack([np.sin(angle), 1.0 - np.cos(angle), 0.0 * angle], 1)
    before = np.linspace([-480, 0, 0], [-48, 0, 0], 10)
    after = np.linspace([600, 648, 0], [600, 1080, 0], 10)
    points = np.vstack([before, arc, after])
    points = np.round(points + np.random.default_rng(3).normal(0.0, 1.0, points.shape))
    file = tmp_path / "noisy.csv"
    np.savetxt(file, points, fmt="%.0f", delimiter=",", header="x_mm,y_mm,z_mm", comments="")
    return file, 90.0


def test_noise_of_a_close_survey_is_no_bend(noisy):
    file, truth = noisy
    route = checked(file, "--bend-radius", 100)["route"]
    assert route["wrap_as_measured_deg"] > 1.5 * truth
    assert route["wrap_deg"] == pytest.approx(truth, rel=0.05)
    assert 0.0 < route["moved_mm"] <= 3.0 + 1e-9


def test_smoothing_shows_both_wraps_and_the_points_moved_most(noisy):
    file, _ = noisy
    cable = checked(file, "--bend-radius", 100)
    (note,) = found(cable, "smoothed")
    assert note["level"] == "note"
    assert note["value"] == pytest.approx(cable["route"]["wrap_as_measured_deg"])
    assert f"{cable['route']['wrap_deg']:.0f} with each point moved" in note["message"]
    assert "Largest moves: point " in note["message"]
    _, out, _ = run("check", file, "--bend-radius", 100)
    assert f"({cable['route']['wrap_as_measured_deg']:.0f} as measured)" in " ".join(out.split())


def test_the_wrap_as_measured_is_that_of_the_run_through_the_readings(noisy):
    file, _ = noisy
    smoothed, read = (
        checked(file, "--bend-radius", 100, *more)["route"] for more in ((), ("--tolerance", 0))
    )
    assert smoothed["wrap_as_measured_deg"] == pytest.approx(read["wrap_deg"], rel=1e-9)
    assert smoothed["wrap_deg"] < smoothed["wrap_as_measured_deg"]


def test_tolerance_zero_fits_the_points_as_read(noisy):
    file, _ = noisy
    cable = checked(file, "--inside", "--bend-radius", 100, "--tolerance", 0)
    route = cable["route"]
    assert route["moved_mm"] == 0.0
    assert route["wrap_deg"] == pytest.approx(route["wrap_as_measured_deg"], abs=1e-6)
    assert not found(cable, "smoothed")


# the lay


def test_both_shapes_are_there_unasked():
    file = DATA / "survey_coordinates.toml"
    cable = checked(file)
    lay, route = cable["lay"], cable["route"]
    assert set(lay) == {
        "length_mm",
        "spare_mm",
        "wrap_deg",
        "min_bend_radius_mm",
        "slack_wrap_deg",
        "slack_min_bend_radius_mm",
        "settled",
    }
    assert lay["settled"]
    assert lay["length_mm"] > route["length_mm"]  # nothing draws it tight
    low, high = route["wrap_range_deg"]
    assert low <= route["wrap_deg"] < lay["wrap_deg"] <= high
    assert lay["slack_wrap_deg"] > 0.0
    out = run("check", file)[1]
    assert "drawn tight" in out
    assert f"left alone    {lay['length_mm']:.0f} mm" in out


def test_the_boat_s_throttle_is_marginal_for_length_and_its_comments_mend_it(write):
    text = (DATA / "workboat.toml").read_text(encoding="utf-8")
    cable = checked(DATA / "workboat.toml", "--cable", "throttle")
    (short,) = found(cable, "stock-too-short")
    order = cable["order"]
    assert short["level"] == cable["verdict"] == "marginal"
    assert order["least_mm"] < order["stock_mm"] - (order["need_mm"] - order["conduit_mm"])
    assert order["surplus_mm"] < 0.0
    mended, count = re.subn(r"(?m)^# ( *\{ at .*# the mend)$", r"\1", text)
    assert count == 2
    assert checked(write(mended), "--cable", "throttle")["verdict"] == "pass"


def test_a_cable_cut_to_length_tells_where_to_cut_both():
    order = checked(DATA / "grass_track_buggy.toml", "--cable", "throttle")["order"]
    assert order["stock_mm"] is None
    assert order["cut_conduit_mm"] == order["advised_mm"]
    assert order["cut_core_mm"] == order["core_mm"] > order["cut_conduit_mm"]


def test_the_schedule_of_a_cable_cut_to_length_marks_where_to_cut():
    file = DATA / "grass_track_buggy.toml"
    order = checked(file, "--cable", "throttle")["order"]
    told = CliRunner().invoke(app, ["template", str(file)]).stdout
    conduit, core = round(order["cut_conduit_mm"]), round(order["cut_core_mm"])
    assert told.count("cut the conduit at") == 1  # the shift is bought by stock length
    assert f"cut the conduit at {conduit} mm, the core at {core} mm" in told


def test_read_job_names_every_fault_at_once(write):
    text = (DATA / "survey_tubes.toml").read_text(encoding="utf-8")
    with pytest.raises(RouteFileError) as caught:
        read_job(write(text.replace('on = "leg"', 'on = "lag"').replace("850", "1850")))
    assert len(str(caught.value).splitlines()) == 2


def test_readme_shows_a_file_that_is_read_without_complaint(write):
    readme = (DATA.parent / "README.md").read_text(encoding="utf-8")
    shown, *_ = re.findall(r"^```toml\n(.*?)^```$", readme, re.DOTALL | re.MULTILINE)
    cable = checked(write(shown))
    codes = {finding["code"] for finding in cable["findings"]}
    assert codes <= {"heat", "assumed", "fatigue"}, codes
