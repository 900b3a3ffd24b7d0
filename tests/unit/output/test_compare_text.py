"""What a comparison says of its options."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.comparison.line_up import compare_options, line_up
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.output.compare_text import MOST_FINDINGS, comparison_lines
from cableroute.verdict.findings import Finding

GAS = Cable("gas", np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0]], float), "push-pull", 160.0)


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
    finding = Finding("code", "marginal", "sill", "Mind it.", value=1.0, limit=2.0, unit="mm")
    first, second = one.options
    options = (
        replace(first, findings=(finding,) * (MOST_FINDINGS + more), what_if=what_if),
        replace(second, findings=()),
    )
    lines = [line for _, line in comparison_lines([compare_options(options)], (), inches=False)]
    assert [line for line in lines if "more finding" in line] == ([told] if told else [])


def test_a_comparison_of_an_inch_machine_tells_no_millimetres():
    job = Job(
        "", (replace(GAS, family=load_library()["push-solid-medium"], travel=50.8),), unit="in"
    )
    comparisons, _ = line_up({"gas": assess(job)}, pair=True)
    told = "\n".join(line for _, line in comparison_lines(comparisons, (), inches=True))
    lost = comparisons[0].options[0].figures.lost
    assert f'{lost.total / 25.4:.2f}"' in told
    assert f'every reversal ({lost.clearance / 25.4:.2f}")' in " ".join(told.split())
    assert " mm" not in told
