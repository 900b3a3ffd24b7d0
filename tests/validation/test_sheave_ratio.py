"""MIL-F-18372(Aer), Flight control systems, table before 3.1.1.17.8: sheaves for control cable.

Load of the cable in per cent of its breaking strength, and the least ratio of sheave to cable.
"""

from __future__ import annotations

import pytest

from cableroute.mechanics.life import sheave_ratio


@pytest.mark.parametrize(("per_cent", "ratio"), [(1, 10), (10, 20), (20, 28)])
def test_the_table(per_cent: float, ratio: float) -> None:
    got = sheave_ratio(per_cent / 100.0)

    assert float(got.least) == pytest.approx(ratio)
    assert not got.extrapolated
