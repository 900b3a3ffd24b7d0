"""What a mend costs the run of the cable whose end it moves."""

from __future__ import annotations

from dataclasses import replace
from math import degrees
from pathlib import Path

import numpy as np
import pytest

from cableroute import assess, read_job
from cableroute.figures.moved_run import _ranks, _turned_back
from cableroute.output.linkage_dict import linkage_dict

AFT = Path(__file__).resolve().parents[3] / "data" / "works_locomotive_aft.toml"


@pytest.fixture(scope="module")
def mirrored():
    found = assess(read_job(AFT))
    return found, found.linkages[0]


def test_a_cable_brought_from_the_other_side_turns_half_a_circle_more(mirrored):
    found, linkage = mirrored
    cable = next(c for c in found.cables if c.name == linkage.figures.built.entry.cable).figures
    costs = dict(zip((m.kind for m in linkage.figures.mends), linkage.figures.moved, strict=True))
    for kind in ("cable-side-hand", "cable-side-far"):
        moved = costs[kind]
        assert moved.turns_back
        assert moved.fits
        assert 140.0 < degrees(moved.wrap[1] - moved.wrap[0]) < 220.0
        assert moved.length[1] > moved.length[0] + 500.0
        assert moved.pull[1] > moved.pull[0] == cable.pull.inputs[1]
    shifted = costs["lever-end"]
    assert not shifted.turns_back
    assert abs(degrees(shifted.wrap[1] - shifted.wrap[0])) < 60.0


def test_ways_back_are_ranked_in_batches_as_if_each_were_drawn_alone(mirrored):
    cable = mirrored[0].job.cables[0]
    held = replace(cable, headings=(*cable.headings[:2], np.array([-1.0, 0.0, 0.0]), None, None))
    back = replace(cable, headings=(np.array([-1.0, 0.0, 0.0]),) + (None,) * 4)
    ways = [*_turned_back(held), *_turned_back(back)]
    folded = replace(ways[0], points=ways[0].points[[0, 1, 0, 1, 2, 3, 4]], passes="through")
    ways.append(replace(folded, headings=ways[-1].headings))
    points = [way.points for way in ways]
    ranks = _ranks(ways, points)
    alone = [_ranks([way], [at])[0] for way, at in zip(ways, points, strict=True)]
    assert ranks.count(None) == alone.count(None) == 1
    for rank, one in zip(ranks[:-1], alone[:-1], strict=True):
        assert rank == pytest.approx(one, rel=1e-9)


def test_the_cost_is_in_words_and_in_plain_data(mirrored):
    _, linkage = mirrored
    [said] = [c.message for c in linkage.findings if c.code == "linkage-mirrored"]
    plain = linkage_dict(linkage)["mends"]
    for entry, moved in zip(plain, linkage.figures.moved, strict=True):
        assert entry["run"]["length_mm"] == moved.length[1]
        assert entry["run"]["more_wrap_deg"] == pytest.approx(
            degrees(moved.wrap[1] - moved.wrap[0])
        )
        assert f"{moved.length[0]:.0f} becomes {moved.length[1]:.0f} mm" in said
        assert f"{degrees(moved.wrap[0]):.0f} becomes {degrees(moved.wrap[1]):.0f} deg" in said


def test_a_leaning_rod_s_side_load_is_told_of_both_swivels(mirrored):
    _, linkage = mirrored
    checks = [c for c in linkage.checks if c.code == "swivel-load"]
    assert [c.value for c in checks] == list(linkage.figures.swivels)
    lean = float(np.max(linkage.figures.far_angle))
    assert linkage.figures.swivels[1] == pytest.approx(
        2.0 * linkage.figures.core_load * np.sin(0.5 * lean)
    )
    assert {c.level for c in checks} == {"told"}
