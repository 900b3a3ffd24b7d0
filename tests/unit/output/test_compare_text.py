"""What a comparison says of its options."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.comparison.line_up import compare_options, line_up
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.measure.wording import Words
from cableroute.output.compare_text import MOST_FINDINGS, comparison_lines
from cableroute.verdict.check import Check

GAS = Cable("gas", np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0]], float), "push-pull", 160.0)


def with_findings(option, findings):
    return replace(option, cable=replace(option.cable, checks=findings))


@pytest.mark.parametrize(
    ("more", "what_if", "told"),
    [
        (0, False, None),
        (1, False, "gas: and 1 more finding: see cableroute check FILE"),
        (2, False, "gas: and 2 more findings: see cableroute check FILE"),
        (1, True, "gas: and 1 more finding: see --json"),  # check knows the kind in the file only
    ],
)
def test_findings_left_out_are_counted(more, what_if, told):
    (one,), _ = line_up({"gas": assess(Job("", (GAS,)))}, pair=True)
    finding = Check(
        code="code", name="", where="sill", message="Mind it.", value=3.0, marginal=2.0, unit="mm"
    )
    first, second = one.options
    options = (
        with_findings(replace(first, what_if=what_if), (finding,) * (MOST_FINDINGS + more)),
        with_findings(second, ()),
    )
    lines = [line for _, line in comparison_lines([compare_options(options)], (), words=Words())]
    assert [line for line in lines if "more finding" in line] == ([told] if told else [])


def test_a_comparison_of_an_inch_machine_tells_no_millimetres():
    job = Job(
        "", (replace(GAS, family=load_library()["push-solid-medium"], travel=50.8),), unit="in"
    )
    comparisons, _ = line_up({"gas": assess(job)}, pair=True)
    told = "\n".join(line for _, line in comparison_lines(comparisons, (), words=Words("in")))
    lost = comparisons[0].options[0].figures.lost
    assert f'{lost.total / 25.4:.2f}"' in told
    assert f'every reversal ({lost.clearance / 25.4:.2f}")' in " ".join(told.split())
    assert " mm" not in told
