"""Popov, Mechanics of Materials, example 10.1 (p. 501), as in the FOSSEE textbook companion."""

from __future__ import annotations

import pytest

from cableroute.mechanics.wire import bending_stress


def test_example_10_1_steel_band_on_a_pulley() -> None:
    """A 0.6 mm band on a 400 mm pulley, E 200 GPa: 300 MPa; half the band is left out of R."""
    assert bending_stress(0.6, radius=200.0, modulus=200e3) == pytest.approx(300.0, abs=0.05)
