"""Limits, expansion and friction of liner materials, as printed."""

from __future__ import annotations

import pytest

from cableroute.hardware.liners import LINERS, STEEL_EXPANSION
from cableroute.mechanics.heat import free_play_change, liner_growth

# greatest operating temperature [degC], thermal expansion [1e-6 per degC]
CRAWFORD = {
    "acetal": (85, 80),
    "acetal-copolymer": (90, 95),
    "nylon66": (90, 90),
    "ldpe": (50, 200),
    "hdpe": (55, 120),
    "ptfe": (250, 140),
}


@pytest.mark.parametrize("name", CRAWFORD)
def test_crawford_table_1_8(name: str) -> None:
    """Crawford, Plastics Engineering, Table 1.8; read from a scan."""
    limit, per_million = CRAWFORD[name]

    assert LINERS[name].max_temperature == limit
    grown = liner_growth(
        length=1e6,
        liner_expansion=LINERS[name].expansion,
        conduit_expansion=0.0,
        temperature_range=(20.0, 21.0),
    )
    assert grown == (0.0, pytest.approx(per_million))


def test_ptfe_in_the_mechanical_engineers_data_handbook() -> None:
    """Mechanical Engineer's Data Handbook, p. 243: working range -270 to 260 degC."""
    assert LINERS["ptfe"].quoted_temperature == (260.0, 260.0)


@pytest.mark.parametrize(
    ("name", "low", "high"), [("acetal", 0.1, 0.3), ("acetal-copolymer", 0.15, 0.15)]
)
def test_shackelford_table_399(name: str, low: float, high: float) -> None:
    """Shackelford, CRC Materials Science and Engineering Handbook (2001), Table 399, static."""
    assert LINERS[name].friction == (low, high)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("ptfe", 0.10, 0.25), ("nylon66", 0.30, 0.50), ("acetal", 0.25, 0.50)],
)
def test_the_table_that_disagrees(name: str, low: float, high: float) -> None:
    """designengineers.blogspot.com, static friction: PTFE, PA, POM."""
    assert LINERS[name].dry_friction == (low, high)


def test_two_metres_of_hdpe_liner_over_sixty_degrees() -> None:
    """Our own arithmetic with Crawford's 120e-6: 14.4 mm; the core at 12e-6 grows 1.4 mm."""
    ask = {"length": 2000.0, "temperature_range": (20.0, 80.0)}
    hdpe = LINERS["hdpe"].expansion

    _, liner = liner_growth(**ask, liner_expansion=hdpe, conduit_expansion=0.0)
    _, core = liner_growth(**ask, liner_expansion=STEEL_EXPANSION, conduit_expansion=0.0)
    _, play = free_play_change(**ask, core_expansion=STEEL_EXPANSION, conduit_expansion=hdpe)

    assert float(liner) == pytest.approx(14.4, abs=0.05)
    assert float(core) == pytest.approx(1.4, abs=0.05)
    assert float(play) == pytest.approx(float(core - liner))
