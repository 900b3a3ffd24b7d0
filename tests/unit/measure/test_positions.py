"""Points placed by a frame: coordinates, tubes, tape distances, and what is doubtful."""

from __future__ import annotations

import re

import numpy as np
import pytest

from cableroute.errors import GeometryError
from cableroute.measure.keepout import Box, Capsule
from cableroute.measure.models import PointEntry, RouteFile
from cableroute.measure.positions import Frame, keep_outs

CABLE = {"name": "one", "bend_radius": 50, "points": [{"at": [0, 0, 0]}, {"at": [9, 0, 0]}]}
NODES = {"A": [0, 0, 0], "B": [700, 0, 0], "C": [0, 400, 0], "D": [0, 0, 500]}


def entry(**given) -> RouteFile:
    return RouteFile.model_validate({"cable": [CABLE], **given})


def frame_of(faults: list[str] | None = None, **given) -> Frame:
    found: list[str] = [] if faults is None else faults
    frame = Frame.of(entry(**given), place=lambda path: ".".join(map(str, path)), faults=found)
    if faults is None:
        assert found == []
    return frame


def point(**given) -> PointEntry:
    return PointEntry.model_validate(given)


def tapes(place, *names) -> dict[str, float]:
    """Distances of a place from nodes, read to the millimetre."""
    apart = {name: np.linalg.norm(np.subtract(place, NODES[name])) for name in names}
    return {name: float(np.round(distance)) for name, distance in apart.items()}


# coordinates and tubes


def test_coordinates_are_taken_as_they_are():
    placed, doubt = frame_of().place_point(point(at=[1.25, -2.5, 3.0]))
    assert placed.tolist() == [1.25, -2.5, 3.0]
    assert doubt == ""


@pytest.mark.parametrize(
    ("tube", "clock", "side"),
    [
        (("A", "B"), 0, [0, 0, 1]),
        (("A", "B"), 90, [0, -1, 0]),
        (("B", "A"), 90, [0, 1, 0]),  # looked along the other way, right is the other side
        (("A", "D"), 0, [1, 0, 0]),  # upright: 12 o'clock faces forward
        (("A", "D"), "3 o'clock", [0, 1, 0]),
        (("D", "A"), "3 o'clock", [0, -1, 0]),
    ],
)
def test_conduit_lies_on_the_outside_at_the_hour(tube, clock, side):
    start, end = tube
    frame = frame_of(nodes=NODES, tubes={"rail": {"from": start, "to": end, "diameter": 38}})
    placed, doubt = frame.place_point(point(on="rail", along=100, clock=clock), conduit_od=8.0)
    axis = np.subtract(NODES[end], NODES[start]) / np.linalg.norm(
        np.subtract(NODES[end], NODES[start])
    )
    expected = np.array(NODES[start]) + 100 * axis + (19.0 + 4.0) * np.array(side)
    assert placed == pytest.approx(expected, abs=1e-9)
    assert doubt == ""


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"on": "rial", "along": 1, "clock": 0}, "no tube 'rial'; known: rail"),
        ({"on": "rail", "along": 701, "clock": 0}, "within 0 and its length 700.0 mm"),
        ({"tape": {"A": 1, "B": 1, "X": 1}}, "no node 'X'; known: A, B, C, D"),
        ({"tape": {"A": 300, "B": 500}}, "at least 3 nodes"),
        ({"tape": {"A": 100, "B": 100, "C": 400}}, "A and .*B"),
    ],
)
def test_what_cannot_be_placed(given, words):
    frame = frame_of(nodes=NODES, tubes={"rail": {"from": "A", "to": "B", "diameter": 38}})
    with pytest.raises(GeometryError, match=words):
        frame.place_point(point(**given))


def test_no_tubes_at_all_is_said():
    with pytest.raises(GeometryError, match="known: none"):
        frame_of().place_point(point(on="rail", along=1, clock=0))


def test_tubes_that_cannot_be_built_are_faults():
    faults: list[str] = []
    frame = frame_of(
        faults,
        nodes={"A": [0, 0, 0], "B": [0, 0, 0]},
        tubes={
            "short": {"from": "A", "to": "B", "diameter": 38},
            "lost": {"from": "A", "to": "Z", "diameter": 38},
        },
    )
    assert frame.tubes == {}
    assert "tubes.short: " in faults[0]
    assert "apart" in faults[0]
    assert faults[1] == "tubes.lost: no node 'Z'; known: A, B"


# tape distances


