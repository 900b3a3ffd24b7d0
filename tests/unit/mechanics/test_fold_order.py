"""What folds first: each place at the push it bears, found from the forces along the run."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.mechanics.fold_order import PLACES, fold_order
from cableroute.mechanics.push import push_arriving, push_force, push_forces
from cableroute.route.fillet import fit_arcs

POINTS = np.array([[0, 0, 0], [300, 0, 0], [300, 700, 0], [500, 700, 0]], dtype=float)
RUN = {"friction": 0.15, "bending_stiffness": 4775.2, "clearance": 0.6}


def test_each_place_feels_what_it_bears() -> None:
    route = fit_arcs(POINTS, min_bend_radius=90)
    order = fold_order(
        route, **RUN, wound=190.0, guide_hand=200.0, guide_far=40.0, rod_hand=300.0, rod_far=120.0
    )
    by = dict(zip(PLACES, zip(order.far, order.hand, strict=True), strict=True))

    assert by["guide-hand"][1] == pytest.approx(200.0)
    assert push_force(route, load=by["guide-hand"][0], **RUN) == pytest.approx(200.0)
    assert by["guide-far"] == pytest.approx((40.0, push_force(route, load=40.0, **RUN)))
    assert by["rod-far"] == pytest.approx((120.0, push_force(route, load=120.0, **RUN)))
    forces = push_forces(route, load=by["snaking"][0], **RUN)
    assert forces[0::2].max() == pytest.approx(190.0)
    locks, hand = by["lock-up"]
    assert np.isinf(hand)
    assert np.isinf(push_force(route, load=locks * 1.0001, **RUN))
    assert np.isfinite(push_force(route, load=locks * 0.9999, **RUN))
    assert PLACES[int(order.first)] == "guide-far"


def test_without_friction_the_least_limit_is_first() -> None:
    route = fit_arcs(POINTS, min_bend_radius=90)
    limits = {"wound": 50.0, "guide_hand": 60.0, "guide_far": 70.0, "rod_hand": 80.0}
    order = fold_order(route, **{**RUN, "friction": 0.0}, **limits)

    assert order.far.tolist() == pytest.approx([60.0, 70.0, 50.0, 80.0, np.inf, np.inf])
    assert order.hand[:4].tolist() == pytest.approx([60.0, 70.0, 50.0, 80.0])
    assert PLACES[int(order.first)] == "snaking"


def test_what_never_gets_through_folds_nothing_at_the_far_end() -> None:
    route = fit_arcs([[0, 0, 0], [5000, 0, 0]], min_bend_radius=90)
    order = fold_order(route, **RUN, wound=500.0, rod_far=1e4, guide_far=1e4)

    assert np.isinf(order.far[[1, 4]]).all()
    locks = 4.0 * 4775.2 / (0.15 * 0.3 * 5000.0)  # the far end's share of an endless push
    assert float(order.far[5]) == pytest.approx(locks)


def test_batches_are_what_each_gives_alone() -> None:
    points = np.stack([POINTS, POINTS * 1.5])
    wound = np.array([100.0, 200.0])
    both = fold_order(fit_arcs(points, min_bend_radius=80), **RUN, wound=wound, rod_hand=150.0)

    assert both.far.shape == (2, 6)
    for i in range(2):
        route = fit_arcs(points[i], min_bend_radius=80)
        alone = fold_order(route, **RUN, wound=wound[i], rod_hand=150.0)
        assert both.far[i] == pytest.approx(alone.far)
        assert both.hand[i] == pytest.approx(alone.hand)


def test_bad_input_is_refused() -> None:
    route = fit_arcs(POINTS, min_bend_radius=90)
    with pytest.raises(CableRouteError, match="rod-far"):
        fold_order(route, **RUN, wound=100.0, rod_far=-1.0)
    with pytest.raises(CableRouteError, match="friction"):
        fold_order(route, **{**RUN, "friction": -1.0}, wound=100.0)


def test_a_run_that_only_locks_up_says_so() -> None:
    route = fit_arcs(POINTS, min_bend_radius=90)
    order = fold_order(route, **RUN, wound=np.inf)

    assert PLACES[int(order.first)] == "lock-up"
    assert np.isinf(order.far[:5]).all()


@pytest.mark.parametrize("friction", [0.0, 0.1, 3.0])
@pytest.mark.parametrize("joint", [0, 3, 6])
def test_what_arrives_of_a_push_asks_for_that_push(friction: float, joint: int) -> None:
    route = fit_arcs([*POINTS, [500, 1200, 50], [900, 1250, 300]], min_bend_radius=90)
    given = {**RUN, "friction": friction}
    push = np.array([0.5, 30.0, 190.0, 4000.0])
    arrives = push_arriving(route, push=push, at=joint, **given)

    assert push_forces(route, load=arrives, **given)[:, joint] == pytest.approx(push)
