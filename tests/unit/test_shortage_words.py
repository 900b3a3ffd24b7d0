"""A shortage is never told as nothing, and what fits to rounding is not told as short."""

from __future__ import annotations

import pytest

from cableroute.measure.wording import Words
from cableroute.table.run import leg_slack_told


@pytest.mark.parametrize(
    ("slack", "told"),
    [
        (-12.4, "12 mm SHORT"),
        (-0.3, "1 mm SHORT"),
        (-1e-3, "1 mm SHORT"),
        (-1e-9, "0 mm to spare"),
        (0.0, "0 mm to spare"),
        (0.3, "0 mm to spare"),
        (7.6, "8 mm to spare"),
    ],
)
def test_a_leg_s_slack(slack: float, told: str) -> None:
    assert leg_slack_told(slack, Words()) == told


def test_in_inches_a_shortage_is_at_least_what_the_tape_reads() -> None:
    assert leg_slack_told(-0.1, Words("in")) == '1/16" SHORT'
