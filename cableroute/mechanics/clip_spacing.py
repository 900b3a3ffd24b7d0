"""How far apart clips may stand, by the sag between them."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.mechanics.capstan import check_above_zero, check_not_negative
from cableroute.units import MM_PER_UNIT

#: Widest spacing of supports for electric cables, 24 in: AC 43.13-1B, paragraph 11-96a [mm]. It
#: is for wiring; for control cables none is published, 300 to 600 mm is common practice.
WIRING_SPACING = 24.0 * float(MM_PER_UNIT["in"])


def widest_spacing(
    *, conduit_stiffness: ArrayLike, weight: ArrayLike, sag: ArrayLike = 5.0
) -> Array:
    r"""Return the widest spacing of clips at which the cable does not sag, nor passes 24 in.

    .. math:: L = \min\left(\sqrt[4]{\frac{384\,EI\,f}{w}},\ 610\ \mathrm{mm}\right)

    Parameters
    ----------
    conduit_stiffness : array-like
        EI of the conduit [N*mm^2].
    weight : array-like
        Weight of the whole cable [N/mm].
    sag : array-like
        Sag allowed between clips, f; 5 mm is our own choice [mm].

    Returns
    -------
    ndarray
        Spacing [mm].

    Raises
    ------
    CableRouteError
        For a stiffness or sag that is not above zero, or a negative weight.

    Notes
    -----
    For a level run. The cap is a rule for electric wiring, and no standard for control cables was
    found. A conduit that shakes, or that a foot or a load can catch, wants closer clips.

    References
    ----------
    .. [1] Any table of beams, as Young, Budynas, Roark's Formulas for Stress and Strain, table
       8.1 (from memory): even load, both ends clamped.
    .. [2] FAA, AC 43.13-1B, paragraph 11-96a: 24 in.

    Examples
    --------
    >>> float(widest_spacing(conduit_stiffness=150e3, weight=0.003).round(1))
    556.6
    """
    EI = check_above_zero(conduit_stiffness, name="conduit stiffness")
    f = check_above_zero(sag, name="sag")
    with np.errstate(divide="ignore"):
        free = (384.0 * EI * f / check_not_negative(weight, name="weight")) ** 0.25
    return np.minimum(free, WIRING_SPACING)
