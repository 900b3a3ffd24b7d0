"""Forces come back in the unit that they were typed in; plain data stay in newtons."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text
from typer.testing import CliRunner

from cableroute.assess import assess
from cableroute.cli import app
from cableroute.comparison.line_up import line_up
from cableroute.errors import RouteFileError
from cableroute.figures.feel import work_out_feel
from cableroute.measure.from_text import read_text
from cableroute.measure.reading import read_job
from cableroute.output.as_dict import assessment_dict
from cableroute.output.compare_text import comparison_lines
from cableroute.output.drawings import DRAWINGS, draw
from cableroute.output.feel_text import feel_lines
from cableroute.output.linkage_text import stroke_table
from cableroute.output.pictures.compare_picture import draw_comparison
from cableroute.output.report.as_markdown import report_markdown
from cableroute.output.report.contents import report
from cableroute.output.verdict_text import report_lines
from cableroute.units import N_PER_UNIT

DATA = Path(__file__).resolve().parents[3] / "data"
LBF = float(N_PER_UNIT["lbf"])
#: A force in newtons; a name of a gate or of an axis stands alone.
NEWTONS = re.compile(r"(?<![\w.])(-?\d[\d.]*) N(?![\w*])")
POUNDS = re.compile(r"(?<![\w.])(-?\d[\d.]*) lbf")
MACHINE = """
title = "Hoist"
{head}
[[cable]]
name = "hoist"
kind = "push-pull"
family = "push-solid-medium"
load = {load}
drag = {drag}
travel = 30
points = [{{ at = [0, 0, 0] }}, {{ at = [500, 0, 0] }}, {{ at = [500, 400, 0] }}]
"""
runner = CliRunner()


def hoist(head="", load='"22 lbf"', drag='"2 lbf"'):
    return read_text(MACHINE.format(head=head, load=load, drag=drag))


def in_pounds(path: Path) -> str:
    return f'force_unit = "lbf"\n{re.sub(BARE, lambda m: chr(34).join((m[1], m[2] + " N", "")), path.read_text())}'


#: A bare force of a route file; friction is one in an inline table only.
BARE = re.compile(
    r"(?m)((?:^(?:load|push_load|drag|preload|hand_resists)|"
    r"(?<=[{,] )(?:load|preload|depth|friction|dead|tension)) = )([\d.]+)"
)


@pytest.mark.parametrize(
    ("head", "load", "drag", "unit", "newtons"),
    [
        ("", '"22 lbf"', '"2 lbf"', "lbf", 22 * LBF),
        ("", '"10 kg"', "3", "kgf", 98.0665),
        ("", "100", "3", "N", 100.0),
        ("", '"0.1 kN"', "3", "N", 100.0),
        ("", '"100 N"', '"2 lbf"', "N", 100.0),
        ('force_unit = "lbf"', "22", "2", "lbf", 22 * LBF),
        ('force_unit = "kgf"', "10", '"2 lbf"', "kgf", 98.0665),
        ('force_unit = "N"', '"22 lbf"', '"2 lbf"', "N", 22 * LBF),
    ],
)
def test_forces_are_told_as_given_or_as_most_were_typed(head, load, drag, unit, newtons):
    job = hoist(head, load, drag)
    assert job.force_unit == unit
    assert job.cables[0].load == pytest.approx(newtons, rel=1e-12)
    told = "\n".join(line for _, line in report_lines(assess(job)))
    assert re.search(rf"pull at hand .* {unit} for [\d.]+ {unit} at the far end", told)


def test_another_unit_is_refused_with_those_that_are_known():
    with pytest.raises(RouteFileError, match=r"force_unit.*'N', 'lbf' or 'kgf'"):
        hoist('force_unit = "stone"')


@pytest.mark.parametrize("path", sorted(DATA.glob("*.toml")), ids=lambda path: path.stem)
def test_no_force_of_a_file_in_pounds_is_told_in_newtons(path):
    job = read_text(in_pounds(path))
    plain = read_job(path)
    found, same = assess(job), assess(plain)
    told = [line for _, line in report_lines(found, full=True)]
    told += [line for each in found.linkages for line in stroke_table(each.figures)]
    assert not [line for line in told if NEWTONS.search(line)]
    assert any(POUNDS.search(line) for line in told)
    pairs = zip(messages(found), messages(same), strict=True)
    assert all(alike(pounds, newtons) for pounds, newtons in pairs)
    data, others = assessment_dict(found), assessment_dict(same)
    for one, two in zip(data["cables"], others["cables"], strict=True):
        assert one["pull"]["input_n"] == pytest.approx(two["pull"]["input_n"], rel=1e-9)


def messages(found):
    groups = (*found.cables, *found.linkages, *found.selectors)
    return [check.message for group in groups for check in group.checks]


def alike(pounds: str, newtons: str) -> bool:
    """Whether the numbers of two sentences are the same forces, to the digits that are shown."""
    numbers = [
        [(float(x), len(x.partition(".")[2])) for x in re.findall(r"-?\d+(?:\.\d+)?", text)]
        for text in (pounds, newtons)
    ]
    share = 1.01 if "at least" in pounds else 0.51  # what is bought is rounded up
    return len(numbers[0]) == len(numbers[1]) and all(
        one == two or abs(one * LBF - two) <= share * (LBF * 10.0**-d1 + 10.0**-d2)
        for (one, d1), (two, d2) in zip(*numbers, strict=True)
    )


def test_the_report_has_no_newton_in_it_but_in_the_data_of_families():
    text = report_markdown(report(assess(read_text(in_pounds(BUGGY))), source="buggy"))
    told = text.partition("Where the figures come from")[0]
    assert not NEWTONS.search(told)
    assert len(POUNDS.findall(told)) > 40


BUGGY = DATA / "grass_track_buggy.toml"


def words_in(figure) -> list[str]:
    FigureCanvasAgg(figure).draw()
    return [each.get_text() for each in figure.findobj(Text)]


def test_drawings_have_pounds_on_their_axes_and_in_their_labels():
    job = read_text(in_pounds(BUGGY))
    found = assess(job)
    for what in ("forces", "feel", "sheet"):
        assert what in (*DRAWINGS, "sheet")
        figure = draw(found.cables[0], what, unit=job.unit, job=job)
        told = words_in(figure)
        assert any("lbf" in each for each in told)
        assert not [each for each in told if NEWTONS.search(each) or "[N]" in each]
    (axes,) = draw(found.cables[0], "forces", unit="mm", job=job).axes
    hand = found.cables[0].figures.pull.inputs[1] / LBF
    drawn = max(line.get_ydata().max() for line in axes.lines)
    assert hand <= drawn < 2.0 * hand


def test_a_comparison_is_in_pounds_in_its_table_and_in_its_picture():
    found = {"buggy": assess(read_text(in_pounds(BUGGY)))}
    comparisons, left_out = line_up(found, cable="shift", pair=True)
    words = found["buggy"].job.words
    told = "\n".join(line for _, line in comparison_lines(comparisons, left_out, words=words))
    assert POUNDS.search(told)
    assert not NEWTONS.search(told)
    drawn = words_in(draw_comparison(comparisons[0], words=words))
    assert not [each for each in drawn if NEWTONS.search(each) or "[N]" in each]


def test_the_feel_of_a_lever_is_in_pounds():
    found = assess(read_text(in_pounds(BUGGY)))
    for cable in found.cables:
        told = "\n".join(
            line for _, line in feel_lines(work_out_feel(cable.figures), verdict="pass")
        )
        assert "out [lbf]" in told
        assert not NEWTONS.search(told)


@pytest.mark.parametrize(
    "command",
    [
        ["suggest"],
        ["study", "--n", "64"],
        ["sweep", "--over", "cable.hoist.load=10:30:3"],
        ["linkage"],
    ],
    ids=lambda words: words[0],
)
def test_commands_tell_pounds(tmp_path, command):
    file = tmp_path / "hoist.toml"
    source = DATA / "grass_track_buggy_selector.toml"
    hoisting = MACHINE.format(head='force_unit = "lbf"', load="22", drag="2")
    file.write_text(in_pounds(source) if command[0] == "linkage" else hoisting)
    name, *more = command
    result = runner.invoke(app, [name, str(file), *more])
    assert result.exit_code in (0, 1), result.output
    assert POUNDS.search(result.output)
    assert not NEWTONS.search(result.output)


def test_bare_numbers_of_a_sweep_are_in_the_force_unit(tmp_path):
    file = tmp_path / "hoist.toml"
    file.write_text(MACHINE.format(head='force_unit = "lbf"', load="22", drag="2"))
    alone = json.loads(runner.invoke(app, ["check", str(file), "--json"]).output)
    over = ["--over", "cable.hoist.load=22:44:2", "--json"]
    swept = json.loads(runner.invoke(app, ["sweep", str(file), *over]).output)
    hand = alone["cables"][0]["pull"]["input_n"]
    assert swept["grid"][0]["pull_n"] == pytest.approx(hand, rel=1e-9)


def test_a_load_given_with_the_command_is_in_newtons_if_it_is_bare(tmp_path):
    file = tmp_path / "hoist.toml"
    file.write_text(MACHINE.format(head='force_unit = "lbf"', load="22", drag="2"))
    told = runner.invoke(app, ["check", str(file), "--load", "100", "--json"]).output
    assert json.loads(told)["cables"][0]["pull"]["load_n"] == pytest.approx(100.0)
    assert (
        "22 lbf at the far end" in runner.invoke(app, ["check", str(file), "--load", "100"]).output
    )


def test_friction_measured_in_pounds_is_told_and_written_in_pounds(tmp_path):
    file, readings = tmp_path / "hoist.toml", tmp_path / "readings.csv"
    file.write_text(MACHINE.format(head='force_unit = "lbf"', load="22", drag="2"))
    rows = [(90, 10, 12.6), (90, 20, 24.3), (180, 10, 14.6), (180, 20, 28.5), (0, 10, 11.0)]
    rows += [(360, 10, 20.0), (360, 20, 39.3), (270, 15, 25.1)]
    cells = "\n".join(f"{wrap},{load} lbf,{hand} lbf" for wrap, load, hand in rows)
    readings.write_text(f"wrap_deg,load_n,hand_n\n{cells}\n")
    result = runner.invoke(app, ["calibrate", str(readings), "--into", str(file)])
    assert result.exit_code == 0, result.output
    assert not NEWTONS.search(result.output)
    assert "lbf with no load" in result.output
    told = json.loads(runner.invoke(app, ["calibrate", str(readings), "--json"]).output)
    drag = read_job(file).cables[0].drag
    assert told["drag_interval_n"][1] <= drag < told["drag_interval_n"][1] + 0.011 * LBF
