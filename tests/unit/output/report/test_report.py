from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import Assessment, assess
from cableroute.measure.reading import read_job
from cableroute.measure.wording import Words
from cableroute.output.bend_places import arc_middles
from cableroute.output.cautions import cautions_for
from cableroute.output.check_words import limit_words, margin_words
from cableroute.output.report.blocks import (
    Bullets,
    Facts,
    Remarks,
    Report,
    Section,
    Space,
    Table,
)
from cableroute.output.report.cable_section import towards
from cableroute.output.report.contents import report
from cableroute.output.report.space import scene
from cableroute.shown import one_line
from cableroute.verdict.judge import not_judged

DATA = Path(__file__).resolve().parents[4] / "data"
FILES = sorted(path.name for path in DATA.glob("*.toml"))


def assessed(name: str) -> Assessment:
    return assess(read_job(DATA / name))


def made(name: str) -> Report:
    return report(assessed(name), source=name, when=date(2026, 3, 4))


def job(tmp_path: Path, text: str) -> Assessment:
    file = tmp_path / "job.toml"
    file.write_text(text, encoding="utf-8")
    return assess(read_job(file))


def section(whole: Report, title: str) -> Section:
    every = [*whole.sections, *(part for each in whole.sections for part in each.parts)]
    return next(each for each in every if each.title.startswith(title))


def rows_of(part: Section) -> list[dict[str, str]]:
    shown = [block.table if isinstance(block, Facts) else block for block in part.blocks]
    tables = [block for block in shown if isinstance(block, Table)]
    heads = [column.head for column in tables[0].columns]
    return [dict(zip(heads, row, strict=True)) for row in tables[0].rows]


@pytest.mark.parametrize("name", FILES)
def test_every_example_gives_a_whole_report(name):
    whole = made(name)
    titles = [each.title for each in whole.sections]
    assert titles[0] == "Verdict"
    assert titles[-1] == "Cautions"
    assert titles[1] == "What to buy"
    for wanted in ("Where the figures come from", "Formulas and sources"):
        assert wanted in titles
    for each in whole.sections:
        if each.title.startswith("Cable "):
            assert each.parts[0].title == "What to test on the bench"
    for each in whole.sections:
        for block in (*each.blocks, *(b for part in each.parts for b in part.blocks)):
            if isinstance(block, Table):
                assert all(len(row) == len(block.columns) for row in block.rows)
    assert "2026-03-04" in whole.byline


def test_the_verdict_comes_first_with_all_that_is_grave():
    found = assessed("works_locomotive_aft.toml")
    first = report(found, source="x").sections[0]
    grave = [
        each
        for group in (found.cables, found.linkages, found.selectors)
        for owner in group
        for each in owner.findings
        if each.level != "note"
    ]
    remarks = next(block for block in first.blocks if isinstance(block, Remarks))
    assert [message for _, _, message in remarks.items] == [each.message for each in grave]
    assert [row["Verdict"] for row in rows_of(first)] == ["PASS", "PASS", "FAIL", "FAIL", "FAIL"]


def test_what_to_buy_counts_clips_anchors_and_rods():
    bought = [
        (row["Item"], row["Number"], row["For"])
        for row in rows_of(section(made("grass_track_buggy.toml"), "What to buy"))
    ]
    assert ("Clips", "3", "shift") in bought
    assert ("Anchors", "2", "shift") in bought
    assert ("End rods", "2", "shift") in bought
    assert ("Return springs", "2", "throttle") in bought
    assert not [item for item, _, of in bought if "spring" in item and of == "shift"]
    assert ("Cable push-slick-medium", "1", "shift") in bought


