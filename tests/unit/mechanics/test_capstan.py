"""The capstan law and the door it stands behind."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.mechanics.capstan import capstan_ratio, check_friction, check_not_negative

wraps = st.floats(0.0, 20.0)
frictions = st.floats(0.0, 0.6)
quick = settings(max_examples=30)


@pytest.mark.parametrize(
    ("degrees", "row"),
    [  # our own, four decimals: mu 0.05, 0.12, 0.20, 0.30
        (45, [1.0401, 1.0988, 1.1701, 1.2657]),
        (180, [1.1701, 1.4579, 1.8745, 2.5663]),
        (540, [1.6020, 3.0987, 6.5861, 16.902]),
    ],
)
def test_table_of_ratios(degrees: float, row: list[float]) -> None:
    ratios = capstan_ratio(np.radians(degrees), friction=[0.05, 0.12, 0.20, 0.30])

    np.testing.assert_allclose(ratios, row, rtol=5e-5)


@quick
@given(first=wraps, second=wraps, friction=frictions)
def test_bends_in_a_row_multiply(first: float, second: float, friction: float) -> None:
    both = capstan_ratio(first + second, friction=friction)
    apart = capstan_ratio(first, friction=friction) * capstan_ratio(second, friction=friction)

    assert both == pytest.approx(apart, rel=1e-12)


@quick
@given(wrap=wraps, more=st.floats(0.01, 3.0), friction=st.floats(0.01, 0.6))
def test_more_wrap_or_friction_always_costs_more(wrap: float, more: float, friction: float) -> None:
    ratio = capstan_ratio(wrap, friction=friction)

    assert ratio >= 1.0
    assert capstan_ratio(wrap + more, friction=friction) > ratio
    assert capstan_ratio(wrap + 0.01, friction=friction + more) > ratio


def test_shapes_broadcast() -> None:
    assert capstan_ratio(np.ones((4, 1)), friction=np.full(3, 0.1)).shape == (4, 3)


@pytest.mark.parametrize("friction", [-0.1, np.nan, np.inf, [0.1, -0.1]])
def test_friction_that_cannot_be(friction: object) -> None:
    with pytest.raises(CableRouteError, match="friction: expected a number of 0 or more, got"):
        capstan_ratio(1.0, friction=friction)


def test_what_passes_the_door_comes_back_as_an_array() -> None:
    assert check_friction([0, 1]).dtype == np.float64
    with pytest.raises(CableRouteError, match=r"^travel: expected"):
        check_not_negative(-1.0, name="travel")
