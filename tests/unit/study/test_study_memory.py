"""What is kept of many machines, and what is worked out anew: the same to the last digit."""

import numpy as np
import pytest

from cableroute import read_job
from cableroute.study import tally
from cableroute.study.draw import BLOCK, draw, draws
from cableroute.study.run import study
from cableroute.study.tally import Rows, Tally


@pytest.fixture(scope="module")
def whole():
    return study(read_job("data/recumbent_trike.toml"), n=4 * BLOCK, sensitive=False)


def test_more_machines_than_are_kept_give_the_same_chances_and_quantiles(whole, monkeypatch):
    monkeypatch.setattr(tally, "KEPT", BLOCK)
    few = study(read_job("data/recumbent_trike.toml"), n=4 * BLOCK, sensitive=False)
    assert len(few.first.shares) == BLOCK
    assert few.quantiles == whole.quantiles
    assert few.fails == whole.fails
    assert few.stock == whole.stock
    for one, other in zip(few.rows(), whole.rows(), strict=True):
        assert np.array_equal(one.shares, other.shares)
        for key, values in other.figures.items():
            assert np.array_equal(one.figures[key], values), key


def test_blocks_are_the_draw_from_any_of_them_on():
    rows = draw(4 * BLOCK, 5, seed=3)
    assert np.array_equal(
        np.concatenate(list(draws(4 * BLOCK, 5, seed=3, start=BLOCK))), rows[BLOCK:]
    )


def test_quantiles_are_closed_in_on_where_values_have_no_bound(monkeypatch):
    monkeypatch.setattr(tally, "KEPT", 256)
    values = np.random.default_rng(0).permutation(
        np.append(np.full(300, np.inf), np.arange(3796.0))
    )
    counted = Tally(())
    for part in np.split(values, 16):
        margin = {"rule": np.where(np.isfinite(part), 1.0, -1.0)}
        counted.add(Rows(np.zeros((len(part), 0)), {"push": part}, margin))
    known = np.quantile(values, (0.05, 0.5, 0.95), method="inverted_cdf")
    assert counted.quantiles("push") == known.tolist()
    assert counted.fails == {"rule": 300}
    assert counted.fail_any == 300


def test_runs_that_are_not_fitted_anew_give_the_same_to_the_last_digit(whole):
    model = whole.model
    rows = draw(64, 2 * len(whole.inputs), seed=1)
    A, B = np.split(rows, 2, axis=1)
    model.changed(A, None)
    for i, each in enumerate(whole.inputs):
        mixed = A.copy()
        mixed[:, i] = B[:, i]
        found, anew = model.changed(mixed, i), model.judged(mixed)
        assert model.doubts.moves(i) == ("." in each.key)  # readings have places
        for key, values in found.items():
            known = anew.figures.get(key, anew.margins.get(key))
            assert np.array_equal(values, known), (each.key, key)
