"""A machine of our own invention, from its first faulty file to one that passes.

Every step is what the program advised about a finding that stood then, done as a builder would do it.
The files before and after are kept beside this.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from typer.testing import CliRunner

from cableroute import Assessment, assess, read_text
from cableroute.cli import app
from cableroute.verdict.check import Check

HERE = Path(__file__).parent
BEFORE, AFTER = (HERE / f"orchard_{which}.toml" for which in ("before", "after"))


class Step(NamedTuple):
    """A finding, words of its advice, and what was changed in the file about it."""

    about: str
    code: str
    advice: str
    old: str
    new: str


STEPS = (
    Step(
        "brake",
        "tape-doubt",
        "TL reads 2' 5 11/16\", 2' 2 5/8\" would agree",
        'TL = "29 11/16 in"',
        'TL = "26 11/16 in"',
    ),
    Step(
        "brake",
        "stock-surplus",
        "have one cut to length",
        'slack = "20 mm"\n',
        'slack = "20 mm"\ncut = true\n',
    ),
    Step(
        "brake",
        "return-unknown",
        "wants two springs, each of at least",
        "cut = true\npoints",
        'cut = true\nresists = { preload = "4 lbf", spring = 0.5, springs = 2 }\npoints',
    ),
    Step(
        "throttle",
        "return-spring",
        "Fit two springs, each of at least",
        'resists = { preload = "2 lbf", spring = 0.4 }',
        'resists = { preload = "6 lbf", spring = 0.4, springs = 2 }',
    ),
    Step(  # the sharp bend goes where one of its two clips goes, as `suggest` lists
        "throttle",
        "bend-does-not-fit",
        "Move its points that much further apart",
        '  { at = ["-9 in", "-12 in", "27 in"], label = "seat post", fix = "clip" },\n',
        "",
    ),
    Step(
        "gear",
        "linkage-mirrored",
        "swap the lever end: cable arm of lever on the other side of its pivot",
        'cable = { radius = "3 in", direction = "up" }',
        'cable = { radius = "3 in", direction = "down" }',
    ),
    Step(
        "gear",
        "rod-swings-too-far",
        "or into line",
        '"-16 in", "18 in"], label = "lever bracket"',
        '"-16 in", "12 in"], label = "lever bracket"',
    ),
    Step(
        "gear",
        "linkage-travel-short",
        "Take a longer cable arm at the lever",
        'cable = { radius = "3 in", direction = "down" }\nrange_deg = [-15, 15]\n\n[linkage.far]\nname = "box arm"',
        'cable = { radius = "4 1/4 in", direction = "down" }\nrange_deg = [-15, 15]\n\n[linkage.far]\nname = "box arm"',
    ),
    Step(
        "gear",
        "rod-swings-too-far",
        "or into line",
        '"-16 in", "12 in"], label = "lever bracket"',
        '"-16 in", "10 3/4 in"], label = "lever bracket"',
    ),
    Step(
        "gear",
        "rod-reach",
        "lengthen the rod by as much (swivel.fitting)",
        'range_deg = [-15, 15]\n\n[linkage.far]\nname = "box arm"',
        'range_deg = [-15, 15]\nswivel = { fitting = "72 mm" }\n\n[linkage.far]\nname = "box arm"',
    ),
    Step(
        "gear",
        "rod-reach",
        "lengthen the rod by as much (swivel.fitting)",
        'neutral = "up", radius = "3 in" }',
        'neutral = "up", radius = "3 in" }\nswivel = { fitting = "72 mm" }',
    ),
    Step(
        "gear",
        "slack-too-tight",
        "have one cut to length",
        'travel = "40 mm"\nslack = "1 in"\n',
        'travel = "40 mm"\nslack = "1 in"\ncut = true\n',
    ),
    Step(
        "gear",
        "rods-together",
        'Move one anchor 5/8" nearer to its pin',
        'at = ["-40 in", "-8 in", "10 in"], label = "box bracket"',
        'at = ["-40 5/8 in", "-8 in", "10 in"], label = "box bracket"',
    ),
    Step(
        "gearbox",
        "gate-unreachable",
        'adjusted = -0.118"',
        'name = "select"\ncable = "select"\nadjusters = ["20 mm", "20 mm"]\n',
        'name = "select"\ncable = "select"\nadjusters = ["20 mm", "20 mm"]\nadjusted = "-0.118 in"\n',
    ),
)


def judged(text: str) -> Assessment:
    """Judge a file's text."""
    return assess(read_text(text, source="orchard.toml"))


def stands(found: Assessment) -> Iterator[tuple[str, Check]]:
    """Yield every finding that keeps a part from passing, by what it is about."""
    for part in (*found.cables, *found.linkages, *found.selectors):
        for finding in part.findings:
            if finding.level in ("fail", "marginal"):
                yield part.name, finding


def test_followed_step_by_step_the_advice_leads_from_fail_to_pass() -> None:
    text = BEFORE.read_text(encoding="utf-8")
    found = judged(text)
    assert found.verdict == "fail"

    for step in STEPS:
        standing = [each.code for name, each in stands(found) if name == step.about]
        assert step.code in standing, step
        parts = (*found.cables, *found.linkages, *found.selectors)
        words = [
            each.message for part in parts if part.name == step.about for each in part.findings
        ]
        assert any(step.advice in each for each in words), (step, words)
        assert text.count(step.old) == 1, step
        text = text.replace(step.old, step.new)
        found = judged(text)
        left = [each.code for name, each in stands(found) if name == step.about]
        assert left.count(step.code) < standing.count(step.code), step

    assert text == AFTER.read_text(encoding="utf-8")
    assert not list(stands(found))
    assert found.verdict == "pass"


def test_the_command_says_so_too() -> None:
    for verdict, status, file in (("fail", 1, BEFORE), ("pass", 0, AFTER)):
        done = CliRunner().invoke(app, ["check", str(file), "--json"])
        assert done.exit_code == status
        assert json.loads(done.stdout)["verdict"] == verdict


def test_a_listed_option_is_applied_by_its_number_and_changes_its_line_alone(tmp_path) -> None:
    words = ["suggest", str(BEFORE), "--cable", "throttle"]
    (cable,) = json.loads(CliRunner().invoke(app, [*words, "--json"]).stdout)["cables"]
    wanted = ("leave-out", ["seat post"])
    number = next(
        each["number"] for each in cable["options"] if (each["kind"], each["at"]) == wanted
    )
    new = tmp_path / "new.toml"
    done = CliRunner().invoke(app, [*words, "--apply", str(new), "--option", str(number)])
    assert done.exit_code == 0, done.output

    (clip,) = (step for step in STEPS if not step.new)  # the same that the steps take out
    assert new.read_text(encoding="utf-8") == BEFORE.read_text(encoding="utf-8").replace(
        clip.old, ""
    )
