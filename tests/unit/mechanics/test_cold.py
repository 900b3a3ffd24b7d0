"""Friction in the cold: by temperature and lubricant, ends in order, what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.hardware.lubricants import LUBRICANTS
from cableroute.mechanics.ageing import condition_ranges
from cableroute.mechanics.cold import cold_factor


@pytest.mark.parametrize("name", [None, *LUBRICANTS])
def test_colder_is_stiffer_and_warm_is_as_given(name):
    factor = cold_factor([30.0, 20.0, 0.0, -10.0, -40.0], lubricant=name)

    assert factor.high[:2].tolist() == factor.low[:2].tolist() == [1.0, 1.0]
    assert (factor.low <= factor.high).all()
    assert (np.diff(factor.high[1:]) > 0.0).all()
    assert factor.freezes.tolist() == [False, False, False, True, True]


def test_minus_ten_and_minus_forty_differ_for_every_grease():
    ten, forty = (
        np.array([float(cold_factor(T, lubricant=name).high) for name in LUBRICANTS])
        for T in (-10.0, -40.0)
    )

    assert (forty > 1.005 * ten).all()


def test_a_stiffer_class_and_a_mineral_oil_are_worse():
    high = {name: float(cold_factor(-30.0, lubricant=name).high) for name in LUBRICANTS}

    assert high["mineral-3"] > high["mineral-2"] > high["mineral-1"] > high["mineral-0"]
    assert high["mineral-2"] > high["synthetic-2"] > high["silicone-2"]


def test_what_is_not_known_takes_the_worse_of_dry_and_the_common_grease():
    none = cold_factor(-25.0)

    assert float(none.high) == float(cold_factor(-25.0, lubricant="mineral-2").high)
    assert float(none.low) == float(cold_factor(-25.0, lubricant="dry").low)
    assert bool(none.beyond)


def test_the_cold_condition_follows_the_temperature():
    by = {
        T: condition_ranges((0.1, 0.15), coldest=T, lubricant="silicone-2")[-1] for T in (-10, -40)
    }
    factor = cold_factor(-40.0, lubricant="silicone-2")

    assert by[-40].high > by[-10].high > 0.15
    assert by[-40].high == pytest.approx(0.15 * float(factor.high))
    assert by[-40].low == pytest.approx(0.10 * float(factor.low))
    assert "-40 degC" in by[-40].note
    assert "NLGI class 2" in by[-40].note


def test_without_a_temperature_the_cold_condition_is_as_it_was():
    assert condition_ranges((0.1, 0.2))[-1].high == pytest.approx(0.26)


def test_batches_and_what_is_refused():
    assert cold_factor(np.zeros((2, 3))).high.shape == (2, 3)
    with pytest.raises(CableRouteError, match="lubricant: expected one of dry, mineral-000"):
        cold_factor(0.0, lubricant="lard")
    with pytest.raises(CableRouteError, match="temperature: expected -80 to 2000"):
        cold_factor(-120.0, lubricant="mineral-2")
    with pytest.raises(CableRouteError, match="temperature: expected"):
        cold_factor(float("nan"), lubricant="dry")
