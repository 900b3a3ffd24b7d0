"""Bends that share a page, and the dial of each rotation."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from matplotlib.colors import to_hex
from matplotlib.text import Text

from cableroute.assess import assess
from cableroute.measure.reading import read_job
from cableroute.output.exports import bend_rows
from cableroute.output.paper import PAPER
from cableroute.output.pictures.style import BLUE, INK
from cableroute.output.template import sheets as module
from cableroute.output.template.bends_page import bends_page
from cableroute.output.template.cells import DIAL, ROOM, bend_cell, dial_cell, on_pages
from cableroute.output.template.page import drawing_area
from cableroute.output.template.sheets import template_sheets

DATA = Path(__file__).resolve().parents[4] / "data"
SIZE = np.array(PAPER["a4"])
AREA = drawing_area(SIZE)


def row(bend, *, radius=75.0, angle=50.0, rotation=0.0):
    return {
        "cable": "c",
        "bend": bend,
        "at": "x",
        "mark_mm": 10.0,
        "end_mm": 20.0,
        "rotation_deg": rotation,
        "angle_deg": angle,
        "radius_mm": radius,
    }


def page_of(rows, *, size=SIZE):
    area = drawing_area(size)
    cells = [bend_cell(each, area=area, inches=False) for each in rows]
    (page,) = on_pages(cells, area=area)
    return page, bends_page(page, size=size, title="words")


def lines_of(figure):
    return [line for ax in figure.axes for line in ax.lines]


@pytest.mark.parametrize("rotation", [30.0, -55.0, 90.0, 180.0, -135.0, 4.0])
def test_the_dial_shows_the_rotation_clockwise_from_the_bend_before(rotation):
    (_, cell), figure = page_of([row(1), row(2, rotation=rotation)])
    spokes = {
        to_hex(line.get_color()): np.array(line.get_xydata())
        for line in lines_of(figure)
        if len(line.get_xydata()) == 2 and np.allclose(line.get_xydata()[0], cell.dial)
    }
    before, after = (np.diff(spokes[colour], axis=0)[0] for colour in (INK, BLUE))
    assert before == pytest.approx([0.0, DIAL])
    assert np.linalg.norm(after) == pytest.approx(DIAL)
    assert np.degrees(np.arctan2(*after)) % 360.0 == pytest.approx(rotation % 360.0)
    words = [text.get_text() for ax in figure.axes for text in ax.texts]
    assert f"dashed: the way bend 1 went\nsolid: bend 2, {rotation:+.1f}°" in words


def test_the_first_bend_has_no_dial():
    _, figure = page_of([row(1)])
    assert not any("dashed: " in text.get_text() for ax in figure.axes for text in ax.texts)


@pytest.mark.parametrize(("radius", "angle"), [(20, 170), (60, 90), (75, 15), (140, 90), (160, 40)])
@pytest.mark.parametrize("paper", list(PAPER))
def test_a_cell_holds_its_wire_and_keeps_its_dial_off_it(radius, angle, paper):
    area = drawing_area(np.array(PAPER[paper]))
    cell = bend_cell(row(2, radius=radius, angle=angle), area=area, inches=False)
    assert (cell.size <= area).all()
    assert cell.line.min() >= ROOM - 1e-6
    assert (cell.line <= cell.size - ROOM + 1e-6).all()
    steps = np.linalg.norm(np.diff(cell.line, axis=0), axis=1)
    assert steps[1:-1].sum() == pytest.approx(radius * np.radians(angle), rel=1e-5)
    assert np.linalg.norm(cell.line - cell.dial, axis=1).min() > DIAL + 2.0


def test_several_bends_share_a_page_in_order_and_keep_apart():
    rows = [row(n, rotation=20.0 * n, radius=40 + 5 * n, angle=20 + 9 * n) for n in range(1, 9)]
    cells = [bend_cell(each, area=AREA, inches=False) for each in rows]
    found = list(on_pages(cells, area=AREA))
    assert [cell.bend for page in found for cell in page] == list(range(1, 9))
    assert len(found) <= 4
    for page in found:
        low = np.array([cell.corner for cell in page])
        high = low + [cell.size for cell in page]
        assert (low >= -1e-9).all()
        assert (high <= AREA + 1e-9).all()
        apart = (low[:, None] >= high - 1e-9) | (high[:, None] <= low + 1e-9)
        assert (apart.any(-1) | np.eye(len(page), dtype=bool)).all()


@pytest.mark.parametrize("name", ["recumbent_trike.toml", "works_locomotive_aft.toml"])
@pytest.mark.parametrize("paper", list(PAPER))
def test_no_words_of_a_page_of_bends_lie_on_others(name, paper):
    size = np.array(PAPER[paper])
    area = drawing_area(size)
    for cable in assess(read_job(DATA / name)).cables:
        rows = bend_rows(cable.figures)
        cells = [bend_cell(each, area=area, inches=False) for each in rows]
        for page in on_pages(cells, area=area):
            figure = bends_page(page, size=size, title="words")
            figure.draw_without_rendering()
            words = [t for ax in figure.axes for t in ax.texts if t.get_text()]
            boxes = np.array([Text.get_window_extent(text).extents for text in words])
            apart = (boxes[:, None, :2] >= boxes[:, 2:]) | (boxes[:, None, 2:] <= boxes[:, :2])
            clash = ~apart.any(-1) & ~np.eye(len(words), dtype=bool)
            assert not clash.any(), [words[i].get_text() for i in np.nonzero(clash)[0]]
            assert (boxes[:, :2] > 0).all()
            assert (boxes[:, 2:] < figure.bbox.extents[2:]).all()
            told = " ".join(text.get_text() for text in words)
            for cell in page:
                assert f"bend {cell.bend} begins" in told
                assert f"bend {cell.bend} ends" in told


def test_a_bend_too_large_for_a_page_shows_its_dial_with_the_others():
    large = row(2, radius=420, angle=90, rotation=35.0)
    assert bend_cell(large, area=AREA, inches=False) is None
    cell = dial_cell(large, inches=False)
    assert len(cell.line) == 0
    assert cell.rotation == 35.0
    cells, shapes = module._singly([row(1), large], area=AREA, inches=False)
    assert [each.bend for each in cells] == [1, 2]
    assert len(shapes) == 1


def test_flat_stretches_come_first_and_bends_share_pages(monkeypatch):
    order = []
    draw_pages, draw_bends = module.pages, module.bends_page
    monkeypatch.setattr(
        module,
        "pages",
        lambda shape, **kw: (order.append(shape.name), *draw_pages(shape, **kw))[1:],
    )
    monkeypatch.setattr(
        module,
        "bends_page",
        lambda cells, **kw: (order.append(len(cells)), draw_bends(cells, **kw))[1],
    )
    read = read_job(DATA / "works_locomotive_aft.toml")
    found = assess(read)
    drawn = []
    template_sheets(
        found.cables, title="", unit="mm", tolerance=read.tape_tolerance, announce=drawn.append
    )
    flats = [name for name in order if isinstance(name, str) and name.endswith("flat")]
    counts = [count for count in order if isinstance(count, int)]
    bends = sum(len(bend_rows(cable.figures)) for cable in found.cables)
    assert flats
    assert sum(counts) == bends
    assert max(counts) >= 3
    assert drawn[-1] == f"sheet {len(drawn)} of {len(drawn)}"
