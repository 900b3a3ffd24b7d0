"""A private test of shift cables in lined housing (killasgarage.bike, "Cable Routing -
Experimental Results", 2016).

0 to 540 degrees, bend radii of 1.5 to 5 in: all points lie on the capstan curve of mu = 0.06, and
radius and length "don't matter". The ratios are the curve's, computed by us to four decimals; the
single readings are not printed.
"""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.mechanics.pull import pull_force
from cableroute.route.fillet import fit_arcs

INCH = 25.4
RATIOS = {90: 1.0988, 180: 1.2074, 270: 1.3268, 360: 1.4579, 540: 1.7603}


@pytest.mark.parametrize(("degrees", "ratio"), RATIOS.items())
@pytest.mark.parametrize("radius", [1.5 * INCH, 5.0 * INCH])
@pytest.mark.parametrize("extra", [12 * INCH, 24 * INCH])
def test_ratio_follows_the_angle_alone(
    degrees: int, ratio: float, radius: float, extra: float
) -> None:
    leg = 2 * radius + extra
    steps = np.tile(leg * np.eye(3)[:2], (4, 1))[: degrees // 90 + 1]  # a staircase
    points = np.concatenate((np.zeros((1, 3)), np.cumsum(steps, axis=0)))
    route = fit_arcs(points, min_bend_radius=radius)

    assert route.fits
    assert pull_force(route, load=1.0, friction=0.06) == pytest.approx(ratio, abs=5e-5)
