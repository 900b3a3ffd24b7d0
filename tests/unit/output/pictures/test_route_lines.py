"""What a route of thousands of pieces is drawn with, and that none of it goes unseen."""

from __future__ import annotations

import numpy as np

from cableroute.assess import assess
from cableroute.measure.job import Cable, Job
from cableroute.output.pictures.labels import MOST, _one_a_pixel
from cableroute.output.pictures.route_lines import _apart, _strokes, point_labels
from cableroute.output.pictures.views import draw_plan


def drawn(points, radius):
    job = Job("", (Cable("a", points, "pull", radius),), tape_tolerance=0.0)
    return draw_plan(assess(job).cables[0])


def test_a_scan_is_drawn_in_a_few_lines_of_what_can_be_seen():
    points = np.random.default_rng(1).normal((3.0, 0.0, 0.0), 0.5, (3000, 3)).cumsum(0)
    ax = drawn(points, 60.0)
    lines = {line.get_label(): line.get_xydata() for line in ax.lines}
    assert len(ax.lines) < 12
    assert np.nanmax(lines["bend too tight"][:, 0]) > 0.95 * points[:, 0].max()
    assert len(lines["bend too tight"]) < 2500 < 3 * len(points)


def test_straights_and_bends_stay_apart_in_one_line_each():
    ax = drawn([[0, 0, 0], [400, 0, 0], [400, 300, 0], [900, 300, 0]], 60.0)
    lines = {line.get_label(): line.get_xydata() for line in ax.lines}
    breaks = {name: int(np.isnan(lines[name][:, 0]).sum()) for name in ("straight", "bend")}
    assert breaks == {"straight": 2, "bend": 1}


def test_what_is_too_short_to_be_seen_does_not_hide_what_is_graver():
    short, long = np.array([[0.0, 0.0], [0.1, 0.0]]), np.array([[0.0, 0.0], [9.0, 0.0]])
    looks = ["straight", "bend too tight", "straight", "straight"]
    strokes = _strokes(looks, [long, short, short, long], pixel=1.0)
    looks = [(look, len(parts)) for look, parts in strokes]
    assert looks == [("straight", 1), ("bend too tight", 2), ("straight", 1)]


def test_points_of_one_pixel_are_taken_once():
    points = np.random.default_rng(2).normal(0.0, 20.0, (9000, 2))
    once = _one_a_pixel(points)
    assert {tuple(each) for each in once.tolist()} == {
        tuple(each) for each in (points.round() + 0.0).tolist()
    }
    assert len(once) < len(points)


def test_marks_of_very_many_points_stand_once_a_pixel():
    points = np.random.default_rng(3).uniform(0.0, 30.0, (5000, 2))
    apart = _apart(points, 1.0)
    assert {tuple(each) for each in np.floor(apart).tolist()} == {
        tuple(each) for each in np.floor(points).tolist()
    }
    assert len(apart) <= 900
    assert (_apart(points[:100], 1.0) == points[:100]).all()


def test_of_many_labels_those_without_room_are_only_counted():
    steps = np.array([[300.0, 0.0, 0.0], [0.0, 300.0, 0.0]] * 100)
    cable = Cable("a", steps.cumsum(0), "pull", 60.0)
    figures = assess(Job("", (cable,), tape_tolerance=0.0)).cables[0].figures
    labels = point_labels(figures, figures.route.points[:, :2], 1.0, names=True, bends=True)
    assert len(labels) == len(steps)
    assert all(label.text for label in labels[:MOST])
    assert not any(label.text for label in labels[MOST:])
