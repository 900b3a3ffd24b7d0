"""The working out of one cable: natural lay, clearances, lengths to order."""

from __future__ import annotations

from math import degrees, inf

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.errors import SolverError
from cableroute.figures.cable import work_out
from cableroute.figures.forces import DEFAULT_FRICTION, DEFAULT_LOAD
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.measure.keepout import Box, Capsule, KeepOut
from cableroute.output.as_dict import assessment_dict

POINTS = np.array([[0, 0, 0], [400, 0, 0], [700, 300, 0], [700, 700, 200]], dtype=float)
FAMILY = load_library()["pull-slick-medium"]


def job_of(points=POINTS, *, keepouts=(), unit="mm", tolerance=3.0, **given) -> Job:
    what = {"kind": "pull", "bend_radius": 75.0, "load": 80.0, "friction": (0.1, 0.2), **given}
    cable = Cable(name="one", points=np.asarray(points, dtype=float), **what)
    return Job("", (cable,), unit=unit, tape_tolerance=tolerance, keepouts=tuple(keepouts))


def worked(*arguments, **given):
    job = job_of(*arguments, **given)
    return work_out(job.cables[0], job=job)


def codes(job: Job) -> dict:
    return {f.code: f for f in assess(job).cables[0].findings}


def fails(*_, **__):
    raise SolverError("residual 3e-2 after 50 rounds")


@pytest.fixture(scope="module")
def laid():
    """The usual job with cable data."""
    return assess(job_of(family=FAMILY))


# the natural lay


def test_lay_passes_the_clips():
    figures = worked()
    lay = figures.lay
    polyline = float(np.linalg.norm(np.diff(POINTS, axis=0), axis=1).sum())
    assert lay.failure == ""
    assert polyline < figures.route.length < lay.length
    # its free ends run on; held along its tangents it turns at least from the one to the other
    assert lay.wrap >= np.arccos(lay.ways[0] @ lay.ways[-1])
    assert 0.0 < lay.min_radius < inf
    assert lay.turns.sum() == pytest.approx(lay.wrap)
    assert figures.shapes.swallowed is None  # without a stock length there is no slack to swallow


def test_lay_of_a_straight_run_is_straight():
    lay = worked([[0, 0, 0], [300, 0, 0], [700, 0, 0]]).lay
    assert lay.length == pytest.approx(700.0, abs=1e-3)
    assert lay.wrap == pytest.approx(0.0, abs=1e-3)


def test_slack_of_the_stock_is_swallowed_by_the_longest_span(laid):
    shapes = laid.cables[0].figures.shapes
    assert shapes.order.surplus > 0.0
    assert shapes.swallowed.span == int(np.argmax(shapes.lay.spans))
    assert shapes.swallowed.wrap > 0.0


def test_lay_tighter_than_allowed_is_a_finding():
    elbow = [[0, 0, 0], [500, 0, 0], [500, 500, 0]]
    tightest = worked(elbow).lay.min_radius
    assert "lay-too-tight" not in codes(job_of(elbow, bend_radius=tightest * 0.999))
    finding = codes(job_of(elbow, bend_radius=tightest * 1.001))["lay-too-tight"]
    assert finding.level == "marginal"
    assert finding.value == pytest.approx(tightest)
    assert finding.limit == tightest * 1.001


def test_lay_as_plain_data_is_in_degrees_and_mm(laid):
    figures = laid.cables[0].figures
    shown = assessment_dict(laid)["cables"][0]["lay"]
    assert shown["length_mm"] == figures.lay.length
    assert shown["wrap_deg"] == pytest.approx(degrees(figures.lay.wrap))
    assert shown["min_bend_radius_mm"] == figures.lay.min_radius


# smoothing


def close_survey() -> np.ndarray:
    angle = np.linspace(0.0, np.pi / 2, 20)
    run = 600.0 * np.stack([np.sin(angle), 1.0 - np.cos(angle), 0.0 * angle], 1)
    return run + np.random.default_rng(0).normal(0.0, 1.0, run.shape)


def test_route_is_fitted_to_the_smoothed_points():
    figures = worked(close_survey())
    assert figures.survey.moves.any()
    assert np.array_equal(figures.route.points, figures.survey.points[figures.route.kept])
    assert float(figures.route.wrap) < figures.survey.wrap_as_measured


def test_anchors_are_not_smoothed():
    points = close_survey()
    fixes = tuple("anchor" if i == 9 else "clip" for i in range(len(points)))
    moves = worked(points, fixes=fixes).survey.moves
    assert moves[[0, 9, -1]] == pytest.approx(0.0, abs=1e-12)
    assert moves.max() > 0.5


def test_failing_smoothing_is_a_finding_and_the_points_are_fitted_as_read(monkeypatch):
    from cableroute.route import survey

    monkeypatch.setattr(survey, "least_turn", fails)
    job = job_of(close_survey())
    finding = codes(job)["smoothing-failed"]
    assert finding.level == "marginal"
    assert "residual 3e-2" in finding.message
    route = assess(job).cables[0].figures.route
    assert np.array_equal(route.points, job.cables[0].points)


# clearances


PIPE = KeepOut("pipe", Capsule(np.array([200.0, 60, -99]), np.array([200.0, 60, 99]), 15.0), 50.0)


