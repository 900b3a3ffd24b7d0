"""What set screws, split clamps and threaded ends hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.hardware.set_screws import SET_SCREWS
from cableroute.mechanics.end_fixings import (
    bolt_tension_from_torque,
    bulkhead_holding,
    clamp_holding,
    set_screw_holding,
    set_screws_needed,
)

quick = settings(max_examples=30)


@pytest.mark.parametrize("size", SET_SCREWS)
def test_a_smooth_sleeve_is_trusted_with_the_lower_table_only(size: str) -> None:
    low, high = set_screw_holding(size, on="groove")

    assert low < high
    assert set_screw_holding(size) == set_screw_holding(size, on="sleeve") == (low, low)
    assert set_screw_holding(size, count=3, on="groove") == pytest.approx((3 * low, 3 * high))


@quick
@given(
    load=st.floats(0.0, 1e4),
    size=st.sampled_from(sorted(SET_SCREWS)),
    safety=st.floats(1.0, 4.0),
)
def test_as_many_screws_as_needed_and_not_one_more(load, size, safety) -> None:
    count = set_screws_needed(load, size=size, safety=safety)
    one, _ = set_screw_holding(size)

    assert count * one >= safety * load * (1 - 1e-12)
    assert (count - 1) * one < safety * load or count == 1


@pytest.mark.parametrize("load", [0.0, 5e-324, 1e-9])
def test_an_end_is_not_held_by_no_screw_at_all(load: float) -> None:
    assert set_screws_needed(load, size="M5") == 1


def test_screws_that_cannot_be() -> None:
    with pytest.raises(CableRouteError, match="set screw: expected one of"):
        set_screw_holding("M7")
    with pytest.raises(CableRouteError, match="expected groove or sleeve, got 'shaft'"):
        set_screw_holding("M5", on="shaft")
    with pytest.raises(CableRouteError, match="expected one or more, got 0"):
        set_screw_holding("M5", count=0)
    with pytest.raises(CableRouteError, match="load"):
        set_screws_needed(-1.0, size="M5")


@quick
@given(tension=st.floats(0.0, 1e4), bolts=st.integers(0, 6), friction=st.floats(0.0, 0.6))
def test_a_clamp_holds_no_more_than_a_close_bore_would(tension, bolts, friction) -> None:
    """Even pressure p all round a bore D, closed by p D L: friction mu p pi D L = mu pi P."""
    holding = float(clamp_holding(tension, bolts=bolts, friction=friction))
    close = friction * np.pi * bolts * tension

    assert holding == pytest.approx(close * 2.0 / np.pi)


def test_a_band_of_friction_gives_a_band_of_holding() -> None:
    np.testing.assert_allclose(clamp_holding(1000.0, bolts=2, friction=[0.1, 0.3]), [400, 1200])


def test_bolt_tension_is_the_torque_over_its_arm() -> None:
    tension = bolt_tension_from_torque([5000.0, 10000.0, 5000.0], diameter=[6.0, 6.0, 12.0])

    np.testing.assert_allclose(tension / tension[0], [1.0, 2.0, 0.5])
    assert tension[0] * 0.2 * 6.0 == pytest.approx(5000.0)


def test_a_thread_at_the_limit_of_no_pitch_shears_half_its_cylinder() -> None:
    holding = bulkhead_holding(10.0, pitch=1e-9, yield_strength=240.0, nut=5.0)

    assert holding == pytest.approx(240.0 / 3**0.5 * np.pi * 10.0 * 5.0 / 2.0)


@quick
@given(diameter=st.floats(3.0, 30.0), share=st.floats(0.05, 0.3), nut=st.floats(1.0, 30.0))
def test_a_coarser_thread_holds_less_and_a_higher_nut_more(diameter, share, nut) -> None:
    pitches = np.array([1.0, 1.5]) * share * diameter
    fine, coarse = bulkhead_holding(diameter, pitch=pitches, yield_strength=240.0, nut=nut)
    higher = bulkhead_holding(diameter, pitch=pitches[0], yield_strength=240.0, nut=2 * nut)

    assert coarse < fine
    assert higher == pytest.approx(2 * fine)


def test_numbers_that_cannot_be() -> None:
    with pytest.raises(CableRouteError, match="bolt tension"):
        clamp_holding(-1.0, friction=0.2)
    with pytest.raises(CableRouteError, match="clamp friction"):
        clamp_holding(1.0, friction=-0.2)
    with pytest.raises(CableRouteError, match="bolt diameter"):
        bolt_tension_from_torque(1.0, diameter=0.0)
    with pytest.raises(CableRouteError, match="nut factor"):
        bolt_tension_from_torque(1.0, diameter=6.0, nut_factor=0.0)
    with pytest.raises(CableRouteError, match="less than the diameter"):
        bulkhead_holding(3.0, pitch=3.0, yield_strength=240.0, nut=5.0)
    with pytest.raises(CableRouteError, match="nut height"):
        bulkhead_holding(10.0, pitch=1.0, yield_strength=240.0, nut=0.0)
