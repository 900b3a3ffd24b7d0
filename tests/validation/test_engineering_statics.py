"""Baker, Haynes, Engineering Statics: Open and Interactive, chapter 9, "Rope Friction"."""

from __future__ import annotations

from math import pi

import pytest

from cableroute.mechanics.capstan import capstan_ratio


def test_hold_force_over_four_and_a_half_turns() -> None:
    """100 lb, 4.5 turns, mu 0.23: the hold force is printed as 0.15 lb."""
    ratio = capstan_ratio(4.5 * 2 * pi, friction=0.23)

    assert 100 / ratio == pytest.approx(0.15, abs=0.005)
