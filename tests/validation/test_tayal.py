"""Tayal, Engineering Mechanics, example 7.4, as computed in the FOSSEE textbook companion."""

from __future__ import annotations

from math import pi

import pytest

from cableroute.mechanics.capstan import capstan_ratio


def test_example_7_4_weight_over_a_drum() -> None:
    """1000 N, 180 degrees, mu 0.25: printed 455.98, which is what e = 2.718 gives; exact 455.938.

    The share by which 2.718 is short of e, to the power mu pi, is 8.1e-5.
    """
    force = 1000 / capstan_ratio(pi, friction=0.25)

    assert force == pytest.approx(455.98, rel=1e-4)
    assert force == pytest.approx(455.938, abs=5e-4)
