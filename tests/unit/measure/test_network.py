from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import GeometryError
from cableroute.measure import _tape_network as network_of_tapes
from cableroute.measure._tape_network import FEW, TapeNetwork
from cableroute.measure.network import fit_network

quick = settings(max_examples=20)

FRAME = {
    "A": [0, 0, 0],
    "B": [700, 0, 0],
    "C": [100, 400, 0],
    "D": [650, 420, 300],
    "E": [300, 80, 500],
    "F": [200, 500, 350],
}
IN_LINE = {"A": [0, 0, 0], "B": [2, 0, 0], "C": [5, 0, 0]}
FLOOR = {"A": [0, 0, 0], "B": [700, 0, 0], "C": [620, 450, 0], "D": [30, 400, 0]}


def taped(places, pairs=None, **off):
    """Exact distances of the pairs (all of them), each off by what is asked."""
    pairs = [tuple(pair) for pair in pairs] if pairs else list(combinations(places, 2))
    gaps = {(a, b): np.linalg.norm(np.subtract(places[a], places[b])) for a, b in pairs}
    return {pair: gap + off.get("".join(pair), 0) for pair, gap in gaps.items()}


def some(names, places=FRAME):
    return {name: places[name] for name in names}


def assert_places(net, places, atol=1e-6):
    for name, place in places.items():
        np.testing.assert_allclose(net.points[name], place, atol=atol, err_msg=name)


@pytest.mark.parametrize("names", ["ABCD", "ABCDE", "ABCDEF"])
def test_all_distances_give_the_frame_by_the_stated_convention(names):
    net = fit_network(taped(some(names)))
    assert_places(net, some(names))
    assert net.spare == len(names) * (len(names) - 1) // 2 - 3 * len(names) + 6
    assert (net.blunder, net.flips) == (None, ())
    np.testing.assert_allclose(net.mirror["D"], [650, 420, -300], atol=1e-6)


def test_a_braced_quadrilateral_on_the_floor():
    net = fit_network(taped(FLOOR), planar=True)
    assert_places(net, FLOOR)
    assert net.spare == 1
    assert net.flips == ()
    np.testing.assert_allclose(net.mirror["C"], [620, -450, 0], atol=1e-6)


def test_three_nodes_make_a_triangle():
    assert_places(
        fit_network({("A", "B"): 300, ("B", "C"): 400, ("A", "C"): 500}), {"C": [300, 400, 0]}
    )


def test_the_third_node_of_the_frame_is_the_next_off_the_line():
    places = {
        "A": [0, 0, 0],
        "B": [500, 0, 0],
        "M": [250, 0, 0],
        "C": [0, 400, 0],
        "D": [9, 9, 300],
    }
    net = fit_network(taped(places))
    assert_places(net, places, atol=1e-4)


@quick
@given(st.integers(0, 2**32 - 1), st.integers(4, 7))
def test_the_shape_is_recovered_from_all_distances(seed, n):
    places = dict(
        zip("ABCDEFG"[:n], np.random.default_rng(seed).uniform(0, 800, (n, 3)), strict=True)
    )
    tape = taped(places)
    net = fit_network(tape, sigma=1e-6)
    for pair, gap in taped(net.points).items():
        assert gap == pytest.approx(tape[pair], abs=max(1e-5, *net.doubts.values()))


def test_missing_distances_are_done_without():
    pairs = ["AB", "BC", "CA", "AD", "BD", "CD", "AE", "BE", "CE", "DE", "CF", "DF", "EF", "AF"]
    net = fit_network(taped(FRAME, pairs))
    assert_places(net, FRAME)
    assert net.spare == 2


def test_known_nodes_hold_the_frame():
    known = some("ABC")
    net = fit_network(taped(FRAME), known=known)
    assert_places(net, FRAME)
    np.testing.assert_array_equal(net.points["B"], FRAME["B"])
    np.testing.assert_array_equal(net.covariance["B"], 0)
    assert net.doubts["D"] > 0
    # A to C are in one plane, so the rest may lie mirrored below it
    np.testing.assert_allclose(net.mirror["E"], [300, 80, -500], atol=1e-6)


def test_known_nodes_out_of_plane_leave_no_mirror():
    net = fit_network(taped(FRAME), known=some("ABCD"))
    assert_places(net, FRAME)
    assert net.mirror is None


def test_the_known_frame_may_stand_anywhere():
    turn = np.linalg.qr(np.random.default_rng(1).normal(size=(3, 3)))[0]
    places = {name: turn @ place + [10, -20, 900] for name, place in FRAME.items()}
    assert_places(fit_network(taped(places), known=some("ABCD", places)), places)


