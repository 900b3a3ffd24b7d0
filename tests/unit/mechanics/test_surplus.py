"""The wrap of a bow that swallows surplus length."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from cableroute.errors import CableRouteError
from cableroute.mechanics.surplus import surplus_wrap


@pytest.mark.parametrize(("share", "close"), [(1e-4, 1e-4), (0.01, 0.01), (0.05, 0.03)])
def test_against_four_true_arcs(share: float, close: float) -> None:
    """Four arcs of turn a, alternating, span sin(a)/a of their length: no small slopes."""
    turn = brentq(lambda a: a / np.sin(a) - 1.0 - share, 1e-6, 2.0)

    assert surplus_wrap(1000.0 * share, span=1000.0) == pytest.approx(4 * turn, rel=close)


def test_no_surplus_or_no_span_has_no_wrap() -> None:
    np.testing.assert_array_equal(surplus_wrap([0.0, 10.0, 10.0], span=[900.0, 0.0, -5.0]), 0.0)


def test_wrap_goes_with_the_root_of_the_share() -> None:
    small, large, scaled = surplus_wrap([10.0, 40.0, 20.0], span=[1000.0, 1000.0, 2000.0])

    assert large == pytest.approx(2 * small)
    assert scaled == pytest.approx(small)


def test_a_shortage_is_refused() -> None:
    with pytest.raises(CableRouteError, match="surplus length: expected"):
        surplus_wrap(-1.0, span=1000.0)
