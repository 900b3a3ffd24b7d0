"""Resultant of a tension around a sheave: Abbott Aerospace, AA-SM-017, 755 lb over 85 degrees.

Printed: 1020 lb.
"""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.mechanics.clips import clip_forces, turning_force
from cableroute.route.fillet import fit_arcs

TENSION, TURN, PRINTED = 755.0, np.radians(85.0), 1020.0  # lb


def test_resultant_on_a_sheave() -> None:
    assert turning_force(TENSION, turn=TURN) == pytest.approx(PRINTED, abs=0.5)


def test_the_same_at_a_corner_of_a_route() -> None:
    """Drawn as a route, along the bisector whatever the radius."""
    far = np.array([400.0, 0.0, 0.0]) + 300.0 * np.array([np.cos(TURN), np.sin(TURN), 0.0])
    route = fit_arcs([[0, 0, 0], [400, 0, 0], far], min_bend_radius=60)
    forces = clip_forces(route, pull=TENSION)

    assert forces.pull[0] == pytest.approx(PRINTED, abs=0.5)
    # what the two legs pull with, added by hand
    legs = TENSION * (route.directions[1] - route.directions[0])
    np.testing.assert_allclose(forces.pull[0] * forces.inward[0], legs)
