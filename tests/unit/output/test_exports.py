"""Exports read back: DXF by an independent reader, CSV by hand."""

from __future__ import annotations

import csv
from collections import Counter
from io import StringIO
from pathlib import Path

import ezdxf
import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.measure.keepout import Box, Capsule, KeepOut
from cableroute.measure.reading import read_job
from cableroute.output.dxf import dxf_text
from cableroute.output.exports import (
    BEND_COLUMNS,
    CLIP_COLUMNS,
    POINT_COLUMNS,
    bend_rows,
    clip_rows,
    point_rows,
    stations,
)
from cableroute.output.spreadsheet import csv_text
from cableroute.route.fillet import fit_arcs
from cableroute.route.segments import Arc

DATA = Path(__file__).resolve().parents[3] / "data"


@pytest.fixture(scope="module")
def buggy():
    return assess(read_job(DATA / "grass_track_buggy.toml"))


def read_dxf(tmp_path, text):
    (tmp_path / "x.dxf").write_text(text, encoding="ascii")
    drawing = ezdxf.readfile(tmp_path / "x.dxf")
    assert not drawing.audit().has_errors
    return drawing


def vertices(entity):
    if entity.dxftype() == "LINE":
        return np.array([entity.dxf.start, entity.dxf.end])
    return np.array([vertex.dxf.location for vertex in entity.vertices])


def test_dxf_holds_the_route_its_clips_and_the_layers(tmp_path, buggy):
    drawing = read_dxf(tmp_path, dxf_text(buggy.cables))
    space = drawing.modelspace()
    assert drawing.header["$INSUNITS"] == 4
    for cable in buggy.cables:
        route = cable.figures.route
        drawn = space.query(f'*[layer=="CABLE-{cable.figures.cable.name}"]')
        assert {entity.dxftype() for entity in drawn} == {"LINE", "ARC"}
        arcs = [entity for entity in drawn if entity.dxftype() == "ARC"]
        wanted = [piece.radius for piece in route.pieces if isinstance(piece, Arc)]
        assert [arc.dxf.radius for arc in arcs] == pytest.approx(wanted, abs=1e-6)
    fixed = sum(bool(fix) for cable in buggy.cables for fix in cable.figures.cable.fixes)
    assert len(space.query('POINT[layer=="CLIPS"]')) == fixed > 0
    assert len(space.query('TEXT[layer=="CLIPS"]')) == fixed


@pytest.mark.parametrize("radius", [5.0, 80.0, 4000.0])
def test_chords_keep_to_the_arc(radius):
    route = fit_arcs([[0, 0, 0], [9e3, 0, 0], [9e3, 9e3, 0]], min_bend_radius=radius)
    along = stations(route)
    ends = route.point(along)
    off = np.linalg.norm(
        route.point((along[1:] + along[:-1]) / 2) - (ends[1:] + ends[:-1]) / 2, axis=1
    )
    assert off.max() < 0.01
    assert (np.diff(along) > 0).all()


def test_dxf_shows_every_keepout_on_its_surface(tmp_path):
    jobs = [job for job in map(read_job, sorted(DATA.glob("*.toml"))) if job.keepouts]
    assert jobs
    for job in jobs:
        space = read_dxf(tmp_path, dxf_text((), job.keepouts)).modelspace()
        points = np.concatenate([vertices(e) for e in space.query('*[layer=="KEEP-OUT"]')])
        gaps = np.array([zone.shape.distance(points) for zone in job.keepouts])
        assert np.abs(gaps).min(axis=0).max() < 0.01


@pytest.mark.parametrize(
    ("shape", "kinds"),
    [
        (Box(np.zeros(3), np.array([100.0, 200.0, 300.0])), {"LINE": 12}),
        (Capsule(np.array([5.0, 6, 7]), np.array([5.0, 6, 7]), 40.0), {"POLYLINE": 3}),
        (Capsule(np.zeros(3), np.array([0.0, 0, 200]), 15.0), {"POLYLINE": 4}),
        (Capsule(np.ones(3), np.array([-90.0, 20, 200]), 300.0), {"POLYLINE": 4}),
    ],
)
def test_every_solid_is_framed_to_its_full_extent(tmp_path, shape, kinds):
    space = read_dxf(tmp_path, dxf_text((), [KeepOut("tank", shape, 5.0)])).modelspace()
    assert Counter(entity.dxftype() for entity in space) == kinds
    lines = [vertices(entity) for entity in space]
    middles = np.concatenate([(line[1:] + line[:-1]) / 2 for line in lines])
    assert np.abs(shape.distance(np.concatenate([*lines, middles]))).max() < 0.01
    points = np.concatenate(lines)
    spread = np.ptp(points, axis=0)
    if isinstance(shape, Box):
        assert len(np.unique(points.round(6), axis=0)) == 8
    elif (shape.end[:2] == shape.start[:2]).all():
        wanted = [2 * shape.radius] * 2 + [2 * shape.radius + shape.end[2] - shape.start[2]]
        np.testing.assert_allclose(spread, wanted, atol=0.05)


