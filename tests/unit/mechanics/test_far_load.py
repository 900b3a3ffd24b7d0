"""The far load: its parts add up, detents are valleys, and bad values are refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from cableroute.errors import CableRouteError
from cableroute.mechanics.far_load import Detent, FarLoad


def test_a_spring_a_weight_and_a_detent_add_up() -> None:
    load = FarLoad(
        preload=20.0, rate=2.0, dead=7.0, detents=(Detent(at=10.0, depth=30.0, width=4.0),)
    )

    assert load.force([0.0, 10.0, 12.0, 14.0, 20.0]) == pytest.approx([27, 47, 81, 55, 67])


def test_a_preloaded_spring_holds_either_way_from_rest() -> None:
    load = FarLoad(preload=20.0, rate=2.0)

    assert load.force([-5.0, 0.0, 5.0]) == pytest.approx([-30.0, 20.0, 30.0])


def test_a_detent_is_a_valley() -> None:
    """No work from crest to crest; most against leaving halfway up, nothing at bottom and crest."""
    detent = Detent(at=3.0, depth=12.0, width=2.5)

    assert detent.force([0.5, 3.0, 5.5, 9.0]) == pytest.approx(0.0, abs=1e-12)
    assert detent.force([1.75, 4.25]) == pytest.approx([-12.0, 12.0])
    assert quad(detent.force, 0.5, 5.5)[0] == pytest.approx(0.0, abs=1e-9)
    climb = quad(detent.force, 3.0, 5.5)[0]
    assert climb == pytest.approx(2.0 * 12.0 * 2.5 / np.pi)  # of a half sine


@settings(max_examples=30)
@given(
    at=st.floats(-5.0, 25.0),
    depth=st.floats(0.0, 80.0),
    width=st.floats(0.5, 6.0),
    rate=st.floats(0.0, 5.0),
)
def test_greatest_is_what_a_search_finds(at, depth, width, rate) -> None:
    load = FarLoad(preload=10.0, rate=rate, friction=3.0, detents=(Detent(at, depth, width),))
    fine = np.linspace(0.0, 20.0, 2001)
    start = fine[np.argmax(load.force(fine))]
    found = minimize_scalar(
        lambda x: -float(load.force(x)),
        bounds=(max(0.0, start - 0.01), min(20.0, start + 0.01)),
        method="bounded",
    )
    best = max(-found.fun, float(load.force(fine).max())) + 3.0

    assert load.greatest(20.0) == pytest.approx(best, abs=5e-5 * depth + 1e-9)


def test_straight_lines_between_the_places_give_the_force() -> None:
    load = FarLoad(
        preload=15.0,
        rate=1.5,
        dead=-4.0,
        detents=(Detent(0.0, 20.0, 3.0), Detent(5.0, 10.0, 3.0)),
    )
    places = load.places(-10.0, 12.0)
    x = np.random.default_rng(1).uniform(-10.0, 12.0, 3000)

    assert (np.diff(places) > 0.0).all()
    assert (places[0], places[-1]) == (-10.0, 12.0)
    assert np.interp(x, places, load.force(places)) == pytest.approx(load.force(x), abs=0.01)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: FarLoad(preload=-1.0), "preload of the far end: expected a number of 0"),
        (lambda: FarLoad(rate=float("nan")), "rate of the far end"),
        (lambda: FarLoad(friction=-0.5), "friction of the far end"),
        (lambda: FarLoad(dead=float("inf")), "dead load of the far end: expected N, got inf"),
        (lambda: Detent(0.0, -1.0, 1.0), "depth of a detent"),
        (lambda: Detent(0.0, 1.0, 0.0), "width of a detent: expected mm above 0, got 0.0"),
        (lambda: Detent(float("nan"), 1.0, 1.0), "place of a detent"),
        (lambda: FarLoad().greatest(-1.0), "travel"),
    ],
)
def test_bad_values_are_refused(make, said) -> None:
    with pytest.raises(CableRouteError, match=said):
        make()
