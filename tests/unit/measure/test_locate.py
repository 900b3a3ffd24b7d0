from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cableroute.errors import GeometryError
from cableroute.measure.locate import choose_side, locate, telling_sides

quick = settings(max_examples=30)
coordinate = st.floats(-500, 500)
places = st.tuples(coordinate, coordinate, coordinate).map(np.array)

FLOOR = {"A": [0, 0, 0], "B": [700, 0, 0], "C": [0, 400, 0]}
SOLID = FLOOR | {"D": [700, 400, 300], "E": [300, 0, 700]}
TRUTH = np.array([200.0, 150.0, 300.0])


def taped(nodes, point, **off):
    """Exact distances, each off by what is asked."""
    return {
        name: np.linalg.norm(np.subtract(p, point)) + off.get(name, 0) for name, p in nodes.items()
    }


def test_three_nodes_give_the_point_and_its_reflection():
    got = locate(FLOOR, taped(FLOOR, TRUTH))
    np.testing.assert_allclose(got.point, TRUTH, atol=1e-9)
    np.testing.assert_allclose(got.mirror, [200, 150, -300], atol=1e-9)
    np.testing.assert_allclose(got.residuals, 0, atol=1e-9)
    assert got.blunder is None
    assert not got.weak


def test_nodes_out_of_plane_leave_one_point():
    got = locate(SOLID, taped(SOLID, TRUTH))
    np.testing.assert_allclose(got.point, TRUTH, atol=1e-9)
    assert got.mirror is None
    assert telling_sides(got) == ()
    assert choose_side(got, "left") is got


def test_arrays_give_what_names_give():
    by_name = locate(FLOOR, taped(FLOOR, TRUTH))
    by_row = locate(np.array(list(FLOOR.values())), list(taped(FLOOR, TRUTH).values()))
    np.testing.assert_array_equal(by_row.point, by_name.point)
    assert by_row.readings.names == (0, 1, 2)


def test_only_the_taped_nodes_count_in_the_order_of_the_tape():
    tape = taped({name: SOLID[name] for name in "EDBA"}, TRUTH, D=0.4)
    got = locate(SOLID, tape)
    assert got.readings.names == ("E", "D", "B", "A")
    computed = [np.linalg.norm(np.subtract(SOLID[name], got.point)) for name in "EDBA"]
    np.testing.assert_allclose(got.residuals, np.array(list(tape.values())) - computed, atol=1e-9)


def solid_enough(nodes):
    return np.linalg.svd(nodes - nodes.mean(axis=0), compute_uv=False)[1] > 50


@quick
@given(st.lists(places, min_size=3, max_size=7).map(np.array), places)
def test_exact_distances_give_the_point_or_its_twin(nodes, point):
    tape = np.linalg.norm(nodes - point, axis=1)
    apart = np.linalg.norm(nodes[:, None] - nodes, axis=-1) + 1e9 * np.eye(len(nodes))
    assume(solid_enough(nodes) and tape.min() > 1 and apart.min() > 1)
    got = locate(nodes, tape, sigma=1e-3)
    found = [got.point] if got.mirror is None else [got.point, got.mirror]
    # so near the plane of its nodes that the twins cannot be told apart, one stands for both
    share = 1.0 if got.mirror is None else 0.01
    assert min(np.linalg.norm(p - point) for p in found) < max(1e-6, share * got.doubt)


@quick
@given(st.integers(0, 2**32 - 1))
def test_moving_the_whole_moves_the_point(seed):
    rng = np.random.default_rng(seed)
    nodes, shift = rng.uniform(-500, 500, (5, 3)), rng.uniform(-500, 500, 3)
    turn = np.linalg.qr(rng.normal(size=(3, 3)))[0]
    tape = np.linalg.norm(nodes - TRUTH, axis=1) + rng.normal(0, 0.5, 5)
    here, there = locate(nodes, tape), locate(nodes @ turn.T + shift, tape)
    assume(here.mirror is None and there.mirror is None and here.doubt < 5)
    np.testing.assert_allclose(there.point, turn @ here.point + shift, atol=1e-5)
    np.testing.assert_allclose(there.covariance, turn @ here.covariance @ turn.T, atol=1e-5)


@pytest.mark.parametrize(("nodes", "height"), [(FLOOR, 300.0), (SOLID, 300.0), (FLOOR, 120.0)])
def test_the_covariance_is_what_repeated_taping_shows(nodes, height):
    rng = np.random.default_rng(5)
    tape = np.array(list(taped(nodes, [200, 150, height]).values()))
    array, sigma = np.array(list(nodes.values())), np.linspace(0.5, 1.5, len(nodes))
    found = [
        locate(array, row, sigma=sigma).point for row in rng.normal(tape, sigma, (400, len(tape)))
    ]
    ratio = np.cov(np.array(found).T) / locate(array, tape, sigma=sigma).covariance
    # 400 trials give a variance to 7 %; three times that
    np.testing.assert_allclose(np.diag(ratio), 1.0, atol=0.22)


