from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.assess import assess
from cableroute.measure.job import Job
from cableroute.measure.keepout import Box, Capsule, KeepOut
from cableroute.measure.reading import read_job
from cableroute.measure.tubes import Tube, point_on_tube
from cableroute.output.pictures.projection import FRONT, ISOMETRIC, PLAN, SIDE
from cableroute.output.pictures.scene import (
    clipped,
    framed,
    hull,
    nearest,
    scene_labels,
    solid_outline,
    tube_outline,
)
from cableroute.output.pictures.views import draw_plan, draw_side

DATA = Path(__file__).resolve().parents[4] / "data"
VIEWS = [PLAN, SIDE, FRONT, ISOMETRIC]
SOLIDS = [
    Box(np.array([-30.0, 10, 0]), np.array([50.0, 40, 90])),
    Capsule(np.array([0.0, 0, 0]), np.array([0.0, 0, 0]), 35.0),
    Capsule(np.array([-700.0, 330, 300]), np.array([-1400.0, 310, 260]), 25.0),
]
TUBE = Tube("rail", start=[100, -20, 40], end=[400, 60, 300], diameter=38)


def test_of_very_many_solids_the_nearest_are_drawn_and_the_rest_told():
    balls = [Capsule(np.full(3, 100.0 * i), np.full(3, 100.0 * i), 9.0) for i in range(50)]
    tubes = tuple(Tube(f"t{i}", start=[i, 0, 0], end=[i, 9, 0], diameter=3) for i in range(3))
    zones = tuple(KeepOut(f"k{i}", each, distance=5.0) for i, each in enumerate(balls))
    buggy = read_job(DATA / "grass_track_buggy.toml")
    job = replace(buggy, keepouts=zones, tubes=tubes, nodes={"a": np.zeros(3)})
    shown, told = nearest(job, np.array([[2500.0, 2500, 2500]]))
    assert [each.name for each in shown.keepouts] == [f"k{i}" for i in range(5, 45)]
    assert (shown.tubes, list(shown.nodes)) == (tubes, ["a"])
    ax = draw_plan(assess(buggy).cables[0], job=job)
    assert told == "10 far off not drawn"
    assert told in ax.get_xlabel()
    assert nearest(buggy, np.zeros((1, 3))) == (buggy, "")


def near(shape, off: float) -> np.ndarray:
    """Points all over a shape, and as far off it as is asked for."""
    turn, lift = np.meshgrid(np.linspace(0, 2 * np.pi, 60), np.linspace(-np.pi / 2, np.pi / 2, 31))
    ball = np.stack((np.cos(lift) * np.cos(turn), np.cos(lift) * np.sin(turn), np.sin(lift)), -1)
    ball = ball.reshape(-1, 3)
    if isinstance(shape, Box):
        ends = np.stack(np.meshgrid(*np.stack((shape.low, shape.high), -1)), -1).reshape(-1, 3)
        return (ends[:, None] + off * ball).reshape(-1, 3)
    ends = np.linspace(shape.start, shape.end, 5)
    return (ends[:, None] + (shape.radius + off) * ball).reshape(-1, 3)


def held(outline: np.ndarray, points: np.ndarray, *, slack: float) -> np.ndarray:
    """Which of the points lie within a convex outline that runs anticlockwise."""
    step = np.roll(outline, -1, axis=0) - outline
    step = step / np.linalg.norm(step, axis=1, keepdims=True)
    out = points[:, None] - outline
    return (step[:, 0] * out[..., 1] - step[:, 1] * out[..., 0] > -slack).all(axis=1)


def area(outline: np.ndarray) -> float:
    (x, y), (u, v) = outline.T, np.roll(outline, -1, axis=0).T
    return 0.5 * float(np.sum(x * v - u * y))


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.heading)
@pytest.mark.parametrize("shape", SOLIDS, ids=["box", "sphere", "capsule"])
@pytest.mark.parametrize("off", [0.0, 75.0])
def test_an_outline_holds_the_solid_and_no_more(view, shape, off):
    points = near(shape, off)
    assert shape.distance(points).max() == pytest.approx(off, abs=1e-9)
    seen = view.project(points)
    outline = solid_outline(view, shape, off=off)
    assert held(outline, seen, slack=1e-6).all()
    # the sampled ball is a little small; the outline is at most a little large
    assert area(outline) == pytest.approx(area(hull(seen)), rel=5e-3)


@pytest.mark.parametrize(
    ("view", "expected"),
    [(PLAN, 80.0 * 30.0), (SIDE, 80.0 * 90.0), (FRONT, 30.0 * 90.0)],
    ids=["plan", "side", "front"],
)
def test_a_box_is_seen_by_its_faces(view, expected):
    assert area(solid_outline(view, SOLIDS[0])) == pytest.approx(expected)


