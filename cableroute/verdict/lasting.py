"""Figures of how a cable fares over its life: return, stress and wear, heat, friction that changes."""

from __future__ import annotations

from dataclasses import dataclass

from cableroute.hardware.liners import Liner
from cableroute.mechanics.ageing import Condition
from cableroute.mechanics.return_spring import ReturnMargin


@dataclass(frozen=True, slots=True, eq=False)
class Returning:
    """Whether a spring at the far end brings a pull cable back.

    Parameters
    ----------
    warm : ReturnMargin
        At high friction.
    cold : ReturnMargin
        With friction and drag as in the cold.
    """

    warm: ReturnMargin
    cold: ReturnMargin


@dataclass(frozen=True, slots=True)
class Aged:
    """What a cable asks in one condition, at the high end of its friction.

    Parameters
    ----------
    condition : Condition
        Which, and its friction.
    pull : float
        Force at the hand, pulling [N].
    passed : float
        Share of the pull that arrives [-].
    push : float or None
        Force at the hand, pushing, infinite where it locks up; None for a cable that only pulls [N].
    """

    condition: Condition
    pull: float
    passed: float
    push: float | None


@dataclass(frozen=True, slots=True)
class Heat:
    """What temperature does to a cable.

    Parameters
    ----------
    range : tuple of float
        Coldest and hottest [degC].
    given : bool
        Whether the file says so; else it is what the cable stands.
    free_play : tuple of float
        Slack that the core gains, coldest and hottest [mm].
    creep : tuple of float or None
        Length by which a free liner stands out of its conduit, coldest and hottest; None for a
        liner that is not known [mm].
    liner : Liner or None
        The liner, where it is known.
    """

    range: tuple[float, float]
    given: bool
    free_play: tuple[float, float]
    creep: tuple[float, float] | None
    liner: Liner | None


@dataclass(frozen=True, slots=True)
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

    @property
    def share(self) -> float:
        """Bending and direct stress over the strength [-]."""
        return (self.bending + self.direct) / self.strength


@dataclass(frozen=True, slots=True, eq=False)
class Lasting:
    """How a cable fares over its life.

    Parameters
    ----------
    returning : Returning or None
        Its return spring; None for a cable that pushes, or a spring that is not given.
    strain : Strain or None
        What its wires bear; None without bends or without their strength.
    heat : Heat or None
        What temperature does; None where neither cable nor file says how cold and hot.
    ages : tuple of Aged
        New, worn, dirty, dry and cold.
    resisting : float or None
        The most that the far end resists with over the travel, where that is given [N].
    """

    returning: Returning | None
    strain: Strain | None
    heat: Heat | None
    ages: tuple[Aged, ...]
    resisting: float | None = None
