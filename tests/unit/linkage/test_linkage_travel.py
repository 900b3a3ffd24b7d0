import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import GeometryError
from cableroute.linkage.travel import Adjuster, arriving, travel_budget


@settings(max_examples=30)
@given(st.floats(0, 10), st.floats(6, 40), st.floats(6, 40))
def test_the_swing_that_arrives_is_less_by_the_play(lost, out, back):
    v = arriving([-back, out], lost=lost)
    assert v[1] - v[0] == pytest.approx(out + back - lost)


def test_no_less_than_nothing_arrives_where_play_takes_all():
    budget = travel_budget(given=(-20, 20), needed=(-18, 18), lost=50, stroke=50)
    assert (budget.arrives, budget.spare) == (0, -46)


def test_nothing_arrives_within_the_play():
    np.testing.assert_array_equal(arriving([-1, -0.5, 0, 0.5, 1], lost=2), 0)


def test_a_lopsided_layout_is_set_right_by_the_adjuster():
    """Hand gives 26 pulled and 18 pushed; the arm wants 20 and 20; 2 lost: spare 5 and -3."""
    budget = travel_budget(
        given=(-18, 26),
        needed=(-20, 20),
        lost=2,
        stroke=50,
        adjusters=(Adjuster(length=10), Adjuster(length=20, set_at=6)),
    )
    assert (budget.given, budget.arrives, budget.needed, budget.spare) == (44, 42, 40, 2)
    assert (budget.spare_pull, budget.spare_push) == (5, -3)
    assert budget.offset == -4
    moved = travel_budget(
        given=(-18 + budget.offset, 26 + budget.offset), needed=(-20, 20), lost=2, stroke=50
    )
    assert moved.spare_pull == moved.spare_push == 1
    assert budget.stroke_spare == 6
    assert budget.neutral_in_stroke == pytest.approx(18 / 44)
    assert (budget.stroke_spare_pull, budget.stroke_spare_push) == (-1, 7)
    # 5 + 4 mm longer and 5 + 16 mm shorter to begin with; taking up 4 mm trades one for the other
    assert (budget.longer_left, budget.shorter_left) == (13, 17)


def test_a_pull_only_cable_has_neutral_at_the_pushed_end():
    assert travel_budget(given=(0, 30), needed=(0, 25), lost=1, stroke=40).neutral_in_stroke == 0


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"given": (5, -5)}, "travel given: expected low below high"),
        ({"needed": (5, 5)}, "travel needed: expected low below high"),
        ({"lost": -1}, "lost motion: expected 0 or more"),
        ({"stroke": 0}, "cable stroke: expected a number above 0"),
    ],
)
def test_bad_budgets(change, message):
    good = {"given": (-20, 20), "needed": (-18, 18), "lost": 1, "stroke": 50}
    with pytest.raises(GeometryError, match=message):
        travel_budget(**good | change)


def test_a_nut_stands_on_its_thread():
    with pytest.raises(GeometryError, match="within 5 mm of the middle, got 6"):
        Adjuster(length=10, set_at=6)
    with pytest.raises(GeometryError, match="adjuster length: expected 0 or more"):
        Adjuster(length=-1)
