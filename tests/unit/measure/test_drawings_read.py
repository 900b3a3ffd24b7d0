"""Runs read from DXF and OBJ: units, layers, joints, arcs; our own drawing comes back as it was."""

from __future__ import annotations

from io import StringIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from scipy.interpolate import BSpline

from cableroute.assess import assess
from cableroute.errors import CableRouteError, RouteFileError
from cableroute.measure.dxf_points import read_dxf
from cableroute.measure.obj_points import read_obj
from cableroute.measure.reading import read_job
from cableroute.output.dxf import dxf_text, layer_names
from cableroute.route.pieces import Route

DATA = Path(__file__).parents[3] / "data"
ezdxf = pytest.importorskip("ezdxf")
CORNER = [[0, 0, 0], [400, 0, 0], [400, 300, 0]]


def drawn(draw, *, units: int = 4, **more):
    """Read a drawing that a function has drawn."""
    drawing = ezdxf.new("R2010")
    drawing.header["$INSUNITS"] = units
    draw(drawing.modelspace())
    text = StringIO()
    drawing.write(text)
    words = {"unit": None, "layer": None} | more
    return read_dxf(text.getvalue().encode(), source="a.dxf", **words)


def places(found, which: int = 0) -> list[list[float]]:
    return [[round(x, 6) for x in point["at"]] for point in found.cables[which].points]


def lines(points, layer: str = "0"):
    def draw(space):
        for start, end in pairwise(points):
            space.add_line(start, end, dxfattribs={"layer": layer})

    return draw


