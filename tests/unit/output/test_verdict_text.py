"""The report in text: the verdict first, then numbers, findings, cautions."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.output.verdict_text import report_lines

CORNER = np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0]], dtype=float)
FULL = Cable(
    "shift",
    CORNER,
    "push-pull",
    160.0,
    labels=("hand", "sill", "box"),
    family=load_library()["push-solid-medium"],
    friction=(0.1, 0.2),
    load=100.0,
    passes="inside",
)


def lines(cable: Cable, **job: object) -> list[tuple[str, str]]:
    job = {"title": "Machine", "tape_tolerance": 0.0, **job}
    return list(report_lines(assess(Job(cables=(cable,), **job))))


def text(cable: Cable, **job: object) -> str:
    return "\n".join(line for _, line in lines(cable, **job))


def flat(cable: Cable, **job: object) -> str:
    return " ".join(text(cable, **job).split())


def test_the_order_is_title_verdict_numbers_findings_cautions():
    report = text(replace(FULL, travel=500.0))
    places = [
        report.index(words) for words in ("Machine", "FAIL", "pull at hand", "  fail", "Caution")
    ]
    assert places == sorted(places)


def test_figures_are_those_of_the_assessment():
    report = flat(FULL)
    assert "run 1431 mm drawn tight between anchors, 90 deg of bends" in report
    assert "tightest bend 160 mm radius" in report
    assert "tightest leg sill to box, 540 mm to spare" in report
    assert "left alone 1490 mm, 124 deg, tightest 373 mm" in report
    assert "friction 0.1 to 0.2" in report
    assert "wrap 90 to 124 deg" in report
    assert "117 to 177 N for 100 N at the far end (57 to 85 % arrives)" in report
    order = "2000 mm stock, leaves 185 mm: 1756 mm overall at least, 1815 mm to lie easy"
    assert order in report


def test_a_tape_in_inches_is_answered_in_feet_and_inches():
    assert "between anchors" in flat(FULL, unit="in")
    assert "4' 8" in flat(FULL, unit="in")
    assert "mm between anchors" not in flat(FULL, unit="in")


def test_travel_and_what_is_lost_of_it_follow_the_tape():
    one = replace(FULL, travel=50.8)
    lost = assess(Job("", (one,), tape_tolerance=0.0)).cables[0].figures.lost
    both = f"lost motion {lost.total:.1f} mm at most, {lost.total_worn:.1f} mm with a worn liner"
    assert f"{both}: of 51 mm travel {50.8 - lost.total:.0f} mm arrives" in flat(one)
    new, worn = (f'{each / 25.4:.2f}"' for each in (lost.total, lost.total_worn))
    both = f"lost motion {new} at most, {worn} with a worn liner"
    assert f'{both}: of 2" travel 1 ' in flat(one, unit="in")


@pytest.mark.parametrize("unit", ["in", "ft"])
def test_nothing_is_told_in_millimetres_of_a_tape_in_inches(unit):
    one = replace(FULL, travel=50.8, push_load=80.0, temperature=(0.0, 50.0), slack=20.0)
    job = Job("", (one,), unit=unit, tape_tolerance=3.0)
    told = [line for _, line in report_lines(assess(job), full=True)]
    strange = [line for line in told if re.search(r"\d mm", line)]
    assert [line for line in strange if "for a sag of 5 mm, at most 24 in" not in line] == []


def test_no_friction_range_shows_one_figure():
    report = flat(replace(FULL, points=CORNER[:2], labels=(), friction=(0.1, 0.1)))
    assert "friction 0.1;" in report
    assert "pull at hand 100 N for 100 N at the far end (100 % arrives)" in report
    bent = flat(replace(FULL, friction=(0.1, 0.1)))  # two shapes, and so a range all the same
    assert "friction 0.1;" in bent
    assert "117 to 134 N for 100 N at the far end (74 to 85 % arrives)" in bent


def test_a_misfit_says_how_much_is_short():
    assert "sill to box, 200 mm SHORT" in flat(replace(FULL, bend_radius=900.0))


def test_a_cable_without_data_says_what_is_not_judged():
    report = flat(replace(FULL, family=None))
    assert "not judged" in report
    assert "no stock list" in report


def test_no_stock_length_is_loud():
    family = FULL.family.model_copy(update={"stock_lengths": (500.0,)})
    assert "NO STOCK LENGTH REACHES" in text(replace(FULL, family=family))


@pytest.mark.parametrize("label", ["x" * 30, "word " * 40, "a\nb", "Ω" * 20])
def test_lines_keep_to_eighty_columns(label):
    cable = replace(FULL, labels=(label, label, label), bend_radius=900.0, name="n" * 60)
    assert max(len(line) for _, line in lines(cable, title="long " * 50)) <= 80
    assert all("\n" not in line for _, line in lines(cable))


def test_a_line_s_mood_is_the_level_it_speaks_of():
    moods = {mood for mood, line in lines(replace(FULL, travel=500.0)) if line.startswith("  fail")}
    assert moods == {"fail"}
    assert {mood for mood, line in lines(FULL) if line.startswith("Caution")} == {""}


def test_many_findings_are_cut_and_counted():
    zigzag = np.array([[30 * (i % 2), 30 * i, 0] for i in range(40)], dtype=float)
    report = text(replace(FULL, points=zigzag, labels=()))
    assert "more; --json lists them all" in report
    assert len(report.splitlines()) < 120


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_natural_lay_of_a_straight_run_has_no_tightest_bend(unit: str) -> None:
    cable = Cable(
        name="a", points=np.array([[0.0, 0, 0], [900.0, 0, 0]]), kind="pull", bend_radius=60.0
    )
    lines = [line for _, line in report_lines(assess(Job("x", (cable,), unit=unit)))]

    lay = next(line for line in lines if "left alone" in line)
    assert lay.endswith(", 0 deg")
