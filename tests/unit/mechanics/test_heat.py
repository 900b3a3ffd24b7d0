"""Growth by heat: added up over small pieces of the run, and at its limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.mechanics.heat import free_play_change, liner_growth

expansions = st.floats(0.0, 250e-6)
quick = settings(max_examples=30)

PLAY = {
    "length": 2000.0,
    "core_expansion": 17e-6,
    "conduit_expansion": 12e-6,
    "temperature_range": (-40.0, 80.0),
}


def test_two_rulers_laid_side_by_side() -> None:
    """Core and conduit each as a thousand pieces, warmed degree by degree."""
    core = conduit = np.full(1000, 2.0)
    for _ in range(60):  # from 20 to 80
        core, conduit = core + 2.0 * 17e-6, conduit + 2.0 * 12e-6

    _, hot = free_play_change(**PLAY)

    assert float(hot) == pytest.approx(core.sum() - conduit.sum())


def test_a_conduit_that_grows_more_tightens_in_heat_and_slackens_in_cold() -> None:
    cold, hot = free_play_change(**{**PLAY, "core_expansion": 12e-6, "conduit_expansion": 40e-6})

    assert cold > 0.0 > hot


@quick
@given(expansion=expansions, low=st.floats(-60.0, 0.0), high=st.floats(1.0, 250.0))
def test_equal_expansions_change_nothing(expansion: float, low: float, high: float) -> None:
    both = {"core_expansion": expansion, "conduit_expansion": expansion}

    assert free_play_change(length=2e3, **both, temperature_range=(low, high)) == (0.0, 0.0)


@quick
@given(core=expansions, conduit=expansions, at=st.floats(-30.0, 70.0))
def test_where_it_was_adjusted_shifts_but_does_not_widen(
    core: float, conduit: float, at: float
) -> None:
    ask = {**PLAY, "core_expansion": core, "conduit_expansion": conduit}
    cold, hot = free_play_change(**ask, installed_at=at)
    same = free_play_change(**{**ask, "temperature_range": (at, at)}, installed_at=at)

    assert float(hot - cold) == pytest.approx(120.0 * 2000.0 * (core - conduit), abs=1e-9)
    assert same == (0.0, 0.0)


def test_twice_as_long_grows_twice_as_much() -> None:
    cold, hot = free_play_change(**{**PLAY, "length": np.array([1000.0, 2000.0])})

    assert cold[1] == pytest.approx(2.0 * cold[0])
    assert hot[1] == pytest.approx(2.0 * hot[0])


def test_a_liner_comes_out_in_heat_and_draws_back_in_cold() -> None:
    cold, hot = liner_growth(
        length=2000.0, liner_expansion=[120e-6, 12e-6], temperature_range=(-40.0, 55.0)
    )

    np.testing.assert_allclose(cold, [-2000.0 * 60.0 * 108e-6, 0.0])
    np.testing.assert_allclose(hot, [2000.0 * 35.0 * 108e-6, 0.0])


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"length": -1.0}, "length: expected a number of 0 or more, got -1.0"),
        ({"core_expansion": -1e-6}, "core expansion: expected a number of 0 or more"),
        ({"conduit_expansion": np.nan}, "conduit expansion: expected"),
        (
            {"temperature_range": (60.0, -20.0)},
            "temperature range: expected -273.15 <= low <= high degC, got low 60, high -20",
        ),
        ({"temperature_range": (-300.0, 20.0)}, "temperature range: expected .* got low -300"),
        ({"temperature_range": (0.0, np.inf)}, "temperature range: expected .* high inf"),
        ({"temperature_range": (np.nan, 20.0)}, "temperature range: expected .* low nan"),
        ({"installed_at": np.nan}, "installed at: expected -273.15 degC or more, got nan"),
        ({"installed_at": -300.0}, "installed at: expected -273.15 degC or more, got -300"),
    ],
)
def test_what_cannot_be_is_refused(wrong: dict[str, object], said: str) -> None:
    with pytest.raises(CableRouteError, match=said):
        free_play_change(**{**PLAY, **wrong})


def test_the_liner_stands_behind_the_same_door() -> None:
    ask = {"length": 100.0, "temperature_range": (0.0, 50.0)}

    with pytest.raises(CableRouteError, match="liner expansion: expected"):
        liner_growth(**ask, liner_expansion=-1.0)
    with pytest.raises(CableRouteError, match="conduit expansion: expected"):
        liner_growth(**ask, liner_expansion=1e-4, conduit_expansion=-1.0)
