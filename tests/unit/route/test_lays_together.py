"""Cables that ask for lays side by side: answered in few batches, each as it is alone."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.errors import GeometryError
from cableroute.measure.job import Cable, Job
from cableroute.route import lays_together
from cableroute.route.lay_through import lay_through
from cableroute.route.lays_together import Wanted, alone, together

BENT = np.array([[0, 0, 0], [400, 0, 0], [400, 300, 0], [800, 300, 200]], dtype=float)
GENTLE = np.array([[0, 0, 0], [400, 20, 0], [800, 60, 0], [1200, 90, 0]], dtype=float)
FREE = np.full((4, 3), np.nan)


def asking(points, *lengths):
    """Ask for the free lay, then for longer ones, and return all lengths."""
    lays = yield Wanted(points, FREE)
    told = [float(lays.length)]
    for more in lengths:
        lays = yield Wanted(points, FREE, told[0] + more)
        told.append(float(lays.length))
    return told


@pytest.fixture
def batches(monkeypatch):
    sizes = []

    def counted(points, **given):
        sizes.append(np.shape(points)[:-2])
        return lay_through(points, **given)

    monkeypatch.setattr(lays_together, "lay_through", counted)
    monkeypatch.setattr(lays_together, "FEW", 2)
    lays_together._laid.cache_clear()
    return sizes


def test_those_alike_go_in_one_batch_and_get_what_they_get_alone(batches) -> None:
    runs = [BENT, GENTLE, 1.5 * BENT, np.add(BENT, 50.0)]
    single = [alone(asking(points, 30.0)) for points in runs]
    assert len(batches) == 8
    batches.clear()
    lays_together._laid.cache_clear()
    both = together([asking(points, 30.0) for points in runs])
    assert batches == [(3,), (), (3,), ()]
    for one, other in zip(single, both, strict=True):
        assert one == pytest.approx(other, rel=1e-4)


def test_one_that_asks_no_more_is_done_before_the_others(batches) -> None:
    short, long = together([asking(BENT), asking(BENT, 10.0, 20.0)])
    assert (len(short), len(long)) == (1, 3)
    assert batches == [(2,), (), ()]


def test_a_question_that_is_refused_stops_its_own_cable_only() -> None:
    def stubborn():
        try:
            yield Wanted(np.zeros((4, 3)), FREE)
        except GeometryError as error:
            return str(error)
        return ""

    told, lengths = together([stubborn(), asking(BENT)])
    assert "expected them apart" in told
    assert lengths[0] == pytest.approx(float(lay_through(BENT).length))


def test_few_are_each_asked_alone(batches, monkeypatch) -> None:
    monkeypatch.setattr(lays_together, "FEW", 4)
    found = together([asking(BENT, 30.0), asking(1.5 * BENT, 30.0), asking(GENTLE, 30.0)])
    assert batches == [()] * 6
    assert found[1] == alone(asking(1.5 * BENT, 30.0))


def test_a_batch_holds_so_many_spans_at_most(batches, monkeypatch) -> None:
    monkeypatch.setattr(lays_together, "MOST_SPANS", 8)
    together([asking(BENT) for _ in range(5)])
    assert batches == [(2,), (2,), ()]


def test_a_machine_of_cables_alike_asks_three_times_however_many_they_are(batches) -> None:
    cables = tuple(
        Cable(f"c{i}", np.add(BENT, 10.0 * i), "push-pull", 60.0, family="push-slick-medium")
        for i in range(4)
    )
    found = assess(Job("", cables))
    assert [size for size in batches if size] == [(4,)] * len(batches)
    assert len(batches) <= 3
    (one,) = assess(Job("", cables[2:3])).cables
    assert found.cables[2].figures.lay.length == pytest.approx(one.figures.lay.length, rel=1e-4)
    assert found.cables[2].verdict == one.verdict