@pytest.mark.parametrize(("units", "mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0)])
def test_a_drawing_says_its_unit(units, mm):
    found = drawn(lines([[0, 0, 0], [4, 0, 0], [4, 3, 0]]), units=units)
    assert np.allclose(places(found), mm * np.array([[0, 0, 0], [4, 0, 0], [4, 3, 0]]))
    assert drawn(lines(CORNER), units=units, unit="cm").cables[0].points[1]["at"][0] == 4000
    assert found.unit in ("in", "ft", "mm", "cm", "m")


def test_a_curve_that_is_nowhere_is_refused_and_one_without_corners_left_out():
    def draw(space):
        lines(CORNER)(space)
        space.add_polyline3d([])
        if is_nowhere:
            space.add_ellipse((0, 0), (300, 0), 0.6, -np.inf, 2)

    is_nowhere = False
    assert places(drawn(draw)) == CORNER
    is_nowhere = True
    with pytest.raises(RouteFileError, match="layer 0: cannot be read: ELLIPSE without a point"):
        drawn(draw)


def test_a_drawing_without_a_unit_is_in_mm_and_says_so():
    assert drawn(lines(CORNER), units=0).unit is None


def test_a_unit_that_is_not_known_asks_for_one():
    with pytest.raises(RouteFileError, match="INSUNITS 3; say the unit"):
        drawn(lines(CORNER), units=3)


def test_pieces_are_joined_in_any_order_and_from_either_end():
    def draw(space):
        space.add_line((400, 300.05, 0), (400, 0, 0))
        space.add_line((400, 300, 0), (400, 300, 90))
        space.add_line((0, 0, 0), (400, 0.02, 0))
        space.add_line((400, 0, 0), (400, 0.04, 0))  # no branch: shorter than the tolerance

    assert np.allclose(places(drawn(draw)), [*CORNER, [400, 300, 90]], atol=0.1)


@pytest.mark.parametrize("turn", [30.0, 90.0, 170.0, 270.0])
@pytest.mark.parametrize("axis", [(0, 0, 1), (0, 0, -1), (1, 0, 0), (1, 2, 3)])
def test_arcs_stay_arcs_in_any_plane(turn, axis):
    def draw(space):
        space.add_arc((10, 20, 30), 50, 20, 20 + turn, dxfattribs={"extrusion": axis})

    (cable,) = drawn(draw).cables
    inner = [point["radius"] for point in cable.points[1:-1]]
    assert inner == pytest.approx([50] * len(inner))
    from cableroute.route.fillet import fit_arcs

    route = fit_arcs(np.array([point["at"] for point in cable.points]), min_bend_radius=50.0)
    assert isinstance(route, Route)
    assert route.wrap == pytest.approx(np.radians(turn))
    assert route.length == pytest.approx(50 * np.radians(turn))


def test_lines_and_arcs_that_touch_leave_no_corner_between_them():
    def draw(space):
        space.add_lwpolyline(
            [(0, 0, 0), (350, 0, np.tan(np.pi / 8)), (400, 50, 0), (400, 300, 0)], format="xyb"
        )

    (cable,) = drawn(draw).cables
    assert [point["at"] for point in cable.points] == [pytest.approx(p) for p in CORNER]
    assert [point.get("radius") for point in cable.points] == [None, pytest.approx(50), None]


def test_splines_three_dimensional_polylines_and_points():
    def spline(space):
        space.add_spline([(0, 0, 0), (100, 50, 0), (200, 0, 80)])

    def polyline(space):
        space.add_polyline3d(CORNER)

    def points(space):
        for point in CORNER:
            space.add_point(point)

    assert len(drawn(spline).cables[0].points) > 10
    assert "chords" in drawn(spline).notes[0]
    assert places(drawn(polyline)) == places(drawn(points)) == CORNER


def test_each_layer_is_a_cable_and_one_may_be_chosen():
    def draw(space):
        lines(CORNER, "shift")(space)
        lines([[5, 5, 5], [9, 9, 9]], "brake")(space)

    assert [cable.name for cable in drawn(draw).cables] == ["shift", "brake"]
    assert [cable.name for cable in drawn(draw, layer="BRAKE").cables] == ["brake"]
    with pytest.raises(RouteFileError, match='no layer "clutch" with anything on it; known: shift'):
        drawn(draw, layer="clutch")


@pytest.mark.parametrize(
    ("points", "told"),
    [
        (([0, 0, 0], [9, 0, 0], None, [20, 0, 0], [30, 0, 0]), "expected one run, got 2, from"),
        (([0, 0, 0], [9, 0, 0], [9, 9, 0], [0, 0, 0]), "got a closed one"),
        (
            ([0, 0, 0], [9, 0, 0], [9, 9, 0], None, [9, 0, 0], [20, 0, 0]),
            "got a branch at (9, 0, 0)",
        ),
    ],
)
def test_what_is_no_single_run_is_asked_about(points, told):
    def draw(space):
        for start, end in pairwise(points):
            if start and end:
                space.add_line(start, end)

    with pytest.raises(RouteFileError) as caught:
        drawn(draw)
    assert told in str(caught.value)


@pytest.mark.parametrize(
    "data", [b"", b"0\nSECTION\n", b"x,y,z\n1,2,3\n", b"\xff\xfe\x00", b"999\n"]
)
def test_what_is_no_drawing_is_refused_in_one_line(data):
    with pytest.raises(CableRouteError) as caught:
        read_dxf(data, source="a.dxf", unit=None, layer=None)
    assert len(str(caught.value).splitlines()) == 1


@pytest.mark.parametrize("name", ["grass_track_buggy", "recumbent_trike", "workboat"])
def test_our_own_drawing_reads_back_as_itself(tmp_path, name):
    found = assess(read_job(DATA / f"{name}.toml"))
    file = tmp_path / "x.dxf"
    file.write_text(dxf_text(found.cables, found.job.keepouts))
    again = assess(read_job(file, overrides={"bend_radius": 1.0}))
    layers = layer_names([cable.figures.cable.name for cable in found.cables])
    names = [layer.removeprefix("CABLE-") for layer in layers]
    assert [cable.figures.cable.name for cable in again.cables] == names
    for old, new in zip(found.cables, again.cables, strict=True):
        one, other = old.figures.route, new.figures.route
        assert other.length == pytest.approx(one.length, abs=0.01)
        share = np.linspace(0.0, 1.0, 500)
        off = one.point(share * float(one.length)) - other.point(share * float(other.length))
        assert np.linalg.norm(off, axis=1).max() < 0.01
        assert new.figures.route.fits


def test_layers_have_names_that_r12_knows_no_two_alike():
    names = layer_names(["shift", "Shift", "übel; x", "a" * 60, "a" * 61, "\x1b"])
    assert names[:3] == ["CABLE-shift", "CABLE-Shift-2", "CABLE-bel_x"]
    assert len({name.upper() for name in names}) == 6
    assert max(map(len, names)) <= 31


def test_arcs_tighter_than_the_cable_are_judged_at_its_radius_and_told(tmp_path):
    file = tmp_path / "a.dxf"
    drawing = ezdxf.new("R2010", units=4)
    corner = [(0, 0, 0), (350, 0, np.tan(np.pi / 8)), (400, 50, 0), (400, 300, 0)]
    drawing.modelspace().add_lwpolyline(corner, format="xyb")
    drawing.saveas(file)
    (cable,) = read_job(file, overrides={"bend_radius": 60.0}).cables
    assert cable.point_radii[1] == 60.0
    (remark,) = cable.remarks
    assert remark.code == "drawn-too-tight"
    (cable,) = read_job(file, overrides={"bend_radius": 40.0}).cables
    assert cable.point_radii[1] == pytest.approx(50.0)
    assert not cable.remarks


def obj(text: str):
    return read_obj(text, source="a.obj", unit="cm")


def test_an_obj_holds_points_and_lines():
    text = "# x\nv 0 0 0\nv 40 0 0\nv 40 30 0 1.0\nvn 0 0 1\no shift\nl 1 2\nl 2/1 3/2\no brake\nl -1 1\n"
    found = obj(text)
    assert [cable.name for cable in found.cables] == ["shift", "brake"]
    assert places(found) == CORNER
    assert places(obj("v 0 0 0\nv 40 0 0\nv 40 30 0\n")) == CORNER


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("v 0 0\n", "a.obj:1: expected v and three numbers"),
        ("v 0 0 nan\n", "a.obj:1: expected v and three numbers"),
        ("v 0 0 \x1b2\n", 'a.obj:1: expected v and three numbers, got "0 0 \\x1b2"'),
        ("v 0 0 0\nl 1 2\n", "a.obj:2: expected a point from 1 to 1"),
        ("v 0 0 0\nl 0 1\n", "a.obj:2: expected a point"),
        ("o x\n", "expected points"),
    ],
)
def test_an_obj_at_fault_names_its_line(text, told):
    with pytest.raises(RouteFileError) as caught:
        obj(text)
    assert told in str(caught.value)