def test_buying_list_check_and_caution_ask_for_the_same_springs():
    found = assess(read_job(DATA / "grass_track_buggy.toml"))
    [throttle] = [each for each in found.cables if each.name == "throttle"]
    [bought] = [
        row["Which"]
        for row in rows_of(section(made("grass_track_buggy.toml"), "What to buy"))
        if row["Item"] == "Return springs"
    ]
    [wanted] = [each for each in throttle.checks if each.code == "return-wanted"]
    [count] = [each for each in throttle.findings if each.code == "return-springs"]
    assert wanted.detail in bought
    assert f"two springs, each of {wanted.detail}" in count.message
    assert "at rest and at full travel" in wanted.detail
    assert "cold" in wanted.detail
    warm, cold = throttle.lasting.returning.wanted(1.5)
    assert warm == pytest.approx(1.5 * float(throttle.lasting.returning.warm.stiff.required))
    assert wanted.value == cold > warm
    assert any("two springs, each strong enough alone" in each for each in cautions_for(found.job))


def test_a_pair_is_bought_twice(tmp_path):
    found = job(
        tmp_path,
        '[[cable]]\nname = "c"\nkind = "pull-pair"\nbend_radius = 50\n'
        'points = [{ at = [0,0,0] }, { at = [400,0,0], fix = "clip" }, { at = [400,300,0] }]\n',
    )
    bought = rows_of(section(report(found, source="x"), "What to buy"))
    assert [(row["Item"], row["Number"]) for row in bought] == [
        ("Cable, family not chosen", "2"),
        ("Anchors", "4"),
        ("Clips", "2"),
        ("End fittings", "4"),
    ]
    assert "each" in bought[0]["Which"]


def test_what_to_buy_is_told_in_inches_for_a_tape_in_inches():
    bought = rows_of(section(report(assessed("workboat.toml"), source="x"), "What to buy"))
    assert 'for a conduit of 0.433" outside' in " ".join(row["Which"] for row in bought)
    assert not [row for row in bought if " mm" in row["Which"]]


@pytest.mark.parametrize("name", ["grass_track_buggy.toml", "works_locomotive_forward.toml"])
def test_the_middle_of_an_arc_is_where_its_corner_is_seen_square_to_it(name):
    for cable in assessed(name).cables:
        route = cable.figures.route
        along = arc_middles(route)
        assert (np.diff(along) > 0.0).all()
        off = np.linalg.norm(route.point(along) - route.vertices[1:-1], axis=1)
        sagitta = route.radii * (1.0 / np.cos(0.5 * route.turns) - 1.0)
        np.testing.assert_allclose(off, sagitta, atol=1e-6)


def test_points_are_all_listed_those_that_coincide_too(tmp_path):
    found = job(
        tmp_path,
        '[[cable]]\nname = "c"\nbend_radius = 50\npoints = [\n'
        '{ at = [0,0,0], label = "a" },\n'
        '{ at = [400,0,0], label = "b", fix = "clip", passes = "inside" },\n'
        '{ at = [400,0,0], label = "twin", passes = "inside" }, { at = [400,300,0], label = "d" }]\n',
    )
    rows = rows_of(section(report(found, source="x"), "Points"))
    assert [row["Point"] for row in rows] == ["a", "b", "twin", "d"]
    assert [row["Fixed in the file"] for row in rows] == ["no", "clip", "no", "no"]
    assert rows[1]["Along the run"] == rows[2]["Along the run"] == "389 mm"
    assert rows[1]["x, y, z [mm]"] == "400, 0, 0"
    assert rows[1]["Run passes"] == "21 mm inside"
    assert rows[0]["Run passes"] == "through it"


def test_places_to_drill_are_on_the_run_from_the_hand_end(tmp_path):
    found = job(
        tmp_path,
        '[[cable]]\nname = "c"\nbend_radius = 50\nload = 100\nfriction = 0.1\npoints = [\n'
        '{ at = [0,0,0], label = "a" }, { at = [400,0,0], label = "b", fix = "clip" },\n'
        '{ at = [400,1500,0], label = "d" }]\n',
    )
    rows = rows_of(section(report(found, source="x"), "Clips, anchors and holes"))
    clips = found.cables[0].holding.clips
    assert [row["Along the run"] for row in rows] == [f"{clip.at:.0f} mm" for clip in clips]
    assert [row["What"] for row in rows][:2] == ["anchor", "clip"]
    assert "clip wanted, not in the file" in [row["What"] for row in rows]
    assert rows[1]["x, y, z [mm]"] == "400, 0, 0"
    assert rows[1]["Holds"] == f"at most {clips[1].force:.0f} N"


