"""Tensile strength of spring wires, which grows as the wire gets thinner."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen


@frozen
class StrengthLaw:
    r"""Strength of one wire over a range of diameters, :math:`S_{ut} = A/d^m`.

    Parameters
    ----------
    constant : float
        A: the strength at 1 mm [MPa*mm^m].
    exponent : float
        m [-].
    smallest : float
        Diameter the law begins at [mm].
    largest : float
        Diameter the law ends at [mm].
    """

    constant: float
    exponent: float
    smallest: float
    largest: float

    def strength(self, diameter: ArrayLike) -> Array:
        """Return the strength by this law, whether or not it holds there.

        Parameters
        ----------
        diameter : array-like
            Wire diameter [mm].

        Returns
        -------
        ndarray
            Tensile strength [MPa].
        """
        strength: Array = self.constant / np.asarray(diameter, dtype=np.float64) ** self.exponent
        return strength


#: By ASTM number, thin to thick. Shigley's Mechanical Engineering Design, 8th edition on, table
#: 10-4: constants and ranges from memory; the 201 kpsi and 0.145 of A228 seen in its solutions.
WIRE_LAWS: dict[str, tuple[StrengthLaw, ...]] = {
    "A228": (StrengthLaw(2211.0, 0.145, 0.10, 6.5),),  # music wire
    "A229": (StrengthLaw(1855.0, 0.187, 0.50, 12.7),),  # oil-tempered
    "A227": (StrengthLaw(1783.0, 0.190, 0.70, 12.7),),  # hard-drawn
    "A232": (StrengthLaw(2005.0, 0.168, 0.80, 11.1),),  # chrome-vanadium
    "A401": (StrengthLaw(1974.0, 0.108, 1.60, 9.5),),  # chrome-silicon
    "A313": (  # 302 stainless
        StrengthLaw(1867.0, 0.146, 0.30, 2.5),
        StrengthLaw(2065.0, 0.263, 2.5, 5.0),
        StrengthLaw(2911.0, 0.478, 5.0, 10.0),
    ),
}
#: The older set, still in examination handbooks, which gives no ranges. That of A228 seen in a
#: worked example, the rest from memory. It has no stainless.
OLDER_WIRE_LAWS: dict[str, StrengthLaw] = {
    "A228": StrengthLaw(2060.0, 0.163, 0.0, np.inf),
    "A229": StrengthLaw(1610.0, 0.193, 0.0, np.inf),
    "A227": StrengthLaw(1510.0, 0.201, 0.0, np.inf),
    "A232": StrengthLaw(1790.0, 0.155, 0.0, np.inf),
    "A401": StrengthLaw(1960.0, 0.091, 0.0, np.inf),
}

#: What a strand is taken to bear on its metal where nothing is given [MPa]. The least of control
#: cable in AC 43.13-1B, table 7-3, is 1520: 920 lb on 3/32 in of 7x7, its metal by our own geometry.
STRAND_STRENGTH = 1500.0


def wire_strength(diameter: ArrayLike, *, wire: str = "A228") -> Array:
    r"""Return the tensile strength of a spring wire, :math:`S_{ut} = A/d^m`.

    Parameters
    ----------
    diameter : array-like
        Wire diameter [mm].
    wire : str
        ASTM number: ``A228`` music wire, ``A229`` oil-tempered, ``A227`` hard-drawn, ``A232``
        chrome-vanadium, ``A401`` chrome-silicon, ``A313`` 302 stainless.

    Returns
    -------
    ndarray
        Tensile strength by the newer constants [MPa].

    Raises
    ------
    CableRouteError
        For a wire that is not known, or a diameter outside its range.

    Notes
    -----
    A wire alone. A strand made of it breaks at about nine tenths of the sum (common practice, no
    source), and strands are seldom made of it: control cable bears some six tenths of what music
    wire as thin as its own would (:data:`STRAND_STRENGTH`). Another published set lies lower; see
    :func:`strength_band`.

    References
    ----------
    .. [1] Budynas, Nisbett, Shigley's Mechanical Engineering Design, 8th edition on, table 10-4
       (from memory).

    Examples
    --------
    >>> float(wire_strength(2.0).round())
    2000.0
    """
    d, laws = _check(diameter, wire)
    upper = np.array([law.largest for law in laws])
    which = np.searchsorted(upper, d)  # at a joint, the thinner range
    constant = np.array([law.constant for law in laws])[which]
    exponent = np.array([law.exponent for law in laws])[which]
    strength: Array = constant / d**exponent
    return strength


def strength_band(diameter: ArrayLike, *, wire: str = "A228") -> tuple[Array, Array]:
    """Return the least and the greatest strength that the sources give a spring wire.

    Parameters
    ----------
    diameter : array-like
        Wire diameter [mm].
    wire : str
        ASTM number, as in :func:`wire_strength`.

    Returns
    -------
    low, high : ndarray
        Tensile strengths; alike for ``A313``, for which there is one source [MPa].

    Raises
    ------
    CableRouteError
        For a wire that is not known, or a diameter outside its range.

    Notes
    -----
    The two sets of constants disagree by 7 % for A228 at 1 mm and by more for thicker wires and
    for the other wires. Judge a core by the low end unless its maker states a strength.

    Examples
    --------
    >>> low, high = strength_band(1.0)
    >>> float(low), float(high)
    (2060.0, 2211.0)
    """
    newer = wire_strength(diameter, wire=wire)
    older = OLDER_WIRE_LAWS[wire].strength(diameter) if wire in OLDER_WIRE_LAWS else newer
    return np.minimum(newer, older), np.maximum(newer, older)


def _check(diameter: ArrayLike, wire: str) -> tuple[Array, tuple[StrengthLaw, ...]]:
    if wire not in WIRE_LAWS:
        msg = f"spring wire: expected one of {', '.join(WIRE_LAWS)}, got {wire!r}"
        raise CableRouteError(msg)
    laws = WIRE_LAWS[wire]
    d = np.asarray(diameter, dtype=np.float64)
    low, high = laws[0].smallest, laws[-1].largest
    if not ((d >= low) & (d <= high)).all():
        msg = f"diameter of {wire} wire: expected {low:g} to {high:g} mm, got {diameter!r}"
        raise CableRouteError(msg)
    return d, laws
