import pytest

from cableroute.errors import GeometryError
from cableroute.linkage.hand import (
    HAND_LIMITS,
    effort_of,
    hand_limits,
)


def test_every_limit_has_a_source_and_a_status():
    for limit in HAND_LIMITS:
        assert limit.source
        assert limit.status in ("found", "from memory")
        assert 0 < limit.low <= limit.high


def test_limits_for_an_effort_come_least_first():
    one = hand_limits("push")
    assert {limit.effort for limit in one} == {"push-pull"}
    assert [limit.low for limit in one] == sorted(limit.low for limit in one)
    assert all(limit.hands == 2 for limit in hand_limits("sideways", hands=2))
    assert hand_limits("fingers", hands=2) == ()


@pytest.mark.parametrize(
    ("displacement", "facing", "effort"),
    [
        ((10, 0, 0), (1, 0, 0), "push"),
        ((10, 0, 0), (-1, 0, 0), "pull"),
        ((-10, 5, 0), (1, 0, 0), "pull"),
        ((0, 10, 0), (1, 0, 0), "sideways"),
        ((0, 0, -10), (1, 0, 0), "sideways"),
        ((0, 10, 0), (0, 1, 0), "push"),
    ],
)
def test_effort(displacement, facing, effort):
    assert effort_of(displacement, facing=facing) == effort


def test_bad_requests():
    with pytest.raises(GeometryError, match="grip displacement: expected a direction"):
        effort_of((0, 0, 0))