def test_dxf_words_are_one_line_of_ascii(tmp_path):
    points = '{ at=[0,0,0], label="a\\n0\\nLINE %%u ü😀", fix="anchor" }, { at=[900,0,0] }'
    file = tmp_path / "j.toml"
    file.write_text(
        f'[[cable]]\nname = "c"\nbend_radius = 60\npoints = [{points}]\n', encoding="utf-8"
    )
    space = read_dxf(tmp_path, dxf_text(assess(read_job(file)).cables)).modelspace()
    text, middle, end = space.query("TEXT")
    assert [middle.dxf.text, end.dxf.text] == ["suggested", "anchor: point 2"]
    assert text.dxf.text == "anchor: a 0 LINE % % u \\U+00FC?"
    assert len(space.query("LINE")) == 1


def read_csv(text):
    return list(csv.DictReader(StringIO(text)))


def test_csv_of_points_follows_the_run(buggy):
    figures = buggy.cables[0].figures
    rows = read_csv(csv_text(POINT_COLUMNS, point_rows(figures)))
    along = np.array([float(row["along_mm"]) for row in rows])
    points = np.array([[float(row[f"{axis}_mm"]) for axis in "xyz"] for row in rows])
    np.testing.assert_allclose(points, figures.route.point(along), atol=1e-5)
    assert along[-1] == pytest.approx(figures.route.length)
    assert np.diff(along).max() <= 10.0 + 1e-6
    radii = {round(float(row["radius_mm"]), 3) for row in rows if row["radius_mm"]}
    assert radii <= set(np.round(figures.route.radii, 3).tolist())


def test_csv_of_bends_holds_the_schedule(buggy):
    figures = buggy.cables[0].figures
    rows = read_csv(csv_text(BEND_COLUMNS, bend_rows(figures)))
    turns = [float(row["angle_deg"]) for row in rows]
    assert turns == pytest.approx(np.degrees(figures.route.turns).tolist(), abs=1e-6)
    assert [row["at"] for row in rows] == [figures.corner_name(i) for i in range(len(turns))]


def test_csv_of_clips_holds_clips_anchors_and_ends_where_the_conduit_is(tmp_path):
    points = (
        '{at=[0,0,0]}, {at=[200,0,0], fix="clip", label="=rail", passes="inside"},'
        '{at=[400,0,0], label="corner", passes="inside"},'
        '{at=[400,300,0], fix="anchor", passes="inside"}, {at=[400,300,250], fix="clip", label="far"}'
    )
    file = tmp_path / "j.toml"
    file.write_text(
        f'tape_tolerance=0\n[[cable]]\nname = "c"\nbend_radius = 100\npoints = [{points}]\n'
    )
    (cable,) = assess(read_job(file)).cables
    every = read_csv(csv_text(CLIP_COLUMNS, clip_rows(cable)))
    for column in ("at", "force"):
        told = [float(row[{"at": "at_mm", "force": "force_n"}[column]]) for row in every]
        found = [getattr(clip, column) for clip in cable.holding.clips]
        assert told == pytest.approx(found, abs=1e-6)
    rows = [row for row in every if row["kind"] != "suggested"]
    assert [row["kind"] for row in rows] == ["anchor", "clip", "anchor", "anchor"]
    assert [row["label"] for row in rows] == ["point 1", "'=rail", "point 4", "far"]
    arc = 50.0 * np.pi
    at = [0.0, 200.0, 300.0 + arc + 100.0 + 0.5 * arc, 300.0 + arc + 100.0 + arc + 150.0]
    assert [float(row["at_mm"]) for row in rows] == pytest.approx(at)
    middle = 100.0 * (1.0 - np.sqrt(0.5))  # of the arc, beside its corner
    spot = [float(rows[2][f"{axis}_mm"]) for axis in "xyz"]
    assert spot == pytest.approx([400.0, 300.0 - middle, middle], abs=1e-5)
    assert (float(rows[3]["y_mm"]), float(rows[3]["z_mm"])) == (300.0, 250.0)


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@x", "\t=1", "\r=1", "  =1", "\n=1"])
def test_no_cell_is_run_as_a_formula(cell):
    (row,) = read_csv(csv_text(["a", "b"], [{"a": cell, "b": -1.5}]))
    told = (
        cell.replace("\t", r"\t").replace("\r", r"\r").replace("\n", r"\n")
    )  # controls written out
    assert row["a"] == "'" + told
    assert row["b"] == "-1.5"
