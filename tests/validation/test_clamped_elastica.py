"""Large sags of a clamped rod with a load on its end, against the published elastica.

Bisshopp and Drucker, Large deflection of cantilever beams, Quarterly of Applied Mathematics 3
(1945) 272-275, as tabled in Mechanics of Materials texts (Gere, section 9.12); four digits, from
memory.
"""

from __future__ import annotations

import pytest

from cableroute.mechanics.sag import stiffness_of_sag


@pytest.mark.parametrize(
    ("load", "sag"), [(0.25, 0.0828), (1.0, 0.3017), (2.0, 0.4935), (3.0, 0.6033)]
)
def test_stiffness_comes_back_from_tabled_sags(load: float, sag: float) -> None:
    """P L^2/EI against y/L."""
    found = stiffness_of_sag(1.0, sag=sag, weight=0.0, tip_load=load)

    assert float(found) == pytest.approx(1.0, rel=2e-3)
