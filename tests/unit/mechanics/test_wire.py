"""Bending stress in a wire and the radius it allows."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.mechanics.wire import bending_stress, least_radius


def test_least_radius_of_a_solid_core() -> None:
    """2 mm at 1500 MPa: 133 mm (our own)."""
    assert least_radius(2.0, allowable=1500.0, modulus=200e3) == pytest.approx(133.33, abs=5e-3)


def test_stress_at_the_least_radius_is_the_allowable() -> None:
    diameters = np.array([0.2, 0.5, 2.0])
    radius = least_radius(diameters, allowable=900.0, modulus=190e3)

    np.testing.assert_allclose(bending_stress(diameters, radius=radius, modulus=190e3), 900.0)


def test_a_straight_wire_has_no_bending_stress() -> None:
    assert bending_stress(2.0, radius=np.inf, modulus=200e3) == 0.0


@pytest.mark.parametrize("radius", [0.0, -5.0, np.nan, [100.0, 0.0]])
def test_a_radius_that_cannot_be(radius: object) -> None:
    with pytest.raises(CableRouteError, match="bend radius: expected mm above 0"):
        bending_stress(2.0, radius=radius, modulus=200e3)


@pytest.mark.parametrize("allowable", [0.0, -1.0, np.nan])
def test_an_allowable_that_cannot_be(allowable: float) -> None:
    with pytest.raises(CableRouteError, match="allowable stress: expected MPa above 0"):
        least_radius(2.0, allowable=allowable, modulus=200e3)
