"""The nearest place to a solid, against closed forms and a brute search."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.measure.keepout import Box, Capsule
from cableroute.route.clearance import (
    _APART,
    _COARSE,
    _nearest_sample,
    nearest_to,
    nearest_to_each,
)
from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route

ROUTE = fit_arcs([[0, 0, 0], [600, 0, 0], [600, 500, 0], [600, 500, 700]], min_bend_radius=80)


def ball(*centre: float, radius: float = 20.0) -> Capsule:
    return Capsule(np.array(centre, dtype=float), np.array(centre, dtype=float), radius)


def test_beside_a_straight():
    near = nearest_to(ROUTE, ball(300, 0, 75))
    assert near.distance == pytest.approx(55.0, abs=1e-3)
    assert near.at == pytest.approx(300.0, abs=0.1)
    assert near.point == pytest.approx([300, 0, 0], abs=0.1)


def test_inside_a_bend_it_is_the_arc_that_counts_and_not_the_corner():
    """From the centre of a bend every place of its arc is one radius away."""
    near = nearest_to(ROUTE, ball(520, 80, 0))
    assert near.distance == pytest.approx(80.0 - 20.0, abs=1e-6)
    near = nearest_to(ROUTE, ball(600, 0, 0, radius=5.0))
    assert near.distance == pytest.approx(80.0 * (2.0**0.5 - 1.0) - 5.0, abs=1e-4)
    assert near.at == pytest.approx(520.0 + 80.0 * np.pi / 4.0, abs=0.5)


@pytest.mark.parametrize(
    ("centre", "at", "distance"),
    [((-50, 0, 0), 0.0, 30.0), ((600, 500, 760), ROUTE.length, 40.0)],
)
def test_beyond_an_end(centre, at, distance):
    near = nearest_to(ROUTE, ball(*centre))
    assert near.at == pytest.approx(float(at), abs=1e-6)
    assert near.distance == pytest.approx(distance, abs=1e-6)


def test_through_a_solid_is_negative():
    low, high = np.array([200.0, -30.0, -40.0]), np.array([400.0, 30.0, 40.0])
    near = nearest_to(ROUTE, Box(low, high))
    assert near.distance == pytest.approx(-30.0, abs=1e-6)
    assert 200.0 < near.at < 400.0


@settings(max_examples=30)
@given(st.lists(st.floats(-200.0, 800.0), min_size=6, max_size=6), st.floats(1.0, 60.0))
def test_no_place_is_nearer(ends, radius):
    shape = Capsule(np.array(ends[:3]), np.array(ends[3:]), radius)
    near = nearest_to(ROUTE, shape)
    everywhere = ROUTE.point(np.linspace(0.0, float(ROUTE.length), 40_001))
    assert near.distance <= shape.distance(everywhere).min() + 1e-3
    assert shape.distance(near.point) == pytest.approx(near.distance, abs=1e-9)
    assert ROUTE.point(near.at) == pytest.approx(near.point, abs=1e-9)


def test_many_solids_are_each_met_as_alone_the_run_asked_for_once(monkeypatch):
    asked = []
    own = Route.point

    def counted(self, s):
        asked.append(np.size(s))
        return own(self, s)

    shapes = [ball(300, 0, 75), Box(np.array([500.0, 200, 10]), np.array([590.0, 290, 90]))]
    shapes += [ball(40.0 * i, 30.0 * i, 20.0 * i) for i in range(8)]
    alone = [nearest_to(ROUTE, shape) for shape in shapes]
    monkeypatch.setattr(Route, "point", counted)
    together = nearest_to_each(ROUTE, shapes)
    assert len(asked) == 3
    for one, other in zip(alone, together, strict=True):
        assert (one.distance, one.at) == (other.distance, other.at)
        assert (one.point == other.point).all()
    assert nearest_to_each(ROUTE, ()) == []


@pytest.mark.parametrize("seed", range(5))
def test_leaving_samples_out_leaves_none_that_is_nearest(seed: int) -> None:
    rng = np.random.default_rng(seed)
    points = np.cumsum(rng.uniform(-150.0, 300.0, (8, 3)), axis=0)
    route = fit_arcs(points, min_bend_radius=60.0, through=True)
    along = np.linspace(0.0, route.length, _COARSE)
    places = route.point(along)
    centres = rng.uniform(points.min(0) - 200.0, points.max(0) + 200.0, (40, 3))
    shapes = [
        Capsule(at, at + 80.0, 30.0) if i % 2 else Box(at, at + 90.0)
        for i, at in enumerate(centres)
    ]
    found = _nearest_sample(shapes, places, far_apart=float(along[_APART]))
    for i, shape in zip(found.tolist(), shapes, strict=True):
        every = shape.distance(places)
        assert every[i] == pytest.approx(every.min(), abs=1e-9)
