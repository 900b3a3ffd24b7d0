"""Checks: level and margin by arithmetic, findings in order, the verdict they add up to."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.verdict.check import FOUND, LEVELS, Check, findings_of, verdict_of


def check(value: float | None, **given: object) -> Check:
    return Check(code="x", name="Force", **{"value": value, **given})


@pytest.mark.parametrize(
    ("levels", "verdict"),
    [
        ([], "pass"),
        (["note", "note"], "pass"),
        (["pass", "told"], "pass"),
        (["note", "marginal"], "marginal"),
        (["marginal", "fail", "note"], "fail"),
    ],
)
def test_the_gravest_level_is_the_verdict(levels, verdict):
    assert verdict_of(levels) == verdict


@pytest.mark.parametrize(
    ("value", "level", "limit", "margin"),
    [(7.0, "pass", 8.0, 1.0), (8.0, "pass", 8.0, 0.0), (9.0, "marginal", 8.0, -1.0),
     (11.0, "fail", 10.0, -3.0), (float("inf"), "fail", 10.0, -float("inf"))],
)  # fmt: skip
def test_a_value_that_should_be_small(value, level, limit, margin):
    one = check(value, marginal=8.0, failing=10.0)
    assert (one.level, one.limit, one.margin) == (level, limit, margin)


@pytest.mark.parametrize(
    ("value", "level", "limit", "margin"),
    [(3.5, "pass", 3.0, 0.5), (2.0, "marginal", 3.0, -1.0), (1.0, "fail", 1.5, -2.0)],
)
def test_a_value_that_should_be_large(value, level, limit, margin):
    one = check(value, marginal=3.0, failing=1.5, at_least=True)
    assert (one.level, one.limit, one.margin) == (level, limit, margin)


def test_a_limit_worth_a_word_only_makes_a_note():
    assert check(4.0, noting=3.0).level == "note"
    assert check(2.0, noting=3.0).level == "pass"


def test_without_limits_a_message_makes_a_note_and_a_number_is_told():
    assert check(4.0).level == "told"
    assert check(4.0, message="Mind it.").level == "note"
    assert check(None, marginal=3.0).level == "told"
    assert check(4.0).margin is None
    assert check(None, marginal=3.0).margin is None


def test_a_message_is_worked_out_only_where_something_is_found():
    def fails(_: Check) -> str:
        raise AssertionError

    assert check(1.0, marginal=3.0).saying(fails).message == ""
    assert check(4.0, marginal=3.0).saying(lambda c: f"{c.value:g} N").message == "4 N"


@settings(max_examples=30)
@given(st.lists(st.sampled_from([0.0, 1.5, 2.5, 3.5])))
def test_findings_are_sorted_by_gravity_and_keep_the_order_of_equals(values):
    checks = [
        Check(code=str(i), name="", value=value, noting=1.0, marginal=2.0, failing=3.0)
        for i, value in enumerate(values)
    ]
    found = findings_of(checks)
    keys = [(LEVELS.index(one.level), int(one.code)) for one in found]
    assert keys == sorted(keys)
    assert len(found) == sum(value > 1.0 for value in values)
    assert all(one.level in FOUND for one in found)


def test_a_wrong_unit_is_told_before_what_it_explains():
    graver = Check(code="legs", name="", value=4.0, failing=3.0)
    slip = Check(code="unit-slip", name="", value=2.5, marginal=2.0)
    assert findings_of([graver, slip]) == (slip, graver)
    noted = Check(code="unit-slip", name="", value=2.5, noting=2.0)
    assert findings_of([graver, noted]) == (graver, noted)
