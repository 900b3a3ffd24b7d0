"""Gere, Mechanics of Materials, example 5.2 (p. 315), as in the FOSSEE textbook companion."""

from __future__ import annotations

import pytest

from cableroute.mechanics.wire import bending_stress


def test_example_5_2_wire_on_a_drum() -> None:
    """4 mm wire on a drum of 0.5 m radius, E 200 GPa: 797 MPa (Ed/2R0 would give 800)."""
    stress = bending_stress(4.0, radius=500.0 + 2.0, modulus=200e3)

    assert stress == pytest.approx(797, abs=0.5)
    assert stress == pytest.approx(796.813, abs=5e-4)