@pytest.mark.parametrize("up", ["D", "E"])
def test_up_picks_the_image(up):
    places = FRAME | {"E": [300, 80, -500]}
    net = fit_network(taped(places), known=some("ABC"), up=up)
    assert net.points[up][2] > 0
    assert net.points["D"][2] * net.points["E"][2] < 0
    assert net.mirror[up][2] < 0


def test_a_guess_picks_the_image():
    below = {name: np.multiply(place, [1, 1, -1]) for name, place in FRAME.items()}
    held = fit_network(taped(FRAME), known=some("ABC"), guess={"D": [600, 400, -200]})
    assert_places(held, below)
    turn = np.linalg.qr(np.random.default_rng(1).normal(size=(3, 3)))[0]
    turn *= np.linalg.det(turn)  # a rotation: keeps right from left
    rough = {name: turn @ place + 15.0 for name, place in below.items()}
    assert_places(fit_network(taped(FRAME), guess=rough), below)


def test_a_guess_starts_what_cannot_be_placed_node_by_node():
    octahedron = dict(zip("ABCDEF", 300 * np.vstack([np.eye(3), -np.eye(3)]), strict=True))
    octahedron["A"] = np.array([340.0, 20, -15])
    pairs = [p for p in combinations("ABCDEF", 2) if "".join(p) not in ("AD", "BE", "CF")]
    tape = taped(octahedron, pairs)
    with pytest.raises(GeometryError, match="cannot be placed one by one"):
        fit_network(tape)
    net = fit_network(tape, guess={name: place + 5 for name, place in octahedron.items()})
    for pair, gap in taped(octahedron).items():
        assert taped(net.points, [pair])[pair] == pytest.approx(gap, abs=1e-5)


def test_a_node_that_could_be_turned_over_is_named():
    pairs = ["AB", "BC", "CA", "AD", "BD", "CD", "AE", "BE", "CE"]
    assert set(fit_network(taped(some("ABCDE"), pairs)).flips) == {"D", "E"}
    assert fit_network(taped(some("ABCDE"), [*pairs, "DE"])).flips == ()


def test_a_wrong_turn_at_the_start_is_undone():
    # D and E are both put above A, B, C; only F, placed last, tells that E is below
    places = FRAME | {"E": [300, 80, -500], "F": [400, 300, 60]}
    pairs = ["AB", "BC", "CA", "AD", "BD", "CD", "AE", "BE", "CE", "AF", "BF", "DF", "EF", "CF"]
    net = fit_network(taped(places, pairs))
    assert_places(net, places)
    assert net.blunder is None


@pytest.mark.parametrize(
    ("places", "options"),
    [(some("ABCDE"), {}), (FRAME, {"known": some("ABC")}), (FLOOR, {"planar": True})],
)
def test_the_covariance_is_what_repeated_taping_shows(places, options):
    rng, tape = np.random.default_rng(7), taped(places)
    exact = fit_network(tape, **options)
    found = []
    for _ in range(100):
        noisy = {pair: gap + rng.normal() for pair, gap in tape.items()}
        found.append(np.array(list(fit_network(noisy, **options).points.values())))
    seen = np.var(found, axis=0)
    told = np.array([np.diag(block) for block in exact.covariance.values()])
    free = told > 0
    np.testing.assert_allclose(seen[~free], 0, atol=1e-12)
    # 100 trials give a variance to 14 %; three times that
    np.testing.assert_allclose(seen[free] / told[free], 1.0, atol=0.42)


@pytest.mark.parametrize(("odd", "error"), [("AB", 40), ("DF", -40), ("BE", 200), ("CE", 4000)])
def test_the_odd_reading_is_named_with_what_it_should_be(odd, error):
    net = fit_network(taped(FRAME, **{odd: error}))
    assert (net.blunder.node, net.blunder.certain) == (tuple(odd), True)
    assert net.blunder.expected == pytest.approx(taped(FRAME)[tuple(odd)], abs=1e-6)
    assert_places(net, FRAME)
    assert net.residuals[tuple(odd)] == pytest.approx(error, abs=1e-6)
    assert net.spare == 2


def test_a_reading_little_checked_by_the_others_has_rivals():
    net = fit_network(taped(FRAME, BE=40))
    assert not net.blunder.certain
    assert ("B", "E") in (net.blunder.node, *net.blunder.rivals)
    assert np.abs(list(net.residuals.values())).max() > 1


def test_one_spare_reading_shows_a_blunder_but_not_which():
    net = fit_network(taped(FLOOR, AC=30), planar=True)
    assert not net.blunder.certain
    assert {net.blunder.node, *net.blunder.rivals} == set(taped(FLOOR))


