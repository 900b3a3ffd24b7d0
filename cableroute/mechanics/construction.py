"""What a core is made of: wires, area, stiffness."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Literal

from cableroute.errors import CableRouteError

Construction = Literal["solid", "1x7", "1x19", "7x7", "7x19"]

#: Wires in the core, wires laid side by side across it, and its modulus in tension as a share of
#: the wire's. Wire counts and diameters are geometry; the modulus shares stand for 110 GPa (one
#: strand) and 80 GPa (a rope of seven) with 200 GPa wire, from memory: ropes run 60 to 110 GPa
#: (compare Shigley, Mechanical Engineering Design, table 17-24: 83 GPa for 6x19).
_CONSTRUCTIONS: dict[str, tuple[int, int, float]] = {
    "solid": (1, 1, 1.0),
    "1x7": (7, 3, 0.55),
    "1x19": (19, 5, 0.55),
    "7x7": (49, 9, 0.40),
    "7x19": (133, 15, 0.40),
}
CONSTRUCTIONS: tuple[str, ...] = tuple(_CONSTRUCTIONS)


@dataclass(frozen=True, slots=True)
class CoreSection:
    """Section properties of a core.

    Parameters
    ----------
    construction : str
        ``solid``, ``1x7``, ``1x19``, ``7x7`` or ``7x19``.
    diameter : float
        Outside diameter of the core [mm].
    wires : int
        Number of wires [-].
    wire_diameter : float
        Diameter of one wire [mm].
    area : float
        Metal area [mm^2].
    bending_stiffness : float
        EI, for a strand the lower bound: its wires side by side, free to slide [N*mm^2].
    axial_stiffness : float
        EA with the lay of the strand allowed for [N].
    """

    construction: str
    diameter: float
    wires: int
    wire_diameter: float
    area: float
    bending_stiffness: float
    axial_stiffness: float


def core_section(construction: str, *, diameter: float, modulus: float) -> CoreSection:
    r"""Return the section properties of a core.

    With :math:`n` wires of diameter :math:`d_w`:
    :math:`A = n \pi d_w^2/4`, :math:`EI = n E \pi d_w^4/64`.

    Parameters
    ----------
    construction : str
        ``solid``, ``1x7``, ``1x19``, ``7x7`` or ``7x19``.
    diameter : float
        Outside diameter of the core [mm].
    modulus : float
        Modulus of elasticity of the wire [MPa].

    Returns
    -------
    CoreSection
        Wires, area, EI and EA.

    Raises
    ------
    CableRouteError
        For an unknown construction or a number that is not above zero.

    Notes
    -----
    Wires of one size, hexagonally packed: three, five, nine or fifteen side by side. The EI of a
    strand lies between this sum (wires slide) and near a solid's (wires locked by friction); the
    lower bound is what decides snaking.

    Examples
    --------
    >>> solid = core_section("solid", diameter=2.0, modulus=200e3)
    >>> strand = core_section("7x7", diameter=2.0, modulus=200e3)
    >>> round(solid.bending_stiffness), round(strand.bending_stiffness)
    (157080, 1173)
    """
    if construction not in _CONSTRUCTIONS:
        msg = f"core construction: expected one of {', '.join(CONSTRUCTIONS)}, got {construction!r}"
        raise CableRouteError(msg)
    if not (diameter > 0.0 and modulus > 0.0):
        msg = f"core: expected diameter and modulus above 0, got {diameter!r} mm, {modulus!r} MPa"
        raise CableRouteError(msg)
    wires, across, lay_share = _CONSTRUCTIONS[construction]
    wire = diameter / across
    area = wires * pi * wire**2 / 4.0
    return CoreSection(
        construction=construction,
        diameter=diameter,
        wires=wires,
        wire_diameter=wire,
        area=area,
        bending_stiffness=wires * modulus * pi * wire**4 / 64.0,
        axial_stiffness=lay_share * modulus * area,
    )