def test_what_is_drawn_otherwise_is_named():
    with pytest.raises(RouteFileError, match="in its model space, got 1 CIRCLE"):
        drawn(lambda space: space.add_circle((0, 0, 0), 100.0))


def test_the_frame_of_a_fitted_polyline_is_no_part_of_it():
    frame = [(0, 0, 0), (250, -100, 0), (400, 150, 0)]

    def flat(space):
        poly = space.add_polyline2d([point[:2] for point in CORNER], dxfattribs={"flags": 4})
        poly.append_formatted_vertices([point[:2] for point in frame], dxfattribs={"flags": 16})

    def spatial(space):
        poly = space.add_polyline3d(CORNER, dxfattribs={"flags": 8 + 4})
        poly.append_vertices(frame, dxfattribs={"flags": 32 + 16})

    assert places(drawn(flat)) == places(drawn(spatial)) == CORNER


@pytest.mark.parametrize("weights", [None, [1, 2, 1, 1, 3, 1]])
@pytest.mark.parametrize(
    "knots", [[0] * 4 + [1, 2] + [3] * 4, list(range(10)), [-3, -2, *range(8)]]
)
def test_a_spline_is_the_curve_between_its_end_knots(knots, weights):
    """Held against SciPy's B-splines, in homogeneous coordinates."""
    control = np.array(
        [[0, 0, 0], [150, 0, 0], [300, 50, 0], [400, 200, 80], [450, 400, 120], [430, 600, 90]]
    )

    def draw(space):
        spline = space.add_spline(degree=3)
        spline.control_points = control
        spline.knots = knots
        if weights:
            spline.weights = weights

    found = np.array(places(drawn(draw)))
    weight = np.ones(6) if weights is None else np.array(weights)
    curve = BSpline(knots, np.column_stack([control * weight[:, None], weight]), 3)
    four = curve(np.linspace(knots[3], knots[6], 20_001))
    truth = four[:, :3] / four[:, 3:]
    length = np.linalg.norm(np.diff(truth, axis=0), axis=1).sum()
    assert np.linalg.norm(np.diff(found, axis=0), axis=1).sum() == pytest.approx(length, rel=1e-4)
    off = np.linalg.norm(found[:, None] - truth[None, ::4], axis=-1).min(axis=1)
    assert off.max() < 0.5  # these samples of the truth stand a little less apart
    assert found[[0, -1]] == pytest.approx(truth[[0, -1]], abs=1e-6)


