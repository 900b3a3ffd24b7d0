"""Bending stiffness and metal share of strands against a solid core of the same diameter.

Pure geometry, worked by us: n wires of d/3, d/5, d/9, d/15. No publication.
"""

from __future__ import annotations

from math import pi

import pytest

from cableroute.mechanics.construction import core_section

E, D = 200e3, 2.0
ROWS = [
    # construction, share of the solid's EI (lower bound), metal share of the circle
    ("1x7", 0.086, 0.778),
    ("1x19", 0.030, 0.760),
    ("7x7", 0.0075, 0.605),
    ("7x19", 0.0026, 0.591),
]


@pytest.mark.parametrize(("construction", "stiffness", "fill"), ROWS)
def test_share_of_a_solid_core(construction: str, stiffness: float, fill: float) -> None:
    strand = core_section(construction, diameter=D, modulus=E)
    solid = core_section("solid", diameter=D, modulus=E)
    last_digit = 5e-4 if stiffness > 0.01 else 5e-5

    assert strand.bending_stiffness / solid.bending_stiffness == pytest.approx(
        stiffness, abs=last_digit
    )
    assert strand.area / (pi * D**2 / 4) == pytest.approx(fill, abs=5e-4)


def test_solid_core() -> None:
    """2 mm steel: EI 0.15708 N m^2, 3 mm: 0.79522 N m^2."""
    two = core_section("solid", diameter=2.0, modulus=E)
    three = core_section("solid", diameter=3.0, modulus=E)

    assert two.bending_stiffness == pytest.approx(0.15708e6, rel=5e-5)
    assert three.bending_stiffness == pytest.approx(0.79522e6, rel=5e-5)
