"""How long a core's wires last: bend diameter over core diameter, fatigue of wires flexed."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray, TextArray
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_not_negative
from cableroute.mechanics.stress import check_strength

#: Load over breaking load, and the least sheave diameter over rope diameter for it [-].
#: MIL-F-18372(Aer), table before 3.1.1.17.8.
SHEAVE_TABLE = ((0.01, 0.10, 0.20), (10.0, 20.0, 28.0))
#: Repeated bending, from nothing to a peak and back, that a wire bears a million times and a hundred
#: thousand times: the peak over the tensile strength [-]. Shigley, Mechanical Engineering Design,
#: table 10-10, music wire and 302 stainless, not shot-peened (from memory).
MILLION_BENDS, HUNDRED_THOUSAND_BENDS = 0.50, 0.53


@frozen(eq=False)
class SheaveRatio:
    """Least bend diameter over core diameter.

    Parameters
    ----------
    least : ndarray
        Least ratio D/d [-].
    extrapolated : ndarray of bool
        Where the load lies beyond the table [-].
    """

    least: Array
    extrapolated: BoolArray


def sheave_ratio(load_share: ArrayLike) -> SheaveRatio:
    """Return how wide a stranded core must be bent: 10, 20, 28 at 1, 10, 20 % of its breaking load.

    Parameters
    ----------
    load_share : array-like
        Load over breaking load of the core [-].

    Returns
    -------
    SheaveRatio
        Bend diameter (in a conduit twice the bend radius) over core diameter, straight between the
        values of the table and on beyond 20 %, where it is marked; 10 below 1 %.

    Raises
    ------
    CableRouteError
        For a negative load.

    Notes
    -----
    For flexible rope that runs over a sheave; a core that slides in a conduit is bent at the ends
    of each bend only. Not for solid wire. For endurance 20 at least, whatever the load (a study of
    1974, quoted second hand).

    References
    ----------
    .. [1] MIL-F-18372(Aer), Flight control systems, table before 3.1.1.17.8.

    Examples
    --------
    >>> sheave_ratio([0.01, 0.15, 0.25]).least.round(1).tolist()
    [10.0, 24.0, 32.0]
    """
    share = check_not_negative(load_share, name="load over breaking load")
    loads, ratios = SHEAVE_TABLE
    slope = (ratios[-1] - ratios[-2]) / (loads[-1] - loads[-2])
    beyond = np.maximum(share - loads[-1], 0.0)
    return SheaveRatio(np.interp(share, loads, ratios) + slope * beyond, share > loads[-1])


def fatigue_share(
    stress_range: ArrayLike, *, strength: ArrayLike, mean: ArrayLike | None = None
) -> Array:
    r"""Return the repeated bending that tires a wire as much, as a share of its strength.

    A core that moves through the end of a bend goes from straight to :math:`R` and back: the range
    is :math:`E d_w/(2R)`, and the mean half of it, more by the pull. By Gerber, with amplitude
    :math:`\sigma_a` (half the range) and mean :math:`\sigma_m`, it tires the wire as much as
    bending from 0 to :math:`s S_{ut}` and back does:

    .. math:: \frac{s/2}{1 - (s/2)^2} = \frac{\sigma_a/S_{ut}}{1 - (\sigma_m/S_{ut})^2}

    Parameters
    ----------
    stress_range : array-like
        Highest less lowest stress of a stroke; where a stroke takes the core from one bend of an S
        into the other, the sum of theirs [MPa].
    strength : array-like
        Tensile strength of the wire [MPa].
    mean : array-like or None
        Mean stress; half the range where None [MPa].

    Returns
    -------
    ndarray
        Share s; infinite where the mean alone reaches the strength [-].

    Raises
    ------
    CableRouteError
        For a negative range, or a strength that is not above zero.

    Notes
    -----
    See :func:`fatigue_band`. Only the core that passes the end of a bend in a stroke is flexed.

    References
    ----------
    .. [1] Budynas, Nisbett, Shigley's Mechanical Engineering Design, section 10-13 (from memory):
       Gerber for springs of wire in bending.

    Examples
    --------
    >>> float(fatigue_share(1000.0, strength=2000.0).round(6))
    0.5
    """
    half = 0.5 * check_not_negative(stress_range, name="stress range")
    ultimate = check_strength(strength)
    middle = half if mean is None else np.asarray(mean, dtype=np.float64)
    left = 1.0 - (middle / ultimate) ** 2
    bearable = left > 0.0
    reversed_share = half / ultimate / np.where(bearable, left, 1.0)
    share = 4.0 * reversed_share / (1.0 + np.sqrt(1.0 + 4.0 * reversed_share**2))
    return np.where(bearable, share, np.inf)


def fatigue_band(
    stress_range: ArrayLike, *, strength: ArrayLike, mean: ArrayLike | None = None
) -> TextArray:
    """Return how long a wire flexed through a bend may last: ``long``, ``limited`` or ``short``.

    ``long`` up to a share of 0.50 (:func:`fatigue_share`), at which spring wire bears a million
    passes; ``limited`` up to 0.53, a hundred thousand; ``short`` beyond.

    Parameters
    ----------
    stress_range : array-like
        Highest less lowest stress of a pass [MPa].
    strength : array-like
        Tensile strength of the wire [MPa].
    mean : array-like or None
        Mean stress; half the range where None [MPa].

    Returns
    -------
    ndarray of str
        The band of each.

    Raises
    ------
    CableRouteError
        For a negative range, or a strength that is not above zero.

    Notes
    -----
    A warning, not a count of cycles: lives scatter by tens. Values for smooth, dry, sound wire;
    fretting between the wires of a strand, wear on the liner and rust shorten it. A small step in
    stress is a large one in life, so the middle band is narrow.

    References
    ----------
    .. [1] Budynas, Nisbett, Shigley's Mechanical Engineering Design, table 10-10 (from memory):
       music wire and 302 stainless in repeated bending, not shot-peened.

    Examples
    --------
    >>> fatigue_band([800.0, 1030.0, 1250.0], strength=2000.0).tolist()
    ['long', 'limited', 'short']
    """
    share = fatigue_share(stress_range, strength=strength, mean=mean)
    long, limited = share <= MILLION_BENDS, share <= HUNDRED_THOUSAND_BENDS
    return np.select([long, limited], ["long", "limited"], default="short")
