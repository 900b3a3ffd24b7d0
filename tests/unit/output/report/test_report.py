from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import Assessment, assess
from cableroute.measure.reading import read_job
from cableroute.output.checks.cable import checks, not_judged
from cableroute.output.report.blocks import (
    Bullets,
    Remarks,
    Report,
    Section,
    Space,
    Table,
    one_line,
)
from cableroute.output.report.cable import towards
from cableroute.output.report.contents import report
from cableroute.output.wording import distances, span

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
    tables = [block for block in part.blocks if isinstance(block, Table)]
    heads = [column.head for column in tables[0].columns]
    return [dict(zip(heads, row, strict=True)) for row in tables[0].rows]


@pytest.mark.parametrize("name", FILES)
def test_every_example_gives_a_whole_report(name):
    whole = made(name)
    titles = [each.title for each in whole.sections]
    assert titles[0] == "Verdict"
    assert titles[-1] == "Cautions"
    for wanted in ("What to buy", "What to test on the bench", "Where the figures come from"):
        assert wanted in titles
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
    assert ("Return spring", "1", "throttle") in bought
    assert ("Return spring", "1", "shift") not in bought
    assert ("Cable push-slick-medium", "1", "shift") in bought


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


def test_distances_end_at_the_length_and_lie_in_the_middle_of_arcs():
    for cable in assessed("grass_track_buggy.toml").cables:
        route = cable.figures.route
        along = distances(cable.figures)
        assert along[0] == 0.0
        assert along[-1] == pytest.approx(float(route.length))
        assert (np.diff(along) > 0.0).all()
        # the middle of an arc lies where the corner is seen square to the arc
        off = np.linalg.norm(route.point(along[1:-1]) - route.points[1:-1], axis=1)
        sagitta = route.radii * (1.0 / np.cos(0.5 * route.turns) - 1.0)
        np.testing.assert_allclose(off, sagitta, rtol=1e-9)


def test_points_are_all_listed_those_that_coincide_too(tmp_path):
    found = job(
        tmp_path,
        '[[cable]]\nname = "c"\nbend_radius = 50\npoints = [\n'
        '{ at = [0,0,0], label = "a" }, { at = [400,0,0], label = "b", fix = "clip" },\n'
        '{ at = [400,0,0], label = "twin" }, { at = [400,300,0], label = "d" }]\n',
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
    assert rows[1]["x, y, z [mm]"] == "385, 15, 0"
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
def test_no_check_contradicts_the_verdict(name):
    for cable in assessed(name).cables:
        worst = {check.outcome for check in checks(cable)}
        codes = {code for check in checks(cable) for code in check.codes}
        judged = {each.level for each in cable.findings if each.code in codes}
        assert worst & {"fail", "marginal"} == judged & {"fail", "marginal"}
        for check in checks(cable):
            assert check.formula
            assert check.source
            assert bool(check.limit) == bool(check.margin), check.name
            if check.outcome == "pass" and check.margin[0] == "-":
                pytest.fail(f"{check.name} passes with {check.margin} left")


def test_too_tight_a_bend_fails_its_check(tmp_path):
    found = job(
        tmp_path,
        '[[cable]]\nname = "c"\nbend_radius = 300\nfriction = 0.1\nload = 50\npoints = [\n'
        "{ at = [0,0,0] }, { at = [200,0,0] }, { at = [200,200,0] }]\n",
    )
    by_name = {check.name: check for check in checks(found.cables[0])}
    assert by_name["Room for the bends"].outcome == "fail"
    assert by_name["Room for the bends"].margin == "-100 mm"
    assert "stock length" in not_judged(found.cables[0].figures)
    bends = rows_of(section(report(found, source="x"), "Bends"))
    assert bends[0]["Radius"] == "200 mm TOO TIGHT"


def test_sources_name_the_provenance_of_every_known_figure():
    part = section(made("grass_track_buggy.toml"), "Where the figures come from")
    tables = [block for block in part.blocks if isinstance(block, Table)]
    assert [table.caption.split(":")[0] for table in tables] == [
        "Friction",
        "Data of push-slick-medium",
        "Data of throttle-thin",
    ]
    given = {row[0]: row for row in tables[1].rows}
    assert given["core od"][1:] == ("2 mm", "invented for illustration")
    assert given["weight"][1].endswith("N/m")
    assert all(row[2] for table in tables for row in table.rows)
    said = next(block for block in part.blocks if isinstance(block, Bullets))
    assert "shift: friction is the family's; measure it on the bench." in said.items


def test_bench_says_what_the_scale_should_read():
    found = assessed("grass_track_buggy.toml")
    rows = rows_of(section(report(found, source="x"), "What to test on the bench"))
    assert [row["Cable"] for row in rows] == [
        "shift, pulling",
        "shift, pushing",
        "throttle, pulling",
    ]
    low, high = found.cables[0].figures.pull.inputs
    assert rows[0]["Scale at the hand should read"].startswith(f"{low:.0f} to {high:.0f} N")


def test_the_scene_holds_everything_in_space():
    found = assessed("recumbent_trike.toml")
    whole = report(found, source="x")
    space = next(b for each in whole.sections for b in each.blocks if isinstance(b, Space))
    assert [cable["name"] for cable in space.scene["cables"]] == ["rear gear", "left brake"]
    assert [tube["name"] for tube in space.scene["tubes"]] == ["main"]
    first = space.scene["cables"][0]
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
        (40.0, float("inf"), "40 N to lock-up"),
        (float("inf"), float("inf"), "locks up"),
    ],
)
def test_ranges_of_force(low, high, words):
    assert span(low, high) == words


def test_words_become_one_harmless_line():
    assert one_line("a\n\tb\x07c\u202edlrow\u2066") == "a b c dlrow"
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
    assert facts["The other way"].startswith(f"{pair.ways[1].inputs[1]:.0f} N for 80 N")
    bench = rows_of(section(whole, "What to test on the bench"))
    assert [row["Cable"] for row in bench] == [
        "c, out, both cores at 60 N",
        "c, back, both cores at 60 N",
    ]


def test_a_measured_drag_is_not_added_twice(tmp_path):
    text = (
        '[[cable]]\nname = "c"\nkind = "pull"\nbend_radius = 50\nload = 80\ndrag = 4\n'
        "friction = 0.1\npoints = [{ at = [0,0,0] }, { at = [400,0,0] }, { at = [400,300,0] }]\n"
    )
    bench = rows_of(section(report(job(tmp_path, text), source="x"), "What to test on the bench"))
    assert bench[0]["Scale at the hand should read"] == "98 N"  # 80 e^(0.1 pi/2) + 4
    assert bench[0]["With no load"] == "about 4.0 N"
