"""Pictures in a page: made small, looking as they did."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import unquote
from xml.etree import ElementTree

import numpy as np
import pytest

from cableroute.assess import Assessment, assess
from cableroute.measure.reading import read_job
from cableroute.output.drawings import draw, picture
from cableroute.output.report.as_html import report_html
from cableroute.output.report.contents import report
from cableroute.output.report.slim_svg import address, slim

DATA = Path(__file__).resolve().parents[4] / "data"
PATH = "{http://www.w3.org/2000/svg}path"
LETTER = ("scale(0.015625)", "scale(.25)")
STEP = re.compile(r"([A-Za-z])([^A-Za-z]*)")
NUMBER = re.compile(r"-?\d*\.?\d+")


@pytest.fixture(scope="module")
def buggy() -> Assessment:
    return assess(read_job(DATA / "grass_track_buggy.toml"))


@pytest.fixture(scope="module", params=["plan", "lost"])
def drawn(buggy, request) -> str:
    figure = draw(buggy.cables[0], request.param, unit="mm", job=buggy.job)
    return picture(figure, ".svg").decode()


def points(path: str) -> np.ndarray:
    """Every point of a path, absolute, as the SVG recommendation (W3C, 8.3) reads it."""
    found, pen, begun = [], np.zeros(2), np.zeros(2)
    for command, text in STEP.findall(path):
        numbers = [float(each) for each in NUMBER.findall(text)]
        if command in "hv":
            numbers = [*numbers, 0.0] if command == "h" else [0.0, *numbers]
        steps = np.reshape(numbers, (-1, 2)) + (pen if command.islower() else 0.0)
        found += list(steps)
        pen = steps[-1] if len(steps) else begun
        begun = pen if command in "Mm" else begun
    return np.array(found)


def paths(svg: str) -> list[tuple[np.ndarray, str]]:
    root = ElementTree.fromstring(svg)
    return [(points(each.get("d", "")), each.get("transform", "")) for each in root.iter(PATH)]


def test_every_line_stays_where_it_was(drawn):
    before, after = paths(drawn), paths(slim(drawn))
    assert len(before) == len(after) > 20
    for (was, was_to), (now, now_to) in zip(before, after, strict=True):
        assert (was_to in LETTER) == (now_to in LETTER)
        scale = 16.0 if now_to in LETTER else 1.0  # letters: to a 1/256 of their height
        np.testing.assert_allclose(now * scale, was, atol=0.51 * scale if scale > 1 else 0.0051)


def test_what_is_asked_for_by_name_is_there(drawn):
    small = slim(drawn)
    names = re.findall(r' id="([^"]+)"', small)
    asked = set(re.findall(r'href="#([^"]+)"|url\(#([^)]+)\)', small))
    assert len(names) == len(set(names))
    assert {a or b for a, b in asked} == set(names)


def test_an_address_holds_the_picture_and_no_quote_that_ends_it(drawn):
    source = address(slim(drawn))
    assert not set('"<>#&\n') & set(source)
    assert ElementTree.fromstring(unquote(source.partition(",")[2])).tag.endswith("svg")


def test_a_page_of_two_cables_can_be_mailed(buggy):
    assert len(report_html(report(buggy, source="buggy.toml")).encode()) < 600_000
