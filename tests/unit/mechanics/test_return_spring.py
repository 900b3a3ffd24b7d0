"""The return of a pull cable: against an integrated core, from both ends, and at its limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from cableroute.errors import CableRouteError
from cableroute.mechanics.return_spring import return_margin

wraps, frictions, forces = st.floats(0.0, 12.0), st.floats(0.0, 0.5), st.floats(0.0, 50.0)
quick = settings(max_examples=30)

CABLE = {"wrap": 4.0, "friction": 0.15, "spring": 30.0, "drag": 3.0}


def at_the_spring(wrap: float, friction: float, held: float, spread) -> float:
    """Integrate the core's tension from the hand to the far end, drag per radian given."""
    run = solve_ivp(
        lambda angle, tension: friction * tension + spread(angle),
        (0.0, wrap),
        [held],
        rtol=1e-10,
        atol=1e-12,
        max_step=wrap / 50.0,
    )
    return float(run.y[0, -1])


def test_hand_resistance_grows_towards_the_spring() -> None:
    back = return_margin(wrap=4.0, friction=0.15, spring=30.0, drag=0.0, hand_resistance=5.0)

    assert float(back.required) == pytest.approx(at_the_spring(4.0, 0.15, 5.0, lambda _: 0.0))
    assert float(back.required) == pytest.approx(5.0 * 1.8221188)  # e^0.6, by table


@pytest.mark.parametrize(
    "spread",
    [
        lambda angle: 3.0 / 4.0,
        lambda angle: 2.0 * 3.0 * angle / 4.0**2,
        lambda angle: 2.0 * 3.0 * (4.0 - angle) / 4.0**2,
    ],
    ids=["evenly", "at the far end mostly", "at the hand mostly"],
)
def test_drag_is_bounded_wherever_the_bends_are(spread) -> None:
    """3 N in all, spread in three ways: less than all of it at the hand, more than at the spring."""
    bound = float(return_margin(**CABLE).required)

    assert 3.0 < at_the_spring(4.0, 0.15, 0.0, spread) < bound


def test_drag_spread_evenly_is_as_the_notes_say() -> None:
    x = 4.0 * 0.15
    spread = at_the_spring(4.0, 0.15, 0.0, lambda _: 3.0 / 4.0)

    assert spread == pytest.approx(3.0 * np.expm1(x) / x)
    assert float(return_margin(**CABLE).required) == pytest.approx(3.0 * np.exp(x))


def test_the_bound_is_reached_with_all_drag_at_the_hand() -> None:
    bound = float(return_margin(**CABLE).required)
    first = 0.01  # the whole drag within the first hundredth of a radian

    sharp = at_the_spring(4.0 - first, 0.15, 3.0, lambda _: 0.0)

    assert sharp == pytest.approx(bound, rel=2e-3)


@quick
@given(wrap=wraps, friction=frictions, drag=forces, hand=forces, far=forces)
def test_a_spring_of_just_what_is_required(
    wrap: float, friction: float, drag: float, hand: float, far: float
) -> None:
    resisting = {"drag": drag, "hand_resistance": hand, "far_resistance": far + 1.0}
    required = return_margin(wrap=wrap, friction=friction, spring=0.0, **resisting).required
    back = return_margin(wrap=wrap, friction=friction, spring=required[()], **resisting)

    assert float(back.margin) == pytest.approx(1.0)
    assert float(back.left_at_hand) == pytest.approx(0.0, abs=1e-9 * float(required))


@quick
@given(wrap=wraps, friction=frictions, drag=forces, far=forces, spring=st.floats(0.1, 200.0))
def test_both_ends_tell_the_same(
    wrap: float, friction: float, drag: float, far: float, spring: float
) -> None:
    back = return_margin(wrap=wrap, friction=friction, spring=spring, drag=drag, far_resistance=far)

    spare = float(back.available - back.required)
    at_spring = float(back.left_at_hand) * np.exp(wrap * friction)
    assert at_spring == pytest.approx(spare, abs=1e-9 * (spring + float(back.required)))


