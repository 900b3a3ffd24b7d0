"""Adapters between two threads."""

import pytest

from cableroute.errors import CableRouteError
from cableroute.hardware.adapter import COARSE, adapter, engagement, stress_area

#: Tensile stress areas as ISO 898-1 lists them, from memory [mm^2].
LISTED = {"M3": 5.03, "M4": 8.78, "M5": 14.2, "M6": 20.1, "M8": 36.6, "M10": 58.0, "M12": 84.3}


@pytest.mark.parametrize("size", LISTED)
def test_stress_areas_are_those_of_the_standard(size):
    diameter, pitch = COARSE[size]
    assert stress_area(diameter, pitch=pitch) == pytest.approx(LISTED[size], rel=5e-3)


@pytest.mark.parametrize("size", LISTED)
def test_a_full_diameter_of_thread_outlasts_the_rod_as_the_nuts_of_the_trade_do(size):
    """A standard nut, 0.8 to 0.9 diameters high, does not strip before its bolt breaks."""
    diameter, pitch = COARSE[size]
    area = stress_area(diameter, pitch=pitch)
    formula = 2 * area / (0.5 * 3.141593 * (diameter - 0.64952 * pitch))
    assert 0.7 * diameter < formula < 0.95 * diameter
    assert engagement(diameter, pitch=pitch) == diameter


def test_the_wall_has_more_area_than_the_thread_it_carries():
    for rod in COARSE:
        found = adapter(rod, "M6")
        diameter, pitch = COARSE[rod]
        wall = 3.141593 / 4 * (found.outside**2 - diameter**2)
        assert wall >= 1.25 * stress_area(diameter, pitch=pitch)
        assert found.depth > found.engaged
        assert found.length >= found.depth + found.stud


def test_an_unknown_thread_is_refused():
    with pytest.raises(CableRouteError, match="expected one of M3, M4, M5, M6"):
        adapter("M5", "M7")
