"""The working out of one cable: natural lay, clearances, lengths to order."""

from __future__ import annotations

from math import degrees, inf

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.errors import SolverError
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.measure.keepout import Box, Capsule, KeepOut
from cableroute.output.as_dict import assessment_dict
from cableroute.output.text import report_lines
from cableroute.workings import DEFAULT_FRICTION, DEFAULT_LOAD, _shape, work_out

POINTS = np.array([[0, 0, 0], [400, 0, 0], [700, 300, 0], [700, 700, 200]], dtype=float)
FAMILY = load_library()["pull-slick-medium"]


def job_of(points=POINTS, *, keepouts=(), unit="mm", tolerance=3.0, **given) -> Job:
    what = {"kind": "pull", "bend_radius": 75.0, "load": 80.0, "friction": (0.1, 0.2), **given}
    cable = Cable(name="one", points=np.asarray(points, dtype=float), **what)
    return Job("", (cable,), unit=unit, tape_tolerance=tolerance, keepouts=tuple(keepouts))


def worked(*arguments, lay=False, **given):
    job = job_of(*arguments, **given)
    return work_out(job.cables[0], job=job, lay=lay)


def codes(job: Job, *, lay=False) -> dict:
    return {f.code: f for f in assess(job, lay=lay).cables[0].findings}


def fails(*_, **__):
    raise SolverError("residual 3e-2 after 50 rounds")


@pytest.fixture(scope="module")
def laid():
    """The usual job with cable data, its natural lay worked out once."""
    return assess(job_of(family=FAMILY), lay=True)


# the natural lay


def test_lay_is_left_out_unless_asked_for():
    assert worked().lay is None


def test_lay_passes_the_clips_with_the_ends_held():
    figures = worked(lay=True)
    lay = figures.lay
    polyline = float(figures.route.legs.sum())
    assert lay.failure == ""
    assert lay.length > polyline  # it goes through the corners, in curves
    # held along the first and last legs, it turns at least from the one to the other
    assert lay.wrap >= np.arccos(figures.route.directions[0] @ figures.route.directions[-1])
    assert 0.0 < lay.min_radius < inf
    assert lay.slack_wrap == 0.0  # without a stock length there is no slack to swallow


def test_lay_of_a_straight_run_is_straight():
    lay = worked([[0, 0, 0], [300, 0, 0], [700, 0, 0]], lay=True).lay
    assert lay.length == pytest.approx(700.0, abs=1e-3)
    assert lay.wrap == pytest.approx(0.0, abs=1e-3)


def test_slack_of_the_stock_is_swallowed_by_the_longest_span(laid):
    figures = laid.cables[0].figures
    assert figures.order.choice.slack > 0.0
    assert figures.lay.slack_wrap > 0.0
    longest = int(np.argmax(figures.route.legs))
    assert figures.lay.slack_span == longest


def test_lay_tighter_than_allowed_is_a_finding():
    job = job_of([[0, 0, 0], [500, 0, 0], [500, 500, 0]], bend_radius=200.0)
    finding = codes(job, lay=True)["lay-too-tight"]
    lay = assess(job, lay=True).cables[0].figures.lay
    assert finding.level == "marginal"
    assert finding.value == pytest.approx(lay.min_radius)
    assert finding.limit == 200.0


@pytest.mark.parametrize("solver", ["lay_run", "natural_lay"])
def test_failing_lay_is_a_finding_and_the_arcs_stand(monkeypatch, solver):
    job = job_of(family=FAMILY)
    before = assess(job).cables[0]
    monkeypatch.setattr(_shape, solver, fails)
    assessment = assess(job, lay=True)
    cable = assessment.cables[0]
    (finding,) = [f for f in cable.findings if f.code == "lay-failed"]
    assert finding.level == "marginal"
    assert "residual 3e-2 after 50 rounds" in finding.message
    assert float(cable.figures.route.length) == float(before.figures.route.length)
    assert cable.figures.pull == before.figures.pull
    assert assessment_dict(assessment)["cables"][0]["lay"] is None
    assert not any("natural lay  " in line for _, line in report_lines(assessment))


def test_lay_as_plain_data_is_in_degrees_and_mm(laid):
    lay = laid.cables[0].figures.lay
    shown = assessment_dict(laid)["cables"][0]["lay"]
    assert shown["length_mm"] == lay.length
    assert shown["wrap_deg"] == pytest.approx(degrees(lay.wrap))
    assert shown["min_bend_radius_mm"] == lay.min_radius
    assert shown["slack_wrap_deg"] == pytest.approx(degrees(lay.slack_wrap))


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
    bare = worked(keepouts=[PIPE]).clearances[0]
    assert bare.clear == pytest.approx(60.0 - 15.0, abs=1e-3)
    clad = worked(keepouts=[PIPE], family=FAMILY).clearances[0]
    assert clad.clear == pytest.approx(60.0 - 15.0 - FAMILY.conduit_od / 2.0, abs=1e-3)
    assert clad.nearest.at == pytest.approx(200.0, abs=0.2)


@pytest.mark.parametrize(("distance", "failing"), [(44.9, False), (45.1, True)])
def test_keep_out_fails_when_nearer_than_the_distance(distance, failing):
    zone = KeepOut("pipe", PIPE.shape, distance)
    assert ("keep-out" in codes(job_of(keepouts=[zone]))) is failing


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
            assert through.inputs == pytest.approx([hand + 7.0 for hand in without.inputs])
            if load:
                assert through.passed == pytest.approx(without.efficiencies)


def test_a_measured_drag_replaces_the_estimate():
    given = {"family": FAMILY}
    assert worked(**given).drag == worked(**given).drag_estimate > 0.0
    assert worked(drag=0.0, **given).drag == 0.0


def test_measured_drag_leaves_weight_alone():
    bare, dragged = worked(family=FAMILY), worked(family=FAMILY, drag=7.0)
    assert dragged.weight_force == pytest.approx(bare.weight_force)
