"""One run with every family: what is told first of each."""

from __future__ import annotations

from cableroute import read_text
from cableroute.comparison.families import rank_families
from cableroute.hardware.library import load_library

HOT = """
[[keepout]]
name = "pipe"
capsule = { from = [0, 0, 100], to = [900, 0, 100], radius = 20 }
distance = 60
temperature = 400
[[cable]]
name = "throttle"
kind = "pull"
family = "throttle-thin"
load = 180
cut = true
points = [{ at = [0, 0, 0] }, { at = [500, 0, 0] }, { at = [900, 150, 0] }]
"""


def test_what_every_family_has_is_told_last() -> None:
    library = load_library()
    names = ("throttle-thin", "pull-1x19-thin", "pull-1x19-medium")
    ranked = rank_families(read_text(HOT), library={name: library[name] for name in names})
    assert all("heat" in one.shared for one in ranked)
    rest = [one.why for one in ranked if len(one.why) > 1]
    assert rest
    for why in rest:
        assert why[-1].startswith("pipe: ")
        assert not why[0].startswith("pipe: ")
