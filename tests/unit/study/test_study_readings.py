"""Points worked out again from drawn readings, many machines at once, are those of one."""

from dataclasses import replace

import numpy as np
import pytest

from cableroute import read_job
from cableroute.figures.cable import work_out
from cableroute.measure.locate import locate
from cableroute.measure.locate_many import located_from
from cableroute.measure.reading import job_of
from cableroute.study.draw import draw
from cableroute.study.inputs import doubts_of

NODES = {
    "A": [0.0, 0.0, 0.0],
    "B": [700.0, 0.0, 0.0],
    "C": [0.0, 400.0, 0.0],
    "D": [300.0, 300.0, 500.0],
}


def machine(*points, **more):
    cable = {"name": "c", "bend_radius": 60.0, "points": list(points), "load": 50.0, "kind": "pull"}
    tubes = {
        "rail": {"from": "B", "to": "D", "diameter": 38.0},
        "post": {"from": "A", "to": "E", "diameter": 25.0},
    }
    nodes = {**NODES, "E": [2.0, 1.0, 900.0]}
    return {"nodes": nodes, "tubes": tubes, "cable": [cable], **more}


POINTS = (
    {"at": [0.0, 0.0, 0.0]},
    {"on": "post", "along": 350.0, "clock": 80.0},
    {"tape": {"A": 640.0, "B": 520.0, "C": 580.0, "D": 300.0}},
    {"on": "rail", "along": 450.0, "clock": "4:30"},
)


def made(data):
    return job_of(data, place=str)


def doubts(job):
    return doubts_of(work_out(job.cables[0], job=job), job)


def put(data, key, value):
    """Put a reading into plain data."""
    head, *rest = key.split(".")
    if head == "nodes":
        data["nodes"][rest[0]]["xyz".index(rest[1])] = value
        return
    point = data["cable"][0]["points"][int(rest[0]) - 1]
    if rest[1] == "tape":
        point["tape"][rest[2]] = value
    elif rest[1] in "xyz":
        point["at"]["xyz".index(rest[1])] = value
    else:
        point[rest[1]] = value


def copied(data):
    if isinstance(data, dict):
        return {key: copied(value) for key, value in data.items()}
    return [copied(each) for each in data] if isinstance(data, list | tuple) else data


def test_drawn_points_are_those_that_a_file_with_these_readings_gives():
    data = machine(*POINTS)
    found = doubts(made(copied(data)))
    assert found.survey is not None
    values = found.values(draw(8, len(found.inputs), seed=4))
    points = found.points(values)
    for row in range(8):
        again = copied(data)
        for each in found.inputs:
            if each.key.partition(".")[0] in ("points", "nodes"):
                put(again, each.key, float(values[each.key][row]))
        assert np.abs(made(again).cables[0].points - points[row]).max() < 1e-5


def test_the_datum_is_no_reading_and_nodes_that_nothing_hangs_on_are_not_either():
    keys = {each.key for each in doubts(made(machine(*POINTS[:2]))).inputs}
    assert {"points.2.along", "points.2.clock", "nodes.E.x"} <= keys
    assert not keys & {"points.1.x", "nodes.A.x", "nodes.B.x", "nodes.D.z"}


def test_a_reading_has_half_the_tolerance_as_standard_deviation():
    found = {each.key: each for each in doubts(made(machine(*POINTS, tape_tolerance=4.0))).inputs}
    assert found["points.2.along"].distribution.numbers == (350.0, 2.0)
    around = np.degrees(2.0 / 12.5)  # along the skin of a tube of 25 mm
    assert found["points.2.clock"].distribution.numbers[1] == pytest.approx(min(around, 7.5))


def test_located_from_agrees_with_locate():
    rng = np.random.default_rng(2)
    at = np.array([250.0, 180.0, 320.0])
    nodes = np.array(list(NODES.values()))
    read = np.linalg.norm(at - nodes, axis=1) + rng.normal(0.0, 1.5, (20, 4))
    many = located_from(nodes, read, near=at)
    for row, point in zip(read, many, strict=True):
        one = locate(NODES, dict(zip(NODES, row, strict=True)), sigma=1.5)
        assert np.abs(one.point - point).max() < 1e-6


def test_taped_nodes_follow_their_readings_in_proportion():
    job = read_job("data/survey_tapes.toml")
    found = doubts(job)
    values = found.values(draw(4, len(found.inputs), seed=1))
    points = found.points(values)
    assert {"node_tape.1", "nodes.head.x"} <= {each.key for each in found.inputs}
    # the jib's end is tied by tape; fitted anew it is where the proportion puts it
    assert np.abs(points - job.cables[0].points).max() < 40.0
    moved = {key: value.copy() for key, value in values.items()}
    moved["node_tape.1"] += 2.0
    assert np.abs(found.points(moved) - points).max() > 0.1


def test_points_that_are_no_readings_are_doubted_as_coordinates():
    job = made(machine(*POINTS))
    shifted = replace(job.cables[0], points=job.cables[0].points + np.array([0.0, 5.0, 0.0]))
    found = doubts(replace(job, cables=(shifted,)))
    assert found.survey is None
    assert {"points.2.x", "points.3.y", "points.4.z"} <= {each.key for each in found.inputs}
