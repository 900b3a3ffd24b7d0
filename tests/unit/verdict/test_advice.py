"""Bends by cost, points to leave out, sweeps: against answers worked by hand."""

from __future__ import annotations

from math import exp, pi

import numpy as np
import pytest

from cableroute.figures.cable import Figures, work_out
from cableroute.figures.lay import lay_of
from cableroute.measure.job import Cable, Job
from cableroute.measure.keepout import Capsule, KeepOut
from cableroute.measure.tubes import Tube
from cableroute.route.clearance import nearest_to
from cableroute.route.fillet import fit_arcs
from cableroute.verdict.advice import Advice, advise

#: A square S: +90 and -90 degrees.
STEP = [[0.0, 0.0, 0.0], [500.0, 0.0, 0.0], [500.0, 400.0, 0.0], [1000.0, 400.0, 0.0]]
#: Two turns to the same side, 90 and 45 degrees.
HOOK = [[0.0, 0.0, 0.0], [500.0, 0.0, 0.0], [500.0, 400.0, 0.0], [200.0, 700.0, 0.0]]


def advice(points, *, friction=0.2, keepouts=(), tubes=(), passes="inside", **known) -> Advice:
    figures = worked(points, friction=friction, keepouts=keepouts, passes=passes, **known)
    return advise(figures, tubes=tubes)


def worked(points, *, friction=0.2, keepouts=(), passes="inside", **known) -> Figures:
    """Corners of two straights, where nothing else is said: their wrap is that of the corners."""
    cable = Cable(
        "c",
        np.array(points),
        "pull",
        60.0,
        load=100.0,
        friction=(0.1, friction),
        labels=("hand", "first", "second", "far")[: len(points)],
        passes=passes,
        **known,
    )
    return work_out(cable, job=Job("", (cable,), tape_tolerance=0.0, keepouts=keepouts))


def test_the_dearest_bend_comes_first_with_the_force_it_costs() -> None:
    found = advice([*HOOK[:3], [500.0 + 300.0, 700.0, 0.0]])
    assert [bend.at for bend in found.bends] == ["first", "second"]
    assert found.bends[0].cost == pytest.approx(exp(0.2 * pi / 2) - 1.0)
    hand = worked([*HOOK[:3], [500.0 + 300.0, 700.0, 0.0]]).pull.inputs[1]
    assert found.bends[0].force == pytest.approx(hand * (1.0 - exp(-0.2 * pi / 2)))


def test_leaving_a_point_out_saves_the_wrap_it_made() -> None:
    found = advice(STEP)
    first = next(change for change in found.omissions if change.at == "first")
    turn = np.arctan2(400.0, 500.0)  # straight to the second point, and back level there
    assert first.wrap == pytest.approx(pi - turn)
    hand = worked(STEP).pull.inputs[1]
    assert first.force == pytest.approx(hand * (1.0 - exp(-0.2 * (pi - turn))))
    assert first.is_good


def test_an_anchor_is_not_left_out() -> None:
    found = advice(STEP, fixes=("anchor", "anchor", "clip", "anchor"))
    assert [change.at for change in found.omissions] == ["second"]


def test_a_solid_in_the_way_is_named() -> None:
    middle = np.array([250.0, 200.0, 0.0])  # on the straight way from hand to second
    ball = KeepOut("pump", Capsule(middle, middle, 20.0), 10.0)
    found = {change.at: change for change in advice(STEP, keepouts=(ball,)).omissions}
    assert found["first"].blocked == ("pump",)
    assert not found["first"].is_good
    assert found["second"].blocked == ()


def test_a_sweep_is_proposed_only_where_force_is_the_trouble() -> None:
    assert advice(STEP, friction=0.1).sweeps == ()
    heavy = advice(STEP, friction=0.3)
    assert heavy.force_is_trouble
    (sweep,) = heavy.sweeps
    assert sweep.point == pytest.approx((500.0, 200.0, 0.0))
    assert sweep.wrap == pytest.approx(pi)  # hand, middle and far end lie in line


