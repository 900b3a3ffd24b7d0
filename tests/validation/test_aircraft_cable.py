"""FAA, AC 43.13-1B: breaking loads of flexible control cable, and the spacing of supports.

Table 7-3: 1/16 in 7x7 480 lb, 3/32 in 7x7 920 lb, 1/8 in 7x19 2000 lb (carbon steel) and 1760 lb
(corrosion resistant). Paragraph 11-96a: supports of wiring at most 24 in apart.
"""

from __future__ import annotations

import pytest

from cableroute.hardware.wire_strength import STRAND_STRENGTH, strength_band
from cableroute.mechanics.clip_spacing import WIRING_SPACING, widest_spacing
from cableroute.mechanics.construction import core_section

INCH, LBF = 25.4, 4.4482216152605


@pytest.mark.parametrize(
    ("inches", "construction", "pounds"),
    [(1 / 16, "7x7", 480), (3 / 32, "7x7", 920), (1 / 8, "7x19", 2000), (1 / 8, "7x19", 1760)],
)
def test_table_7_3_against_the_metal_of_the_strand(
    inches: float, construction: str, pounds: float
) -> None:
    """A cable bears rope wire's 1500 to 1900 MPa on its metal: well below music wire as thin as that."""
    core = core_section(construction, diameter=inches * INCH, modulus=200e3)
    borne = pounds * LBF / core.area
    music, _ = strength_band(core.wire_diameter)

    assert STRAND_STRENGTH < borne < 1910.0
    assert 0.55 < borne / float(music) < 0.75


def test_paragraph_11_96a_no_clips_further_apart() -> None:
    assert pytest.approx(24 * INCH) == WIRING_SPACING
    assert float(widest_spacing(conduit_stiffness=1e9, weight=1e-3)) == pytest.approx(24 * INCH)
