"""A plate held at one edge and loaded at the other: P L^3/(3 E I), and how far that is true.

Large deflection of a cantilever under a tip force: Mattiasson, Int. J. Numerical Methods in
Engineering 17 (1981) 145, and Bisshopp and Drucker, Quarterly of Applied Mathematics 3 (1945) 272
(values from memory, recomputed by us). Linear theory gives 1/3 of P L^2/(E I).
"""

from __future__ import annotations

import pytest

from cableroute.mechanics.anchors import bracket_stiffness, bracket_travel

L, WIDTH, THICKNESS, E = 60.0, 40.0, 3.0, 200e3
EI = E * WIDTH * THICKNESS**3 / 12.0


def travel_share(load: float) -> float:
    """Deflection over length at a load given as P L^2/(E I)."""
    k = bracket_stiffness(length=L, width=WIDTH, thickness=THICKNESS, modulus=E)
    return float(bracket_travel(load * EI / L**2, stiffness=k)) / L


@pytest.mark.parametrize(("load", "printed", "digit"), [(1.0, 0.333, 5e-4), (10.0, 3.33, 5e-3)])
def test_linear_theory(load: float, printed: float, digit: float) -> None:
    assert travel_share(load) == pytest.approx(printed, abs=digit)


@pytest.mark.parametrize(
    ("load", "exact", "over"),
    [(0.2, 0.06636, 0.005), (1.0, 0.30172, 0.11), (2.0, 0.49346, 0.36)],
)
def test_the_linear_travel_is_never_less_than_the_true_one(
    load: float, exact: float, over: float
) -> None:
    """Half a per cent over at a fifteenth of the length, a tenth over at a third."""
    assert exact < travel_share(load) < (1.0 + over) * exact
