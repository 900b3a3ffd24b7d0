"""Text, plain data, report and comparison tell one and the same number for the same figure."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from cableroute.assess import Assessment, assess
from cableroute.comparison.line_up import compare_options
from cableroute.comparison.options import Option
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.measure.reading import read_job
from cableroute.output.as_dict import assessment_dict
from cableroute.output.compare_dict import comparison_dict
from cableroute.output.compare_text import comparison_lines
from cableroute.output.report.as_markdown import report_markdown
from cableroute.output.report.contents import report
from cableroute.output.verdict_text import report_lines
from cableroute.units import format_inches

DATA = Path(__file__).parents[3] / "data"
FILES = sorted(DATA.glob("*.toml"))
CORNERS = np.array([[0, 0, 0], [0, 900, 0], [900, 900, 0], [900, 900, 800], [100, 900, 800]], float)
CHANGES: dict[str, dict[str, Any]] = {
    "as given": {},
    "heavy": {"load": 900.0, "push_load": 700.0},
    "rough": {"friction": (0.05, 1.5)},
    "tight": {"bend_radius": 400.0},
    "long stroke": {"travel": 200.0},
    "dragging": {"drag": 12.0},
    "bare": {"family": None},
    "a pair": {"kind": "pull-pair", "preload": 60.0, "push_load": 30.0},
}
#: Which check judges which figure of the plain data.
JUDGED = {
    "hand-pull": ("pull", "input_n"),
    "working-load-pull": ("pull", "input_n"),
    "efficiency-low": ("pull", "efficiency"),
    "working-load-push": ("push", "input_n"),
    "rod-buckling": ("push", "rod_safety_factor"),
    "lost-motion": ("lost_motion", "both_ways_mm"),
    "wrap": ("route", "wrap_deg"),
    "bend-does-not-fit": ("route", "tightest_leg"),
    "stock-too-short": ("order", "stock_mm"),
    "pair-slack": ("pair", "preload_n"),
    "condition-worn": ("pull", "efficiency"),
}


def force(value: float, job: Job) -> str:
    """Write a force, as nobody but this test does."""
    number = value / {"N": 1.0, "lbf": 4.4482216152605, "kgf": 9.80665}[job.force_unit]
    return f"{number:.0f} {job.force_unit}" if number >= 20.0 else f"{number:.1f} {job.force_unit}"


def millimetres(value: float, job: Job) -> str:
    return (
        format_inches(round(value / 1.5875) * 1.5875)
        if job.unit in ("in", "ft")
        else f"{value:.0f} mm"
    )


def text_rows(found: Assessment) -> list[tuple[str, dict[str, str]]]:
    """Return the short tables as the terminal shows them: name of what, then its rows."""
    told: list[tuple[str, dict[str, str]]] = []
    name = ""
    for _, line in report_lines(found):
        head = re.match(r"(?:PASS|MARGINAL|FAIL) +(.*?) \(", line)
        row = re.match(r"  (?!(?:fail|marginal|note) )(\S.{12})\s(\S.*)", line)
        if head:
            told.append((head[1], {}))
            name = ""
        elif row:
            name = row[1].strip()
            told[-1][1][name] = row[2]
        elif name and line.startswith(" " * 16):
            told[-1][1][name] += " " + line.strip()
        else:
            name = ""
    return told


def report_rows(found: Assessment) -> list[dict[str, str]]:
    """Return the tables "In short" of the report as Markdown, what stands in text's place."""
    tables, open_ = [], False
    for line in report_markdown(report(found, source="x")).splitlines():
        if line == "**In short**":
            tables.append({})
            open_ = True
        elif open_ and line.startswith("| ") and "---" not in line and "| Figure" not in line:
            name, value = (cell.strip() for cell in re.split(r"(?<!\\)\|", line)[1:3])
            tables[-1][name[:1].lower() + name[1:]] = re.sub(r"\\(.)", r"\1", value)
        elif line.startswith(("#", "**")):
            open_ = False
    return tables


def variants(file: Path) -> Iterator[tuple[Job, Assessment]]:
    job = read_job(file)
    for change in CHANGES.values():
        cables = tuple(changed(cable, change) for cable in job.cables)
        linkages = {} if not change else {"linkages": (), "selectors": ()}
        other = replace(job, cables=cables, **linkages)
        yield other, assess(other)


def changed(cable: Cable, change: dict[str, Any]) -> Cable:
    pushes = change.get("kind", cable.kind) != "pull"
    return replace(cable, **{key: change[key] for key in change if pushes or key != "push_load"})


def hard_ones() -> tuple[Job, Assessment]:
    """Return cables that lock up at high friction, at any, and a long pair with a drag."""
    family = replace_family(load_library()["push-slick-medium"])
    one = Cable("high", CORNERS, "push-pull", 80.0, family=family, friction=(0.03, 0.6))
    always = replace(one, name="always", friction=(1.2, 1.5), push_load=400.0)
    pair = replace(one, name="pair", kind="pull-pair", friction=(0.05, 0.1), drag=4.0)
    job = Job("", (replace(one, push_load=300.0), always, pair))
    return job, assess(job)


def replace_family(family: Any) -> Any:
    return family.model_copy(update={"core_od": 1.5, "conduit_id": 3.5})


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_text_and_report_tell_the_same(file):
    for _, found in variants(file):
        same_rows(found)


def test_text_and_report_tell_the_same_of_what_locks_up():
    _, found = hard_ones()
    same_rows(found)
    rows = dict(text_rows(found))
    assert "at best, locks up at high friction" in rows["high"]["push at hand"]
    assert rows["always"]["push at hand"].startswith("locks up: no force at the hand moves 400 N")
    assert " to " not in rows["always"]["push at hand"]
    assert "N at the hand, at most" in rows["pair"]["tauter core"]


