"""What the wires of a core bear, and how long."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cableroute.errors import CableRouteError
from cableroute.figures.cable import Figures
from cableroute.frozen import frozen
from cableroute.hardware.family import Family
from cableroute.hardware.wire_strength import STRAND_STRENGTH, strength_band
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.life import fatigue_band, sheave_ratio
from cableroute.mechanics.stress import helix_stress, wire_stress
from cableroute.route.pieces import STRAIGHT


@frozen
class Strain:
    """What the wires of a core bear, and how long.

    Parameters
    ----------
    corner : int
        Corner of the bend where they bear most, pulled; the first being 0 [-].
    bending, direct : float
        Stress there [MPa].
    strength : float
        Tensile strength of the wire; where it is not given the table's low end, of a strand that of
        control cable [MPa].
    table : tuple of float or None
        What tables give wire of that kind and diameter, low and high; None beyond them [MPa].
    given : bool
        Whether the strength is given.
    pushed : float or None
        Greatest stress of the core pushed; None for a cable that only pulls, or locks up [MPa].
    snaking : float
        What of that comes from the helix; 0 where the core does not snake there [MPa].
    ratio : float
        Bend diameter over core diameter in the tightest bend [-].
    least_ratio : float or None
        What that should be for its load; None for a solid core [-].
    extrapolated : bool
        Whether that load lies beyond the table.
    life : str
        ``long``, ``limited`` or ``short`` for wire flexed through that bend at every stroke.
    sure : Strain or None
        The same without what the core's stiffness adds to pull and push; None where it adds nothing.
    """

    corner: int
    bending: float
    direct: float
    strength: float
    table: tuple[float, float] | None
    given: bool
    pushed: float | None
    snaking: float
    ratio: float
    least_ratio: float | None
    extrapolated: bool
    life: str
    sure: Strain | None = None

    @property
    def stress(self) -> float:
        """Bending and direct stress [MPa]."""
        return self.bending + self.direct

    @property
    def share(self) -> float:
        """Bending and direct stress over the strength [-]."""
        return self.stress / self.strength


def strain_of(figures: Figures) -> Strain | None:
    """Work out what the wires bear; None without bends or without their strength."""
    found = _strain(figures)
    if found is None or not figures.stiffens:
        return found
    return replace(found, sure=_strain(figures.sure))


def _strain(figures: Figures) -> Strain | None:
    route, family, core = figures.route, figures.cable.family, figures.core
    bent = np.flatnonzero(route.turns > STRAIGHT)
    if family is None or core is None or not len(bent):
        return None
    table = _table_strength(core, family)
    strength = strength_of(core, family)
    if strength is None:
        return None
    tension = figures.pulls[1, 1:-1:2][bent] + figures.pull.held[1]
    if not np.isfinite(tension).all():
        return None
    radius = route.radii[bent]
    stress = wire_stress(
        core, radius=radius, tension=tension, modulus=family.core_modulus, strength=strength
    )
    worst, tightest = int(np.argmax(stress.total)), int(np.argmin(radius))
    least = sheave_ratio(tension[tightest] / (core.area * strength))
    bending, direct = float(stress.bending[worst]), float(stress.direct[worst])
    pushed, snaking = _pushed(figures)
    return Strain(
        corner=int(bent[worst]),
        bending=bending,
        direct=direct,
        strength=strength,
        table=table,
        given=family.core_strength is not None,
        pushed=pushed,
        snaking=snaking,
        ratio=2.0 * float(route.min_radius) / core.diameter,
        least_ratio=None if core.construction == "solid" else float(least.least),
        extrapolated=bool(least.extrapolated),
        life=str(fatigue_band(bending, strength=strength, mean=0.5 * bending + direct)),
    )


def strength_of(core: CoreSection, family: Family) -> float | None:
    """Return the strength of a core's wire as given, or as assumed; None beyond all tables [MPa]."""
    return family.core_strength or _assumed_strength(core, _table_strength(core, family))


def _assumed_strength(core: CoreSection, table: tuple[float, float] | None) -> float | None:
    """Return the lower table's strength, or that of control cable for a strand [MPa]."""
    known = [table[0]] if table else []
    if core.construction != "solid":  # seldom of wire as strong as the tables'
        known.append(STRAND_STRENGTH)
    return min(known, default=None)


def _table_strength(core: CoreSection, family: Family) -> tuple[float, float] | None:
    """Return what tables give wire of that kind and diameter; None beyond them [MPa]."""
    try:
        low, high = strength_band(core.wire_diameter, wire=family.core_wire)
    except CableRouteError:
        return None
    return float(low), float(high)


def _pushed(figures: Figures) -> tuple[float | None, float]:
    """Greatest stress of the pushed core, on its straights or in its bends, and the helix's part."""
    route, family, core = figures.route, figures.cable.family, figures.core
    if (
        figures.push is None
        or figures.pushes is None
        or figures.push.lockup
        or not (core and family)
    ):
        return None, 0.0
    forces = figures.pushes[1]
    radii = np.full(len(forces) - 1, np.inf)
    radii[1::2] = np.where(route.turns > STRAIGHT, route.radii, np.inf)
    stress = helix_stress(
        core,
        force=forces[:-1] + figures.push.through.held[1],
        clearance=family.clearance,
        radius=radii,
    )
    worst = int(np.argmax(stress.total))
    return float(stress.total[worst]), float(stress.snaking[worst])