def test_a_flat_network_in_space_is_weak_across():
    net = fit_network(taped(FLOOR))
    assert net.weak == ("D",)
    assert 10 < net.doubts["D"] < 60
    assert_places(net, FLOOR, atol=0.1)


@pytest.mark.parametrize(
    ("pairs", "match"),
    [
        (["AB", "BC", "CA", "AD", "BD"], "node D has 2 and needs 1 more"),
        (["AB", "BC", "CA", "AD", "BD", "CD", "AE"], "node E has 1 and needs 2 more"),
        (["AB"], r"at least 3 nodes \(got 2\)"),
        (["AB", "BC", "CD", "DE", "EA", "AC", "BD", "CE"], "need 9 in all, got 8; node A has"),
    ],
)
def test_too_few_distances_are_refused_by_name(pairs, match):
    with pytest.raises(GeometryError, match=match):
        fit_network(taped(FRAME, pairs))


def test_a_node_that_can_still_move_is_named():
    # all in number, but A, B, X are in line, so X swings D round it
    places = some("ABCE") | {"X": [350, 0, 0], "D": [650, 420, 300]}
    pairs = ["AB", "AC", "BC", "AX", "BX", "CX", "AE", "BE", "CE", "XE", "AD", "BD", "XD"]
    rough = {name: np.add(place, 1) for name, place in places.items()}
    with pytest.raises(GeometryError, match="node D can still move"):
        fit_network(taped(places, pairs), guess=rough)


def test_a_triangle_that_does_not_close_is_named():
    with pytest.raises(GeometryError, match=r"A-B 900\.0 mm is 100\.0 mm longer than A-C 500\.0"):
        fit_network({("A", "B"): 900, ("B", "C"): 300, ("A", "C"): 500})


@pytest.mark.parametrize(
    ("distances", "options", "match"),
    [
        ({("A", "A"): 3}, {}, r"pairs of two different nodes \(got \('A', 'A'\)\)"),
        ({"AB": 3}, {}, "pairs of two different nodes"),
        (taped(FLOOR, AB=-800), {}, "distance A-B: must be greater than 0 mm"),
        (taped(FLOOR), {"up": "Z"}, r'up: expected one of A, B, C, D \(got "Z"\)'),
        (taped(FLOOR), {"guess": {"Z": [0, 0, 0]}}, "guess: expected one of"),
        (taped(FLOOR), {"guess": {"A": [0, 0, 0]}}, "a guess of every node"),
        (taped(FLOOR), {"known": some("AB")}, r"none or at least three nodes .*\(got 2\)"),
        (taped(FLOOR), {"known": some("A"), "planar": True}, r"at least two nodes \(got 1\)"),
        (taped(FLOOR), {"known": {"A": [0, 0]}}, "node A: expected finite x, y, z"),
        (taped(FRAME), {"known": some("AD"), "planar": True}, "the same z"),
        (taped(FLOOR), {"sigma": [1, 2]}, "sigma: expected one number or 6"),
        (taped(IN_LINE), {"guess": IN_LINE}, "A, B, C are all in one line"),
    ],
)
def test_input_that_is_none_is_refused(distances, options, match):
    with pytest.raises(GeometryError, match=match):
        fit_network(distances, **options)


def test_of_many_nodes_only_those_that_a_tape_joins_are_turned_together(monkeypatch) -> None:
    """A ladder of nodes over three known ones: every node taped to the three before it."""
    rng = np.random.default_rng(7)
    count = FEW + 4
    every = rng.uniform(0.0, 2000.0, (count, 3))
    names = [f"n{i}" for i in range(count)]
    tapes = {
        (names[j], names[i]): float(np.linalg.norm(every[i] - every[j]))
        for i in range(4, count)
        for j in range(i - 4, i)
    }
    tried = []
    own = TapeNetwork._trials

    def counted(self, tapes, points, groups):
        tried.append(groups)
        return own(self, tapes, points, groups)

    monkeypatch.setattr(TapeNetwork, "_trials", counted)
    known = dict(zip(names[:4], every[:4], strict=True))
    found = fit_network(tapes, known=known)
    pairs = [group for group in tried[0] if len(group) == 2]
    unknown = count - 4
    assert len(pairs) == unknown * (unknown - 1) // 2  # so few still turn any two together
    monkeypatch.setattr(network_of_tapes, "FEW", 3)
    tried.clear()
    again = fit_network(tapes, known=known)
    pairs = [group for group in tried[0] if len(group) == 2]
    assert len(pairs) == sum(1 for a, b in tapes if a in names[4:] and b in names[4:])
    for name in names:
        assert again.points[name] == pytest.approx(found.points[name], abs=1e-3)
        assert again.points[name] == pytest.approx(every[names.index(name)], abs=1.0)