def test_the_twins_follow_the_stated_rule():
    level = {"A": [0, 0, 0], "B": [700, 0, 0], "C": [0, 0, 400]}  # the plane y = 0
    got = locate(level, taped(level, [200, -150, 100]))
    np.testing.assert_allclose(got.point, [200, 150, 100], atol=1e-9)  # level: further left
    assert telling_sides(got) == ("left", "right")
    across = {"A": [0, 0, 0], "B": [0, 700, 0], "C": [0, 0, 400]}
    np.testing.assert_allclose(locate(across, taped(across, TRUTH)).point, TRUTH, atol=1e-9)


@pytest.mark.parametrize(
    ("side", "want"),
    [("left", 1), ("right", -1), ("up", 1), ("down", -1), ("forward", -1), ("aft", 1)],
)
def test_every_side_picks_the_twin_further_that_way(side, want):
    normal = np.array([-1.0, 2.0, 2.0]) / 3  # the twins differ fore-aft, left-right and up-down
    along = np.array([[2.0, 2.0, -1.0], [2.0, -1.0, 2.0]]) / 3
    nodes = dict(zip("ABC", np.array([[0, 0], [700, 0], [0, 400]]) @ along, strict=True))
    point = [200, 150] @ along + 250 * normal
    got = locate(nodes, taped(nodes, point), side=side)
    middle = 0.5 * (got.point + got.mirror)
    np.testing.assert_allclose(got.point, middle + want * 250 * normal, atol=1e-8)
    np.testing.assert_allclose(got.residuals, 0, atol=1e-8)


def test_the_chosen_twin_brings_its_own_covariance():
    up = locate(FLOOR, taped(FLOOR, TRUTH))
    down = choose_side(up, "down")
    flip = np.diag([1.0, 1.0, -1.0])
    np.testing.assert_allclose(down.covariance, flip @ up.covariance @ flip, atol=1e-9)
    np.testing.assert_array_equal(down.mirror, up.point)


def test_a_side_that_does_not_tell_names_those_that_do():
    with pytest.raises(GeometryError, match=r'"left" does not tell .* 0\.0 mm .* use up or down'):
        locate(FLOOR, taped(FLOOR, TRUTH), side="left")
    with pytest.raises(GeometryError, match=r'expected one of up, .* \(got "port"\)'):
        locate(FLOOR, taped(FLOOR, TRUTH), side="port")


def test_nearly_flat_nodes_keep_the_twin_until_the_tape_can_tell():
    for lift, two in ((2.0, True), (60.0, False)):
        nodes = FLOOR | {"D": [700, 400, lift]}
        got = locate(nodes, taped(nodes, TRUTH))
        assert (got.mirror is not None) is two
        np.testing.assert_allclose(got.point, TRUTH, atol=1e-6)


def test_a_point_in_the_plane_has_one_answer_and_an_honest_doubt():
    got = locate(FLOOR, taped(FLOOR, [200, 150, 0]))
    assert got.mirror is None
    assert got.weak
    # 1 mm over 250 mm hides a height of the order of sqrt(2*250)
    assert 10 < got.doubt < 40
    np.testing.assert_allclose(np.abs(got.weak_direction), [0, 0, 1], atol=1e-6)
    np.testing.assert_allclose(got.point, [200, 150, 0], atol=1e-3)


def test_nearly_collinear_nodes_are_weak_round_their_line():
    nodes = {"A": [0, 0, 0], "B": [700, 0, 0], "C": [350, 5, 0]}
    got = locate(nodes, taped(nodes, [200, 150, 200]))
    assert got.weak
    assert got.doubt > 50
    round_the_line = np.array([0, 0.8, -0.6])  # square to the line and to the way from it
    assert abs(got.weak_direction @ round_the_line) > 0.99


@pytest.mark.parametrize("odd", list(SOLID))
@pytest.mark.parametrize("error", [-25.0, 25.0, 150.0])
def test_the_odd_one_of_seven_readings_is_named_with_what_it_should_be(odd, error):
    nodes = SOLID | {"F": [0, 400, 450], "G": [650, 100, 100]}
    rng = np.random.default_rng(11)
    noise = dict(zip(nodes, rng.normal(0, 0.5, len(nodes)), strict=True))
    true = taped(nodes, TRUTH)
    got = locate(nodes, taped(nodes, TRUTH, **noise | {odd: error}))
    assert got.blunder.node == odd
    assert got.blunder.certain
    assert got.blunder.measured == pytest.approx(true[odd] + error)
    assert got.blunder.expected == pytest.approx(true[odd], abs=4)
    np.testing.assert_allclose(got.point, TRUTH, atol=4)


