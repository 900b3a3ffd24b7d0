"""A few mutants of each command; ``python -m tests.fuzz`` tries thousands.

How many is by how long one takes, so that all stay within the time of an ordinary test.
"""

from __future__ import annotations

import random

import pytest

from tests.fuzz.mutate import mutant
from tests.fuzz.trial import WAYS, case, tried

#: Inputs of each command in the suite.
COUNTS = {
    "check": 300,
    "stock": 300,
    "suggest": 150,
    "study": 20,
    "sweep": 300,
    "template": 300,
    "export": 300,
    "feel": 300,
    "linkage": 100,
    "compare": 150,
    "calibrate": 300,
    "report": 100,
    "draw": 50,
    "points": 300,
}
#: By which one it begins: those before it were looked at often enough.
BEGIN = 1_000_000


@pytest.mark.parametrize("command", WAYS)
def test_no_mutant_of_a_file_is_more_than_a_complaint(command, tmp_path):
    found = {}
    for number in range(BEGIN, BEGIN + COUNTS[command]):
        folder = tmp_path / str(number)
        folder.mkdir()
        if cause := tried(case(command, number), folder):
            found[f"{command}:{number}"] = cause
    assert not found


@pytest.mark.parametrize("kind", ["toml", "csv", "readings", "obj", "dxf", "dialogue", "library"])
def test_a_mutant_follows_from_its_seed(kind):
    once, again = (mutant(kind, random.Random("a")) for _ in range(2))
    assert once == again
    assert len({mutant(kind, random.Random(i)) for i in range(40)}) > 20


def test_the_trial_itself_finds_what_is_wrong(tmp_path, monkeypatch):
    def broken(*_words, **_more):
        raise StopIteration

    monkeypatch.setattr("cableroute.cli.check.assess", broken)
    causes = set()
    for number in range(30):
        folder = tmp_path / str(number)
        folder.mkdir()
        causes.add(tried(case("check", number), folder).partition(" at ")[0])
    assert "StopIteration" in causes