def same_rows(found: Assessment) -> None:
    text, tables = text_rows(found), report_rows(found)
    assert len(tables) == len(text) >= len(found.cables)
    for (_, rows), table in zip(text, tables, strict=True):
        assert {name: " ".join(table[name].split()) for name in rows} == rows
        assert set(table) - set(rows) <= {"kind", "cable", "published limit"}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_text_tells_the_numbers_of_the_plain_data(file):
    for job, found in variants(file):
        numbers_told(job, found)


def test_text_tells_the_numbers_of_the_plain_data_of_what_locks_up():
    numbers_told(*hard_ones())


def numbers_told(job: Job, found: Assessment) -> None:
    """Hold every number of the short table against the plain data."""
    plain = assessment_dict(found)["cables"]
    for data, (_, rows) in zip(plain, text_rows(found), strict=False):
        length = millimetres(data["route"]["length_mm"], job)
        assert rows["run"].startswith(
            f"{length} drawn tight between anchors, {data['route']['wrap_deg']:.0f} deg"
        )
        spare = millimetres(abs(data["route"]["tightest_leg"]["slack_mm"]), job)
        assert spare in rows["tightest leg"]
        forces_told(rows["pull at hand"], data["pull"], data["pull_range"], job)
        if data["push"]:
            forces_told(rows["push at hand"], data["push"], data["push_range"], job)
            if data["push"]["rod_safety_factor"]:
                assert f", {data['push']['rod_safety_factor']:.1f} times (" in rows["folding"]
        lost = data["lost_motion"]
        if lost and job.unit == "mm":
            assert rows["lost motion"].startswith(f"{lost['both_ways_mm']:.1f} mm at most")
        if data["order"]["stock_mm"]:
            order = data["order"]
            left = millimetres(order["surplus_mm"], job)
            left = "drawn tighter" if order["surplus_mm"] < 0.0 else f"leaves {left}"
            stock = millimetres(order["stock_mm"], job)
            assert rows["order"].startswith(f"{stock} stock, {left}: ")
        if data["pair"]:
            pair = data["pair"]
            assert rows["preload"].startswith(f"{force(pair['preload_n'], job)} in both cores")
            assert f"{force(pair['tauter_core_n'], job)} at the hand" in rows["tauter core"]
        if data["return_spring"]:
            spring = data["return_spring"]
            assert f"{force(spring['spring_n'], job)} where weakest" in rows["return spring"]
            assert f"{force(spring['cold']['required_n'], job)} cold" in rows["return spring"]


def forces_told(row: str, way: dict[str, Any], both: dict[str, Any], job: Job) -> None:
    assert way["input_n"] == both["input_n"][1]
    if way["input_n"] is None:
        assert "locks up" in row
    else:
        assert re.search(rf"(?<![\d.]){re.escape(force(way['input_n'], job))} (for|with)", row)
    if way["efficiency"] is not None:
        assert way["efficiency"] == both["efficiency"][0]
        assert re.search(rf"\({100 * way['efficiency']:.0f} (%|to)", row)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_checks_judge_the_numbers_that_are_told(file):
    for _, found in variants(file):
        for data in assessment_dict(found)["cables"]:
            for check in data["checks"]:
                keys = JUDGED.get(check["code"])
                if keys is None or (check["code"] == "bend-does-not-fit" and check["value"] < 0.0):
                    continue
                told = data[keys[0]][keys[1]]
                if keys[1] == "tightest_leg":
                    told = max(told["slack_mm"], 0.0)
                if check["code"] == "working-load-pull" and data["pair"]:
                    told = data["pair"]["tauter_core_n"]
                if check["code"] == "stock-too-short" and told is None:
                    continue  # the longest there is, and too short
                if told is None:  # locked up
                    assert check["unbounded"] or check["value"] in (None, 0.0), check
                    continue
                assert check["value"] == pytest.approx(told, rel=1e-9), check


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_comparison_tells_the_numbers_of_a_check(file):
    for job, found in variants(file):
        other = replace(job, cables=tuple(replace(c, load=1.0) for c in job.cables), linkages=())
        for cable, second in zip(
            found.cables, assess(replace(other, selectors=())).cables, strict=True
        ):
            compared(job, found, Option("one", "a", cable), Option("two", "b", second))


def compared(job: Job, found: Assessment, one: Option, two: Option) -> None:
    comparison = compare_options([one, two])
    data = comparison_dict([comparison], ())["options"][0]
    name = one.figures.cable.name
    (plain,) = [each for each in assessment_dict(found)["cables"] if each["name"] == name]
    assert data["hand_pull_n"] == plain["pull"]["input_n"]
    assert data["length_mm"] == plain["route"]["length_mm"]
    assert data["wrap_deg"] == plain["route"]["wrap_deg"]
    assert data["tightest_leg_slack_mm"] == plain["route"]["tightest_leg"]["slack_mm"]
    if plain["lost_motion"]:
        assert data["lost_motion_mm"] == plain["lost_motion"]["both_ways_mm"]
    if plain["pull"]["efficiency"] is not None:
        assert data["efficiency"] == plain["pull"]["efficiency"]
    if plain["push"]:
        assert data["hand_back_n"] == plain["push"]["input_n"]
    lines = [line for _, line in comparison_lines([comparison], (), words=job.words)]
    (row,) = [line for line in lines if line.startswith("pull at hand")]
    (rows,) = [rows for what, rows in text_rows(found) if what == name and "run" in rows]
    told = re.match(r".*?(?= (N|lbf)\b)", rows["pull at hand"])
    assert told
    assert told[0] in row
    (row,) = [line for line in lines if re.match("run  ", line)]
    assert rows["run"].split(" drawn tight")[0] in row
