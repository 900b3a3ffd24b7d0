"""Walther's line (ASTM D341) against viscosities that others print, all from memory.

ISO VG 100 of viscosity index 95: ISO 3448 gives 100 mm2/s at 40 degC, ASTM D2270 then 11.1 at 100.
SAE J300, 75W gear oil and data sheets of a 6 mm2/s polyalphaolefin: 31 at 40 degC, 5.9 at 100, 7800
at -40. Rule of thumb of lubrication handbooks: near room temperature a mineral oil's viscosity
doubles or better for ten degrees; a silicone's grows by a quarter.
"""

from __future__ import annotations

import pytest

from cableroute.mechanics.cold import thickening

MINERAL = ((40.0, 100.0), (100.0, 11.1))
SYNTHETIC = ((-40.0, 7800.0), (40.0, 31.0))
SILICONE = ((25.0, 100.0), (100.0, 31.0))


def test_a_line_through_two_viscosities_meets_a_third() -> None:
    """5.9 mm2/s at 100 degC from those at -40 and 40: within a fifth over 60 degrees."""
    at_100, at_40 = (float(thickening(T, oil=SYNTHETIC)) for T in (100.0, 40.0))

    assert 31.0 * at_100 / at_40 == pytest.approx(5.9, rel=0.2)


@pytest.mark.parametrize(
    ("oil", "low", "high"), [(MINERAL, 2.0, 2.5), (SYNTHETIC, 1.5, 2.0), (SILICONE, 1.2, 1.3)]
)
def test_ten_degrees_near_room_temperature(oil, low: float, high: float) -> None:
    assert low <= float(thickening(10.0, oil=oil)) <= high
