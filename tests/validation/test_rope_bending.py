"""Budynas, Nisbett, Shigley's Mechanical Engineering Design, equation 17-41: bending of a rope's wire.

From memory: 1 in rope 6 x 19, wire 0.067 in, rope modulus 12 Mpsi, sheave 34 in: 23.6 kpsi.
"""

from __future__ import annotations

import pytest

from cableroute.mechanics.wire import bending_stress


def test_equation_17_41_rope_on_a_sheave() -> None:
    stress = bending_stress(0.067, radius=34.0 / 2, modulus=12e6)

    assert float(stress) == pytest.approx(23.6e3, abs=50)
