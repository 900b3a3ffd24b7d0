"""Families as text: a line each, or every figure with its source."""

from __future__ import annotations

import pytest

from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.output.families import family_lines, table_lines

LIBRARY = load_library()


def test_the_table_shows_the_figures_that_choose():
    lines = list(table_lines(LIBRARY))
    (row,) = [line for line in lines if line.startswith("push-solid-medium")]
    assert row.split()[1:] == ["solid", "2", "160", "450", "350", "75", "0.1-0.25", "1-6"]
    assert max(map(len, lines)) <= 80


def test_figures_that_are_not_known_are_dashes():
    bare = Family(construction="7x7", core_od=1.6, conduit_id=2.2, conduit_od=5, min_bend_radius=60)
    row = list(table_lines({"own": bare}))[2]
    assert row.split() == ["own", "7x7", "1.6", "60", "-", "-", "-", "-", "-"]
    assert "None" not in "\n".join(family_lines(bare))


@pytest.mark.parametrize("name", LIBRARY)
def test_every_figure_has_its_unit_and_its_source(name):
    lines = list(family_lines(LIBRARY[name]))
    text = " ".join(" ".join(lines).split())
    assert lines[0].startswith(name)
    assert max(map(len, lines)) <= 80
    assert f"min_bend_radius {LIBRARY[name].min_bend_radius:g} mm invented" in text
    assert f"max_pull {LIBRARY[name].max_pull:g} N invented" in text
    for source in set(LIBRARY[name].provenance.values()):
        if "stock_lengths" not in source:
            assert source.partition(":")[0] in text


def test_figures_carry_no_idle_decimals():
    text = "\n".join(family_lines(LIBRARY["push-solid-medium"]))
    assert ".0 " not in text
    assert "200000 MPa" in text