def test_clearance_is_to_the_outside_of_the_conduit():
    bare = worked(keepouts=[PIPE], passes="inside").clearances[0]
    assert bare.clear == pytest.approx(60.0 - 15.0, abs=1e-3)
    clad = worked(keepouts=[PIPE], family=FAMILY, passes="inside").clearances[0]
    assert clad.clear == pytest.approx(60.0 - 15.0 - FAMILY.conduit_od / 2.0, abs=1e-3)
    assert clad.nearest.at == pytest.approx(200.0, abs=0.2)


@pytest.mark.parametrize(("distance", "failing"), [(44.9, False), (45.1, True)])
def test_keep_out_fails_when_nearer_than_the_distance(distance, failing):
    zone = KeepOut("pipe", PIPE.shape, distance)
    assert ("keep-out" in codes(job_of(keepouts=[zone], passes="inside"))) is failing


def test_every_solid_is_looked_at():
    well = KeepOut("well", Box(np.array([350.0, -50, -50]), np.array([450.0, 50, 50])), 0.0)
    found = assess(job_of(keepouts=[PIPE, well])).cables[0].findings
    assert {f.where for f in found if f.code == "keep-out"} == {"pipe", "well"}
    assert next(f for f in found if f.where == "well").value < 0.0


@pytest.mark.parametrize(
    ("temperature", "distance", "level"),
    [(FAMILY.temperature[1] - 1, 50.0, None), (300.0, 50.0, "marginal"), (300.0, 20.0, "note")],
)
def test_heat_is_held_against_the_cable(temperature, distance, level):
    """It passes 42.5 mm away: more than twice 20 mm is far enough for a note."""
    zone = KeepOut("pipe", PIPE.shape, distance, temperature)
    heat = codes(job_of(keepouts=[zone], family=FAMILY)).get("heat")
    assert (heat.level if heat else None) == level


# order


def test_doubt_of_the_length_against_many_readings():
    """Moving every point by the tolerance, in any direction, spreads the length as stated."""
    from cableroute.route.fillet import fit_arcs

    order = worked(tolerance=2.0).order
    ways = np.random.default_rng(5).normal(size=(4000, *POINTS.shape))
    # a step in a random direction has a third of its square along any one line
    ways *= 2.0 * 3.0**0.5 / np.linalg.norm(ways, axis=-1, keepdims=True)
    lengths = fit_arcs(POINTS + ways, min_bend_radius=75.0).length
    assert order.doubt == pytest.approx(float(np.std(lengths)), rel=0.1)


def test_exact_points_leave_the_length_in_no_doubt():
    assert worked(tolerance=0.0).order.doubt == 0.0


def test_stock_covers_need_slack_and_doubt():
    order = worked(family=FAMILY, slack=40.0).order
    assert order.need == pytest.approx(order.conduit)
    assert order.choice.stock in FAMILY.stock_lengths
    assert order.choice.stock >= order.need + 40.0 + order.doubt
    shorter = [s for s in FAMILY.stock_lengths if s < order.choice.stock]
    assert max(shorter) < order.need + 40.0 + order.doubt


def test_stock_is_in_feet_when_the_tape_was():
    stock = worked(family=FAMILY, unit="in").order.choice.stock
    assert stock / 304.8 == pytest.approx(round(stock / 304.8))


def test_overall_cables_are_measured_from_tip_to_tip():
    family = load_library()["push-slick-medium"]
    order = worked(family=family, kind="push-pull", bend_radius=family.min_bend_radius).order
    assert order.measure == "overall"
    assert order.need > order.conduit


# what is assumed


def test_defaults_are_said():
    figures = worked(load=None, friction=None)
    assert figures.friction == DEFAULT_FRICTION
    assert figures.pull.load == DEFAULT_LOAD
    said = " ".join(figures.assumed)
    assert all(words in said for words in ("no friction", "no load", "no cable data"))


def test_radius_of_a_point_replaces_the_cables():
    radii = worked(point_radii=(None, 120.0, None, None)).route.wanted_radii
    assert list(radii) == [120.0, 75.0]


# measured drag


@pytest.mark.parametrize("kind", ["pull", "push-pull"])
def test_measured_drag_is_added_at_every_load(kind):
    family = load_library()["push-slick-medium"]
    for load in (0.0, 80.0, 300.0):
        given = {"kind": kind, "family": family, "bend_radius": 160.0, "load": load}
        bare, dragged = worked(**given), worked(drag=7.0, **given)
        for way in ("pull", "push"):
            without, through = getattr(bare, way), getattr(dragged, way)
            if without is None:
                assert kind == "pull"
                continue
            without, through = (getattr(each, "through", each) for each in (without, through))
            low, high = without.inputs
            bare_high = high - without.stiffness  # a measured drag has what stiffness adds
            assert through.stiffness == 0.0
            assert through.inputs == pytest.approx([low + 7.0, bare_high + 7.0])
            if load:
                assert through.passed == pytest.approx(without.by_bends)


def test_a_measured_drag_replaces_the_estimate():
    given = {"family": FAMILY}
    assert worked(**given).drag == worked(**given).drag_estimate > 0.0
    assert worked(drag=0.0, **given).drag == 0.0


def test_measured_drag_leaves_weight_alone():
    bare, dragged = worked(family=FAMILY), worked(family=FAMILY, drag=7.0)
    assert dragged.weight_force == pytest.approx(bare.weight_force)
