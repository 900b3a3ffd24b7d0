"""What others wrote, shown: nothing of it acts."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cableroute.shown import one_line, shown, shown_json

ANY = st.text(st.characters(exclude_categories=()))


@given(ANY)
def test_nothing_that_is_shown_acts(text):
    for word in (shown(text), one_line(text), shown(text, most=20)):
        assert all(c.isprintable() or c in "\u200c\u200d" or c.isspace() for c in word)
        assert len(word.splitlines()) <= 1
        assert not set(word) & set("\x1b\x07\x08\x9b\x00\r\u202e\u2066")


@given(ANY)
def test_json_keeps_its_data(text):
    written = shown_json(json.dumps(text, ensure_ascii=False))
    assert json.loads(written) == json.loads(json.dumps(text))
    assert not set(written) & set("\x7f\x80\x9b\u202e\u2028\ud800\U000e0041")


def test_letters_of_any_script_stay_as_they_are():
    for word in ("ölleitung 12½", "\u05e9\u05dc\u05d5\u05dd", "\u0645\u06cc\u200c\u062e", "5\xa0m"):
        assert shown(word) == word


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("\x1b]0;x\x07", r"\x1b]0;x\x07"),
        ("a\nb", r"a\nb"),
        ("\x85", r"\x85"),
        ("\u202e", r"\u202e"),
    ],
)
def test_what_acts_is_written_out(text, seen):
    assert shown(text) == seen


def test_what_is_long_is_cut():
    assert shown("x" * 10_000, most=12) == "xxxxxxxxx..."
