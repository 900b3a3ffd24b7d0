"""Records keep what they were made with, and are otherwise the dataclasses that they look like."""

from __future__ import annotations

import copy
import pickle
from dataclasses import FrozenInstanceError, asdict, field, is_dataclass, replace
from pathlib import Path
from typing import Any, Generic, TypeVar

import pytest

import cableroute
from cableroute.frozen import frozen

Of = TypeVar("Of")


@frozen
class Clip:
    """A clip."""

    at: float
    label: str = ""
    notes: list[Any] = field(default_factory=list, compare=False)
    told: str = field(default="", repr=False)


@frozen(eq=False, kw_only=True)
class Bracket(Generic[Of]):
    """A bracket, which shows itself."""

    thickness: float
    kept: Of
    doubled: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "doubled", 2.0 * self.thickness)

    def __repr__(self) -> str:
        return "<a bracket>"


def test_a_field_is_set_once():
    clip = Clip(3.0, "sill")
    for change in (lambda: setattr(clip, "at", 4.0), lambda: delattr(clip, "at")):
        with pytest.raises(FrozenInstanceError, match="'at'"):
            change()
    with pytest.raises(AttributeError):
        clip.other = 1.0  # type: ignore[attr-defined]
    assert clip == Clip(3.0, "sill")


def test_equal_fields_make_equal_records_of_one_class():
    assert Clip(3.0) == Clip(3.0, notes=[1])
    assert Clip(3.0) != Clip(3.0, told="x")
    assert Clip(3.0) != (3.0, "", [], "")
    assert len({Clip(3.0), Clip(3.0), Clip(4.0)}) == 2
    one = Bracket(thickness=2.0, kept=1)
    assert one != Bracket(thickness=2.0, kept=1)
    assert one in {one}


def test_a_record_is_shown_by_its_fields_or_as_it_says():
    clip = Clip(3.0, "sill", told="x")
    clip.notes.append(clip)
    assert repr(clip) == "Clip(at=3.0, label='sill', notes=[...])"
    assert repr(Bracket(thickness=2.0, kept=1)) == "<a bracket>"


def test_the_tools_for_dataclasses_take_a_record():
    clip = Clip(3.0, "sill")
    assert is_dataclass(clip)
    assert replace(clip, at=4.0) == Clip(4.0, "sill")
    assert asdict(clip) == {"at": 3.0, "label": "sill", "notes": [], "told": ""}
    for same in (copy.copy(clip), copy.deepcopy(clip), pickle.loads(pickle.dumps(clip))):
        assert same == clip
        assert same is not clip
    match clip:
        case Clip(at, label):
            assert (at, label) == (3.0, "sill")


def test_a_record_may_be_generic_and_fill_in_a_field_itself():
    bracket = Bracket[str](thickness=2.0, kept="x")
    assert bracket.doubled == 4.0
    with pytest.raises(TypeError):
        Bracket(2.0, "x")  # type: ignore[misc]


def test_all_records_are_made_in_the_one_way():
    folder = Path(cableroute.__file__).parent
    texts = {each.name: each.read_text(encoding="utf-8") for each in folder.rglob("*.py")}
    own = {name for name, text in texts.items() if "@dataclass(frozen=True" in text}
    assert own == {"locate.py"}  # what it works out when asked for needs room of its own
