"""Friction over a cable's life: the rules, their order, and what they feed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.hardware.liners import LINERS
from cableroute.mechanics.ageing import CEILING, Condition, condition_ranges
from cableroute.mechanics.return_spring import return_margin

quick = settings(max_examples=30)
frictions = st.just(0.0) | st.floats(1e-6, 1.99)
ranges = st.tuples(frictions, frictions).map(lambda ends: tuple(sorted(ends)))
liners = st.sampled_from([None, *LINERS.values()])


def by_name(friction: tuple[float, float], liner: str | None = None) -> dict[str, Condition]:
    states = condition_ranges(friction, liner=LINERS[liner] if liner else None)
    return {state.name: state for state in states}


def test_the_five_in_order() -> None:
    """By hand, from 0.08 to 0.16: middle 0.12."""
    spans = {name: (state.low, state.high) for name, state in by_name((0.08, 0.16)).items()}

    assert list(spans) == ["new", "worn", "dirty", "dry", "cold"]
    assert spans["new"] == pytest.approx((0.08, 0.12))
    assert spans["worn"] == pytest.approx((0.12, 0.16))
    assert spans["dirty"] == pytest.approx((0.18, 0.24))
    assert spans["dry"] == pytest.approx((0.24, 0.32))
    assert spans["cold"] == pytest.approx((0.104, 0.208))


@quick
@given(friction=ranges, liner=liners)
def test_order_and_bounds(friction: tuple[float, float], liner) -> None:
    new, worn, dirty, dry, cold = condition_ranges(friction, liner=liner)

    for state in (new, worn, dirty, dry, cold):
        assert 0.0 <= state.low <= state.high < 2.0
        assert state.note
    # new and worn share out the range as given and go nowhere beyond it
    assert (new.low, worn.high) == pytest.approx(friction)
    assert new.high == worn.low
    for worse in (dirty, dry):
        assert worse.low >= worn.low
        assert worse.high >= worn.high
    assert cold.low >= new.low
    assert cold.high >= worn.high


@quick
@given(friction=ranges, liner=liners)
def test_the_factor_leads_from_the_high_end_given(friction: tuple[float, float], liner) -> None:
    for state in condition_ranges(friction, liner=liner):
        if friction[1] > 0.0:
            assert state.factor * friction[1] == pytest.approx(state.high)


def test_a_liner_brings_its_own_dry_range() -> None:
    dry = by_name((0.05, 0.15), "none")["dry"]

    assert (dry.low, dry.high) == (0.5, 0.8)
    assert dry.factor == pytest.approx(0.8 / 0.15)
    assert "from memory" in dry.note
    assert "no source" not in dry.note


def test_dry_is_no_better_than_what_the_user_gave() -> None:
    dry = by_name((0.2, 0.6), "ptfe")["dry"]  # tabulated 0.10 to 0.25

    assert (dry.low, dry.high) == pytest.approx((0.4, 0.6))


@pytest.mark.parametrize("liner", [None, "hdpe", "ldpe"])
def test_without_a_known_dry_range_it_doubles(liner: str | None) -> None:
    dry = by_name((0.10, 0.25), liner)["dry"]

    assert (dry.low, dry.high) == pytest.approx((0.35, 0.50))
    assert "common practice, no source" in dry.note


def test_a_measured_friction_stays_what_it_is_new_and_worn() -> None:
    states = by_name((0.06, 0.06))

    for name in ("new", "worn"):
        assert (states[name].low, states[name].high, states[name].factor) == (0.06, 0.06, 1.0)


def test_the_ceiling_holds() -> None:
    dirty = by_name((1.0, 1.8))["dirty"]

    assert (dirty.low, dirty.high) == (CEILING, CEILING)
    assert dirty.factor == pytest.approx(CEILING / 1.8)


def test_no_friction_given() -> None:
    bare, lined = by_name((0.0, 0.0)), by_name((0.0, 0.0), "ptfe")

    assert {state.high for state in bare.values()} == {0.0}
    assert {state.factor for state in bare.values()} == {1.0}
    assert lined["dry"].factor == np.inf


def test_conditions_feed_a_kernel_as_one_batch() -> None:
    """Friction and drag grow together; the return is worse in every state that is worse."""
    states = condition_ranges((0.10, 0.25), liner=LINERS["hdpe"])
    high = np.array([state.high for state in states])

    back = return_margin(wrap=3.0, friction=high, spring=20.0, drag=20.0 * high)

    assert np.array_equal(np.argsort(-back.margin), np.argsort(high))


@pytest.mark.parametrize(
    ("friction", "said"),
    [
        ((0.3, 0.1), "friction: expected 0 <= low <= high < 2, got low 0.3, high 0.1"),
        ((0.3, 2.0), "friction: expected 0 <= low <= high < 2, got low 0.3, high 2"),
        ((-0.1, 0.1), "friction: expected a number of 0 or more, got -0.1"),
        ((0.1, np.nan), "friction: expected a number of 0 or more, got nan"),
    ],
)
def test_what_cannot_be_is_refused(friction: tuple[float, float], said: str) -> None:
    with pytest.raises(CableRouteError, match=said):
        condition_ranges(friction)
