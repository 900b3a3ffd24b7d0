"""Findings, their order, and the verdict they add up to."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.verdict.findings import LEVELS, Finding, by_gravity, verdict_of


def finding(level: str, code: str = "x") -> Finding:
    return Finding(code, level, "here", "Do this.")


@pytest.mark.parametrize(
    ("levels", "verdict"),
    [
        ([], "pass"),
        (["note", "note"], "pass"),
        (["pass", "pass"], "pass"),
        (["note", "marginal"], "marginal"),
        (["marginal", "fail", "note"], "fail"),
    ],
)
def test_the_gravest_level_is_the_verdict(levels, verdict):
    assert verdict_of(levels) == verdict


@settings(deadline=None, max_examples=30)
@given(st.lists(st.sampled_from(LEVELS)))
def test_sorting_is_by_gravity_and_keeps_the_order_of_equals(levels):
    found = by_gravity(finding(level, str(i)) for i, level in enumerate(levels))
    assert sorted(int(one.code) for one in found) == list(range(len(levels)))
    keys = [(LEVELS.index(one.level), int(one.code)) for one in found]
    assert keys == sorted(keys)


@pytest.mark.parametrize(("value", "limit", "margin"), [(3.0, 5.0, 2.0), (5.0, 3.0, 2.0)])
def test_the_margin_is_the_distance_to_the_limit(value, limit, margin):
    assert Finding("x", "fail", "", "", value, limit).margin == margin


def test_without_value_or_limit_there_is_no_margin():
    assert finding("note").margin is None
    assert Finding("x", "fail", "", "", value=3.0).margin is None
