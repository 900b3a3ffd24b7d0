"""The return of a throttle from free to locked wires, on the buggy of the data."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from cableroute import assess, read_job
from cableroute.errors import CableRouteError
from cableroute.mechanics.return_spring import return_band, return_margin
from cableroute.mechanics.stiff_core import unloaded_drag

BUGGY = Path(__file__).resolve().parents[3] / "data" / "grass_track_buggy.toml"
CABLE = {"wrap": 2.0, "friction": 0.15, "spring": 14.0, "hand_resistance": 2.0}


@pytest.fixture(scope="module")
def throttle():
    figures = assess(read_job(BUGGY)).cables[1].figures
    return figures, figures.core, figures.cable.family


def returning(throttle, drag):
    figures = throttle[0]
    back = return_margin(
        wrap=figures.route.wrap,
        friction=figures.friction[1],
        spring=14.0,
        drag=drag,
        hand_resistance=figures.cable.hand_resists,
        far_resistance=figures.cable.resists.friction,
    )
    return float(back.required)


def by_hand(throttle, stiffness):
    """Wall forces of the three bends by the rule for a short arc, each for itself, times friction."""
    figures, _, family = throttle
    route, c = figures.route, family.clearance
    arc = 2.0 / np.sqrt(6.0) * stiffness / (route.radii**1.5 * np.sqrt(c))
    corner = stiffness * route.turns**3 / (9.0 * c**2)
    return figures.friction[1] * float(np.minimum(arc, corner).sum())


LOCKED = 1e9


@pytest.mark.parametrize(
    ("times", "each_for_itself", "along_the_run"),
    [(1.0, 5.0, 5.5), (10.0, 15.0, 16.8), (LOCKED, 41.0, 45.7)],
)
def test_a_throttle_needs_more_the_stiffer_its_core(
    throttle, times, each_for_itself, along_the_run
):
    """5, 15 and 41 N by a sum that no bend multiplies; about a tenth more along the run."""
    figures, core, family = throttle
    stiffness = min(times * core.bending_stiffness, core.locked_stiffness)
    friction = figures.friction[1]
    drag = unloaded_drag(
        figures.route,
        friction=friction,
        bending_stiffness=stiffness,
        clearance=family.clearance,
    )[1]

    simple = returning(throttle, by_hand(throttle, stiffness))
    assert simple == pytest.approx(each_for_itself, abs=0.6)
    assert returning(throttle, float(drag)) == pytest.approx(along_the_run, abs=0.2)


def test_a_pass_with_free_wires_alone_is_open_and_names_the_drag_that_decides():
    back = return_band(**CABLE, drag=(0.83, 27.4))
    at_most = float(back.most_drag)

    assert (str(back.decided_by), bool(back.certain), bool(back.hopeless)) == ("open", False, False)
    assert 0.83 < at_most < 27.4
    assert float(return_margin(**CABLE, drag=at_most).margin) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("drag", "measured", "by"),
    [
        ((0.5, 3.0), False, "stiff end"),
        ((30.0, 60.0), False, "slack end"),
        ((3.0, 3.0), True, "measured drag"),
    ],
)
def test_what_decides(drag, measured, by):
    back = return_band(**CABLE, drag=drag, drag_measured=measured)

    assert str(back.decided_by) == by
    assert bool(back.certain) == (drag[1] < 5.0)


def test_more_in_hand_leaves_less_drag():
    back = return_band(**CABLE, drag=(0.83, 27.4), enough=1.5)
    exactly = return_margin(**CABLE, drag=float(back.most_drag))

    assert float(exactly.margin) == pytest.approx(1.5)


def test_bands_come_in_batches():
    back = return_band(**CABLE, drag=([0.8, 0.8, 40.0], [3.0, 30.0, 50.0]))

    assert back.decided_by.tolist() == ["stiff end", "open", "slack end"]
    assert np.shape(back.most_drag) == (3,)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"drag": (3.0, 1.0)}, "drag: expected low <= high"),
        ({"drag": (-1.0, 1.0)}, "drag: expected"),
        ({"drag": (1.0, 2.0), "enough": 0.5}, "expected at least 1"),
    ],
)
def test_bands_that_cannot_be_are_refused(change, message):
    with pytest.raises(CableRouteError, match=message):
        return_band(**CABLE, **change)
