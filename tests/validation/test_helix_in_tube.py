"""Lubinski, Althouse, Logan, J. Petroleum Technology, June 1962 (from memory): a rod wound in a tube.

The numbers are our own arithmetic with the published formulas p^2 = 8 pi^2 EI/F, M = F r/2 and
dL/L = r^2 F/4EI: 2 mm of steel, r 0.5 mm, 200 N: pitch 249.02 mm, M 50 N mm, 63.7 MPa, 0.159 mm
shorter over 2 m; nothing gets through 2 m at friction 0.15 beyond 4188.8 N.
"""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.mechanics.core_in_guide import END_MOMENT, core_in_guide, wound_limit

EI, AREA = 157079.6, np.pi
WIRE = {"bending_stiffness": EI, "area": AREA, "wire_diameter": 2.0}


def test_stress_shortening_and_lock_up() -> None:
    guide = core_in_guide(
        200.0,
        length=2000.0,
        bore=3.0,
        core_diameter=2.0,
        friction=0.15,
        yield_strength=1400.0,
        **WIRE,
    )
    assert (float(guide.stress) - 200.0 / AREA) / END_MOMENT == pytest.approx(63.7, abs=0.05)
    assert float(guide.lost_travel) == pytest.approx(0.159, abs=0.0005)
    # 1/F at the far end is 1/4188.8 more than at the hand
    hand = 200.0 + float(guide.lost_push)
    assert 1.0 / 200.0 - 1.0 / hand == pytest.approx(1.0 / 4188.8, rel=1e-4)


def test_that_stress_is_the_limit_of_that_load() -> None:
    limit = wound_limit(1.0, yield_strength=END_MOMENT * 63.66 + 200.0 / AREA, **WIRE)
    assert float(limit) == pytest.approx(200.0, rel=1e-4)
