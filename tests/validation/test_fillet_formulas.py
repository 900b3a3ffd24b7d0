"""Circular curves of surveying: T = R tan(th/2), arc R th, external distance R (sec(th/2) - 1).

The formulas are common to every surveying text; the numbers are our own arithmetic with them, and
th is the deflection from straight on.
"""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from cableroute.route.fillet import fit_arcs

ROWS = [
    # R, turn [deg], tangent, arc, saving 2T - arc, external distance
    (100.0, 90.0, 100.0, 157.0796, 42.9204, 41.4214),
    (150.0, 60.0, 86.6025, 157.0796, 16.1254, 23.2051),
    (50.0, 120.0, 86.6025, 104.7198, 68.4853, 50.0),
    (1000.0, 30.0, 267.949, 523.599, 12.300, 35.276),
]


@pytest.mark.parametrize("row", ROWS)
def test_fillet_of_one_corner(row: tuple[float, ...]) -> None:
    radius, degrees, tangent, arc, saving, apex = row
    turn = np.radians(degrees)
    corner = np.array([600.0, 0.0, 0.0])
    far = corner + 600.0 * np.array([np.cos(turn), 0.0, np.sin(turn)])
    route = fit_arcs([[0.0, 0.0, 0.0], corner, far], min_bend_radius=radius)
    tolerance = 6e-4 if radius == 1000.0 else 6e-5

    assert route.fits
    assert route.tangents[0] == pytest.approx(tangent, abs=tolerance)
    assert route.arc_lengths[0] == pytest.approx(arc, abs=tolerance)
    assert 1200.0 - route.length == pytest.approx(saving, abs=tolerance)
    middle = route.point(0.5 * route.length)
    assert np.linalg.norm(corner - middle) == pytest.approx(apex, abs=tolerance)


def test_route_of_two_quarter_turns() -> None:
    """400, 300 and 250 mm along x, y and z with R = 100: 864.159 mm, half a turn of wrap."""
    points = [[0, 0, 0], [400, 0, 0], [400, 300, 0], [400, 300, 250]]
    route = fit_arcs(points, min_bend_radius=100)

    assert route.fits
    assert route.length == pytest.approx(864.159, abs=5e-4)
    assert route.wrap == pytest.approx(pi, rel=1e-14)
