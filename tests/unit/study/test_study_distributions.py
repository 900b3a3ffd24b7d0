import numpy as np
import pytest
from scipy import stats

from cableroute import CableRouteError
from cableroute.study.chances import wilson
from cableroute.study.distributions import Distribution
from cableroute.study.draw import draw
from cableroute.study.sensitivity import sobol_indices

SHARES = np.linspace(0.001, 0.999, 97)


@pytest.mark.parametrize(
    ("kind", "numbers", "known"),
    [
        ("uniform", (2.0, 5.0), stats.uniform(2.0, 3.0)),
        ("normal", (2.0, 0.5), stats.norm(2.0, 0.5)),
        ("triangular", (1.0, 2.0, 5.0), stats.triang(0.25, 1.0, 4.0)),
        ("triangular", (1.0, 1.0, 5.0), stats.triang(0.0, 1.0, 4.0)),
    ],
)
def test_a_distribution_is_that_of_its_name(kind, numbers, known):
    assert np.allclose(Distribution(kind, numbers).at(SHARES), known.ppf(SHARES), rtol=1e-12)


@pytest.mark.parametrize(
    ("kind", "numbers", "says"),
    [
        ("uniform", (2.0, 1.0), "low <= high, got 2, 1"),
        ("normal", (2.0, -1.0), "standard deviation of 0 or more"),
        ("triangular", (1.0, 7.0, 5.0), "most likely"),
        ("beta", (1.0, 2.0), "expected one of uniform"),
        ("uniform", (1.0, float("inf")), "finite"),
    ],
)
def test_a_negative_width_is_refused(kind, numbers, says):
    with pytest.raises(CableRouteError, match=says):
        Distribution(kind, numbers)


@pytest.mark.parametrize(("kind", "numbers"), [("uniform", (1.0, 3.0)), ("normal", (2.0, 1.0))])
def test_half_the_doubt_has_the_same_middle_and_half_the_spread(kind, numbers):
    whole, half = Distribution(kind, numbers), Distribution(kind, numbers).halved
    assert half.centre == whole.centre
    assert np.allclose(half.at(SHARES) - 2.0, 0.5 * (whole.at(SHARES) - 2.0))


def test_wilsons_interval_is_scipys():
    for hits in (0, 1, 17, 99, 100):
        known = stats.binomtest(hits, 100).proportion_ci(0.95, method="wilson")
        assert wilson(hits, 100) == pytest.approx((known.low, known.high), abs=1e-6)


def test_indices_are_those_published_for_ishigamis_function():
    """f = sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1, x in -pi..pi.

    First indices 0.3139, 0.4424, 0, total 0.5576, 0.4424, 0.2437: A. Saltelli et al., Global
    Sensitivity Analysis: The Primer, 2008 (from memory); they follow from the closed variances.
    """

    def ishigami(shares, _changed):
        x = np.pi * (2.0 * shares - 1.0)
        value = np.sin(x[:, 0]) + 7.0 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0])
        return {"f": value, "constant": np.full(len(x), 3.0)}

    found = sobol_indices(ishigami, inputs=3, n=2**15, seed=1)
    assert set(found) == {"f"}
    first, total = found["f"].first, found["f"].total
    assert first[:, 0] == pytest.approx([0.3139, 0.4424, 0.0], abs=0.01)
    assert total[:, 0] == pytest.approx([0.5576, 0.4424, 0.2437], abs=0.01)
    assert (first[:, 1] <= first[:, 0]).all()
    assert (total[:, 0] <= total[:, 2]).all()


def test_a_figure_that_varies_in_few_machines_has_indices_without_a_warning():
    def model(shares, _changed=None):
        return {"f": (shares[:, 0] > 0.9999).astype(float)}

    found = sobol_indices(model, inputs=2, n=2**12, seed=3)["f"]
    assert np.isfinite(found.first).all()
    assert np.isfinite(found.total).all()


def test_indices_agree_with_scipys():
    def model(shares, _changed=None):
        return {"f": shares[:, 0] + 2.0 * shares[:, 1] * shares[:, 2]}

    uniform = [stats.uniform()] * 3
    known = stats.sobol_indices(
        func=lambda x: model(x.T)["f"][None], n=2**12, dists=uniform, rng=np.random.default_rng(3)
    )
    found = sobol_indices(model, inputs=3, n=2**12, seed=3)["f"]
    assert found.first[:, 0] == pytest.approx(known.first_order.ravel(), abs=0.01)
    assert found.total[:, 0] == pytest.approx(known.total_order.ravel(), abs=0.01)


def test_a_draw_is_the_same_for_the_same_seed_only():
    assert np.array_equal(draw(64, 3, seed=5), draw(64, 3, seed=5))
    assert not np.array_equal(draw(64, 3, seed=5), draw(64, 3, seed=6))
    assert draw(4, 0, seed=1).shape == (4, 0)
