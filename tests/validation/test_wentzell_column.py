"""Wentzell, machine design example 3.5 (p. 53), as computed in the FOSSEE textbook companion."""

from __future__ import annotations

import pytest

from cableroute.mechanics.column import rod_buckling_load


def test_example_3_5_euler_load_of_a_rod() -> None:
    """30 in of 5/8 in rod, pinned, E 30e6 psi, Sy 42 ksi: 2464.16 lb.

    The book itself prints 2467 lb, with I rounded to 0.0075 in^4. Inches and pounds are as good a
    consistent set as millimetres and newtons.
    """
    load = rod_buckling_load(0.625, length=30.0, modulus=30e6, yield_strength=42e3)

    assert load == pytest.approx(2464.16, abs=0.005)
    assert load == pytest.approx(2467, rel=2e-3)
