"""A chain of pieces solved all at once gives what stepping through it gives."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.errors import SolverError
from cableroute.mechanics.chain import march

PIECES = 9


@settings(max_examples=30)
@given(rng=st.integers(0, 2**32 - 1).map(np.random.default_rng))
def test_a_curved_chain_matches_stepping_through_it(rng: np.random.Generator) -> None:
    a, b = rng.uniform(0.5, 1.5, (2, 3, PIECES))
    start = rng.uniform(0.1, 5.0, 3)

    def step(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return a * x + b * np.sqrt(1.0 + x**2), a + b * x / np.sqrt(1.0 + x**2)

    joints = march(start, step, pieces=PIECES)

    x = start
    for k in range(PIECES):
        np.testing.assert_allclose(joints[..., k], x, rtol=1e-12)
        x = a[:, k] * x + b[:, k] * np.sqrt(1.0 + x**2)
    np.testing.assert_allclose(joints[..., -1], x, rtol=1e-12)


def test_a_straight_chain_needs_only_to_see_that_it_has_settled() -> None:
    rounds = []

    def step(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        rounds.append(x)
        return 1.1 * x + 2.0, np.full_like(x, 1.1)

    march(np.array(1.0), step, pieces=50)

    assert len(rounds) <= 3


def test_a_kink_does_not_keep_it_from_the_end() -> None:
    def step(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return np.maximum(x, 2.0 * x - 3.0), np.where(x > 3.0, 2.0, 1.0)

    assert march(np.array(3.5), step, pieces=4).tolist() == [3.5, 4.0, 5.0, 7.0, 11.0]
    assert march(np.array(2.5), step, pieces=4).tolist() == [2.5] * 5


def test_no_pieces_leave_the_start() -> None:
    joints = march(np.array([1.0, 2.0]), lambda x: (x, np.ones_like(x)), pieces=0)

    assert joints.tolist() == [[1.0], [2.0]]


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
def test_growth_beyond_all_bounds_is_an_error() -> None:
    with pytest.raises(SolverError, match="beyond all bounds"):
        march(np.array(1.0), lambda x: (1e200 * x, np.full_like(x, 1e200)), pieces=4)
