"""Capstan ratio of five turns at friction 0.6, as an encyclopedia's text on the capstan equation prints it.

The number was seen there; that it stands for five turns and 0.6 is from memory, and borne out by
the exact value of e^(6 pi).
"""

from __future__ import annotations

from math import pi

import pytest

from cableroute.mechanics.capstan import capstan_ratio


def test_five_turns_at_friction_0_6() -> None:
    assert float(capstan_ratio(5 * 2 * pi, friction=0.6)) == pytest.approx(153552935, abs=0.5)
