"""The private test of shift cables of test_shift_cable_experiment.py, calibrated.

killasgarage.bike, "Cable Routing - Experimental Results", 2016: 0 to 540 degrees, all points on the
capstan curve of mu = 0.06 (two digits printed). The ratios are the curve's, computed by us to four
decimals; the single readings are not printed. So this shows that the fit finds the published
constant from rounded readings, not that the constant is right.
"""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.mechanics.calibration import calibrate_friction

DEGREES = np.array([90.0, 180.0, 270.0, 360.0, 540.0])
RATIOS = np.array([1.0988, 1.2074, 1.3268, 1.4579, 1.7603])


@pytest.mark.parametrize("load", [10.0, 60.0])
def test_the_published_friction_is_found_without_drag(load: float) -> None:
    found = calibrate_friction(wrap=np.radians(DEGREES), load=np.full(5, load), hand=load * RATIOS)
    low, high = found.friction_interval
    assert found.friction == pytest.approx(0.06, abs=5e-5)
    assert low < 0.06 < high
    assert not found.has_drag
    assert found.outliers == ()
    assert found.explained
