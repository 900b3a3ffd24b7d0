"""Published one-hand limits: the converted figures against the units they are printed in.

MIL-STD-1472E 5.4.3.1.8.7 prints 18 N (4 lb) and 45 N (10 lb); 14 CFR 25.143 prints pounds; a
control-room ergonomics text, seen at jfjm100.com, prints kilograms force. Tolerance: about half a
newton, as the newtons are rounded.
"""

import pytest

from cableroute.linkage.hand import HAND_LIMITS

POUND, KILOGRAM_FORCE = 4.4482216, 9.80665

PRINTED = {
    ("pitch, two hands, short term", "push-pull"): (75 * POUND, 75 * POUND),
    ("pitch, one hand, short term", "push-pull"): (50 * POUND, 50 * POUND),
    ("pitch, long term", "push-pull"): (10 * POUND, 10 * POUND),
    ("roll, two hands, short term", "sideways"): (50 * POUND, 50 * POUND),
    ("roll, one hand, short term", "sideways"): (25 * POUND, 25 * POUND),
    ("roll, long term", "sideways"): (5 * POUND, 5 * POUND),
    ("pull with the fingers", "fingers"): (4 * POUND, 4 * POUND),
    ("T-bar, four fingers", "four fingers"): (10 * POUND, 10 * POUND),
    ("lever, one hand", "push-pull"): (12 * KILOGRAM_FORCE, 22 * KILOGRAM_FORCE),
    ("lever, two hands", "push-pull"): (24 * KILOGRAM_FORCE, 44 * KILOGRAM_FORCE),
    ("lever, one hand", "sideways"): (9 * KILOGRAM_FORCE, 9 * KILOGRAM_FORCE),
    ("lever, two hands", "sideways"): (13 * KILOGRAM_FORCE, 13 * KILOGRAM_FORCE),
}


@pytest.mark.parametrize("row", PRINTED)
def test_newtons_match_the_printed_unit(row):
    (limit,) = [limit for limit in HAND_LIMITS if (limit.name, limit.effort) == row]
    low, high = PRINTED[row]
    # "45 N (10 lb)" is the standard's own rounding of 44.5; two hands are twice a rounded number
    assert limit.low == pytest.approx(low, abs=0.6 * limit.hands)
    assert limit.high == pytest.approx(high, abs=0.6 * limit.hands)
