"""Resultant of a tension around a sheave: Abbott Aerospace, AA-SM-017, 755 lb over 85 degrees.

Printed: 1020 lb.
"""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.mechanics.clips import turning_force

TENSION, TURN, PRINTED = 755.0, np.radians(85.0), 1020.0  # lb


def test_resultant_on_a_sheave() -> None:
    assert turning_force(TENSION, turn=TURN) == pytest.approx(PRINTED, abs=0.5)
