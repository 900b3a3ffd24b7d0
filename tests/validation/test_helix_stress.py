"""A pushed core wound into a helix: Lubinski, Althouse, Logan, J. Petroleum Technology, June 1962.

From memory: moment F r/2, shortening r^2 F/(4EI) a length. The numbers are our own arithmetic: 2 mm of
steel, E 200 GPa, r 0.5 mm, 200 N over 2 m: 0.05 N m, 63.7 MPa, 0.159 mm.
"""

from __future__ import annotations

import pytest

from cableroute.mechanics.construction import core_section
from cableroute.mechanics.push_travel import push_travel
from cableroute.mechanics.stress import helix_stress, moment_stress
from cableroute.route.fillet import fit_arcs

CORE = core_section("solid", diameter=2.0, modulus=200e3)


def test_stress_of_the_helix() -> None:
    stress = helix_stress(CORE, force=200.0, clearance=1.0)

    assert float(stress.snaking) == pytest.approx(63.7, abs=0.05)
    assert float(stress.snaking) == pytest.approx(float(moment_stress(CORE, moment=50.0)))


def test_shortening_of_the_helix() -> None:
    straight = fit_arcs([[0, 0, 0], [2000, 0, 0]], min_bend_radius=100.0)
    lost = push_travel(
        straight,
        load=200.0,
        friction=0.0,
        bending_stiffness=CORE.bending_stiffness,
        axial_stiffness=CORE.axial_stiffness,
        clearance=1.0,
    )

    assert lost.snaking == pytest.approx(0.159, abs=5e-4)
