"""Schaum's Outline of Engineering Mechanics, examples 9-17 (p. 141) and 9-20 (p. 142).

Printed values as computed in the notebooks of the FOSSEE textbook companions.
"""

from __future__ import annotations

from math import pi

import pytest

from cableroute.mechanics.capstan import capstan_ratio


def test_example_9_17_slack_side() -> None:
    """200 N on the tight side, 180 degrees, mu 0.25: 91.2 N."""
    assert 200 / capstan_ratio(pi, friction=0.25) == pytest.approx(91.2, abs=0.05)


def test_example_9_20_rope_on_a_post() -> None:
    """900 kg (g = 9.8 m/s^2), two turns, mu 0.2: 714 N."""
    assert 900 * 9.8 / capstan_ratio(4 * pi, friction=0.2) == pytest.approx(714, abs=0.5)