def test_fit_points_that_stand_twice_are_one():
    twice = [(0, 0, 0), (0, 0, 0), (100, 50, 0), (100, 50, 0), (200, 0, 80)]
    once = [(0, 0, 0), (100, 50, 0), (200, 0, 80)]
    one, other = (places(drawn(lambda space, p=p: space.add_spline(p))) for p in (twice, once))
    assert one == other


def test_what_is_drawn_twice_is_taken_once():
    def draw(space):
        lines(CORNER)(space)
        space.add_line(CORNER[2], CORNER[1])
        for _ in range(2):
            space.add_arc((300, 300, 0), 100, 0, 90)

    found = drawn(draw)
    assert places(found)[:2] == CORNER[:2]
    assert "2 drawn twice are taken once" in found.notes[0]


def test_what_is_not_shown_is_left_out_unless_asked_for():
    drawing = ezdxf.new("R2010", units=4)
    space = drawing.modelspace()
    drawing.layers.add("old").freeze()
    drawing.layers.add("older").off()
    lines(CORNER, "run")(space)
    for layer in ("old", "older"):
        lines([[0, 0, 9], [9, 9, 9]], layer)(space)
    space.add_line((5, 5, 5), (9, 5, 5), dxfattribs={"layer": "run", "invisible": 1})
    text = StringIO()
    drawing.write(text)
    read = {"source": "a.dxf", "unit": None}
    found = read_dxf(text.getvalue().encode(), layer=None, **read)
    assert [cable.name for cable in found.cables] == ["run"]
    assert "layers that are off or frozen: old, older" in found.notes[0]
    assert read_dxf(text.getvalue().encode(), layer="old", **read).cables[0].name == "old"


def test_a_run_in_a_block_or_on_a_sheet_is_told_with_what_to_do():
    def block(space):
        lines(CORNER)(space.doc.blocks.new("B"))
        space.add_blockref("B", (0, 0))

    def sheet(space):
        lines(CORNER)(space.doc.paperspace())

    with pytest.raises(RouteFileError, match=r"got 1 INSERT; .* is not read: explode it first"):
        drawn(block)
    with pytest.raises(
        RouteFileError, match="on its sheets stand 2 LINE: draw the run in the model"
    ):
        drawn(sheet)


def test_the_layer_that_nobody_made_names_no_cable_and_the_hand_end_is_told():
    found = drawn(lines(CORNER[::-1]))
    assert found.cables[0].name == ""
    assert "the hand end is at (400, 300, 0) mm;" in found.notes[0]


def test_a_gap_between_runs_is_measured():
    def draw(space):
        space.add_line((0, 0, 0), (400, 0, 0))
        space.add_line((402, 0, 0), (402, 300, 0))

    with pytest.raises(RouteFileError, match="Join their ends, 2 mm apart where they are nearest"):
        drawn(draw)


def test_objects_without_lines_are_runs_of_their_own():
    found = obj("o shift\nv 0 0 0\nv 40 0 0\no brake\nv 0 9 0\nv 40 9 0\n")
    assert [cable.name for cable in found.cables] == ["shift", "brake"]


def test_a_surface_is_no_run():
    with pytest.raises(RouteFileError, match="got surfaces alone; export it as a line"):
        obj("v 0 0 0\nv 40 0 0\nv 40 30 0\nf 1 2 3\n")


def test_a_drawing_in_inches_is_told_in_inches(tmp_path):
    file = tmp_path / "a.dxf"
    drawing = ezdxf.new("R2010", units=1)
    corner = [(1, 0, 0), (10, 0, np.tan(np.pi / 8)), (12, 2, 0), (12, 9, 0)]
    drawing.modelspace().add_lwpolyline(corner, format="xyb")
    drawing.saveas(file)
    job = read_job(file, overrides={"bend_radius": 60.0})
    assert 'the hand end is at (1", 0", 0")' in job.notes[0]
    assert 'radius of 2", below the 2.362" that' in job.cables[0].remarks[0].message


def test_points_beside_lines_are_told_as_left_out():
    def draw(space):
        lines(CORNER)(space)
        space.add_point((1, 2, 3))
        space.add_point((9, 9, 9), dxfattribs={"layer": "holes"})

    assert "read are 2 LINE; left out are 2 POINT" in drawn(draw).notes[0]