@pytest.mark.parametrize(("tolerance", "sigma"), [(4, 2.0), (0.2, 0.5), (0, 0.5)])
def test_sigma_is_half_the_tolerance_but_no_tape_is_perfect(tolerance, sigma):
    assert frame_of(tape_tolerance=tolerance).sigma == sigma


def test_whole_millimetres_are_no_blunder_where_points_are_fitted_as_read():
    placed, doubt = frame_of(nodes=NODES, tape_tolerance=0).place_point(
        point(tape=tapes([200.3, 150.4, 260.4], *NODES))
    )
    assert doubt == ""
    assert placed == pytest.approx([200.3, 150.4, 260.4], abs=1.5)


def test_four_nodes_off_one_plane_need_no_side():
    place = [200.0, 150.0, 260.0]
    placed, doubt = frame_of(nodes=NODES).place_point(point(tape=tapes(place, *NODES)))
    assert placed == pytest.approx(place, abs=1.5)
    assert doubt == ""


@pytest.mark.parametrize(("side", "height"), [("up", 260.0), ("down", -260.0)])
def test_side_tells_the_twins_apart(side, height):
    place = [200.0, 150.0, height]
    frame = frame_of(nodes=NODES)
    placed, _ = frame.place_point(point(tape=tapes(place, "A", "B", "C"), side=side))
    assert placed == pytest.approx(place, abs=1.5)


def test_twins_without_a_side_are_an_error_that_names_the_words():
    tape = tapes([200, 150, 260], "A", "B", "C")
    with pytest.raises(GeometryError, match='two places; add side = "up" or "down"'):
        frame_of(nodes=NODES).place_point(point(tape=tape))


def test_side_that_does_not_tell_is_an_error():
    tape = tapes([200, 150, 260], "A", "B", "C")
    with pytest.raises(GeometryError, match="left"):
        frame_of(nodes=NODES).place_point(point(tape=tape, side="left"))


@pytest.mark.parametrize("side", ["left", None])
def test_a_reading_left_out_is_named_where_the_rest_leaves_two_places(side):
    """A fourth tape out of the plane needs no side; misread and left out, the other three do."""
    place = np.array([200.0, 150.0, 260.0])
    nodes = {**NODES, "E": [700, 400, 0], "F": [200, 150, 900]}
    tape = {k: float(np.linalg.norm(place - nodes[k])) for k in "ABCEF"}
    misread = point(tape={**tape, "F": tape["F"] + 100.0}, side=side)

    with pytest.raises(GeometryError, match=r"The tape reading F, 740 mm, .*two") as refused:
        frame_of(nodes=nodes).place_point(misread)
    assert "640 mm would. It was left out. Tape it again. Without it " in str(refused.value)


def test_nodes_nearly_in_line_are_doubted_across_the_line():
    nodes = {"A": [0, 0, 0], "B": [500, 8, 0], "C": [1000, 0, 0]}
    tape = {"A": 640, "B": 400, "C": 640}
    placed, doubt = frame_of(nodes=nodes).place_point(point(tape=tape, side="up"))
    assert placed[0] == pytest.approx(500, abs=1)
    assert "mm only" in doubt
    assert "left and right" in doubt


def test_odd_reading_is_named_with_its_likely_value_and_left_out():
    nodes = {**NODES, "E": [700, 400, 300]}
    place = np.array([200.0, 150.0, 260.0])
    tape = {k: float(np.round(np.linalg.norm(place - v))) for k, v in nodes.items()}
    honest = tape["B"]
    tape["B"] += 100.0
    placed, doubt = frame_of(nodes=nodes).place_point(point(tape=tape))
    assert placed == pytest.approx(place, abs=2)
    assert doubt.startswith(f"The tape reading B, {honest + 100:.0f} mm, does not agree")
    expected = float(doubt.split(": ")[1].split(" mm")[0])
    assert expected == pytest.approx(honest, abs=2)
    assert "It was left out." in doubt


def test_with_too_few_tapes_every_candidate_is_listed_with_what_it_would_have_to_read():
    """347 typed as 437: four tapes show that one is wrong, not which, and the slip is seen."""
    place = np.array([200.0, 150.0, 260.0])
    nodes = {**NODES, "A": [-60, -80, -60]}
    tape = {k: float(np.round(np.linalg.norm(place - v))) for k, v in nodes.items()}
    assert tape["D"] == 347
    tape["D"] = 437
    _, doubt = frame_of(nodes=nodes).placed(point(tape=tape))
    assert all(f"{name} reads {read:.0f} mm, " in doubt.message for name, read in tape.items())
    slip = "D reads 437 mm, 347 mm would agree (two digits changed over? 347 for 437)"
    assert slip in doubt.message
    assert doubt.off > doubt.far == pytest.approx(5 * 3)
    _, inches = frame_of(nodes=nodes).placed(point(tape={**tape, "D": "17 3/16 in"}))  # 436.6 mm
    assert "changed over" not in inches.message


