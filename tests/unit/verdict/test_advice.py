"""Bends by cost, points to leave out, sweeps: against answers worked by hand."""

from __future__ import annotations

from math import exp, pi

import numpy as np
import pytest

from cableroute.measure.job import Cable, Job
from cableroute.measure.keepout import Capsule, KeepOut
from cableroute.verdict.advice import Advice, advise
from cableroute.workings import work_out

#: A square S: +90 and -90 degrees.
STEP = [[0.0, 0.0, 0.0], [500.0, 0.0, 0.0], [500.0, 400.0, 0.0], [1000.0, 400.0, 0.0]]
#: Two turns to the same side, 90 and 45 degrees.
HOOK = [[0.0, 0.0, 0.0], [500.0, 0.0, 0.0], [500.0, 400.0, 0.0], [200.0, 700.0, 0.0]]


def advice(points, *, friction=0.2, keepouts=(), **known) -> Advice:
    cable = Cable(
        "c",
        np.array(points),
        "pull",
        60.0,
        load=100.0,
        friction=(0.1, friction),
        labels=("hand", "first", "second", "far"),
        **known,
    )
    return advise(work_out(cable, job=Job("", (cable,), tape_tolerance=0.0, keepouts=keepouts)))


def test_the_dearest_bend_comes_first_with_the_force_it_costs() -> None:
    found = advice([*HOOK[:3], [500.0 + 300.0, 700.0, 0.0]])
    assert [bend.at for bend in found.bends] == ["first", "second"]
    assert found.bends[0].cost == pytest.approx(exp(0.2 * pi / 2) - 1.0)
    hand = 100.0 * exp(0.2 * 0.75 * pi)
    assert found.bends[0].force == pytest.approx(hand - 100.0 * exp(0.2 * pi / 4))


def test_leaving_a_point_out_saves_the_wrap_it_made() -> None:
    found = advice(STEP)
    first = next(change for change in found.omissions if change.at == "first")
    turn = np.arctan2(400.0, 500.0)  # straight to the second point, and back level there
    assert first.wrap == pytest.approx(pi - turn)
    assert first.force == pytest.approx(100.0 * (exp(0.2 * pi) - exp(0.2 * turn)))
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
    assert advice(STEP, friction=0.12).sweeps == ()
    heavy = advice(STEP, friction=0.3)
    assert heavy.force_is_trouble
    (sweep,) = heavy.sweeps
    assert sweep.point == pytest.approx((500.0, 200.0, 0.0))
    assert sweep.wrap == pytest.approx(pi)  # hand, middle and far end lie in line


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
