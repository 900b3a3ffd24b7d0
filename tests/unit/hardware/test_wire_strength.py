"""Strength of spring wires: ranges, joints and bands."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.hardware.wire_strength import (
    OLDER_WIRE_LAWS,
    WIRE_LAWS,
    strength_band,
    wire_strength,
)

WIRES = st.sampled_from(sorted(WIRE_LAWS))
SHARES = st.floats(0.0, 1.0)


def diameter_at(share: float, wire: str) -> float:
    low, high = WIRE_LAWS[wire][0].smallest, WIRE_LAWS[wire][-1].largest
    return low + share * (high - low)


@settings(max_examples=30)
@given(wire=WIRES, one=SHARES, other=SHARES)
def test_a_thinner_wire_is_never_weaker(wire: str, one: float, other: float) -> None:
    thin, thick = sorted((diameter_at(one, wire), diameter_at(other, wire)))

    assert wire_strength(thin, wire=wire) >= wire_strength(thick, wire=wire)


@settings(max_examples=30)
@given(wire=WIRES, share=SHARES)
def test_the_strength_lies_in_its_band(wire: str, share: float) -> None:
    diameter = diameter_at(share, wire)
    low, high = strength_band(diameter, wire=wire)

    assert low <= wire_strength(diameter, wire=wire) <= high
    assert high < 1.5 * low
    assert (high == low) == (wire not in OLDER_WIRE_LAWS)


def test_stainless_goes_from_range_to_range_without_a_leap() -> None:
    below, above = wire_strength(np.array([[2.5, 5.0], [2.5 + 1e-9, 5.0 + 1e-9]]), wire="A313")

    assert below.tolist() == pytest.approx([1867 / 2.5**0.146, 2065 / 5**0.263])
    assert above.tolist() == pytest.approx([2065 / 2.5**0.263, 2911 / 5**0.478])
    np.testing.assert_allclose(above, below, rtol=0.01)


@pytest.mark.parametrize("wire", WIRE_LAWS)
def test_ranges_join_and_their_ends_belong_to_them(wire: str) -> None:
    laws = WIRE_LAWS[wire]
    ends = [laws[0].smallest, laws[-1].largest]

    assert np.isfinite(wire_strength(ends, wire=wire)).all()
    assert [law.largest for law in laws[:-1]] == [law.smallest for law in laws[1:]]


@pytest.mark.parametrize("diameter", [0.0999, 6.51, -1.0, np.nan])
def test_a_diameter_outside_the_range_is_refused(diameter: float) -> None:
    with pytest.raises(CableRouteError, match=r"A228 wire: expected 0\.1 to 6\.5 mm, got"):
        wire_strength(diameter)
    with pytest.raises(CableRouteError, match=r"expected 0\.1 to 6\.5 mm"):
        strength_band([1.0, diameter])


def test_an_unknown_wire_is_refused() -> None:
    with pytest.raises(CableRouteError, match=r"expected one of A228, .*got 'piano'"):
        wire_strength(1.0, wire="piano")