def test_what_a_reading_would_have_to_be_is_on_the_side_that_it_meant():
    """With B left out the others fit two places; the one nearer to what B said is taken."""
    place = np.array([200.0, 150.0, 260.0])
    nodes = {**NODES, "A": [-60, -80, -60]}
    tape = {k: float(np.round(np.linalg.norm(place - v))) for k, v in nodes.items()}
    assert tape["B"] == 583
    _, doubt = frame_of(nodes=nodes).placed(point(tape={**tape, "B": 538}))
    assert "B reads 538 mm, 583 mm would agree" in doubt.message


# taped nodes


SQUARE = {"AB": 300, "BC": 400, "CD": 300, "DA": 400, "AC": 500, "BD": 500}


def taped(**changed) -> list[dict]:
    return [{"from": a, "to": b, "read": d} for (a, b), d in {**SQUARE, **changed}.items()]


def test_braced_quadrilateral():
    nodes = frame_of(node_tape=taped(), nodes_flat=True).nodes
    for (a, b), distance in SQUARE.items():
        assert np.linalg.norm(nodes[a] - nodes[b]) == pytest.approx(distance, abs=1e-6)
    assert all(nodes[name][2] == 0.0 for name in nodes)


def test_nodes_taped_to_known_ones_join_their_frame():
    tape = [
        {"from": "E", "to": name, "read": d} for name, d in tapes([650, 350, 420], *NODES).items()
    ]
    frame = frame_of(nodes=NODES, node_tape=tape)
    assert frame.nodes["E"] == pytest.approx([650, 350, 420], abs=2)
    assert {name: frame.nodes[name].tolist() for name in NODES} == NODES


def test_misread_diagonal_is_a_remark():
    frame = frame_of(node_tape=taped(AC=540), nodes_flat=True)
    (remark,) = frame.remarks
    assert remark.code == "tape-blunder"
    assert "A to C reads 540 mm, 500 mm would agree (two digits changed over? 504" in remark.message
    assert all(f"{a} to {b} reads" in remark.message for a, b in SQUARE)
    assert remark.off == pytest.approx(40, abs=1)
    assert remark.far == pytest.approx(15)


@pytest.mark.parametrize(("unit", "words"), [("mm", "369 mm would"), ("in", "1' 2 9/16\" would")])
def test_a_remark_speaks_the_unit_of_the_tape(unit, words):
    tape = [{**one, "read": f"{one['read']} mm"} for one in taped(AC=540)]
    (remark,) = frame_of(unit=unit, node_tape=tape, nodes_flat=True).remarks
    assert words in remark.message
    assert (" mm" in remark.message) == (unit == "mm")


@pytest.mark.parametrize(("unit", "words"), [("mm", r"\d+ mm"), ("ft", r"(\d+' )?\d[\d /]*\"")])
def test_a_doubtful_place_is_told_in_the_unit_of_the_tape(unit, words):
    nodes = {"A": ["0 mm"] * 3, "B": ["500 mm", "8 mm", "0 mm"], "C": ["1000 mm", "0 mm", "0 mm"]}
    tape = {"A": "640 mm", "B": "400 mm", "C": "640 mm"}
    cable = {**CABLE, "bend_radius": "50 mm", "points": [{"tape": tape, "side": "up"}] * 2}
    read = RouteFile.model_validate(
        {"unit": unit, "tape_tolerance": "3 mm", "nodes": nodes, "cable": [cable]},
        context={"unit": unit},
    )
    frame = Frame.of(read, place=str, faults=[])
    _, doubt = frame.place_point(read.cable[0].points[0])
    assert re.search(rf"good to {words} only", doubt)


def test_node_that_may_stand_on_either_side_is_a_remark():
    tape = [entry for entry in taped() if {entry["from"], entry["to"]} != {"B", "D"}]
    frame = frame_of(node_tape=tape, nodes_flat=True)
    assert any(r.code == "node-doubt" and "Tape a diagonal" in r.message for r in frame.remarks)


def test_weakly_held_node_is_a_remark_with_the_doubt():
    """A flat network fitted in space knows nothing of heights."""
    frame = frame_of(node_tape=taped())
    weak = [remark for remark in frame.remarks if "mm only" in remark.message]
    assert weak
    assert {remark.where for remark in weak} <= set("ABCD")


