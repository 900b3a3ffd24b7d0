"""The shapes of one cable: drawn tight, left to itself, and at the length that is bought."""

from __future__ import annotations

from dataclasses import replace
from math import exp
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.figures.cable import Figures, work_out
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.measure.reading import read_job
from cableroute.measure.tubes import Tube

DATA = Path(__file__).parents[3] / "data"
POINTS = np.array([[0, 0, 0], [400, 0, 0], [700, 300, 50], [1200, 300, 200]], dtype=float)
FAMILY = load_library()["pull-slick-medium"]
CABLE = Cable("one", POINTS, "pull", 90.0, load=80.0, friction=(0.1, 0.2), drag=0.0)


def worked(cable: Cable = CABLE, *, tolerance: float = 0.0, **job: object) -> Figures:
    return work_out(cable, job=Job("", (cable,), tape_tolerance=tolerance, **job))


def stocked(length: float, **changes: object) -> Cable:
    own = {"stock_lengths": (length,), "stock_lengths_ft": ()}
    return replace(CABLE, family=FAMILY.model_copy(update=own), **changes)


LAID = worked()
TIGHT, LAY = float(LAID.route.length), LAID.lay.length


def test_both_shapes_go_through_every_point_and_the_tight_one_is_shorter() -> None:
    for run in (LAID.shapes.tight, LAID.lay.run):
        along = run.point(np.linspace(0.0, float(run.length), 20001))
        off = np.linalg.norm(along[:, None] - POINTS, axis=-1).min(0)
        assert off.max() < 0.3  # as near as the tangents of neighbours meet
    legs = float(np.linalg.norm(np.diff(POINTS, axis=0), axis=1).sum())
    assert legs < TIGHT < LAY
    assert LAID.lay.spans.sum() == pytest.approx(LAY)


def test_at_a_length_between_the_two_it_lies_between_them() -> None:
    between = 0.5 * (TIGHT + LAY)
    shapes = worked(stocked(between)).shapes
    assert shapes.order.surplus == pytest.approx(between - LAY)
    assert float(shapes.loose.length) == pytest.approx(between, abs=0.5)  # of small arcs
    assert worked(stocked(LAY + 100.0)).shapes.loose.length == LAID.lay.run.length


@pytest.mark.parametrize("tolerance", [0.0, 3.0])
def test_the_range_of_wrap_holds_every_shape(tolerance: float) -> None:
    for cable in (CABLE, stocked(0.5 * (TIGHT + LAY))):
        figures = worked(cable, tolerance=tolerance)
        low, high = figures.wraps
        turns = float(figures.route.wrap), float(figures.shapes.loose.wrap)
        assert low <= min(turns) + 1e-9
        assert high >= max(turns) - 0.002  # the small arcs of a lay turn as it does to that
        if tolerance:
            exact = worked(cable).wraps
            assert low < exact[0] < exact[1] < high


@pytest.mark.parametrize("cut", [False, True])
def test_lengths_rise_from_least_by_advised_to_bought(cut: bool) -> None:
    cable = stocked(LAY + 100.0, slack=20.0, cut=cut)
    order = worked(cable, tolerance=2.0).order
    assert order.least == pytest.approx(order.conduit + 20.0 + order.doubt)
    assert order.least < order.advised
    if cut:
        assert order.choice is None
        assert order.bought == order.advised
        assert order.surplus == 0.0
        assert order.core > order.advised
    else:
        assert order.advised < order.bought == pytest.approx(LAY + 100.0)
        assert order.surplus == pytest.approx(100.0, abs=0.01)


def test_the_tight_run_with_apparent_friction_asks_the_force_of_the_other_shape() -> None:
    """Without weight, all of the hand force is e^(mu wrap)."""
    low, high = LAID.apparent_friction
    turn = float(LAID.route.wrap)
    assert exp(high * turn) == pytest.approx(exp(0.2 * LAID.wraps[1]))
    assert exp(low * turn) == pytest.approx(exp(0.1 * LAID.wraps[0]))
    assert LAID.pull.inputs == pytest.approx(
        (80.0 * exp(0.1 * LAID.wraps[0]), 80.0 * exp(0.2 * LAID.wraps[1]))
    )


