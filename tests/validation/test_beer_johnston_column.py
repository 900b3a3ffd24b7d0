"""Beer, Johnston, Mechanics of Materials, sample problem 10.1, as in the FOSSEE textbook companion.

An aluminium column of 20 in, 5 kip, factor of safety 2.5, E 10.1e6 psi, a/b = 0.35: fixed and free
in the plane that decides, so twice as long as pinned. Printed: b = 1.6197 in, worked with the
slenderness 2L sqrt(12)/b rounded to 138.6/b; exact is 138.564/b and 1.6195 in.
"""

from __future__ import annotations

from math import sqrt

import pytest

from cableroute.mechanics.clip_spacing import bare_conduit_span

B, E, LOAD, LENGTH = 1.6197, 10.1e6, 2.5 * 5000.0, 20.0  # in, psi, lb, in


def test_sample_problem_10_1_span_at_which_the_section_folds() -> None:
    """A change of half a last digit of b moves the span by twice its share."""
    stiffness = E * 0.35 * B * B**3 / 12.0
    span = float(bare_conduit_span(LOAD, conduit_stiffness=stiffness))

    assert span == pytest.approx(138.6 / sqrt(12.0), rel=2.0 * 0.00005 / B)
    assert span == pytest.approx(2.0 * LENGTH, rel=5e-4)
