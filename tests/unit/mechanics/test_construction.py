"""Section properties of solid and stranded cores."""

from __future__ import annotations

from math import pi

import pytest

from cableroute.errors import CableRouteError
from cableroute.mechanics.construction import CONSTRUCTIONS, core_section


def test_a_strand_is_the_sum_of_its_wires() -> None:
    strand = core_section("1x19", diameter=2.5, modulus=190e3)

    assert (strand.wires, strand.wire_diameter) == (19, 0.5)
    assert strand.area == pytest.approx(19 * pi * 0.5**2 / 4)
    assert strand.bending_stiffness == pytest.approx(19 * 190e3 * pi * 0.5**4 / 64)


@pytest.mark.parametrize("construction", [c for c in CONSTRUCTIONS if c != "solid"])
def test_lay_makes_a_strand_softer_in_tension_than_its_metal(construction: str) -> None:
    strand = core_section(construction, diameter=2.0, modulus=200e3)

    assert 60e3 <= strand.axial_stiffness / strand.area <= 110e3 + 1e-6


def test_a_solid_core_has_all_its_metal() -> None:
    solid = core_section("solid", diameter=2.0, modulus=200e3)

    assert solid.axial_stiffness == pytest.approx(200e3 * pi)


def test_finer_wires_bend_more_easily() -> None:
    stiffness = [
        core_section(c, diameter=2.0, modulus=200e3).bending_stiffness for c in CONSTRUCTIONS
    ]

    assert stiffness == sorted(stiffness, reverse=True)


@pytest.mark.parametrize("construction", CONSTRUCTIONS)
def test_stiffness_goes_with_the_fourth_power_of_diameter(construction: str) -> None:
    small = core_section(construction, diameter=1.0, modulus=200e3)
    large = core_section(construction, diameter=2.0, modulus=200e3)

    assert large.bending_stiffness == pytest.approx(16 * small.bending_stiffness)
    assert large.axial_stiffness == pytest.approx(4 * small.axial_stiffness)


@pytest.mark.parametrize(
    ("construction", "diameter", "modulus", "message"),
    [
        ("6x19", 2.0, 200e3, "expected one of solid, 1x7, .*got '6x19'"),
        ("solid", 0.0, 200e3, "expected diameter and modulus above 0"),
        ("solid", 2.0, -1.0, "expected diameter and modulus above 0"),
        ("solid", float("nan"), 200e3, "expected diameter and modulus above 0"),
    ],
)
def test_what_cannot_be_is_refused(
    construction: str, diameter: float, modulus: float, message: str
) -> None:
    with pytest.raises(CableRouteError, match=message):
        core_section(construction, diameter=diameter, modulus=modulus)


#: Wires of each layer and how far their axes are from the middle, in wire diameters, packed as
#: hexagons: the second moment of area by parallel axes is what wires locked together have.
HEXAGONS = {"1x7": ((6, 1.0),), "1x19": ((6, 1.0), (6, 2.0), (6, 3.0**0.5))}


@pytest.mark.parametrize(("construction", "times"), [("1x7", 7.9), ("1x19", 21.2)])
def test_wires_locked_in_their_packing_stay_below_the_solid_round(construction, times):
    strand = core_section(construction, diameter=1.2, modulus=200e3)
    d = strand.wire_diameter
    own = strand.bending_stiffness / 200e3
    steiner = sum(n * pi * d**2 / 4 * (a * d) ** 2 / 2 for n, a in HEXAGONS[construction])

    assert (own + steiner) / own == pytest.approx(times, abs=0.05)
    assert own + steiner < strand.locked_stiffness / 200e3


def test_a_nineteen_wire_strand_is_thirty_three_times_stiffer_locked():
    strand = core_section("1x19", diameter=1.2, modulus=200e3)
    low, high = strand.tested_stiffness

    assert strand.locked_stiffness / strand.bending_stiffness == pytest.approx(33, abs=0.5)
    assert strand.bending_stiffness < low < high < strand.locked_stiffness


def test_a_solid_core_has_one_stiffness():
    solid = core_section("solid", diameter=2.0, modulus=200e3)

    assert solid.locked_stiffness == solid.bending_stiffness
    assert solid.tested_stiffness == (solid.bending_stiffness, solid.bending_stiffness)


def test_a_measured_stiffness_stands_instead_of_the_bounds():
    strand = core_section("7x7", diameter=2.0, modulus=200e3, stiffness=(2e3, 3e3))

    assert (strand.bending_stiffness, strand.locked_stiffness) == (2e3, 3e3)
    assert strand.tested_stiffness == (2e3, 3e3)
    assert strand.measured


@pytest.mark.parametrize("band", [(0.0, 1.0), (2.0, 1.0), (1.0, float("inf"))])
def test_a_measured_stiffness_that_cannot_be_is_refused(band):
    with pytest.raises(CableRouteError, match="expected 0 < low <= high"):
        core_section("7x7", diameter=2.0, modulus=200e3, stiffness=band)
