"""Sheets measured in the PDF itself: its streams unpacked, its lines in points turned into mm."""

from __future__ import annotations

import re
import shutil
import subprocess
import zlib
from pathlib import Path

import numpy as np
import pytest
from matplotlib.image import imread
from matplotlib.text import Text

from cableroute.assess import assess
from cableroute.errors import CableRouteError
from cableroute.measure.reading import read_job
from cableroute.output.exports import bend_rows
from cableroute.output.paper import PAPER
from cableroute.output.template.page import BARS, BORDER, FOOT, drawing_area
from cableroute.output.template.page import pages as draw_pages
from cableroute.output.template.shapes import LEAD, OVERLAP, bend_shape, filled, run_shape
from cableroute.output.template.sheets import MOST_TILES, template_sheets
from cableroute.route.planar import flat_runs
from cableroute.route.schedule import bend_schedule

DATA = Path(__file__).resolve().parents[4] / "data"
MM, DOT = 25.4 / 72.0, 25.4 / 300.0
NUMBER = rb"(-?[\d.]+)"
A4 = drawing_area(np.array(PAPER["a4"]))
#: Three corners of two straights, so that each turns by a right angle.
STEPS = (
    "{at=[0,0,0]},{at=[300,0,0],passes='inside'},{at=[300,250,0],label='top',passes='inside'},"
    "{at=[700,250,0],passes='inside'},{at=[700,0,0]}"
)


def template_pdf(cables, *, title="", unit="mm", tolerance=3.0, paper="a4"):
    return template_sheets(cables, title=title, unit=unit, tolerance=tolerance, paper=paper).pdf


def flat_shape(cable, **kwargs):
    """The one flat stretch of a cable."""
    (run,) = flat_runs(bend_schedule(cable.figures.route), tolerance=0.0)
    return run_shape(run, bend_rows(cable.figures), area=A4, **kwargs), run


def job(tmp_path, points, *, radius=100, extra=""):
    file = tmp_path / "job.toml"
    file.write_text(
        f'[[cable]]\nname = "c"\nbend_radius = {radius}\n{extra}\npoints = [{points}]\n'
    )
    return assess(read_job(file)).cables


@pytest.fixture(scope="module")
def workboat():
    read = read_job(DATA / "workboat.toml")
    return assess(read).cables, read


def pages(pdf: bytes) -> list[bytes]:
    """Drawing of each page: the streams that hold lines."""
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL)
    plain = []
    for stream in streams:
        try:
            plain.append(zlib.decompressobj().decompress(stream))  # its last byte may be a CR
        except zlib.error:
            continue
    return [text for text in plain if b" re\n" in text or (b" m\n" in text and b"BT" in text)]


def paths(page: bytes) -> list[np.ndarray]:
    """Polylines of a page [mm]."""
    found = []
    for path in re.findall(rb"((?:-?[\d.]+ -?[\d.]+ [ml]\n)+)", page):
        pairs = re.findall(NUMBER + rb" " + NUMBER + rb" [ml]", path)
        found.append(np.array(pairs, dtype=float) * MM)
    return found


def wire_of(page: bytes) -> np.ndarray:
    """The wire on a page, known by the width of its line [mm]."""
    _, found = page.split(b" 1.2 w ", 1)
    return paths(found)[0]


@pytest.mark.parametrize("paper", list(PAPER))
def test_paper_and_check_bars_are_true(workboat, paper):
    cables, read = workboat
    pdf = template_pdf(cables, title=read.title, unit=read.unit, paper=paper)
    boxes = re.findall(rb"/MediaBox \[ 0 0 " + NUMBER + rb" " + NUMBER, pdf)
    assert len(boxes) == len(pages(pdf)) > 0
    for box in boxes:
        assert np.array(box, dtype=float) * MM == pytest.approx(PAPER[paper], abs=0.01)
    for page in pages(pdf):
        for up, length, _ in BARS:
            bars = [p for p in paths(page) if len(p) == 2 and np.abs(p[:, 1] - up).max() < 0.01]
            (bar,) = bars
            assert np.ptp(bar[:, 0]) == pytest.approx(length, abs=0.01)
    assert [length for _, length, _ in BARS] == pytest.approx([100.0, 101.6])