@pytest.mark.parametrize(
    ("direction", "words"),
    [
        ((1.0, 0.0, 0.0), "forward"),
        ((-0.1, -0.9, 0.2), "right"),
        ((-0.6, 0.0, -0.8), "down, aft"),
        ((0.5, 0.5, 0.5), "forward, left, up"),
        ((0.0, 0.0, 0.0), ""),
    ],
)
def test_directions_in_words(direction, words):
    assert towards(np.array(direction)) == words


@pytest.mark.parametrize("name", FILES)
def test_every_check_with_a_limit_says_what_is_left_and_where_it_comes_from(name):
    words = Words()
    for cable in assessed(name).cables:
        for check in cable.checks:
            assert bool(limit_words(check, words)) == bool(margin_words(check, words)), check.name
            if check.level == "pass":
                assert not margin_words(check, words).startswith("-"), check.name
                assert check.formula, check.name
                assert check.source, check.name


def test_too_tight_a_bend_fails_its_check(tmp_path):
    found = job(
        tmp_path,
        '[[cable]]\nname = "c"\nbend_radius = 300\nfriction = 0.1\nload = 50\npoints = [\n'
        '{ at = [0,0,0] }, { at = [200,0,0], passes = "inside" }, { at = [200,200,0] }]\n',
    )
    by_code = {check.code: check for check in found.cables[0].checks}
    assert by_code["bend-does-not-fit"].level == "fail"
    assert by_code["bend-does-not-fit"].margin == pytest.approx(-100.0)
    assert "stock length" in not_judged(found.cables[0].figures)
    bends = rows_of(section(report(found, source="x"), "Bends"))
    assert bends[0]["Radius"] == "200 mm TOO TIGHT"


def test_sources_name_the_provenance_of_every_known_figure():
    part = section(made("grass_track_buggy.toml"), "Where the figures come from")
    shown = [block.table if isinstance(block, Facts) else block for block in part.blocks]
    tables = [block for block in shown if isinstance(block, Table)]
    assert [table.caption.split(":")[0] for table in tables] == [
        "Data of push-slick-medium",
        "Data of throttle-thin",
    ]
    given = {figure: row[1] for row in tables[0].rows for figure in row[0].split("; ")}
    assert given["core od 2 mm"] == "invented for illustration"
    assert any(figure.startswith("weight ") and figure.endswith("N/m") for figure in given)
    assert all(row[1] for table in tables for row in table.rows)
    said = next(block for block in part.blocks if isinstance(block, Bullets))
    assert "shift: friction is the family's; measure it on the bench." in said.items
    assert any(
        item.startswith("Friction of shift: 0.04 to 0.1 (push-slick-") for item in said.items
    )


def test_formulas_stand_once_for_all_cables():
    part = section(made("grass_track_buggy.toml"), "Formulas and sources")
    told = [row["Formula, and where it comes from"] for row in rows_of(part)]
    assert len(set(told)) == len(told) > 20
    assert any("Tightest bend" in row["Check"] for row in rows_of(part))


def test_bench_says_what_the_scale_should_read():
    found = assessed("grass_track_buggy.toml")
    rows = rows_of(section(report(found, source="x"), "What to test on the bench"))
    assert [row["Way"] for row in rows] == ["pulling", "pushing"]
    low, high = found.cables[0].figures.pull.inputs
    assert rows[0]["Scale at the hand should read"] == f"{low:.0f} to {high:.0f} N"


