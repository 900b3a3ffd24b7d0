"""Hibbeler, Engineering Mechanics: Statics, problem 8-133, in the ENGR25 tutorial of B. Mayer."""

from __future__ import annotations

from math import pi

import pytest

from cableroute.mechanics.capstan import capstan_ratio


def test_problem_8_133_how_far_the_block_may_go_along_the_plank() -> None:
    """Plank 50 lb, block 100 lb, 10 ft, a quarter turn over a peg, mu 0.4: d = 4.6340 ft."""
    plank, block, length, friction = 50.0, 100.0, 10.0, 0.4
    pull = 2 * friction * block / capstan_ratio(pi / 2, friction=friction)

    assert length / 2 / block * (plank + pull) == pytest.approx(4.6340, abs=5e-5)
