"""What ``from cableroute import ...`` gives, and how objects made in Python are looked at."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from datetime import date
from html import escape
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from matplotlib.figure import Figure

import cableroute
from cableroute import (
    Assessment,
    Cable,
    CableRouteError,
    Job,
    Limits,
    as_dict,
    assess,
    draw,
    find_family,
    read_job,
    read_text,
    report,
    suggest,
)
from cableroute.table.whole_cable import cable_facts

DATA = Path(__file__).resolve().parents[2] / "data"
POINTS = [[0, 0, 0], [400, 0, 0], [400, 300, 0]]
ROUTE = """
title = "Boat <b>"
[[cable]]
name = "gear"
bend_radius = 60
friction = 0.12
load = 60
points = [{ at = [0, 0, 0] }, { at = [400, 0, 0] }, { at = [400, 300, 0] }]
"""


@pytest.fixture(scope="module")
def buggy() -> Assessment:
    return assess(read_job(DATA / "grass_track_buggy_selector.toml"))


def cable(**other: Any) -> Cable:
    given: dict[str, Any] = {"kind": "pull", "bend_radius": 60.0, "friction": 0.12, "load": 60.0}
    return Cable(**{"name": "gear", "points": POINTS, **given, **other})


def after(code: str) -> str:
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.strip()


def test_importing_the_package_loads_none_of_it():
    heavy = "{'numpy', 'pydantic', 'scipy', 'typer', 'matplotlib'}"
    assert after(f"import sys, cableroute; print({heavy} & set(sys.modules))") == "set()"


def test_a_function_is_not_hidden_by_the_module_of_its_name():
    code = "import cableroute.assess, cableroute.suggestions, cableroute as c; "
    assert after(code + "print(callable(c.assess), callable(c.suggest))") == "True True"
    assert {"assess", "suggest", "report"} <= set(dir(cableroute))
    with pytest.raises(AttributeError, match="no attribute 'asses'"):
        cableroute.asses  # noqa: B018


def test_a_job_from_text_is_that_of_the_file(tmp_path):
    file = tmp_path / "boat.toml"
    file.write_text(ROUTE, encoding="utf-8")
    assert as_dict(assess(read_text(ROUTE))) == as_dict(assess(read_job(file)))


def test_faults_of_a_text_are_told_by_its_source():
    with pytest.raises(CableRouteError, match=r"^boat\.toml:5: cable \"gear\", bend_radius: "):
        read_text(ROUTE.replace("= 60", "= -60", 1), source="boat.toml")


def test_points_as_lists_one_number_and_a_family_by_name():
    made = cable(family="push-solid-medium", kind="push-pull", labels=["a", "b", "c"])
    assert made.points.dtype == np.float64
    assert made.friction == (0.12, 0.12)
    assert made.family is find_family("push-solid-medium")
    assert made.labels == ("a", "b", "c")
    assert assess(Job("boat", [made])).cables[0].figures.cable is made


def test_a_cable_made_in_python_is_judged_like_one_read():
    read = assess(read_text(ROUTE))
    made = assess(Job("Boat <b>", (cable(),)))
    assert made.cables[0].figures.pull.inputs == read.cables[0].figures.pull.inputs
    assert made.verdict == read.verdict


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"kind": "push"}, "kind: expected one of push-pull, pull, pull-pair, got 'push'"),
        ({"points": [[0, 0], [1, 1]]}, r"points: expected two rows or more of x, y, z \[mm\]"),
        ({"points": [[0, 0, 0]]}, r"points: expected two rows or more"),
        ({"points": [[0, 0, 0], [1, 0, float("nan")]]}, "points: expected finite numbers"),
        ({"points": "here"}, "points: expected rows of x, y, z"),
        ({"friction": -0.1}, "friction: expected one number, or low and high, below 2, got -0.1"),
        ({"friction": (0.2, 0.1)}, "friction: expected one number, or low and high"),
        ({"friction": "low"}, "friction: expected one number"),
        ({"bending_stiffness": "low"}, "bending_stiffness: expected one number"),
        ({"bend_radius": 0.0}, r"bend_radius: expected a number above 0 \[mm\], got 0.0"),
        ({"load": "60 N"}, "load: expected a number that is not negative, got '60 N'"),
        ({"travel": float("inf")}, "travel: expected a number"),
        ({"push_load": 5.0}, "push_load: expected none, as a pull cable cannot push"),
        ({"rod_end": "welded"}, "rod_end: expected one of free, pinned"),
        ({"controls": "sail"}, "controls: expected one of throttle"),
        ({"fixes": ("anchor",)}, "fixes: expected 3, one for each point"),
        ({"fixes": ("anchor", "glue", None)}, "fixes: expected anchor, clip or None"),
        ({"family": 3}, "family: expected a Family, or the name of one"),
        ({"family": "push-solid-medum"}, "the nearest: push-solid-medium"),
    ],
)
def test_what_no_file_could_hold_is_refused_at_the_door(given, words):
    with pytest.raises(CableRouteError, match=words):
        cable(**given)


def test_a_cable_is_looked_at_again_when_it_is_changed():
    with pytest.raises(CableRouteError, match="kind: expected one of"):
        replace(cable(), kind="push")


def test_a_job_takes_cables_only():
    with pytest.raises(CableRouteError, match="cables: expected cables, got 'gear'"):
        Job("boat", ["gear"])  # type: ignore[list-item]
    with pytest.raises(CableRouteError, match="unit: expected one of mm, cm, m, in, ft, got 'yd'"):
        Job("boat", (cable(),), unit="yd")


def test_an_assessment_says_itself_in_one_line_and_in_a_short_table(buggy):
    assert "\n" not in repr(buggy)
    assert len(repr(buggy)) < 100
    assert buggy.verdict in repr(buggy)
    assert repr(buggy.cables[0]) == f"<CableAssessment of shift: {buggy.cables[0].verdict}>"
    shown = buggy._repr_html_()
    parts = len(buggy.cables) + len(buggy.linkages) + len(buggy.selectors)
    assert shown.count("<th ") == parts > 1
    assert buggy.verdict.upper() in shown
    for name, text in cable_facts(buggy.cables[0]):  # the rows that the terminal shows
        assert f">{name}</td>" in shown
        assert escape(text) in shown


def test_a_table_shows_users_words_harmlessly():
    assert "<b>" not in assess(read_text(ROUTE))._repr_html_().replace("<p><b>", "")


def test_limits_of_the_caller_are_those_judged_by():
    job = Job("boat", (cable(),))
    hard = Limits(efficiency=(0.99, 0.98))
    assert assess(job).verdict != assess(job, limits=hard).verdict == "fail"


def test_the_whole_job_by_public_names(buggy):
    assert json.loads(json.dumps(as_dict(buggy)))["verdict"] == buggy.verdict
    assert isinstance(draw(buggy.cables[0], "side", job=buggy.job), Figure)
    page = report(buggy, source="buggy.toml", when=date(2026, 1, 2))
    assert page.startswith(b"<!DOCTYPE html>")
    assert report(buggy, ending=".md").startswith(b"#")
    with pytest.raises(CableRouteError, match=r"report: expected \.html, \.pdf, \.md, got '\.doc'"):
        report(buggy, ending=".doc")


def test_suggestions_of_one_cable_or_of_all(buggy):
    tight = replace(cable(), bend_radius=400.0, moves=("no", "free", "no"))
    job = Job("boat", (cable(name="a"), replace(tight, name="b")))
    heard: list[str] = []
    both = suggest(job, told=heard.append)
    assert [each.before.figures.cable.name for each in both] == ["a", "b"]
    assert heard[1] == "looking for moves, cable 2 of 2: b"
    (one,) = suggest(job, cable="a")
    assert one.after is None
    with pytest.raises(CableRouteError, match="cable: expected one of a, b, got 'c'"):
        suggest(job, cable="c")