@quick
@given(
    wrap=wraps,
    friction=st.floats(0.01, 0.5),
    drag=st.floats(0.1, 50.0),
    more=st.floats(0.01, 3.0),
    what=st.sampled_from(["wrap", "friction", "drag", "hand_resistance", "far_resistance"]),
)
def test_whatever_grows_leaves_less(
    wrap: float, friction: float, drag: float, more: float, what: str
) -> None:
    given_ = {"wrap": wrap + 0.1, "friction": friction, "drag": drag, "spring": 20.0}
    given_ |= {"hand_resistance": 1.0, "far_resistance": 1.0}
    before = return_margin(**given_)
    after = return_margin(**{**given_, what: given_[what] + more})

    assert after.required > before.required
    assert after.margin < before.margin
    assert after.left_at_hand < before.left_at_hand


@pytest.mark.parametrize("slippery", [{"friction": 0.0}, {"wrap": 0.0}])
def test_without_friction_or_bends_forces_only_add(slippery: dict[str, float]) -> None:
    back = return_margin(**{**CABLE, **slippery}, hand_resistance=4.0, far_resistance=5.0)

    assert float(back.required) == pytest.approx(3.0 + 4.0 + 5.0)
    assert float(back.left_at_hand) == pytest.approx(30.0 - 12.0)


def test_nothing_that_resists_and_nothing_that_pulls() -> None:
    free = return_margin(wrap=4.0, friction=0.15, spring=1.0, drag=0.0)
    none = return_margin(wrap=4.0, friction=0.15, spring=0.0, drag=0.0)

    assert np.isinf(free.margin)
    assert free.returns
    assert float(none.margin) == 0.0
    assert not none.returns


def test_bends_without_end_hold_back_nothing_that_has_no_load() -> None:
    back = return_margin(wrap=1e4, friction=0.5, spring=8.0, drag=0.0, far_resistance=2.0)
    held = return_margin(wrap=1e4, friction=0.5, spring=8.0, drag=1.0)

    assert float(back.margin) == pytest.approx(4.0)
    assert float(held.margin) == 0.0
    assert np.isinf(held.required)


def test_the_least_of_the_spring_counts_wherever_in_the_stroke_it_is() -> None:
    at_rest = return_margin(**{**CABLE, "spring": [12.0, 20.0, 28.0]})
    over_centre = return_margin(**{**CABLE, "spring": [20.0, 28.0, 12.0]})

    assert float(at_rest.available) == float(over_centre.available) == 12.0
    assert float(at_rest.margin) == float(return_margin(**{**CABLE, "spring": 12.0}).margin)


def test_two_springs_each_alone_over_a_range_of_friction() -> None:
    springs = np.array([[[12.0, 20.0]], [[8.0, 9.0]]])  # two springs, any friction, the stroke

    back = return_margin(wrap=4.0, friction=[0.1, 0.2, 0.3], spring=springs, drag=3.0)

    assert back.margin.shape == back.available.shape == back.left_at_hand.shape == (2, 3)
    one = return_margin(wrap=4.0, friction=0.2, spring=8.0, drag=3.0)
    assert float(back.margin[1, 1]) == pytest.approx(float(one.margin))
    assert float(back.available[1, 1]) == 8.0


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"wrap": -1.0}, "wrap: expected a number of 0 or more, got -1.0"),
        ({"friction": np.nan}, "friction: expected a number of 0 or more, got nan"),
        ({"drag": -2.0}, "drag: expected"),
        ({"spring": [5.0, -1.0]}, "spring: expected a number of 0 or more, got "),
        ({"spring": []}, "spring: expected a force or forces over the stroke, got "),
        ({"hand_resistance": -1.0}, "hand resistance: expected"),
        ({"far_resistance": np.inf}, "far resistance: expected"),
    ],
)
def test_what_cannot_be_is_refused(wrong: dict[str, object], said: str) -> None:
    with pytest.raises(CableRouteError, match=said):
        return_margin(**{**CABLE, **wrong})


def test_next_to_no_resistance_is_as_good_as_none() -> None:
    back = return_margin(wrap=1.0, friction=0.1, spring=1.0, drag=0.0, far_resistance=1e-309)

    assert float(back.margin) == np.inf
    assert bool(back.returns)
