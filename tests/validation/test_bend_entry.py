"""Bigoni et al. 2015 (abstract): a rod fed through a sleeve meets a configurational force, EI/(2R^2).

The number is our own arithmetic with it: 2 mm of steel, E 200 GPa, R 150 mm: 3.49 N.
"""

from __future__ import annotations

import pytest

from cableroute.mechanics.construction import core_section
from cableroute.mechanics.validity import extrapolations
from cableroute.route.fillet import fit_arcs


def test_pull_below_which_stiffness_rules() -> None:
    found = extrapolations(
        fit_arcs([[0, 0, 0], [600, 0, 0], [600, 600, 0]], min_bend_radius=150.0),
        load=1.0,
        push_load=None,
        friction=0.1,
        core=core_section("solid", diameter=2.0, modulus=200e3),
        clearance=0.5,
        strength=None,
        surplus_share=0.0,
    )

    assert [each.code for each in found] == ["stiff-core"]
    assert found[0].limit == pytest.approx(3.49, abs=0.005)