def test_a_measured_drag_is_no_trouble_of_bends() -> None:
    """As the rule has it: what bends let through is worked out without the drag."""
    figures = worked(STEP, friction=0.1, drag=200.0)
    assert figures.pull.efficiencies[0] < 0.6 < figures.pull.passed[0]
    assert not advise(figures).force_is_trouble


def test_no_sweep_where_it_does_not_fit_or_meets_a_solid() -> None:
    """A hairpin of half-width h made one corner fits up to a radius of h * leg / length."""
    hairpin = [[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [400.0, 115.0, 0.0], [0.0, 115.0, 0.0]]
    found = advice(hairpin, friction=0.4)
    assert found.force_is_trouble
    assert found.sweeps == ()
    middle = np.array([250.0, 100.0, 0.0])
    ball = KeepOut("pump", Capsule(middle, middle, 20.0), 10.0)
    assert advice(STEP, friction=0.3, keepouts=(ball,)).sweeps == ()


def test_no_sweep_over_an_anchor() -> None:
    held = ("anchor", "anchor", "clip", "anchor")
    assert advice(STEP, friction=0.3, fixes=held).sweeps == ()


def test_a_straight_run_has_nothing_to_advise() -> None:
    found = advice([[0.0, 0.0, 0.0], [500.0, 0.0, 0.0]])
    assert (found.bends, found.omissions, found.sweeps) == ((), (), ())


def test_other_runs_go_through_the_points_that_are_left() -> None:
    figures = worked(STEP, passes="through")
    other = fit_arcs([STEP[0], *STEP[2:]], min_bend_radius=60.0, through=True)
    first = next(change for change in advise(figures).omissions if change.at == "first")
    assert first.wrap == pytest.approx(figures.route.wrap - other.wrap)


def test_other_runs_keep_their_headings_and_their_names() -> None:
    level = np.array([1.0, 0.0, 0.0])
    held = (level, None, None, level)
    figures = worked(STEP, passes="through", headings=held)
    ways = np.array([level, [np.nan] * 3, level])
    other = fit_arcs([STEP[0], *STEP[2:]], min_bend_radius=60.0, through=True, headings=ways)
    found = {change.at: change for change in advise(figures).omissions}
    assert found.keys() == {"first", "second"}
    assert found["first"].wrap == pytest.approx(figures.route.wrap - other.wrap)


def test_the_widest_sweep_through_its_point_just_fits() -> None:
    points = [[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [430.0, 150.0, 0.0], [700.0, 400.0, 0.0]]
    found = [
        change
        for change in advice(points, friction=0.9, passes="through").sweeps
        if change.at == "first and second"
    ]
    (sweep,) = found
    corners = [points[0], sweep.point, points[3]]
    fits = [
        fit_arcs(corners, min_bend_radius=share * sweep.radius, through=True).fits
        for share in (1.0, 1.01)
    ]
    assert fits == [True, False]


def test_a_tube_in_the_way_is_named() -> None:
    bar = Tube("rail", np.array([250.0, 200.0, -100.0]), np.array([250.0, 200.0, 100.0]), 30.0)
    found = {change.at: change for change in advice(STEP, tubes=(bar,)).omissions}
    assert found["first"].blocked == ("rail",)
    assert not found["first"].is_good
    assert found["second"].blocked == ()


def test_a_solid_that_only_the_natural_lay_meets_is_named() -> None:
    """Left to itself the conduit bulges past the arc of least radius."""
    other = fit_arcs([STEP[0], *STEP[2:]], min_bend_radius=60.0, through=True)
    lay = lay_of(other).run
    along = np.linspace(0.0, lay.length, 400)
    off = [nearest_to(other, Capsule(at, at, 1.0)).distance for at in lay.point(along)]
    middle = lay.point(along)[int(np.argmax(off))]
    ball = KeepOut("pump", Capsule(middle, middle, 1.0), 0.0)
    assert max(off) > 2.0
    found = {c.at: c for c in advice(STEP, passes="through", keepouts=(ball,)).omissions}
    assert found["first"].blocked == ("pump",)
