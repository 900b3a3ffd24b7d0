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

from cableroute.assess import assess
from cableroute.errors import CableRouteError
from cableroute.measure.reading import read_job
from cableroute.output.exports import bend_rows
from cableroute.output.template_sheets import BARS, BORDER, OVERLAP, PAPER, flat, template_pdf

DATA = Path(__file__).resolve().parents[3] / "data"
MM = 25.4 / 72.0
NUMBER = rb"(-?[\d.]+)"


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
            plain.append(zlib.decompress(stream))
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
    cables = job(tmp_path, "{at=[0,0,0]},{at=[300,0,0]},{at=[500,150,0]}", radius=120)
    (page,) = pages(template_pdf(cables, title="", unit="mm"))
    wire = max(paths(page), key=len)
    arc = wire[1:-1]
    assert radius_through(arc[[0, len(arc) // 2, -1]]) == pytest.approx(120.0, abs=0.05)
    first, last = wire[1] - wire[0], wire[-1] - wire[-2]
    turn = np.degrees(np.arctan2(first[0] * last[1] - first[1] * last[0], first @ last))
    assert turn == pytest.approx(np.degrees(np.arctan2(150, 200)), abs=0.05)


@pytest.mark.parametrize(("radius", "angle"), [(20, 5), (90, 170), (420, 90), (1500, 60)])
def test_pages_cover_the_whole_bend(radius, angle):
    area = np.array([190.0, 229.0])
    row = {"radius_mm": float(radius), "angle_deg": float(angle)}
    bend = flat(row, area=area)
    tiles = np.array(bend.tiles)
    lengths = np.linalg.norm(np.diff(bend.line, axis=0), axis=1)
    assert lengths[1:-1].sum() == pytest.approx(radius * np.radians(angle), rel=1e-5)
    inside = (bend.line[:, None] >= tiles) & (bend.line[:, None] <= tiles + area)
    assert inside.all(-1).any(-1).all()
    assert len(tiles) <= 2 + 2 * lengths.sum() / (area.min() - OVERLAP)
    assert len(tiles) == len(np.unique(tiles.round(6), axis=0))


def test_a_large_bend_meets_itself_where_pages_overlap(tmp_path):
    cables = job(tmp_path, "{at=[0,0,0]},{at=[900,0,0]},{at=[900,900,0]}", radius=420)
    (row,) = bend_rows(cables[0].figures)
    found = pages(template_pdf(cables, title="", unit="mm"))
    area = np.array(PAPER["a4"]) - [2 * BORDER, 2 * BORDER + 48.0]
    tiles = flat(row, area=area).tiles
    assert len(found) == len(tiles) > 1
    wires = [max(paths(page), key=len) for page in found]
    # the writer leaves out what falls off the paper; what is left lies on one and the same circle
    for wire in wires:
        middle = wire[2:-2]
        assert radius_through(middle[[0, len(middle) // 2, -1]]) == pytest.approx(420, abs=0.5)


@pytest.mark.parametrize("name", sorted(path.name for path in DATA.glob("*.toml")))
def test_every_file_prints_on_few_pages(name):
    read = read_job(DATA / name)
    cables = assess(read).cables
    bends = sum(len(bend_rows(cable.figures)) for cable in cables)
    if bends:
        pdf = template_pdf(cables, title=read.title, unit=read.unit)
        assert bends <= len(pages(pdf)) <= 3 * bends
        assert pdf == template_pdf(cables, title=read.title, unit=read.unit)


def test_without_bends_or_with_far_too_large_ones_there_are_no_sheets(tmp_path):
    straight = job(tmp_path, "{at=[0,0,0]},{at=[900,0,0]}")
    with pytest.raises(CableRouteError, match="no run has a bend"):
        template_pdf(straight, title="", unit="mm")
    vast = job(tmp_path, "{at=[0,0,0]},{at=[9e5,0,0]},{at=[9e5,9e5,0]}", radius=4e5)
    with pytest.raises(CableRouteError, match="200 at most"):
        template_pdf(vast, title="", unit="mm")


def test_the_users_words_are_words(tmp_path):
    label = r"$\\frac{1}{2}$ \u4e2d " + "W" * 60
    cables = job(
        tmp_path, f'{{at=[0,0,0]}},{{at=[900,0,0],label="{label}"}},{{at=[900,900,0]}}', radius=90
    )
    assert template_pdf(cables, title="$x", unit="in").startswith(b"%PDF")


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="pdftoppm is not installed")
def test_the_printed_bar_measures_100_mm(tmp_path, workboat):
    cables, read = workboat
    (tmp_path / "x.pdf").write_bytes(template_pdf(cables, title=read.title, unit=read.unit))
    subprocess.run(
        ["pdftoppm", "-r", "300", "-png", "-singlefile", "x.pdf", "x"], cwd=tmp_path, check=True
    )
    image = imread(tmp_path / "x.png")[..., :3].mean(-1)
    assert bar_length(image) == pytest.approx(100.0, abs=0.2)


def bar_length(image: np.ndarray) -> float:
    """Length of the ink along the first bar of a page at 300 dpi [mm]."""
    row = image.shape[0] - round(BARS[0][0] / 25.4 * 300)
    ink = (image[row - 3 : row + 4, : round(114.0 / 25.4 * 300)] < 0.5).any(0)
    (dark,) = np.nonzero(ink)
    return float(np.ptp(dark) + 1) * 25.4 / 300
