"""Bending stiffness of a core from how far a clamped length of it sags."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_above_zero, check_not_negative

#: Cuts along the length; the sum over them is good to 1e-5 of EI [-].
_CUTS = 400
#: Rounds of shape and stiffness in turn; each lessens the error [-].
_ROUNDS = 20

#: Steps of Newton's method for one shape [-].
_STEPS = 6

#: Sag beyond this share of the length says little of the stiffness: the end hangs down [-].
MOST_SAG = 0.7

#: No reading of stiffness is better than this share: the clamp gives and is not quite level;
#: common practice, no source [-].
LEAST_DOUBT = 0.01


@frozen(eq=False)
class SagStiffness:
    """Bending stiffness from sags of a clamped length.

    Parameters
    ----------
    each : ndarray, shape (n,)
        EI by each reading [N*mm^2].
    doubt : ndarray, shape (n,)
        Doubt of each from length, sag and weight, a 95 % half-width as a share of it [-].
    low, high : float
        Band over all readings, each with its doubt [N*mm^2].
    """

    each: Array
    doubt: Array
    low: float
    high: float


def sag_of_clamped(
    length: ArrayLike, *, stiffness: ArrayLike, weight: ArrayLike, tip_load: ArrayLike = 0.0
) -> Array:
    r"""Return how far the end of a level clamped length sags, small slopes taken.

    .. math:: y = \frac{w L^4}{8EI} + \frac{P L^3}{3EI}

    Parameters
    ----------
    length : array-like
        Free length [mm].
    stiffness : array-like
        Bending stiffness EI [N*mm^2].
    weight : array-like
        Its own weight [N/mm].
    tip_load : array-like
        Load hung on the free end [N].

    Returns
    -------
    ndarray
        Sag of the end; too large by up to 1 % at a tenth of the length, 5 % at a fifth [mm].

    Raises
    ------
    CableRouteError
        For a length or stiffness not above zero, a weight or load below it.

    References
    ----------
    .. [1] Gere, Mechanics of Materials, table G-1, cases 1 and 4 (from memory).

    Examples
    --------
    >>> float(sag_of_clamped(300.0, stiffness=1000.0, weight=0.0, tip_load=0.001).round(3))
    9.0
    """
    L = check_above_zero(length, name="length")
    EI = check_above_zero(stiffness, name="bending stiffness")
    w = check_not_negative(weight, name="weight")
    P = check_not_negative(tip_load, name="tip load")
    sag: Array = (w * L**4 / 8.0 + P * L**3 / 3.0) / EI
    return sag


def stiffness_of_sag(
    length: ArrayLike, *, sag: ArrayLike, weight: ArrayLike, tip_load: ArrayLike = 0.0
) -> Array:
    r"""Return the bending stiffness EI of a clamped length that sags so far, slopes of any size.

    The elastica :math:`EI\,\theta' = \int_s^L (w(L - u) + P)\cos\theta\,du` with
    :math:`y = \int_0^L \sin\theta\,ds`, turned about: the shape gives the moments, the sag gives
    EI, in turn until both stand.

    Parameters
    ----------
    length : array-like, shape (...)
        Free length, along the core [mm].
    sag : array-like, shape (...)
        How far the end is below the clamp [mm].
    weight : array-like, shape (...)
        Its own weight [N/mm].
    tip_load : array-like, shape (...)
        Load hung on the free end [N].

    Returns
    -------
    ndarray, shape (...)
        EI [N*mm^2].

    Raises
    ------
    CableRouteError
        For a sag that is not above 0 and up to :data:`MOST_SAG` of the length, or no weight at all.

    Notes
    -----
    A core straight by nature, clamped level. A set core is read both ways up and the two sags are
    averaged. Small slopes give :func:`sag_of_clamped`.

    Examples
    --------
    >>> float(stiffness_of_sag(300.0, sag=9.0, weight=0.0, tip_load=0.001).round())
    999.0
    """
    L, y, w, P = np.broadcast_arrays(
        check_above_zero(length, name="length"),
        check_above_zero(sag, name="sag"),
        check_not_negative(weight, name="weight"),
        check_not_negative(tip_load, name="tip load"),
    )
    if not (y <= MOST_SAG * L).all():
        share = f"{MOST_SAG:g} of the free length"
        raise CableRouteError(f"sag: expected at most {share}, got {y.tolist()!r} mm")
    if not (w * L + P > 0.0).all():
        raise CableRouteError(
            "sag: expected a weight of the core or a load on its end, got neither"
        )
    u = (np.arange(_CUTS) + 0.5) / _CUTS
    moment_of = w[..., None] * L[..., None] * (1.0 - u) + P[..., None]  # what bends it, per cut [N]
    slope = np.zeros_like(moment_of)
    for _ in range(_ROUNDS):
        slope = _scaled_to(y / L, shape=_shape(moment_of * np.cos(slope)))
    # the slope is L^2/EI times the shape
    EI: Array = L**2 * _shape(moment_of * np.cos(slope))[..., -1] / slope[..., -1]
    return EI


def _shape(load: Array) -> Array:
    """Slope at the middle of each cut for EI and length of one: the load summed twice."""
    moment = np.cumsum(load[..., ::-1], axis=-1)[..., ::-1] - 0.5 * load
    return (np.cumsum(moment, axis=-1) - 0.5 * moment) / _CUTS**2


def _scaled_to(sag: Array, *, shape: Array) -> Array:
    """Slope of this shape whose sines add up to the sag, by Newton's method."""
    scale = sag / shape.mean(axis=-1)
    for _ in range(_STEPS):
        slope = scale[..., None] * shape
        off = np.sin(slope).mean(axis=-1) - sag
        scale = scale - off / (shape * np.cos(slope)).mean(axis=-1)
    return np.asarray(scale[..., None] * shape)