def test_five_readings_are_enough_to_name_one():
    got = locate(SOLID, taped(SOLID, TRUTH, B=60))
    assert got.blunder.node == "B"
    assert got.blunder.expected == pytest.approx(taped(SOLID, TRUTH)["B"], abs=1e-6)
    np.testing.assert_allclose(got.point, TRUTH, atol=1e-6)
    assert got.residuals[1] == pytest.approx(60, abs=1e-6)


def test_an_impossible_reading_among_five_is_a_blunder_not_an_error():
    got = locate(SOLID, taped(SOLID, TRUTH, C=3000))
    assert (got.blunder.node, got.blunder.certain) == ("C", True)
    np.testing.assert_allclose(got.point, TRUTH, atol=1e-6)


def test_four_readings_show_that_one_is_wrong_but_not_which():
    nodes = {name: SOLID[name] for name in "ABCD"}
    got = locate(nodes, taped(nodes, TRUTH, B=40))
    assert not got.blunder.certain
    assert "B" in {got.blunder.node, *got.blunder.rivals}
    assert np.abs(got.residuals).max() > 3


def test_honest_noise_is_seldom_called_a_blunder():
    rng = np.random.default_rng(2)
    tape = np.array(list(taped(SOLID, TRUTH).values()))
    nodes = np.array(list(SOLID.values()))
    odd = [locate(nodes, row).blunder is not None for row in rng.normal(tape, 1.0, (300, 5))]
    assert sum(odd) <= 6  # 5 in 1000 expected


@pytest.mark.parametrize(
    ("distances", "match"),
    [
        (
            {"A": 300, "B": 350, "C": 450},
            r"300\.0 mm from A and 350\.0 mm from B cannot meet: "
            r"A and B are 700\.0 mm apart, 50\.0 mm too far$",
        ),
        (
            {"A": 900, "B": 1000, "C": 400},
            r"900\.0 mm from A and 400\.0 mm from C cannot meet: "
            r"they differ by 100\.0 mm more than A and C are 400\.0 mm apart$",
        ),
        ({"A": 14, "B": 18, "C": 16}, r"apart, .* mm too far; is their unit right\?$"),
        (
            {"A": 360, "B": 360, "C": 650},
            r"the three distances do not meet: even the nearest point misses them by A .* mm",
        ),
    ],
)
def test_distances_that_meet_nowhere_are_refused_with_the_numbers(distances, match):
    with pytest.raises(GeometryError, match=match):
        locate(FLOOR, distances)


def test_a_miss_the_tape_could_hide_is_a_residual():
    got = locate(FLOOR, {"A": 349, "B": 350, "C": 349 + 182.5})
    assert got.point[2] == pytest.approx(0, abs=1e-6)
    assert 0.1 < np.abs(got.residuals).max() < 3
    assert got.mirror is None


@pytest.mark.parametrize(
    ("nodes", "distances", "match"),
    [
        ({"A": [0, 0, 0], "B": [1, 0, 0]}, {"A": 1, "B": 1}, r"at least 3 nodes \(got 2\)"),
        (FLOOR, {"A": 1, "B": 1, "Z": 1}, 'distance to "Z": expected one of A, B, C'),
        (FLOOR, {"A": 500, "B": -1, "C": 500}, r"distance B: must be greater than 0 mm \(got -1"),
        (FLOOR, {"A": 500, "B": 0, "C": 500}, "distance B"),
        (FLOOR, {"A": 500, "B": 500, "C": float("nan")}, r"distance C: .*got nan"),
        (FLOOR | {"C": [700, 0, 0]}, {"A": 500, "B": 500, "C": 500}, "B and C are the same point"),
        (FLOOR | {"C": [350, 0, 0]}, {"A": 500, "B": 500, "C": 300}, "A, B, C are in one line"),
        (
            FLOOR | {"C": [350, 0]},
            {"A": 500, "B": 500, "C": 300},
            "node C: expected finite x, y, z",
        ),
        (FLOOR, [500, 500, 500], "both nodes and distances by name"),
        (np.eye(3), [500, 500], r"expected 3 distances, one for each node, got shape \(2,\)"),
    ],
)
def test_input_that_is_none_is_refused(nodes, distances, match):
    with pytest.raises(GeometryError, match=match):
        locate(nodes, distances)


@pytest.mark.parametrize(("sigma", "match"), [(0, "greater than 0"), ([1, 1], "one number or 3")])
def test_sigma_is_checked(sigma, match):
    with pytest.raises(GeometryError, match=match):
        locate(FLOOR, taped(FLOOR, TRUTH), sigma=sigma)