def test_a_capsule_square_to_the_view_is_a_stadium():
    bar = Capsule(np.array([0.0, 0, 5]), np.array([200.0, 0, 5]), 20.0)
    expected = 200.0 * 40.0 + np.pi * 20.0**2
    assert area(solid_outline(PLAN, bar)) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.heading)
def test_a_tube_is_drawn_where_points_on_it_lie(view):
    along, clock = np.meshgrid(np.linspace(0, TUBE.length, 9), np.arange(0.0, 360.0, 5.0))
    seen = view.project(point_on_tube(TUBE, along=along.ravel(), clock=clock.ravel()))
    outline = tube_outline(view, TUBE)
    assert held(outline, seen, slack=1e-6).all()
    assert area(outline) == pytest.approx(area(hull(seen)), rel=5e-3)


def test_a_level_tube_is_as_wide_as_its_diameter():
    low, high = np.ptp(
        tube_outline(PLAN, Tube("t", start=[0, 0, 0], end=[90, 0, 0], diameter=38)), 0
    )
    assert (low, high) == pytest.approx((90.0, 38.0), rel=1e-3)


points = st.tuples(st.integers(-20, 20), st.integers(-20, 20))


@settings(max_examples=30)
@given(st.lists(points, min_size=3, max_size=12))
def test_a_hull_turns_left_and_holds_all(given_points):
    cloud = np.array(given_points, dtype=float)
    corners = hull(cloud)
    if len(corners) > 2:
        step = np.roll(corners, -1, axis=0) - corners
        ahead = np.roll(step, -1, axis=0)
        assert (step[:, 0] * ahead[:, 1] - step[:, 1] * ahead[:, 0] > 0).all()
        assert held(corners, cloud, slack=1e-9).all()


@settings(max_examples=30)
@given(st.lists(points, min_size=4, max_size=12))
def test_what_is_clipped_lies_inside_and_loses_no_more(given_points):
    corners = hull(np.array(given_points, dtype=float))
    low, high = np.array([-7.0, -5.0]), np.array([9.0, 6.0])
    part = clipped(corners, low, high)
    if len(part):
        assert (part >= low - 1e-9).all()
        assert (part <= high + 1e-9).all()
    grid = np.stack(np.meshgrid(np.linspace(-6.9, 8.9, 25), np.linspace(-4.9, 5.9, 25)), -1)
    grid = grid.reshape(-1, 2)
    if len(corners) > 2 and (inside := held(corners, grid, slack=-1e-6)).any():
        assert held(hull(part), grid[inside], slack=1e-9).all()


def test_the_route_decides_the_frame():
    route = np.array([[0.0, 0], [400, 100]])
    far = Tube("far", start=[-9000, 50, 0], end=[9000, 50, 0], diameter=40)
    low, high = framed(PLAN, route, Job(title="", cables=(), tubes=(far,)))
    assert low.tolist() == pytest.approx([-60.0, 0.0])
    assert high.tolist() == pytest.approx([460.0, 100.0])
    low, high = framed(PLAN, route, None)
    assert (low.tolist(), high.tolist()) == ([0, 0], [400, 100])


def test_only_what_is_seen_is_named():
    zone = KeepOut("pipe", SOLIDS[1], 12.0)
    away = KeepOut("away", Capsule(np.full(3, 900.0), np.full(3, 900.0), 9.0), 0.0)
    job = Job(title="", cables=(), keepouts=(zone, away), tubes=(TUBE,), nodes={"N": np.ones(3)})
    low, high = np.array([-50.0, -50.0]), np.array([50.0, 50.0])
    words = [label.text for label in scene_labels(PLAN, job, 1.0, low=low, high=high)]
    assert words == ["pipe\nkeep 12 mm off", "N"]


def test_the_machine_shows_in_the_views_where_it_is():
    job = read_job(DATA / "survey_tubes.toml")
    cable = assess(job).cables[0]
    bare, dressed = draw_plan(cable), draw_plan(cable, job=job)
    assert not bare.patches
    for tube, patch in zip(job.tubes, dressed.patches, strict=True):
        assert patch.get_xy()[:-1] == pytest.approx(tube_outline(PLAN, tube))
    words = {text.get_text() for text in dressed.texts}
    assert {"post", "jib", "leg"} <= words


def test_a_solid_to_keep_out_of_is_hatched_and_behind_the_route():
    job = read_job(DATA / "grass_track_buggy.toml")
    ax = draw_side(assess(job).cables[0], job=job, unit="in")
    hatched = [patch for patch in ax.patches if patch.get_hatch()]
    assert len(hatched) == len(job.keepouts)
    route = [line.get_zorder() for line in ax.lines if line.get_linewidth() > 1.5]
    assert max(patch.get_zorder() for patch in ax.patches) < min(route)
    outline = solid_outline(SIDE, job.keepouts[0].shape) / 25.4
    assert hatched[0].get_xy()[:-1] == pytest.approx(outline)