def stiffness_by_sag(
    *,
    length: ArrayLike,
    sag: ArrayLike,
    weight: float,
    tip_load: ArrayLike = 0.0,
    tolerance: float = 1.0,
    weight_doubt: float = 0.02,
) -> SagStiffness:
    r"""Return the band of EI that sags of one core leave.

    Each reading has the doubt :math:`\sqrt{(4t/L)^2 + (\sqrt2\,t/y)^2 + \delta_w^2 + 0.01^2}`, for
    :math:`EI \propto wL^4/y`, the sag being the difference of two heights. The band is from the
    lowest end of all to the highest, not a mean: a strand let down from level sags less
    than one come up from below, and that hysteresis of its wires is what the band is for.

    Parameters
    ----------
    length : array-like, shape (n,)
        Free lengths [mm].
    sag : array-like, shape (n,)
        Sags of the end [mm].
    weight : float
        Weight of the core [N/mm].
    tip_load : array-like, shape (n,)
        Loads hung on the end [N].
    tolerance : float
        One reading of the rule is good to plus or minus this, 95 % half-width [mm].
    weight_doubt : float
        Doubt of weight and load as a share [-].

    Returns
    -------
    SagStiffness
        EI by each reading and the band.

    Raises
    ------
    CableRouteError
        As :func:`stiffness_of_sag`; and where the doubt of a reading is above half of it.

    Examples
    --------
    >>> found = stiffness_by_sag(length=[250, 300], sag=[30, 61], weight=0.00008)
    >>> [round(float(each)) for each in (*found.each, found.low, found.high)]
    [1287, 1284, 1217, 1357]
    """
    L, y, P = np.broadcast_arrays(np.atleast_1d(length), sag, tip_load)
    L, y, P = (np.asarray(each, dtype=np.float64) for each in (L, y, P))
    each = stiffness_of_sag(L, sag=y, weight=weight, tip_load=P)
    parts = (4.0 * tolerance / L, 2.0**0.5 * tolerance / y, weight_doubt, LEAST_DOUBT)
    doubt = np.sqrt(sum(np.square(part) for part in parts))
    if not (doubt <= 0.5).all():
        worst = int(np.argmax(doubt))
        raise CableRouteError(
            f"sag of {y[worst]:g} mm: too little to tell from what the rule is off by "
            f"({tolerance:g} mm); take a longer length or hang a load on the end"
        )
    return SagStiffness(
        each, doubt, float((each * (1 - doubt)).min()), float((each * (1 + doubt)).max())
    )
