"""The two tables of set screws, and the band between them."""

from __future__ import annotations

import pytest

from cableroute.errors import CableRouteError
from cableroute.hardware.set_screws import DISAGREEMENT, SET_SCREWS, set_screw


@pytest.mark.parametrize(
    ("size", "holding"), [("M3", 712), ("M4", 1713), ("M5", 2402), ("M6", 4448)]
)
def test_metric_sizes_hold_what_their_neighbours_hold(size: str, holding: int) -> None:
    """The nearest inch size, 1 lbf = 4.448 N; our own conversion."""
    assert set_screw(size).high == pytest.approx(holding, abs=0.5)


@pytest.mark.parametrize("size", SET_SCREWS)
def test_the_tables_disagree_two_to_threefold(size: str) -> None:
    screw = SET_SCREWS[size]

    assert screw.size == size
    assert 2.1 < screw.high / screw.low <= DISAGREEMENT


def test_a_size_of_one_table_only_takes_the_widest_band() -> None:
    assert set_screw("#5").high / set_screw("#5").low == pytest.approx(3.2)


@pytest.mark.parametrize("family", ["M", "#", "/"])
def test_more_screw_holds_more_and_asks_more_torque(family: str) -> None:
    sizes = [screw for size, screw in SET_SCREWS.items() if family in size]
    by_size = sorted(sizes, key=lambda screw: screw.diameter)

    assert len(sizes) >= 3
    assert by_size == sorted(sizes, key=lambda screw: screw.high)
    assert by_size == sorted(sizes, key=lambda screw: (screw.torque, screw.high))


def test_no_screw_is_asked_for_more_than_it_must_stand() -> None:
    metric = [screw for screw in SET_SCREWS.values() if screw.test_torque]

    assert len(metric) == 4
    assert all(screw.torque <= screw.test_torque for screw in metric)
    assert set_screw("M4").torque == pytest.approx(20 * 112.985, rel=1e-4)  # 20 lbf in


@pytest.mark.parametrize("written", ["1/4", " 1/4 in", '1/4"', "1/4″"])
def test_a_size_as_people_write_it(written: str) -> None:
    assert set_screw(written).diameter == pytest.approx(6.35)


@pytest.mark.parametrize("written", ["M7", "", "quarter", "4"])
def test_a_size_that_is_not_there(written: str) -> None:
    with pytest.raises(CableRouteError, match="set screw: expected one of #4"):
        set_screw(written)