def test_the_range_of_force_is_shared_out_to_friction_and_shape() -> None:
    assert sum(LAID.range_shares) == pytest.approx(1.0)
    assert min(LAID.range_shares) > 0.0
    assert worked(replace(CABLE, friction=(0.2, 0.2))).range_shares == pytest.approx((0.0, 1.0))
    straight = worked(replace(CABLE, points=POINTS[:2]))
    assert straight.range_shares == (1.0, 0.0)


def test_a_held_heading_turns_both_shapes() -> None:
    held = (np.array([0.0, 0.0, 1.0]), None, None, None)
    figures = worked(replace(CABLE, headings=held))
    assert figures.lay.ways[0] == pytest.approx([0.0, 0.0, 1.0])
    assert figures.route.directions[0] == pytest.approx([0.0, 0.0, 1.0])
    assert figures.route.wrap > LAID.route.wrap
    assert figures.lay.wrap > LAID.lay.wrap


def test_the_way_of_an_anchor_that_nobody_gave_is_told() -> None:
    def told(**changes: object) -> str:
        figures = worked(replace(CABLE, **changes))
        return " ".join(text for text in figures.assumed if "heading" in text)

    assert told() == ""
    held = ("anchor", None, None, "anchor")
    names = ("lever", "", "", "box")
    assert "no heading is given at lever, box" in told(fixes=held, labels=names)
    heading = (np.array([1.0, 0.0, 0.0]), None, None, None)
    assert "given at box:" in told(fixes=held, labels=names, headings=heading)


def across(at: tuple[float, float], *, name: str = "rail") -> Tube:
    x, y = at
    return Tube(name, (x, y, -200.0), (x, y, 200.0), 40.0)


def test_a_tube_in_the_way_is_found_with_place_and_depth() -> None:
    straight = replace(CABLE, points=POINTS[:2])
    (crossed,) = worked(straight, tubes=(across((200.0, 15.0)),)).tubes
    assert crossed.tube.name == "rail"
    assert crossed.depth == pytest.approx(5.0)
    assert crossed.at == pytest.approx(200.0)
    assert crossed.point == pytest.approx([200.0, 0.0, 0.0])
    assert worked(tubes=(across((200.0, 150.0)),)).tubes == ()


def test_half_of_the_conduit_counts_into_the_depth() -> None:
    tubes = (across((200.0, 15.0)),)
    bare, clad = worked(tubes=tubes).tubes[0], worked(stocked(9000.0), tubes=tubes).tubes[0]
    assert clad.depth == pytest.approx(bare.depth + 0.5 * FAMILY.conduit_od, abs=0.1)


def test_a_tube_that_a_point_lies_on_is_crossed_only_where_the_tight_run_goes_through_it() -> None:
    lying = replace(CABLE, points=POINTS[:2], tubes=(None, "rail"))
    assert worked(lying, tubes=(across((200.0, 15.0)),)).tubes == ()
    (crossed,) = worked(lying, tubes=(across((200.0, 8.0)),)).tubes
    assert crossed.depth == pytest.approx(12.0)


@pytest.mark.parametrize("file", ["grass_track_buggy", "works_locomotive_aft", "workboat"])
def test_the_drawn_lay_turns_and_measures_as_the_lay_that_is_told(file: str) -> None:
    """The route of small arcs that forces and clearances are asked at, held ends among them."""
    for cable in assess(read_job(DATA / f"{file}.toml")).cables:
        lay = cable.figures.lay
        assert float(lay.run.wrap) == pytest.approx(lay.wrap, abs=np.radians(0.1))
        assert float(lay.run.length) == pytest.approx(lay.length, abs=0.02)
        assert float(lay.run.min_radius) == pytest.approx(lay.min_radius, rel=0.02)
