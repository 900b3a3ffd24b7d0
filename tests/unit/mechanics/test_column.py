"""The exposed rod as a column."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.mechanics.column import END_CONSTANTS, rod_buckling_load

STEEL = {"modulus": 200e3, "yield_strength": 600.0}


@pytest.mark.parametrize(("end", "load"), [("pinned", 784.85), ("free", 196.21)])
def test_three_millimetre_rod_of_a_hundred(end: str, load: float) -> None:
    """Our own."""
    found = rod_buckling_load(3.0, length=100.0, end=end, **STEEL)

    assert found == pytest.approx(load, abs=5e-3)


def test_no_length_gives_the_yield_load() -> None:
    assert rod_buckling_load(3.0, length=0.0, **STEEL) == pytest.approx(600.0 * pi * 9 / 4)


@settings(max_examples=30)
@given(
    length=st.floats(1.0, 500.0), more=st.floats(0.1, 50.0), end=st.sampled_from([*END_CONSTANTS])
)
def test_a_longer_rod_folds_sooner(length: float, more: float, end: str) -> None:
    short, long = rod_buckling_load(3.0, length=[length, length + more], end=end, **STEEL)

    assert 0.0 < long < short


def test_better_held_ends_carry_more() -> None:
    loads = [rod_buckling_load(3.0, length=80.0, end=end, **STEEL) for end in END_CONSTANTS]

    assert loads[0] < loads[1] < loads[2] == loads[3]


def test_shapes_broadcast() -> None:
    loads = rod_buckling_load(
        np.array([[2.0], [3.0]]), length=np.array([50.0, 90.0, 200.0]), **STEEL
    )

    assert loads.shape == (2, 3)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"end": "welded"}, "rod end condition: expected one of free, pinned, .*got 'welded'"),
        ({"diameter": 0.0}, "rod diameter: expected a number above 0"),
        ({"length": -1.0}, "exposed rod length: expected a number of 0 or more"),
        ({"modulus": np.nan}, "rod modulus: expected a number above 0"),
        ({"yield_strength": -600.0}, "rod yield strength: expected a number above 0"),
    ],
)
def test_what_cannot_be_is_refused(wrong: dict[str, object], message: str) -> None:
    with pytest.raises(CableRouteError, match=message):
        rod_buckling_load(**{"diameter": 3.0, "length": 100.0, **STEEL, **wrong})
