"""What a core is made of: wires, area, stiffness."""

from __future__ import annotations

from math import inf, pi
from typing import Literal

from cableroute.errors import CableRouteError
from cableroute.frozen import frozen

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

#: Where tests put a strand under its working tension and barely bent, between free wires (0) and
#: locked ones (1): overhead conductors by sag and vibration (from memory: Papailiou, IEEE Trans.
#: Power Delivery 12 (1997) 1576-1588; EPRI, Transmission Line Reference Book, on wind-induced
#: motion), stay cables about half of the solid (from memory: Caetano, Cable Vibrations in
#: Cable-Stayed Bridges, IABSE 2007). A slack strand bent far slips and falls towards 0; none of
#: these is a control cable [-].
TESTED_SHARE = (0.3, 0.6)


@frozen
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
        EI at its slack end: the wires of a strand side by side, free to slide; or the low end of a
        measured one. Decides pushing and snaking [N*mm^2].
    axial_stiffness : float
        EA with the lay of the strand allowed for [N].
    locked_stiffness : float
        EI at its stiff end: the wires locked by friction and tension; or the high end of a measured
        one. Decides drag, return, spring-back and the natural lay [N*mm^2].
    modulus : float
        Modulus of elasticity of the wire [MPa].
    measured : bool
        Whether the two are a measurement rather than bounds.
    """

    construction: str
    diameter: float
    wires: int
    wire_diameter: float
    area: float
    bending_stiffness: float
    axial_stiffness: float
    locked_stiffness: float
    modulus: float
    measured: bool = False

    @property
    def tested_stiffness(self) -> tuple[float, float]:
        """EI that published tests would let one expect under tension; as measured if so [N*mm^2]."""
        if self.measured:
            return (self.bending_stiffness, self.locked_stiffness)
        low, high = (
            self.bending_stiffness + share * (self.locked_stiffness - self.bending_stiffness)
            for share in TESTED_SHARE
        )
        return (low, high)


def core_section(
    construction: str,
    *,
    diameter: float,
    modulus: float,
    stiffness: tuple[float, float] | None = None,
) -> CoreSection:
    r"""Return the section properties of a core.

    With :math:`n` wires of diameter :math:`d_w`:
    :math:`A = n \pi d_w^2/4`, :math:`EI` from :math:`n E \pi d_w^4/64` (wires free to slide) to
    :math:`E \pi d^4/64` (a solid round of the strand's diameter).

    Parameters
    ----------
    construction : str
        ``solid``, ``1x7``, ``1x19``, ``7x7`` or ``7x19``.
    diameter : float
        Outside diameter of the core [mm].
    modulus : float
        Modulus of elasticity of the wire [MPa].
    stiffness : tuple of float or None
        EI as measured, low and high, instead of both bounds [N*mm^2].

    Returns
    -------
    CoreSection
        Wires, area, EI and EA.

    Raises
    ------
    CableRouteError
        For an unknown construction, a number that is not above zero, or a low end above the high.

    Notes
    -----
    Wires of one size, hexagonally packed: three, five, nine or fifteen side by side. Both ends are
    bounds. Locked in that packing, each wire about the strand's axis, a 1x7 comes to 7.9 times its
    free wires and a 1x19 to 21 times (parallel axes); the solid round, 12 and 33 times, is above any
    packing, any lay and what a binder or a swaged strand adds, so it is the safe one.

    Which holds depends on tension and bend: friction holds the wires until the shear of bending
    overcomes it, so a strand is stiff when barely bent and taut, soft when slack and bent far.
    Published tests are in :data:`TESTED_SHARE`; friction between the wires of a control cable's
    core is proved by none of them. Measure it: :mod:`cableroute.mechanics.sag`.

    Examples
    --------
    >>> solid = core_section("solid", diameter=2.0, modulus=200e3)
    >>> strand = core_section("7x7", diameter=2.0, modulus=200e3)
    >>> round(solid.bending_stiffness), round(strand.bending_stiffness)
    (157080, 1173)
    >>> round(strand.locked_stiffness / strand.bending_stiffness)
    134
    """
    if construction not in _CONSTRUCTIONS:
        msg = f"core construction: expected one of {', '.join(CONSTRUCTIONS)}, got {construction!r}"
        raise CableRouteError(msg)
    if not (diameter > 0.0 and modulus > 0.0):
        msg = f"core: expected diameter and modulus above 0, got {diameter!r} mm, {modulus!r} MPa"
        raise CableRouteError(msg)
    if stiffness is not None and not 0.0 < stiffness[0] <= stiffness[1] < inf:
        msg = f"bending stiffness: expected 0 < low <= high N*mm^2, got {stiffness!r}"
        raise CableRouteError(msg)
    wires, across, lay_share = _CONSTRUCTIONS[construction]
    wire = diameter / across
    area = wires * pi * wire**2 / 4.0
    free, solid = (n * modulus * pi * d**4 / 64.0 for n, d in ((wires, wire), (1, diameter)))
    slack, stiff = stiffness or (free, solid)
    return CoreSection(
        construction=construction,
        diameter=diameter,
        wires=wires,
        wire_diameter=wire,
        area=area,
        bending_stiffness=slack,
        axial_stiffness=lay_share * modulus * area,
        locked_stiffness=stiff,
        modulus=modulus,
        measured=stiffness is not None,
    )
