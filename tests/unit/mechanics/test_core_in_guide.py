"""The bare core in its guide: Euler below, a helix above, and what ends it."""

from __future__ import annotations

import json
import runpy
from pathlib import Path

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.mechanics.construction import core_section
from cableroute.mechanics.core_in_guide import (
    END_MOMENT,
    MOST_WOUND,
    core_in_guide,
    pinned_load,
    wound_limit,
)
from cableroute.mechanics.push import push_force
from cableroute.route.fillet import fit_arcs

MODELS = Path(__file__).parents[2] / "rod_models"
SETTLED = json.loads((MODELS / "rod_in_bore.json").read_text())
STRAND = core_section("1x19", diameter=2.0, modulus=200e3)
WIRE = {
    "bending_stiffness": STRAND.bending_stiffness,
    "area": STRAND.area,
    "wire_diameter": STRAND.wire_diameter,
    "yield_strength": 1400.0,
}
GUIDE = {"length": 50.0, "bore": 5.1, "core_diameter": 2.0, "friction": 0.15, **WIRE}


def test_a_strand_is_allowed_far_more_than_it_bears_unguided() -> None:
    """1x19 of 2 mm at a stroke of 50 mm: about 20 N free, the guide is what carries 150 N."""
    guide = core_in_guide(150.0, **GUIDE)

    assert float(guide.free_load) == pytest.approx(18.9, abs=0.1)
    assert guide.folds_at > 150.0
    assert guide.stress < 1400.0
    assert float(core_in_guide(150.0, **{**GUIDE, "unguided": 50.0}).folds_at) == pytest.approx(
        float(guide.free_load)
    )


def test_lost_push_is_that_of_a_straight_run_of_that_length() -> None:
    """The closed form against the one for a run, which has its own tests."""
    route = fit_arcs([[0, 0, 0], [50, 0, 0]], min_bend_radius=10)
    hand = push_force(
        route,
        load=150.0,
        friction=0.15,
        bending_stiffness=STRAND.bending_stiffness,
        clearance=3.1,
    )

    assert float(core_in_guide(150.0, **GUIDE).lost_push) == pytest.approx(hand - 150.0)


def test_below_eulers_load_nothing_is_lost() -> None:
    guide = core_in_guide(15.0, **GUIDE)
    assert (guide.lost_push, guide.lost_travel) == (0.0, 0.0)
    assert float(guide.stress) == pytest.approx(15.0 / STRAND.area)


def test_helix_bent_to_its_limit() -> None:
    """The curve itself, derived by finite differences: at the limit its wires are at the yield."""
    c, EI = 3.1, STRAND.bending_stiffness
    F = float(wound_limit(c, **WIRE))
    pitch = np.sqrt(8.0 * np.pi**2 * EI / F)
    z = np.linspace(0.0, pitch, 200_001)
    x = 0.5 * c * np.cos(2.0 * np.pi * z / pitch)
    curvature = np.abs(np.gradient(np.gradient(x, z), z)).max()

    stress = F / STRAND.area + END_MOMENT * 200e3 * 0.5 * STRAND.wire_diameter * curvature

    assert stress == pytest.approx(1400.0, rel=1e-3)


@pytest.mark.parametrize("rod", SETTLED, ids=lambda rod: f"{rod['ratio']:g}")
def test_a_rod_settled_in_a_bore_is_within_what_is_counted(rod) -> None:
    """Bent no more than counted, and little less; never more friction or shortening than a helix's."""
    length, EI, r, wire = 1000.0, 1e5, 1.0, 2.0
    P = rod["ratio"] * np.pi**2 * EI / length**2
    guide = core_in_guide(
        P,
        length=length,
        bore=wire + 2.0 * r,
        core_diameter=wire,
        bending_stiffness=EI,
        area=np.pi,
        wire_diameter=wire,
        yield_strength=1400.0,
        friction=1e-6,
    )
    bending = float(guide.stress) - P / np.pi
    settled = rod["moment"] * 0.5 * P * r / EI * 200e3 * 0.5 * wire
    helix = 0.25 * r * P**2 / EI * length  # wall force, all along

    assert settled <= bending
    assert settled >= 0.5 * bending
    assert rod["wall"] * helix <= float(guide.lost_push) / 1e-6
    assert rod["shortening"] * 0.25 * r**2 * P / EI * length <= float(guide.lost_travel)


def test_the_stored_rod_is_what_the_model_gives() -> None:
    model = runpy.run_path(str(MODELS / "rod_in_bore.py"))
    assert tuple(rod["ratio"] for rod in SETTLED) == model["LOADS"]

    for got, stored in zip(model["settle"](model["LOADS"][:2]), SETTLED[:2], strict=True):
        assert got["unsettled"] < 1e-6
        assert got == pytest.approx(stored, rel=1e-3, abs=1e-6)


def test_a_bow_that_sets_the_wires_folds_the_core_at_once() -> None:
    """A short solid core in a wide bore: its first bow is bent beyond yield."""
    solid = {"bending_stiffness": 157080.0, "area": np.pi, "wire_diameter": 2.0}
    guide = core_in_guide(100.0, **{**GUIDE, **solid, "bore": 8.0})
    assert float(guide.folds_at) == float(guide.free_load)


def test_a_wide_bore_coils_the_core_before_it_sets() -> None:
    c, EI = 12.0, STRAND.bending_stiffness
    F = float(wound_limit(c, **{**WIRE, "yield_strength": 1e6}))
    assert (0.5 * c) ** 2 * F / (4.0 * EI) == pytest.approx(MOST_WOUND)


def test_slack_wires_are_the_unsafe_end() -> None:
    loose, locked = (
        core_in_guide(100.0, **{**GUIDE, "bending_stiffness": EI})
        for EI in (STRAND.bending_stiffness, STRAND.locked_stiffness)
    )
    assert loose.folds_at < locked.folds_at
    assert loose.lost_push > locked.lost_push
    assert loose.lost_travel > locked.lost_travel


def test_batch_and_lock_up() -> None:
    guide = core_in_guide([10.0, 150.0, 5e4], **GUIDE)
    assert guide.folds_at.shape == ()
    assert np.isinf(guide.lost_push).tolist() == [False, False, True]
    assert np.isinf(pinned_load(0.0, bending_stiffness=1.0))


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("bore", 2.0, "bore of the guide"),
        ("length", -1.0, "bare length"),
        ("friction", -1.0, "friction"),
        ("bending_stiffness", 0.0, "bending stiffness"),
        ("yield_strength", 0.0, "yield strength"),
        ("unguided", -1.0, "unguided length"),
    ],
)
def test_bad_input_is_refused(name, value, said) -> None:
    with pytest.raises(CableRouteError, match=said):
        core_in_guide(100.0, **{**GUIDE, name: value})