def test_drag_that_is_in_the_high_end_is_not_told_to_come_on_top():
    job = read_job(DATA / "grass_track_buggy.toml")
    unmeasured = replace(job.cables[0], drag=None)
    found = assess(replace(job, cables=(unmeasured,), linkages=(), selectors=()))
    rows = rows_of(section(report(found, source="x"), "What to test on the bench"))
    low, high = found.cables[0].figures.pull.inputs
    assert found.cables[0].figures.pull.stiffness > 0.0
    assert rows[0]["Scale at the hand should read"] == f"{low:.0f} to {high:.0f} N"
    assert rows[0]["With no load"].startswith("at most ")


def test_the_scene_holds_everything_in_space():
    found = assessed("recumbent_trike.toml")
    whole = report(found, source="x")
    space = next(b for each in whole.sections for b in each.blocks if isinstance(b, Space))
    shown = scene(space.assessment)
    assert [cable["name"] for cable in shown["cables"]] == ["rear gear", "left brake"]
    assert [tube["name"] for tube in shown["tubes"]] == ["main"]
    first = shown["cables"][0]
    assert first["points"][0] == {
        "name": "shifter stop",
        "at": [-120.0, -340.0, 170.0],
        "fix": "anchor",
        "weight": 10.0,
    }
    assert first["line"][0] == first["points"][0]["at"]
    assert [drawing.what for drawing in space.drawings] == ["isometric", "isometric"]


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (136.2, 163.4, "136 to 163 N"),
        (18.0, 30.0, "18 to 30 N"),
        (2.04, 3.16, "2.0 to 3.2 N"),
        (50.1, 50.2, "50 N"),
        (40.0, float("inf"), "40 N at best, locks up at high friction"),
        (float("inf"), float("inf"), "locks up"),
    ],
)
def test_ranges_of_force(low, high, words):
    assert Words().forces(low, high) == words


def test_words_become_one_harmless_line():
    assert one_line("a\n\tb\x07c\u202edlrow\u2066") == r"a b\x07c\u202edlrow\u2066"
    assert one_line("\u05e9\u05dc\u05d5\u05dd") == "\u05e9\u05dc\u05d5\u05dd"
    assert one_line("\u0645\u06cc\u200c\u062e") == "\u0645\u06cc\u200c\u062e"


def test_a_pair_is_told_both_ways(tmp_path):
    found = job(
        tmp_path,
        '[[cable]]\nname = "c"\nkind = "pull-pair"\nbend_radius = 50\nload = 80\npreload = 60\n'
        "friction = 0.1\npoints = [{ at = [0,0,0] }, { at = [400,0,0] }, { at = [400,300,0] }]\n",
    )
    whole = report(found, source="x")
    facts = {row["Figure"]: row["Value"] for row in rows_of(section(whole, "Cable c"))}
    pair = found.cables[0].pair
    assert facts["Preload"].startswith("60 N in both cores")
    low, high = pair.ways[1].inputs
    assert facts["Other way"].startswith(f"{low:.0f} to {high:.0f} N for 80 N")
    bench = rows_of(section(whole, "What to test on the bench"))
    assert [row["Way"] for row in bench] == ["out, both cores at 60 N", "back, both cores at 60 N"]


def test_a_measured_drag_is_not_added_twice(tmp_path):
    text = (
        '[[cable]]\nname = "c"\nkind = "pull"\nbend_radius = 50\nload = 80\ndrag = 4\n'
        "friction = 0.1\npoints = [{ at = [0,0,0] }, { at = [400,0,0] }, { at = [400,300,0] }]\n"
    )
    found = job(tmp_path, text)
    bench = rows_of(section(report(found, source="x"), "What to test on the bench"))
    low, high = (80.0 * np.exp(0.1 * turned) + 4.0 for turned in found.cables[0].figures.wraps)
    assert bench[0]["Scale at the hand should read"] == f"{low:.0f} to {high:.0f} N"
    assert bench[0]["With no load"] == "about 4.0 N"
