"""The examples in the docstrings give what they show."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import cableroute

MODULES = sorted(
    found.name
    for found in pkgutil.walk_packages(cableroute.__path__, "cableroute.")
    if not found.name.endswith("__main__")  # importing it runs the command
)


@pytest.mark.parametrize("name", ["cableroute", *MODULES])
def test_examples(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.failed == 0, f"{result.failed} of {result.attempted} examples failed"


def test_there_are_examples() -> None:
    """An empty collection would pass everything above."""
    finder = doctest.DocTestFinder(exclude_empty=True)
    with_examples = [
        test.name
        for name in MODULES
        for test in finder.find(importlib.import_module(name))
        if test.examples
    ]
    assert len(with_examples) >= 20
    assert "cableroute.route.fillet.fit_arcs" in with_examples
