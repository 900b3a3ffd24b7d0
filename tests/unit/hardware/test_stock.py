"""Stock lengths, core and overall length."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import CableRouteError
from cableroute.hardware.stock import choose_stock, core_length

METRES = (1000.0, 1500.0, 2000.0)

lengths = st.floats(1.0, 5000.0)
margins = st.floats(0.0, 500.0)
stocks = st.lists(lengths, min_size=1, max_size=12)
quick = settings(max_examples=60)


def test_the_shortest_that_serves_with_its_neighbours() -> None:
    choice = choose_stock(1400.0, stock_lengths=METRES, slack=50.0, doubt=20.0)

    assert (choice.stock, choice.slack, choice.shortfall) == (1500.0, 100.0, 0.0)
    assert choice.longest == 2000.0
    assert choice.ladder == ((1000.0, -400.0), (2000.0, 600.0))


def test_wanted_slack_and_doubt_each_move_the_choice_up() -> None:
    assert choose_stock(1480.0, stock_lengths=METRES).stock == 1500.0
    assert choose_stock(1480.0, stock_lengths=METRES, slack=30.0).stock == 2000.0
    assert choose_stock(1480.0, stock_lengths=METRES, doubt=30.0).stock == 2000.0


def test_a_neighbour_too_short_for_the_slack_may_still_cover_the_need() -> None:
    choice = choose_stock(1480.0, stock_lengths=METRES, slack=30.0)

    assert choice.ladder == ((1500.0, 20.0),)


def test_when_none_serves_the_shortfall_is_given() -> None:
    choice = choose_stock(1990.0, stock_lengths=METRES, slack=50.0)

    assert (choice.stock, choice.slack) == (None, None)
    assert choice.shortfall == pytest.approx(40.0)
    assert choice.ladder == ((2000.0, 10.0),)


def test_what_a_conversion_leaves_is_forgiven_but_no_tape_reading_is() -> None:
    assert choose_stock(1500.0 + 1e-9, stock_lengths=METRES).stock == 1500.0
    assert choose_stock(1500.0 + 1e-3, stock_lengths=METRES).stock == 2000.0


@quick
@given(need=lengths, slack=margins, doubt=margins, stock=stocks)
def test_the_choice_serves_and_nothing_shorter_does(
    need: float, slack: float, doubt: float, stock: list[float]
) -> None:
    choice = choose_stock(need, stock_lengths=stock, slack=slack, doubt=doubt)
    serving = [length for length in stock if length >= need + slack + doubt - 1e-6]

    assert choice.stock == (min(serving) if serving else None)
    assert choice.longest == max(stock)
    if choice.stock is None:
        assert choice.slack is None
        assert choice.shortfall == pytest.approx(need + slack + doubt - max(stock), abs=1e-6)
    else:
        assert choice.shortfall == 0.0
        assert choice.slack == choice.stock - need


@quick
@given(need=lengths, stock=stocks, data=st.data())
def test_the_order_of_the_list_and_repeats_do_not_matter(
    need: float, stock: list[float], data: st.DataObject
) -> None:
    shuffled = data.draw(st.permutations(stock + stock))

    assert choose_stock(need, stock_lengths=shuffled) == choose_stock(need, stock_lengths=stock)


@quick
@given(need=lengths, stock=stocks)
def test_the_ladder_holds_the_nearest_on_either_side(need: float, stock: list[float]) -> None:
    choice = choose_stock(need, stock_lengths=stock)
    pivot = math.inf if choice.stock is None else choice.stock
    below = [length for length in stock if length < pivot]
    above = [length for length in stock if length > pivot]

    assert [length for length, _ in choice.ladder] == [
        *([max(below)] if below else []),
        *([min(above)] if above else []),
    ]
    assert all(slack == length - need for length, slack in choice.ladder)


@quick
@given(need=lengths, slack=margins, more=margins, stock=stocks)
def test_more_slack_never_gives_a_shorter_cable(
    need: float, slack: float, more: float, stock: list[float]
) -> None:
    some = choose_stock(need, stock_lengths=stock, slack=slack).stock
    greater = choose_stock(need, stock_lengths=stock, slack=slack + more).stock

    assert greater is None or (some is not None and greater >= some)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_a_need_or_stock_length_out_of_range_is_refused(bad: float) -> None:
    with pytest.raises(CableRouteError, match=r"^need: expected a length above 0 mm, got"):
        choose_stock(bad, stock_lengths=METRES)
    with pytest.raises(CableRouteError, match=r"^stock length: expected a length above 0 mm, got"):
        choose_stock(1.0, stock_lengths=[1000.0, bad])
    with pytest.raises(CableRouteError, match=r"^conduit length: expected"):
        core_length(bad, end_allowance=0.0, stroke=0.0)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_a_margin_out_of_range_is_refused(bad: float) -> None:
    with pytest.raises(CableRouteError, match=r"^slack: expected a length of 0 mm or more, got"):
        choose_stock(1.0, stock_lengths=METRES, slack=bad)
    with pytest.raises(CableRouteError, match=r"^doubt: "):
        choose_stock(1.0, stock_lengths=METRES, doubt=bad)
    with pytest.raises(CableRouteError, match=r"^end allowance: "):
        core_length(1.0, end_allowance=bad, stroke=0.0)
    with pytest.raises(CableRouteError, match=r"^stroke: "):
        core_length(1.0, end_allowance=0.0, stroke=bad)


def test_an_empty_list_is_refused() -> None:
    with pytest.raises(CableRouteError, match="at least one, got none"):
        choose_stock(1.0, stock_lengths=[])


@quick
@given(conduit=lengths, near=margins, far=margins, stroke=st.floats(0.0, 100.0))
def test_the_core_is_as_long_at_every_point_of_the_stroke(
    conduit: float, near: float, far: float, stroke: float
) -> None:
    # Build the cable fully in at one end, fully out at the other, then go to mid stroke.
    cut = near + conduit + (far + stroke)
    at_mid_stroke = (near + stroke / 2) + (far + stroke / 2)

    core = core_length(conduit, end_allowance=at_mid_stroke, stroke=stroke)
    assert core == pytest.approx(cut)


def test_the_core_is_never_too_short_for_its_stroke() -> None:
    assert core_length(1500.0, end_allowance=50.0, stroke=75.0) == 1575.0
    assert core_length(1500.0, end_allowance=325.0, stroke=75.0) == 1825.0
