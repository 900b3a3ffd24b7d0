"""Beer, Johnston et al., Vector Mechanics for Engineers: Statics, chapter 8, belt friction.

Examples 8.7 (p. 431) and 8.8 (p. 432) as computed in the notebooks of the FOSSEE textbook
companions, and problem 8.104 as solved by a homework site. Tolerances are the printed digits.
"""

from __future__ import annotations

from math import log, pi

import numpy as np
import pytest

from cableroute.mechanics.capstan import capstan_ratio

TURN = 2.0 * pi


def test_example_8_7_friction_of_a_hawser() -> None:
    """150 N holds 7500 N over two turns: mu printed as 0.311."""
    low, high = capstan_ratio(2 * TURN, friction=[0.3105, 0.3115])

    assert low < 7500 / 150 < high


def test_example_8_7_third_turn() -> None:
    """150 N over three turns: printed 53033 N (mu kept unrounded; 0.311 would give 52725)."""
    friction = log(7500 / 150) / (2 * TURN)

    assert 150 * capstan_ratio(3 * TURN, friction=friction) == pytest.approx(53033, abs=0.5)
    assert 150 * capstan_ratio(3 * TURN, friction=0.311) == pytest.approx(52725, abs=0.5)


def test_problem_8_104_friction_and_turns() -> None:
    """80 lb holds 5000 lb over two turns: mu 0.329; 20000 lb needs 2.67 turns."""
    low, high = capstan_ratio(2 * TURN, friction=[0.3285, 0.3295])
    friction = log(5000 / 80) / (2 * TURN)
    fewer, more = capstan_ratio(np.array([2.665, 2.675]) * TURN, friction=friction)

    assert low < 5000 / 80 < high
    assert fewer < 20000 / 80 < more


def test_example_8_8_torque_of_a_belt() -> None:
    """600 lb, mu 0.25, 120 degrees, 8 in: the torque is printed as 1957 lb in."""
    slack_side = 600 / capstan_ratio(np.radians(120), friction=0.25)

    assert (600 - slack_side) * 8 == pytest.approx(1957, abs=0.5)
