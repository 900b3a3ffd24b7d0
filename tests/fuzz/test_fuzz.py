"""A few mutants of each command; ``python -m tests.fuzz`` tries thousands.

Of what takes long by itself, as a PDF does, fewer, so that all stay within the time of an ordinary
test. Nothing here is timed.
"""

from __future__ import annotations

import random

import pytest

from tests.fuzz.outputs import unreadable
from tests.fuzz.sound import SOUND
from tests.fuzz.trial import case, mutant, tried
from tests.fuzz.ways import WAYS

#: Inputs of each command in the suite, and of some of its outputs apart.
USUAL = 300
FEWER = {"template.pdf": 8, "report.html": 12, "report.pdf": 6, "draw.all": 60}
#: By which one it begins: those before it were looked at often enough.
BEGIN = 30_000_000
#: Inputs of one test, which one worker tries.
TOGETHER = 100


PARTS = [(name, at) for name in WAYS for at in range(0, FEWER.get(name, USUAL), TOGETHER)]


def causes(name, numbers, folder):
    """Return what is wrong with those that are not as they should be."""
    found = {}
    for number in numbers:
        own = folder / str(number)
        own.mkdir()
        if cause := tried(case(name, number), own):
            found[f"{name}:{number}"] = cause
    return found


@pytest.mark.parametrize(("name", "at"), PARTS)
def test_no_mutant_of_a_file_is_more_than_a_complaint(name, at, tmp_path):
    numbers = range(at, min(at + TOGETHER, FEWER.get(name, USUAL)))
    assert causes(name, [BEGIN + i for i in numbers], tmp_path) == {}


@pytest.mark.parametrize("kind", SOUND)
def test_a_mutant_follows_from_its_seed(kind):
    once, again = (mutant(kind, random.Random("a")) for _ in range(2))
    assert once == again
    assert len({mutant(kind, random.Random(i)) for i in range(40)}) > 20


def test_what_is_asked_of_a_page_follows_from_its_seed():
    assert case("page", 7) == case("page", 7)
    asked = {where.partition("?")[0] for i in range(40) for _, where, _ in case("page", i).asked}
    assert {"/api/edit", "/api/undo", "/api/locate", "/api/families"} <= asked


@pytest.mark.parametrize(
    ("name", "where", "cause"),
    [
        ("check", "cableroute.cli.check.assess", "LookupError"),
        ("page", "cableroute.page.desk.answer", "/api/edit: LookupError"),
        ("export", "cableroute.cli.export.write_bytes", "LookupError"),
    ],
)
def test_the_trial_itself_finds_a_traceback(tmp_path, monkeypatch, name, where, cause):
    def broken(*_words, **_more):
        raise LookupError

    monkeypatch.setattr(where, broken)
    found = causes(name, range(40), tmp_path).values()
    assert cause in {each.partition(" at ")[0] for each in found}


def test_the_trial_itself_finds_what_a_page_saved_unasked(tmp_path, monkeypatch):
    from cableroute.page.desk import Desk

    monkeypatch.setattr(Desk, "try_out", Desk.edit)
    found = causes("page", range(60), tmp_path).values()
    assert "/api/try: a file has changed that was to stay" in found


SPOILT = {
    "html": b"<p><b>x</p>",
    "svg": b"<svg><g></svg>",
    "csv": b"a,b\n1\n",
    "stl": bytes(84) + b"x",
    "dxf": b"0\nSECTION\n2\nENTITIES\n0\nLINE\n",
    "pdf": b"%PDF-1.4\n1 0 obj\n",
    "png": b"\x89PNG\r\n\x1a\n",
    "toml": b"a = ",
}


@pytest.mark.parametrize("ending", SPOILT)
def test_the_trial_itself_finds_half_a_file(ending):
    assert unreadable(ending, SPOILT[ending]).startswith(f"cannot be read as {ending}")
