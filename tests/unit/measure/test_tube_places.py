from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cableroute.measure.tube_places import NEAR, along_of, clock_of, tube_at
from cableroute.measure.tubes import Tube, point_on_tube

ENDS = st.tuples(*3 * (st.floats(-900.0, 900.0),)).filter(lambda end: np.linalg.norm(end) > 100.0)


@given(ENDS, st.floats(0.0, 1.0), st.floats(0.0, 359.0))
def test_a_place_on_a_tube_is_told_as_it_was_measured(end, share, clock):
    tube = Tube("t", start=[10, 20, 30], end=np.add(end, [10, 20, 30]), diameter=38)
    along = share * tube.length
    point = point_on_tube(tube, along=along, clock=clock, conduit_od=7)
    assert along_of(tube, point) == pytest.approx(along, abs=1e-6)
    assert abs((clock_of(tube, point) - clock + 180.0) % 360.0 - 180.0) < 1e-6
    inside = point_on_tube(tube, along=0.5 * tube.length, clock=clock, conduit_od=7)
    assert tube_at([tube], inside, conduit_od=7) is tube


def test_a_conduit_lies_on_the_nearest_tube_or_on_none():
    one = Tube("one", start=[0, 0, 0], end=[500, 0, 0], diameter=40)
    two = Tube("two", start=[0, 0, 52], end=[500, 0, 52], diameter=40)
    assert tube_at([one, two], np.array([250.0, 0.0, 25.0]), conduit_od=8) is one
    assert tube_at([one, two], np.array([250.0, 0.0, 28.5]), conduit_od=8) is two
    assert tube_at([one], np.array([250.0, 0.0, 24.0 + NEAR + 0.1]), conduit_od=8) is None
    assert tube_at([one], np.array([501.0, 0.0, 24.0]), conduit_od=8) is None
    assert tube_at([], np.zeros(3), conduit_od=8) is None
