"""A conduit between its clips: the closed forms against a pair settled by itself, and their limits."""

from __future__ import annotations

import json
import runpy
from pathlib import Path

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.mechanics.conduit_shift import conduit_shift, spacing_for_travel
from cableroute.route.fillet import fit_arcs

MODELS = Path(__file__).parents[2] / "rod_models"
STORED = json.loads((MODELS / "conduit_pair.json").read_text())
PAIR = {"friction": 0.1, "clearance": 0.5, "conduit_stiffness": 3e5}


def bent(*, turn_deg=90.0, radius=160.0, lead=300.0):
    turn = np.radians(turn_deg)
    leg = lead + radius * np.tan(0.5 * turn)
    points = [[0, 0, 0], [leg, 0, 0], [leg + leg * np.cos(turn), leg * np.sin(turn), 0]]
    return fit_arcs(points, min_bend_radius=radius * (1 - 1e-9))


def named(entry) -> str:
    return "-".join(f"{name}{entry['case'][name]:g}" for name in ("spacing", "axial", "bending"))


@pytest.mark.parametrize("entry", STORED, ids=named)
def test_what_the_settled_pair_loses_lies_within(entry) -> None:
    """Below by the closed form for spans clamped at their clips, a sixth; above for pinned ones."""
    case = entry["case"]
    route = bent(turn_deg=case["turn_deg"], radius=case["radius"], lead=case["lead"])
    shift = conduit_shift(
        route,
        load=case["force"],
        friction=0.0,
        clip_spacing=case["spacing"],
        clearance=0.5,
        conduit_stiffness=case["bending"],
        conduit_axial=case["axial"],
    )
    travel = entry["settled"]["travel"]

    assert shift.held >= travel * 0.999
    assert shift.held <= travel * 6.0
    # as far apart as they may be, clips let no more through than the conduit shortens
    shortens = case["force"] * float(route.length) / case["axial"]
    assert travel <= shortens * 1.001
    assert shift.held <= shortens


def test_the_stored_cases_are_what_the_model_gives() -> None:
    model = runpy.run_path(str(MODELS / "conduit_pair.py"))
    got = model["settle"](model["Case"](**STORED[2]["case"]))

    assert got == pytest.approx(STORED[2]["settled"], rel=1e-6)
    assert [each["case"] for each in STORED] == [vars(case) for case in model["cases"]()]


def test_a_long_span_is_a_beam_loaded_at_its_middle() -> None:
    """Pinned beam, load F turn in the middle: F turn L^3/48EI, times the turn; from any table."""
    turn, span = np.radians(4.0), 400.0
    route = bent(turn_deg=4.0, radius=20.0)
    got = conduit_shift(
        route,
        load=10.0,
        clip_spacing=span,
        **{**PAIR, "friction": 0.0, "conduit_stiffness": 1e8},
    )
    assert float(got.unheld) == pytest.approx(10.0 * turn**2 * span**3 / (48.0 * 1e8), rel=1e-3)


def test_a_soft_conduit_is_drawn_straight_from_clip_to_clip_and_no_further() -> None:
    route = bent()
    soft = {**PAIR, "conduit_stiffness": 1.0}
    got = conduit_shift(route, load=120.0, clip_spacing=600.0, **soft)
    arc, chord = 160.0 * np.pi / 2.0, 160.0 * np.sqrt(2.0)
    side = 0.5 * (600.0 - arc)
    assert float(got.unheld) == pytest.approx(arc - chord + 2.0 * side * (1.0 - np.sqrt(0.5)))
    pushed = conduit_shift(route, load=120.0, clip_spacing=600.0, pushing=True, **soft)
    assert pushed.unheld > got.unheld


def test_a_concentric_core_feels_nothing_of_the_conduits_shape() -> None:
    route = bent()
    assert (
        conduit_shift(route, load=120.0, clip_spacing=200.0, **{**PAIR, "clearance": 0.0}).eccentric
        == 0.0
    )
    # curling by F r/EI over the bend, on a lever r
    got = conduit_shift(route, load=120.0, clip_spacing=200.0, **{**PAIR, "friction": 0.0})
    assert float(got.eccentric) == pytest.approx(120.0 * 0.25**2 * 160.0 * np.pi / 2.0 / 3e5)
    assert got.eccentric < 0.01
    assert got.held is None


def test_spacing_loses_just_the_travel_allowed() -> None:
    route = bent()
    travel = np.array([0.05, 0.5, 5.0])
    spacing = spacing_for_travel(route, load=120.0, travel=travel, **PAIR)
    lost = conduit_shift(route, load=120.0, clip_spacing=spacing, **PAIR).unheld
    assert lost == pytest.approx(travel)
    assert (np.diff(spacing) > 0.0).all()

    held = spacing_for_travel(route, load=120.0, travel=0.05, conduit_axial=7.5e5, **PAIR)
    kept = conduit_shift(route, load=120.0, clip_spacing=held, conduit_axial=7.5e5, **PAIR)
    assert float(kept.held) == pytest.approx(0.05)
    straight = fit_arcs([[0, 0, 0], [900, 0, 0]], min_bend_radius=100)
    assert np.isinf(spacing_for_travel(straight, load=120.0, travel=0.05, **PAIR))


def test_batches_are_what_each_gives_alone() -> None:
    spacing, stiffness = np.array([[60.0], [150.0]]), np.array([1e5, 3e5, 9e5])
    kwargs = {"load": 120.0, "conduit_axial": 7.5e5}
    got = conduit_shift(
        bent(), clip_spacing=spacing, **{**PAIR, "conduit_stiffness": stiffness}, **kwargs
    )
    for i, j in np.ndindex(2, 3):
        alone = conduit_shift(
            bent(),
            clip_spacing=spacing[i, 0],
            **{**PAIR, "conduit_stiffness": stiffness[j]},
            **kwargs,
        )
        assert got.unheld[i, j] == pytest.approx(alone.unheld)
        assert got.held[i, j] == pytest.approx(alone.held)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("load", -1.0),
        ("friction", -1.0),
        ("clip_spacing", 0.0),
        ("clearance", -1.0),
        ("conduit_stiffness", 0.0),
        ("conduit_axial", 0.0),
    ],
)
def test_bad_input_is_refused(name, value) -> None:
    good = {"load": 120.0, "clip_spacing": 200.0, **PAIR}
    with pytest.raises(CableRouteError, match="expected"):
        conduit_shift(bent(), **{**good, name: value})
