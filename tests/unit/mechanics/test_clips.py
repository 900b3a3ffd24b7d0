"""Force on a clip at a bend: the bound, the spring-back, and how far apart clips may stand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from cableroute.errors import CableRouteError
from cableroute.mechanics.clip_spacing import WIRING_SPACING, widest_spacing
from cableroute.mechanics.clips import spring_back, turning_force

quick = settings(max_examples=30)
CORNERS = np.array(
    [[0, 0, 0], [400, 0, 0], [400, 300, 0], [700, 300, 200], [700, 700, 200]], dtype=float
)


# -- the upper bound -----------------------------------------------------------------------


@quick
@given(force=st.floats(0.0, 1e4), turn=st.floats(0.0, 10.0), more=st.floats(0.0, 2.0))
def test_more_turn_never_asks_less_and_never_more_than_twice_the_force(force, turn, more) -> None:
    bound, larger = turning_force(force, turn=[turn, turn + more])

    assert 0.0 <= bound <= larger <= 2.0 * force


def test_the_bound_is_the_sum_of_the_wall_force_along_the_arc() -> None:
    """F/R a millimetre towards the centre, added up over the arc along its bisector."""
    force, radius, turn = 120.0, 90.0, 2.0
    angle = np.linspace(-turn / 2, turn / 2, 20001)
    slice_ = 0.5 * (angle[1:] + angle[:-1])
    along_bisector = np.sum(force / radius * radius * np.diff(angle) * np.cos(slice_))

    assert turning_force(force, turn=turn) == pytest.approx(along_bisector, rel=1e-8)


def test_a_force_next_to_all_numbers_has_a_bound_without_end() -> None:
    assert turning_force(1.7e308, turn=np.pi) == np.inf


def test_no_turn_asks_nothing_even_of_a_core_that_locks_up_and_a_bend_without_bound() -> None:
    assert turning_force(np.inf, turn=[0.0, 0.5]).tolist() == [0.0, np.inf]


@pytest.mark.parametrize("bad", [-1.0, np.nan, [100.0, -1.0, 0.0]])
def test_a_force_that_cannot_be(bad: object) -> None:
    with pytest.raises(CableRouteError, match="force of the core: expected 0 N or more"):
        turning_force(bad, turn=1.0)


# -- spring-back ---------------------------------------------------------------------------

BEND = {"radius": 150.0, "before": 400.0, "between": 250.0, "after": 200.0}


def test_one_clip_at_the_corner_is_a_beam_bent_over_three_points() -> None:
    """Simply supported, loaded in the middle: deflection F L^3/(48 EI) (any beam table)."""
    turn, a, stiffness = 0.2, 200.0, 300e3
    sides = spring_back(
        turn, radius=50.0, before=a, between=0.0, after=a, conduit_stiffness=stiffness
    )
    deflection = a * turn / 2.0

    assert sum(sides) == pytest.approx(48.0 * stiffness * deflection / (2.0 * a) ** 3)


def test_uneven_spans_by_a_general_solver() -> None:
    """A beam over P, C and Q, the lines P-C and C-Q an angle theta apart."""
    turn, a1, a2, EI = 0.1, 120.0, 300.0, 1.0

    def beam(x, y):  # each span on its own x from 0 to 1; y, y', M, V, twice
        slopes = [y[1], y[2], y[3], 0.0 * y[0]]
        others = [y[5], y[6], y[7], 0.0 * y[4]]
        return np.vstack([a1 * np.array(slopes), a2 * np.array(others)])

    def on_clips(left, right):  # P and C at 0, Q off their line by a2 theta; smooth over C
        held = [left[0], right[0], left[4], right[4] - a2 * turn]
        return np.array([*held, left[2], right[6], right[1] - left[5], right[2] - left[6]])

    solved = solve_bvp(beam, on_clips, np.linspace(0, 1, 5), np.zeros((8, 5)))
    before, after = spring_back(
        turn, radius=1e-3, before=a1, between=0.0, after=a2, conduit_stiffness=EI
    )

    assert solved.success
    assert abs(solved.y[3, 0]) == pytest.approx(before, rel=1e-6)  # shear of the first span
    assert abs(solved.y[7, 0]) == pytest.approx(after, rel=1e-6)


def test_a_long_bend_has_the_moment_of_its_radius() -> None:
    before, after = spring_back(
        np.pi, radius=150.0, before=300.0, between=300.0, after=150.0, conduit_stiffness=300e3
    )

    assert before == pytest.approx(300e3 / (150.0 * 300.0))
    assert after == pytest.approx(2.0 * before)


def test_an_anchor_ends_its_side() -> None:
    before, after = spring_back(np.pi / 2, **(BEND | {"before": 0.0}), conduit_stiffness=300e3)

    assert before == 0.0
    assert after > 0.0


@quick
@given(turn=st.floats(0.01, 3.0), more=st.floats(1.0, 3.0))
def test_more_turn_or_stiffness_springs_back_harder(turn: float, more: float) -> None:
    base = spring_back(turn, **BEND, conduit_stiffness=300e3)
    turned = spring_back(more * turn, **BEND, conduit_stiffness=300e3)
    stiff = spring_back(turn, **BEND, conduit_stiffness=more * 300e3)

    for side in (0, 1):
        assert base[side] <= turned[side]
        assert stiff[side] == pytest.approx(more * base[side])


def test_no_turn_has_none() -> None:
    assert spring_back(0.0, **BEND, conduit_stiffness=300e3) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("name", "bad", "said"),
    [
        ("radius", 0.0, "bend radius"),
        ("before", -1.0, "span before"),
        ("between", -1.0, "span on the bend"),
        ("after", np.nan, "span after"),
        ("conduit_stiffness", -1.0, "conduit stiffness"),
    ],
)
def test_a_bend_that_cannot_be(name: str, bad: float, said: str) -> None:
    with pytest.raises(CableRouteError, match=said):
        spring_back(1.0, **(BEND | {"conduit_stiffness": 300e3, name: bad}))


# -- spacing -------------------------------------------------------------------------------


def test_sag_at_the_widest_spacing_is_the_sag_allowed() -> None:
    """Integrated by a general solver: EI y'''' = w, both ends clamped."""
    EI, w, sag = 40e3, 0.004, 3.0
    span = float(widest_spacing(conduit_stiffness=EI, weight=w, sag=sag))

    def beam(x, y):
        return np.vstack([y[1], y[2], y[3], np.full_like(x, w / EI)])

    def clamped(left, right):
        return np.array([left[0], left[1], right[0], right[1]])

    solved = solve_bvp(beam, clamped, np.linspace(0, span, 11), np.zeros((4, 11)), tol=1e-8)

    assert span < WIRING_SPACING
    assert solved.sol(span / 2)[0] == pytest.approx(sag, rel=1e-6)


def test_the_published_spacing_is_never_passed() -> None:
    """24 in, AC 43.13-1B paragraph 11-96a."""
    spacing = widest_spacing(conduit_stiffness=[40e3, 1e9, 40e3], weight=[0.004, 0.004, 0.0])

    assert pytest.approx(609.6) == WIRING_SPACING
    assert spacing[0] < WIRING_SPACING
    np.testing.assert_array_equal(spacing[1:], WIRING_SPACING)


def test_spans_that_cannot_be() -> None:
    with pytest.raises(CableRouteError, match="conduit stiffness"):
        widest_spacing(conduit_stiffness=0.0, weight=0.004)
    with pytest.raises(CableRouteError, match="sag"):
        widest_spacing(conduit_stiffness=1.0, weight=0.004, sag=0.0)
    with pytest.raises(CableRouteError, match="weight"):
        widest_spacing(conduit_stiffness=1.0, weight=-1.0)
