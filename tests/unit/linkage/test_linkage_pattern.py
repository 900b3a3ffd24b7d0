import itertools

import numpy as np
import pytest

from cableroute.errors import GeometryError
from cableroute.linkage.pattern import Gate, facing_aft, gate_pattern, pattern_sense, spread

H = [(10, 1), (10, -1), (0, 1), (0, -1), (-10, 1), (-10, -1), (-20, -1)]

NAMES = {
    (False, False, False): "as wanted",
    (False, True, False): "mirrored side to side (select)",
    (False, False, True): "mirrored forward and aft (shift)",
    (False, True, True): "mirrored both ways",
    (True, False, False): "axes swapped",
    (True, True, False): "axes swapped and mirrored side to side (select)",
    (True, False, True): "axes swapped and mirrored forward and aft (shift)",
    (True, True, True): "axes swapped and mirrored both ways",
}


@pytest.mark.parametrize("turn", NAMES)
@pytest.mark.parametrize("units", [(1, 1), (0.02, 3), (100, 0.001)])
def test_all_eight_turns_are_named(turn, units):
    """Enumerated: every way of laying the pattern on the cross, whatever the units of the axes."""
    swapped, select, shift = turn
    wanted = np.array(H, dtype=float)
    got = wanted[:, ::-1] if swapped else wanted
    got = got * [(-1 if select else 1) * units[0], (-1 if shift else 1) * units[1]]
    found = pattern_sense(wanted, got)
    assert (found.swapped, found.mirrored_select, found.mirrored_shift) == turn
    assert found.text == NAMES[turn]
    assert found.right == (turn == (False, False, False))
    assert found.misfit == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("turn", NAMES)
def test_the_name_survives_crosstalk_and_curvature(turn):
    swapped, select, shift = turn
    rng = np.random.default_rng(4)
    got = np.array(H, dtype=float)[:, ::-1] if swapped else np.array(H, dtype=float)
    got = got * [-1 if select else 1, -1 if shift else 1]
    got = got / np.max(np.abs(got), axis=0)
    got = got + 0.1 * got**2 + rng.normal(scale=0.05, size=got.shape)
    found = pattern_sense(H, got)
    assert (found.swapped, found.mirrored_select, found.mirrored_shift) == turn
    assert 0 < found.misfit < 0.3


def test_one_column_with_crosstalk_is_not_a_swap():
    wanted, got = [(0, 1), (0, -1)], [(0.05, 1.0), (-0.05, -0.93)]
    assert pattern_sense(wanted, got, tolerance=(0.1, 0.1)).right
    swap = [(3.0, 0.0), (-3.0, 0.01)]
    assert pattern_sense(wanted, swap, tolerance=(0.1, 0.1)).text == "axes swapped"


def test_patterns_for_the_same_gates():
    with pytest.raises(GeometryError, match=r"same gates, got shapes \(2, 2\) and \(1, 2\)"):
        pattern_sense([(0, 1), (0, -1)], [(0, 1)])
    with pytest.raises(GeometryError, match="same gates"):
        pattern_sense([], [])


def test_spread_by_columns():
    assert spread(4, step=10) == (15, 5, -5, -15)
    assert spread(4, step=10, neutral=1) == (10, 0, -10, -20)
    assert spread(1, step=10) == (0,)
    with pytest.raises(GeometryError, match="expected 1 or more columns and rows, got 0"):
        spread(0, step=1)


def test_three_columns_and_an_extra_reverse_behind_a_press():
    gates = gate_pattern(
        [("1", "2"), ("3", "4"), ("", "R")],
        lever_columns=spread(3, step=0.1, neutral=0.5),
        lever_rows=(0.3, -0.3),
        box_columns=spread(3, step=8, neutral=0.5),
        box_rows=(-0.2, 0.2),
        tolerance=(1.0, 0.03),
        press=["R"],
    )
    assert [gate.name for gate in gates] == ["1", "2", "3", "4", "R"]
    assert gates[0].lever == pytest.approx((0.05, 0.3))
    assert gates[0].box == (4, -0.2)
    assert gates[-1].lever == pytest.approx((-0.15, -0.3))
    assert [gate.press for gate in gates] == [False] * 4 + [True]


def test_rows_with_a_neutral_and_columns_of_unequal_length():
    gates = gate_pattern(
        [("F", "N", "R"), ("L",)],
        lever_columns=(0, -0.1),
        lever_rows=spread(3, step=0.3),
        box_columns=(0, -8),
        box_rows=spread(3, step=0.2),
        tolerance=(1, 0.03),
    )
    assert {gate.name: gate.lever for gate in gates} == {
        "F": (0, 0.3),
        "N": (0, 0),
        "R": (0, -0.3),
        "L": (-0.1, 0.3),
    }


def test_facing_aft_twice_is_facing_forward():
    gate = Gate(name="1", lever=(0.1, -0.3), box=(8, 0.2), tolerance=(1, 0.02), press=True)
    (once,) = facing_aft([gate])
    assert once.lever == (-0.1, 0.3)
    assert (once.box, once.press) == (gate.box, True)
    assert facing_aft([once])[0].lever == gate.lever


GOOD = {
    "lever_columns": (0.1, -0.1),
    "lever_rows": (0.3, -0.3),
    "box_columns": (8, -8),
    "box_rows": (0.2, -0.2),
    "tolerance": (1, 0.02),
}


@pytest.mark.parametrize(
    ("names", "change", "message"),
    [
        ([("1", "2")], {}, "lever columns: expected 1 offsets, got 2"),
        ([("1", "2", "3"), ("4",)], {}, "lever rows: expected 3 offsets, got 2"),
        ([("1", "2"), ("3",)], {"box_rows": (1,)}, "box rows: expected 2 offsets, got 1"),
        ([], {"lever_columns": (), "box_columns": ()}, "expected 0 offsets"),
        ([("1", "2"), ("1",)], {}, r"every name once, got \['1'\]"),
        ([("1", "2"), ("3",)], {"press": ["R"]}, r"expected names of gates, got \['R'\]"),
        ([("1", "2"), ("3",)], {"tolerance": (0, 1)}, "gate 1, tolerance: expected above 0"),
        ([("1", "2"), ("3",)], {"box_rows": (np.nan, 1)}, "gate 1, box: expected two finite"),
    ],
)
def test_bad_patterns(names, change, message):
    with pytest.raises(GeometryError, match=message):
        gate_pattern(names, **GOOD | change)


def test_every_pair_of_turns_is_told_apart():
    for a, b in itertools.combinations(NAMES, 2):
        assert NAMES[a] != NAMES[b]
