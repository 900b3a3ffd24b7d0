"""Budynas, Nisbett, Shigley's Mechanical Engineering Design, 9th ed., pp. 183-184.

Equations 4-43 (Euler), 4-45 (where the two meet), 4-46 (Johnson) and table 4-2.
"""

from __future__ import annotations

from math import pi, sqrt

import pytest

from cableroute.mechanics.column import END_CONSTANTS, rod_buckling_load

E, SY, D = 200e3, 600.0, 3.0
AREA = pi * D**2 / 4


def test_table_4_2_recommended_end_constants() -> None:
    expected = {"free": 0.25, "pinned": 1.0, "fixed-pinned": 1.2, "fixed": 1.2}

    assert expected == END_CONSTANTS


@pytest.mark.parametrize(("end", "constant"), [("free", 0.25), ("pinned", 1.0), ("fixed", 1.2)])
@pytest.mark.parametrize("side", [1 - 1e-9, 1 + 1e-9])
def test_equation_4_45_both_branches_meet_at_half_the_yield(
    end: str, constant: float, side: float
) -> None:
    length = side * sqrt(2 * pi**2 * constant * E / SY) * D / 4
    load = rod_buckling_load(D, length=length, modulus=E, yield_strength=SY, end=end)

    assert load / AREA == pytest.approx(SY / 2, rel=1e-8)


def test_equation_4_43_for_a_slender_rod() -> None:
    load = rod_buckling_load(D, length=300.0, modulus=E, yield_strength=SY, end="free")

    assert load == pytest.approx(0.25 * pi**2 * E * (pi * D**4 / 64) / 300.0**2, rel=1e-12)


def test_equation_4_46_for_a_stubby_rod() -> None:
    slenderness = 30.0 / (D / 4)
    stress = SY - (SY / (2 * pi) * slenderness) ** 2 / (1.2 * E)
    load = rod_buckling_load(D, length=30.0, modulus=E, yield_strength=SY, end="fixed")

    assert load == pytest.approx(AREA * stress, rel=1e-12)