APEX = {"A": [0, 0, 0], "B": [700, 0, 0], "C": [0, 400, 0]}


@pytest.mark.parametrize(("side", "z"), [("up", 260), ("down", -260)])
def test_a_node_taped_from_one_plane_stands_on_the_side_that_is_said(side, z):
    """Three nodes on the floor and a fourth above or below them: the tapes are the same."""
    tape = [
        {
            "from": name,
            "to": "E",
            "read": float(np.round(np.linalg.norm(np.subtract([200, 150, z], at)))),
        }
        for name, at in APEX.items()
    ]
    faults: list[str] = []
    frame_of(faults, nodes=APEX, node_tape=tape)
    (fault,) = faults
    assert (
        'node E could stand on either side of the nodes it is taped from; add side = "up"' in fault
    )
    frame = frame_of(nodes=APEX, node_tape=[{**tape[0], "side": side}, *tape[1:]])
    assert frame.nodes["E"] == pytest.approx([200, 150, z], abs=2)
    frame_of(faults, nodes=APEX, node_tape=[{**tape[0], "side": "left"}, *tape[1:]])
    assert (
        'side "left" does not tell its two possible places apart; use "up" or "down"' in faults[1]
    )


def test_two_nodes_each_stand_on_their_own_side():
    places = {"E": [200, 150, 260], "F": [300, 50, -200]}
    tape = [
        {"from": name, "to": to, "read": float(np.round(np.linalg.norm(np.subtract(place, at))))}
        for to, place in places.items()
        for name, at in APEX.items()
    ]
    tape[0]["side"], tape[3]["side"] = "up", "down"
    frame = frame_of(nodes=APEX, node_tape=tape)
    for name, place in places.items():
        assert frame.nodes[name] == pytest.approx(place, abs=2)


def test_a_doubtful_node_is_told_to_the_cables_that_use_it_with_what_to_tape():
    nodes = {"A": [0, 0, 0], "B": [500, 8, 0], "C": [1000, 0, 0], "D": [400, 600, 0]}
    reads = {"A": 640, "B": 400, "C": 640}
    tape = [{"from": name, "to": "E", "read": read} for name, read in reads.items()]
    tape[0]["side"] = "up"
    frame = frame_of(nodes=nodes, node_tape=tape)
    near = [point(at=[0, 0, 0]), point(tape={"A": 1, "B": 1, "C": 1})]
    assert frame.doubts_of(near) == ()
    (remark,) = frame.doubts_of([point(tape={"A": 1, "B": 1, "E": 1})])
    assert "Node E is good to" in remark.message
    assert "Tape D to E too, about" in remark.message


def test_loose_network_is_a_fault():
    faults: list[str] = []
    loose = [entry for entry in taped() if "C" not in (entry["from"], entry["to"])]
    frame_of(faults, node_tape=[*loose, {"from": "C", "to": "A", "read": 500}], nodes_flat=True)
    assert len(faults) == 1
    assert faults[0].startswith("node_tape: ")


@pytest.mark.parametrize("again", [{"from": "A", "to": "B"}, {"from": "B", "to": "A"}])
def test_pair_taped_twice_is_a_fault_and_not_the_last_one_silently(again):
    faults: list[str] = []
    frame_of(faults, node_tape=[*taped(), {**again, "read": 330}], nodes_flat=True)
    (fault,) = faults
    assert fault.startswith("node_tape.6: ")
    assert "is taped twice" in fault


# solids


def test_solids_are_read_whichever_way_their_corners_lie():
    zones = entry(
        keepout=[
            {"name": "well", "box": [[10, 0, 5], [0, 20, 0]], "distance": 3},
            {"name": "ball", "sphere": {"at": [1, 2, 3], "radius": 4}, "temperature": 80},
            {"name": "pipe", "capsule": {"from": [0, 0, 0], "to": [9, 0, 0], "radius": 2}},
        ]
    ).keepout
    well, ball, pipe = keep_outs(zones)
    assert isinstance(well.shape, Box)
    assert (well.shape.low.tolist(), well.shape.high.tolist()) == ([0, 0, 0], [10, 20, 5])
    assert (well.name, well.distance, well.temperature) == ("well", 3.0, None)
    assert isinstance(ball.shape, Capsule)
    assert ball.shape.distance(np.array([1.0, 2.0, 10.0])) == pytest.approx(3.0)
    assert ball.temperature == 80.0
    assert pipe.shape.distance(np.array([4.0, 5.0, 0.0])) == pytest.approx(3.0)
