"""What is remembered of a file changes no answer: after any edit it is that of a fresh server."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.output.toml_ops import Edit, edited
from cableroute.page import answers
from cableroute.page.answers import answer, read
from cableroute.page.levers import linkages

DATA = Path(__file__).parents[2] / "data"
#: Edits made one after the other on each file [-].
EDITS = 6
REMEMBERED = (answers._judged, answers._worked, answers._told, answers._drawn)


def numbers_of(value, path=()):
    """Yield every path to a number of plain data, and to every title, name and label."""
    members = value.items() if isinstance(value, dict) else enumerate(value)
    for key, each in members:
        here = (*path, key)
        if isinstance(each, dict | list):
            yield from numbers_of(each, here)
        elif type(each) in (int, float) or key in ("title", "label"):
            yield here, each


def an_edit(rng, data):
    """Change one number or word of a file a little, or take out a point, or put one in again."""
    spots = list(numbers_of(data))
    path, value = spots[rng.integers(len(spots))]
    points = data["cable"][rng.integers(len(data["cable"]))]["points"]
    place = ("cable", data["cable"].index(next(c for c in data["cable"] if c["points"] is points)))
    row = int(rng.integers(len(points)))
    chance = rng.random()
    if chance < 0.1 and len(points) > 2:
        return Edit("delete", (*place, "points", row))
    if chance < 0.2 and len(data["cable"]) > 1:
        return Edit("move", ("cable", 0), to=len(data["cable"]) - 1)
    if isinstance(value, str):
        return Edit("set", path, f"{value} {rng.integers(9)}")
    changed = float(np.round(value * rng.uniform(0.97, 1.03) + rng.uniform(0.0, 0.5), 2))
    return Edit("set", path, changed if isinstance(value, float) else round(changed))


def told(body):
    """Return all that the page says of a text, faults included."""
    reading = read(body)
    try:
        return reading.data, reading.faults, answer(reading), linkages(body)
    except CableRouteError as error:
        return reading.data, str(error)


def is_judged(found):
    return len(found) == 4 and found[2] is not None


@pytest.mark.parametrize("name", sorted(file.stem for file in DATA.glob("*.toml")))
def test_after_any_edits_the_answer_is_that_of_a_fresh_server(name):
    body = (DATA / f"{name}.toml").read_text(encoding="utf-8")
    if not read(body).data.get("cable"):
        pytest.skip("a library of families")
    rng = np.random.default_rng(len(name))
    whole, texts, warm = body, [body], [told(body)]
    for _ in range(EDITS):
        try:
            texts.append(edited(whole, [an_edit(rng, read(whole).data)]))
        except CableRouteError:  # an edit that cannot be made changes nothing
            continue
        warm.append(told(texts[-1]))
        whole = texts[-1] if is_judged(warm[-1]) else whole
    assert sum(map(is_judged, warm)) > EDITS // 2
    texts.append(body)  # undone to the start
    warm.append(told(body))
    for text, remembered in zip(texts, warm, strict=True):
        for kept in REMEMBERED:
            kept.clear()
        assert told(text) == remembered


def test_an_edit_of_a_node_judges_only_the_cables_that_hang_on_it(monkeypatch):
    body = """\
nodes.A = [0, 0, 0]
nodes.B = [0, 500, 0]
tubes.rail = { from = "A", to = "B", diameter = 30 }
nodes.C = [900, 0, 0]
nodes.D = [900, 500, 0]
nodes.E = [900, 500, 400]
cable = [
  { name = "one", bend_radius = 60, points = [{ at = [0, 0, 300] }, { at = [400, 0, 300] }] },
  { name = "two", bend_radius = 60, points = [
    { tape = { C = 500, D = 500, E = 600 }, side = "aft" }, { at = [900, 0, 900] } ] },
]
"""
    judged = []
    own = answers.assess

    def watched(job, *, known, known_linkages):
        judged.append([each.name for each in job.cables if each.name not in known])
        return own(job, known=known, known_linkages=known_linkages)

    monkeypatch.setattr(answers, "assess", watched)
    for text in (
        body,
        edited(body, [Edit("set", ("nodes", "D", 1), 510)]),
        edited(body, [Edit("set", ("tubes", "rail", "diameter"), 32)]),
        edited(body, [Edit("set", ("cable", 0, "points", 1, "at", 1), 20)]),
        body,
    ):
        assert answer(read(text)) is not None, read(text).faults
    assert judged == [["one", "two"], ["two"], ["one", "two"], ["one"], []]
