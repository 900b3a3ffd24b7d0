"""The liner table is coherent in itself and with the families that use it."""

from __future__ import annotations

from dataclasses import fields

import pytest

from cableroute.hardware.family import PROVENANCE_TAGS
from cableroute.hardware.library import load_library
from cableroute.hardware.liners import LINERS, Liner

FIGURES = {field.name for field in fields(Liner)} - {"name", "title", "provenance"}
EACH = [pytest.param(liner, id=name) for name, liner in LINERS.items()]
FAMILIES = [pytest.param(family, id=name) for name, family in load_library().items()]


@pytest.mark.parametrize("liner", EACH)
def test_every_figure_says_where_it_comes_from(liner: Liner) -> None:
    known = {name for name in FIGURES if getattr(liner, name) is not None}

    assert set(liner.provenance) == known
    for entry in liner.provenance.values():
        tag, _, note = entry.partition(": ")
        assert tag in PROVENANCE_TAGS
        assert note


@pytest.mark.parametrize("liner", EACH)
def test_ranges_are_in_order(liner: Liner) -> None:
    for low, high in filter(None, (liner.friction, liner.dry_friction)):
        assert 0.0 < low <= high < 1.0
    if liner.quoted_temperature is not None:
        low, high = liner.quoted_temperature
        assert low <= high
        assert liner.max_temperature is not None
        assert liner.max_temperature <= high  # the cautious figure is no higher
    assert 1e-6 < liner.expansion < 1e-3  # per kelvin, not per cent or per million


@pytest.mark.parametrize("liner", EACH)
def test_dry_is_no_better(liner: Liner) -> None:
    if liner.dry_friction is not None:
        assert liner.friction is not None
        assert liner.dry_friction[0] >= liner.friction[0]
        assert liner.dry_friction[1] >= liner.friction[1]


def test_plastics_expand_several_times_as_much_as_steel() -> None:
    steel = LINERS["none"].expansion

    assert all(liner.expansion > 5 * steel for name, liner in LINERS.items() if name != "none")


@pytest.mark.parametrize("family", FAMILIES)
def test_families_use_these_names_and_keep_to_the_limits(family) -> None:
    liner = LINERS[family.liner]

    assert liner.max_temperature is not None
    assert family.temperature[1] <= liner.max_temperature
    if liner.dry_friction is not None:
        assert family.friction[1] <= liner.dry_friction[1]
