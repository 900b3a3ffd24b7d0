"""The minimum curvature method of well surveys: a worked example of drillingformulas.com.

From 3500 ft (inclination 15, azimuth 20 degrees) to 3600 ft (25, 45): N 27.22, E 19.45, V 94.01 ft,
dogleg 0.22605 rad. The method is an arc between two tangents, which is what a fillet is. The ratio
factor is printed as 1.00408; the printed offsets agree with 1.00428, so that is a misprint.
"""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.route.fillet import fit_arcs
from cableroute.route.pieces import Route
from cableroute.route.segments import Arc

LENGTH = 100.0  # ft, along the arc


def direction(inclination: float, azimuth: float) -> np.ndarray:
    i, a = np.radians([inclination, azimuth])
    return np.array([np.sin(i) * np.cos(a), np.sin(i) * np.sin(a), np.cos(i)])


@pytest.fixture(name="route")
def survey() -> Route:
    before, after = direction(15, 20), direction(25, 45)
    points = np.array([-500.0 * before, np.zeros(3), 500.0 * after])
    turn = float(fit_arcs(points, min_bend_radius=1.0).wrap)
    return fit_arcs(points, min_bend_radius=LENGTH / turn)


def test_dogleg_and_radius(route: Route) -> None:
    assert route.wrap == pytest.approx(0.22605, abs=5e-6)
    assert route.min_radius == pytest.approx(442.38, abs=5e-3)
    assert 2 / route.wrap * np.tan(route.wrap / 2) == pytest.approx(1.00428, abs=5e-6)


def test_offsets_over_the_arc(route: Route) -> None:
    begin = route.straights[0]
    north, east, down = route.point(begin + LENGTH) - route.point(begin)

    assert north == pytest.approx(27.22, abs=5e-3)
    assert east == pytest.approx(19.45, abs=5e-3)
    assert down == pytest.approx(94.01, abs=5e-3)


def test_offsets_of_the_piece(route: Route) -> None:
    (arc,) = (piece for piece in route.pieces if isinstance(piece, Arc))

    np.testing.assert_allclose(arc.end - arc.start, [27.22, 19.45, 94.01], atol=5e-3)
