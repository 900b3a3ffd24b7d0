"""A leaning rod: the balance of forces and moments by hand."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import CableRouteError
from cableroute.mechanics.swivel import leaning_rod

ROD = {"free_lean": 0.14, "exposed": 90.0, "guided": 30.0, "diameter": 6.0}


def test_a_free_swivel_bears_the_resultant_of_two_lines() -> None:
    F, lean = 300.0, 0.10
    lines = F * np.array([1.0, 0.0]) - F * np.array([np.cos(lean), np.sin(lean)])
    rod = leaning_rod(F, lean=lean, **ROD)

    assert float(rod.swivel) == pytest.approx(np.linalg.norm(lines))
    assert (rod.mouth, rod.stress) == (0.0, 0.0)


def test_beyond_its_stop_the_rod_is_a_lever() -> None:
    F, lean = 300.0, np.array([0.14, 0.17, 0.20])
    rod = leaning_rod(F, lean=lean, **ROD)
    across = F * np.tan(lean - 0.14)

    # moments about the rod's inner end: mouth * b = across * (a + b)
    assert rod.mouth * 30.0 == pytest.approx(across * 120.0)
    assert rod.stress == pytest.approx(across * 90.0 / (np.pi * 6.0**3 / 32.0))
    assert rod.swivel == pytest.approx(2.0 * F * np.sin(0.07))


def test_bad_input_is_refused() -> None:
    with pytest.raises(CableRouteError, match="guided rod"):
        leaning_rod(300.0, lean=0.1, **{**ROD, "guided": 0.0})
    with pytest.raises(CableRouteError, match="lean"):
        leaning_rod(300.0, lean=-0.1, **ROD)
