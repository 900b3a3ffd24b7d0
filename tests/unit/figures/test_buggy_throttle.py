"""The return of the buggy's throttle, its drag as measured and left unmeasured."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from cableroute import assess, read_job
from cableroute.output.as_dict import assessment_dict
from cableroute.table.whole_cable import fact

BUGGY = Path(__file__).resolve().parents[3] / "data" / "grass_track_buggy.toml"


def throttle(**changes: object):
    job = read_job(BUGGY)
    one = replace(job.cables[1], **changes)
    return assess(replace(job, cables=(one,), linkages=(), selectors=()))


def test_without_a_measured_drag_a_spring_of_14_n_is_marginal_and_the_drag_decides():
    found = throttle(drag=None)
    [result] = found.cables
    back = result.lasting.returning
    assert float(back.warm.stiff.available) == 14.0
    assert float(back.warm.slack.required) < 7.0
    assert float(back.warm.stiff.required) > 40.0
    [said] = [each for each in result.findings if each.code == "return-spring"]
    assert said.level == "marginal"
    assert "the engine runs on" in said.message
    assert "drag at the hand with the spring off" in said.message
    assert said.message.count(". ") <= 2
    plain = assessment_dict(found)["cables"][0]
    assert plain["return_spring"]["warm"]["decided_by"] == "open"
    low, high = plain["return_spring"]["warm"]["required_range_n"]
    assert low < 14.0 < high == plain["return_spring"]["warm"]["required_n"]
    assert plain["pull"]["drag_range_n"] == list(result.figures.drag_band)
    assert "wires free to locked" in fact(result, "return spring")


def test_a_measured_drag_decides_it():
    [passes] = throttle(drag=2.0).cables
    assert not [each for each in passes.findings if each.code == "return-spring"]
    most = throttle(drag=None).cables[0].lasting.returning.most_reading
    assert 2.0 < most < 14.0
    [sticks] = throttle(drag=14.0).cables
    [said] = [each for each in sticks.findings if each.code == "return-spring"]
    assert said.level == "fail"


@pytest.mark.parametrize("coldest", [-10.0, -40.0])
def test_the_colder_the_more_it_needs(coldest):
    [mild], [hard] = (throttle(temperature=(low, 70.0)).cables for low in (coldest, coldest - 5.0))
    assert float(hard.lasting.returning.cold.stiff.required) > float(
        mild.lasting.returning.cold.stiff.required
    )