def radius_through(points):
    """Radius of the circle through three points."""
    a, b, c = points
    ab, bc, ca = (np.linalg.norm(p - q) for p, q in ((a, b), (b, c), (c, a)))
    (ux, uy), (vx, vy) = b - a, c - a
    return ab * bc * ca / (2.0 * abs(ux * vy - uy * vx))


def test_the_arc_on_paper_has_the_radius_and_the_angle(tmp_path):
    cables = job(
        tmp_path, "{at=[0,0,0]},{at=[300,0,0],passes='inside'},{at=[500,150,0]}", radius=120
    )
    (page,) = pages(template_pdf(cables, title="", unit="mm"))
    wire = wire_of(page)
    arc = wire[1:-1]
    assert radius_through(arc[[0, len(arc) // 2, -1]]) == pytest.approx(120.0, abs=0.05)
    first, last = wire[1] - wire[0], wire[-1] - wire[-2]
    turn = np.degrees(np.arctan2(first[0] * last[1] - first[1] * last[0], first @ last))
    assert turn == pytest.approx(np.degrees(np.arctan2(150, 200)), abs=0.05)


def assert_tiles_cover(shape):
    inside = (shape.line[:, None] >= shape.tiles) & (shape.line[:, None] <= shape.tiles + A4)
    assert inside.all(-1).any(-1).all()
    assert len(shape.tiles) == len(np.unique(shape.tiles.round(6), axis=0)) == len(set(shape.names))


@pytest.mark.parametrize(("radius", "angle"), [(20, 5), (90, 170), (420, 90), (1500, 60)])
def test_pages_cover_the_whole_bend(radius, angle):
    row = {"radius_mm": float(radius), "angle_deg": float(angle), "mark_mm": 10.0, "end_mm": 20.0}
    shape = bend_shape({**row, "cable": "c", "bend": 1, "at": "x", "rotation_deg": 0.0}, area=A4)
    assert_tiles_cover(shape)
    lengths = np.linalg.norm(np.diff(shape.line, axis=0), axis=1)
    assert lengths[1:-1].sum() == pytest.approx(radius * np.radians(angle), rel=1e-5)
    assert len(shape.tiles) <= 2 + 2 * lengths.sum() / (A4.min() - OVERLAP)


def test_a_large_bend_lies_on_one_circle_over_all_its_pages(tmp_path):
    cables = job(tmp_path, "{at=[0,0,0]},{at=[900,0,0]},{at=[900,900,0]}", radius=420)
    (row,) = bend_rows(cables[0].figures)
    found = pages(template_pdf(cables))
    assert len(found) == len(bend_shape(row, area=A4).tiles) > 1
    # the writer leaves out what falls off the paper; what is left lies on one and the same circle
    for wire in (wire_of(page) for page in found):
        middle = wire[2:-2]
        assert radius_through(middle[[0, len(middle) // 2, -1]]) == pytest.approx(420, abs=0.5)


def test_pages_of_a_shape_meet_where_they_overlap(tmp_path):
    """The wire of each page, moved by where its tile lies, is the wire of the shape."""
    (cable,) = job(tmp_path, STEPS, radius=60)
    shape, _ = flat_shape(cable)
    whole = shape.line[None]
    found = pages(template_pdf([cable]))[: len(shape.tiles)]  # flat stretches come first
    for page, tile in zip(found, shape.tiles, strict=True):
        wire = filled(wire_of(page), 1.0) - [BORDER, BORDER + FOOT] + tile
        shown = wire[((wire >= tile) & (wire <= tile + A4)).all(-1)]
        starts, ends = whole[:, :-1], whole[:, 1:]
        along = np.clip(
            ((shown[:, None] - starts) * (ends - starts)).sum(-1) / ((ends - starts) ** 2).sum(-1),
            0.0,
            1.0,
        )
        near = starts + along[..., None] * (ends - starts)
        off = np.linalg.norm(shown[:, None] - near, axis=-1).min(1)
        assert len(shown) > 20
        assert off.max() < 0.1


def test_a_flat_stretch_has_its_lengths_angles_and_marks_at_full_size(tmp_path):
    (cable,) = job(tmp_path, STEPS, radius=60)
    shape, run = flat_shape(cable)
    assert_tiles_cover(shape)
    schedule = bend_schedule(cable.figures.route)
    rows = bend_rows(cable.figures)
    begin = rows[0]["mark_mm"] - LEAD
    length = np.linalg.norm(np.diff(shape.line, axis=0), axis=1).sum()
    assert length == pytest.approx(rows[-1]["end_mm"] + LEAD - begin, abs=0.01)
    headings = np.unwrap(np.arctan2(*np.diff(shape.line, axis=0).T[::-1]))
    turns = [90.0, -90.0, -90.0]
    assert np.degrees(headings[-1] - headings[0]) == pytest.approx(sum(turns), abs=1e-6)
    assert np.degrees(np.ptp(headings)) == pytest.approx(180.0, abs=1.5)
    assert f"{begin:.0f} to {begin + length:.0f} mm" in shape.told
    assert (run.first, run.last) == (0, len(schedule.angles) - 1)
    words = [mark.text for mark in shape.marks]
    for row in rows:
        assert f"bend {row['bend']} from {row['mark_mm']:.1f} mm" in words
        assert f"bend {row['bend']} to {row['end_mm']:.1f} mm" in words
    assert any("top" in word and "90.0°" in word for word in words)
    assert "hand end" not in words


@pytest.mark.parametrize("inches", [False, True])
def test_distance_marks_stand_where_they_say(tmp_path, inches):
    (cable,) = job(tmp_path, STEPS, radius=60)
    shape, _ = flat_shape(cable, inches=inches)
    steps = np.linalg.norm(np.diff(shape.line, axis=0), axis=1)
    along = np.concatenate(([0.0], np.cumsum(steps)))
    begin = bend_rows(cable.figures)[0]["mark_mm"] - LEAD
    told = {mark.text: mark.tick.mean(0) for mark in shape.marks if not mark.of_bend}
    distances = {"1' 0\"": 304.8, "2' 0\"": 609.6} if inches else {"200 mm": 200, "600 mm": 600}
    for text, distance in distances.items():
        place = [np.interp(distance - begin, along, column) for column in shape.line.T]
        assert told[text] == pytest.approx(place, abs=0.05)


def test_the_ends_are_marked_where_they_are_near(tmp_path):
    (cable,) = job(
        tmp_path, STEPS.replace("300,", "90,").replace("[700,0,", "[700,160,"), radius=40
    )
    words = [mark.text for mark in flat_shape(cable)[0].marks]
    assert "hand end" in words
    assert f"far end: {float(cable.figures.route.length):.1f} mm" in words


@pytest.mark.parametrize("scale", [0.2, 0.5, 1.0])
def test_no_words_of_a_page_lie_on_others(tmp_path, scale):
    points = re.sub(r"\[(\d+),(\d+)", lambda m: f"[{int(m[1]) * scale},{int(m[2]) * scale}", STEPS)
    (cable,) = job(tmp_path, points, radius=30 * scale)
    shape, _ = flat_shape(cable, inches=True)
    written = 0
    for figure in draw_pages(shape, size=np.array(PAPER["a4"]), title="words"):
        figure.draw_without_rendering()
        words = [text for ax in figure.axes for text in ax.texts]
        boxes = np.array([Text.get_window_extent(text).extents for text in words])
        apart = (boxes[:, None, :2] >= boxes[:, 2:]) | (boxes[:, None, 2:] <= boxes[:, :2])
        clash = ~apart.any(-1) & ~np.eye(len(words), dtype=bool)
        assert not clash.any(), [words[i].get_text() for i in np.nonzero(clash)[0]]
        assert (boxes[:, :2] > 0).all()
        assert (boxes[:, 2:] < figure.bbox.extents[2:]).all()
        written += sum(text.get_text().startswith("bend ") for text in words)
    assert written >= 9


def test_a_stretch_of_too_many_sheets_is_left_out_and_said(tmp_path):
    cables = job(tmp_path, "{at=[0,0,0]},{at=[500,0,0]},{at=[500,4500,0]},{at=[0,4500,0]}")
    found = template_sheets(cables, title="", unit="mm", tolerance=3.0)
    assert len(pages(found.pdf)) == 1  # both bends
    (told,) = found.left_out
    assert told.startswith("c: bends 1 and 2 lie flat, but would take ")
    assert str(MOST_TILES) in told
    vast = job(tmp_path, "{at=[0,0,0]},{at=[500,0,0]},{at=[500,9e5,0]},{at=[0,9e5,0]}")
    (told,) = template_sheets(vast, title="", unit="mm", tolerance=3.0).left_out
    assert "far too many" in told


def test_tiles_are_named_by_row_and_column(tmp_path):
    (cable,) = job(tmp_path, STEPS, radius=60)
    shape, _ = flat_shape(cable)
    assert len(shape.tiles) > 2
    for name, tile in zip(shape.names, shape.tiles, strict=True):
        column, row = (tile - [shape.tiles[:, 0].min(), shape.tiles[:, 1].max()]) / (A4 - OVERLAP)
        assert name == f"{'ABCDEF'[round(-row)]}{round(column) + shape.cells[:, 1].min() + 1}"


@pytest.mark.parametrize("name", sorted(path.name for path in DATA.glob("*.toml")))
def test_every_file_prints_on_few_pages(name):
    read = read_job(DATA / name)
    cables = assess(read).cables
    bends = sum(len(bend_rows(cable.figures)) for cable in cables)
    if bends:
        pdf = template_pdf(cables, title=read.title, unit=read.unit)
        assert 1 <= len(pages(pdf)) <= 4 * bends


def test_the_same_run_gives_the_same_file(tmp_path):
    cables = job(tmp_path, STEPS, radius=60)
    assert template_pdf(cables) == template_pdf(cables)


def test_without_bends_or_with_far_too_large_ones_there_are_no_sheets(tmp_path):
    straight = job(tmp_path, "{at=[0,0,0]},{at=[900,0,0]}")
    with pytest.raises(CableRouteError, match="no run has a bend"):
        template_pdf(straight, title="", unit="mm")
    vast = job(tmp_path, "{at=[0,0,0]},{at=[4e5,0,0]},{at=[4e5,4e5,0]}", radius=9e4)
    with pytest.raises(CableRouteError, match="100 at most"):
        template_pdf(vast, title="", unit="mm")


def test_the_users_words_are_words(tmp_path):
    label = r"$\\frac{1}{2}$ \u4e2d " + "W" * 60
    cables = job(
        tmp_path, f'{{at=[0,0,0]}},{{at=[900,0,0],label="{label}"}},{{at=[900,900,0]}}', radius=90
    )
    assert template_pdf(cables, title="$x", unit="in").startswith(b"%PDF")


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="pdftoppm is not installed")
@pytest.mark.parametrize("paper", list(PAPER))
def test_the_printed_bars_measure_what_they_say(tmp_path, paper):
    """Rasterised at 300 dpi, on a page of several bends."""
    cables = job(tmp_path, STEPS, radius=60)
    pdf = template_pdf(cables, paper=paper)
    (tmp_path / "x.pdf").write_bytes(pdf)
    last = ("-f", str(len(pages(pdf))), "-singlefile")
    subprocess.run(["pdftoppm", "-r", "300", "-png", *last, "x.pdf", "x"], cwd=tmp_path, check=True)
    image = imread(tmp_path / "x.png")[..., :3].mean(-1)
    assert np.array(image.shape[::-1]) * DOT == pytest.approx(PAPER[paper], abs=0.1)
    for up, length, _ in BARS:
        assert bar_length(image, up) == pytest.approx(length, abs=0.2)


def bar_length(image: np.ndarray, up: float) -> float:
    """Length of the ink along a bar of a page at 300 dpi [mm]."""
    row = image.shape[0] - round(up / DOT)
    ink = (image[row - 3 : row + 4, : round((BORDER + 103.0) / DOT)] < 0.5).any(0)
    (dark,) = np.nonzero(ink)
    return float(np.ptp(dark) + 1) * DOT
