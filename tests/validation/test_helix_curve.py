"""The circular helix of differential geometry, measured at many points.

Length n sqrt((2 pi a)^2 + p^2) and total curvature 2 pi n a/sqrt(a^2 + b^2), b = p/(2 pi), stand in
every text; the numbers for a = 50, p = 20, n = 3 are our own arithmetic: 944.386 and 18.8115. A plane
circle would turn 6 pi = 18.850.
"""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.route.fillet import fit_arcs

A, PITCH, TURNS = 50.0, 20.0, 3


def test_length_and_wrap_of_a_helix_measured_at_many_points() -> None:
    angle = np.linspace(0.0, 2.0 * np.pi * TURNS, 3001)
    points = np.stack((A * np.cos(angle), A * np.sin(angle), PITCH * angle / (2 * np.pi)), axis=-1)
    route = fit_arcs(points, min_bend_radius=40.0)
    corners, whole = len(angle) - 2, len(angle) - 1

    assert float(route.length) == pytest.approx(944.386, abs=5e-3)
    assert float(route.wrap) * whole / corners == pytest.approx(18.8115, abs=5e-5)
