"""The words of the core: no command's options in them, and the same six directions everywhere."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from cableroute.cli.console import with_option

PACKAGE = Path(__file__).resolve().parents[2] / "cableroute"
#: Where commands are known: those who run them, and what is printed of them.
OUTER = ("cli", "page", "output")
OPTION = re.compile(r"(?<![\w-])--[a-z]")
OLD = re.compile(r"\bfore\b")


def strings(*, inner: bool) -> Iterator[tuple[str, str]]:
    """Yield where a string stands, and the string; of the core alone if it is asked for."""
    for path in sorted(PACKAGE.rglob("*.py")):
        inside = path.relative_to(PACKAGE)
        if inner and inside.parts[0] in OUTER:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield f"{inside}:{node.lineno}", node.value


def test_the_core_names_no_option_of_a_command():
    found = [(place, text) for place, text in strings(inner=True) if OPTION.search(text)]
    assert found == []


def test_the_old_word_for_forward_is_read_and_never_written():
    found = [place for place, text in strings(inner=False) if OLD.search(text)]
    assert [place.partition(":")[0] for place in found] == ["measure/tables.py"]


@pytest.mark.parametrize(
    ("fault", "argument", "told"),
    [
        ("a.dxf: say the unit", "unit", "a.dxf: say the unit (--unit)"),
        ("over: expected two", "over", "--over: expected two"),
        ("m.toml: no such key", "", "m.toml: no such key"),
        ("--over: expected two", "over", "--over: expected two"),
    ],
)
def test_a_command_names_the_option_that_an_error_is_about(fault, argument, told):
    assert with_option(fault, argument) == told
