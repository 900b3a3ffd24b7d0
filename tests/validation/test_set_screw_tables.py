"""Set screws, inch sizes: seating torque and holding as two tables print them, and test torques.

Budynas, Nisbett, Shigley's Mechanical Engineering Design, 9th ed., table 7-4 (values from memory);
a published design page, ficientdesign.com, with the same torques but less holding. ISO 4029 with ISO
898-5: torque that metric set screws must stand.
"""

from __future__ import annotations

import pytest

from cableroute.hardware.set_screws import SET_SCREWS

LBF = 4.4482216152605
LBF_IN = LBF * 25.4


@pytest.mark.parametrize(
    ("size", "torque", "holding"),
    [
        ("#4", 5, 160),
        ("#5", 10, 200),
        ("#6", 10, 250),
        ("#8", 20, 385),
        ("#10", 36, 540),
        ("1/4", 87, 1000),
        ("5/16", 165, 1500),
        ("3/8", 290, 2000),
    ],
)
def test_shigley_table_7_4(size: str, torque: float, holding: float) -> None:
    assert SET_SCREWS[size].torque == pytest.approx(torque * LBF_IN)
    assert SET_SCREWS[size].high == pytest.approx(holding * LBF)


@pytest.mark.parametrize(
    ("size", "holding"),
    [("#4", 50), ("#6", 100), ("#8", 150), ("#10", 200), ("1/4", 400), ("5/16", 700)],
)
def test_the_lower_table(size: str, holding: float) -> None:
    assert SET_SCREWS[size].low == pytest.approx(holding * LBF)


@pytest.mark.parametrize(
    ("size", "newton_metres"), [("M3", 0.9), ("M4", 2.5), ("M5", 5.0), ("M6", 8.5)]
)
def test_iso_4029_test_torques(size: str, newton_metres: float) -> None:
    screw = SET_SCREWS[size]

    assert screw.test_torque == pytest.approx(1000.0 * newton_metres)
    assert screw.torque <= screw.test_torque
