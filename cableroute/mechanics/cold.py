"""What cold makes of a cable's friction: grease that stiffens, a dry liner, water that freezes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.hardware.lubricants import LUBRICANTS, Lubricant, Oil
from cableroute.units import ABSOLUTE_ZERO

#: Friction as given or measured is taken to be of this temperature [degC].
WARM = 20.0

#: Water in a conduit freezes below this, and can lock the core solid: no factor covers it
#: [degC].
FREEZING = 0.0

#: What a dry plastic liner's friction grows by for ten degrees of cold, low and high: common
#: practice, no source [-].
DRY_PER_TEN = (0.0, 0.05)

#: Below this no oil's line is drawn any further [degC].
COLDEST = -80.0

#: No cable works beyond this [degC].
_HOTTEST = 2000.0


@frozen(eq=False)
class ColdFactor:
    """What friction and drag of a warm cable are to be multiplied by.

    Parameters
    ----------
    low, high : ndarray
        Factor, 1 at 20 degC and above [-].
    beyond : ndarray of bool
        Whether it is colder than greases of that kind are good to: the poorest of them no longer
        flow, and the factor is an extrapolation [-].
    freezes : ndarray of bool
        Whether water in the conduit freezes [-].
    """

    low: Array
    high: Array
    beyond: BoolArray
    freezes: BoolArray


def thickening(temperature: ArrayLike, *, oil: Oil) -> Array:
    r"""Return an oil's viscosity over that at 20 degC, by two viscosities of it.

    Walther's line :math:`\log\log(\nu + 0.7) = A - B \log T`, T in kelvin.

    Parameters
    ----------
    temperature : array-like
        Temperature, -80 to 2000 [degC].
    oil : tuple
        Two pairs of temperature and kinematic viscosity [degC, mm^2/s].

    Returns
    -------
    ndarray
        Ratio; above 1 where it is colder [-].

    Raises
    ------
    CableRouteError
        For a temperature beyond the line.

    Notes
    -----
    Extrapolated downwards the line reads high for waxy and synthetic oils, so it is a safe end.

    References
    ----------
    .. [1] ASTM D341, viscosity-temperature charts for liquid petroleum products (from memory).

    Examples
    --------
    >>> float(thickening(-10.0, oil=((40.0, 100.0), (100.0, 11.1))).round(1))
    15.5
    """
    T = _checked(temperature)
    (cold, thick), (warm, thin) = oil
    lines = [np.log10(np.log10(each + 0.7)) for each in (thick, thin)]
    kelvins = [np.log10(each - ABSOLUTE_ZERO) for each in (cold, warm)]
    slope = (lines[1] - lines[0]) / (kelvins[1] - kelvins[0])

    def viscosity(at: ArrayLike) -> Array:
        line = lines[0] + slope * (np.log10(np.asarray(at) - ABSOLUTE_ZERO) - kelvins[0])
        return np.asarray(10.0 ** (10.0**line) - 0.7)

    ratio: Array = viscosity(T) / viscosity(WARM)
    return ratio


def cold_factor(temperature: ArrayLike, *, lubricant: str | None = None) -> ColdFactor:
    r"""Return what cold multiplies a cable's friction and drag by.

    Of a greased cable the share :math:`s` of friction that is the shearing of its grease grows as
    its base oil thickens: :math:`f = 1 + s\,(\nu(T)/\nu(20) - 1)`. The low end has the oil that
    stiffens least and the least share, the high end the other. A dry liner takes
    :data:`DRY_PER_TEN`. Of a lubricant not known the band is from a dry liner's low end to the high
    end of ``mineral-2``, the common grease.

    Parameters
    ----------
    temperature : array-like
        How cold it gets; 1 from 20 up [degC].
    lubricant : str or None
        Name of :data:`~cableroute.hardware.lubricants.LUBRICANTS`; None if not known.

    Returns
    -------
    ColdFactor
        Low and high end.

    Raises
    ------
    CableRouteError
        For a lubricant that is not known, or a temperature below -80 or above 2000.

    Notes
    -----
    The thickening is published, the share is not: a band an order wide, to give way to a spring
    scale and a cold night. Grease shears at its own force whatever the load, so a factor on friction
    is too low for an unloaded cable and too high for a loaded one; multiply a measured drag by it.

    Where water freezes there is no factor: it can lock the core solid. See
    :func:`~cableroute.route.low_points.low_points`.

    Examples
    --------
    >>> for T in (-10, -40):
    ...     f = cold_factor(T, lubricant="silicone-2")
    ...     print(f"{float(f.low):.2f} to {float(f.high):.2f}")
    1.02 to 1.10
    1.07 to 1.40
    """
    T = _checked(temperature)
    if lubricant is not None and lubricant not in LUBRICANTS:
        known = ", ".join(LUBRICANTS)
        raise CableRouteError(f'lubricant: expected one of {known}; got "{lubricant}"')
    if lubricant is None:
        (low, _), (_, high) = (_band(T, LUBRICANTS[name]) for name in ("dry", "mineral-2"))
        grease = LUBRICANTS["mineral-2"]
    else:
        grease = LUBRICANTS[lubricant]
        low, high = _band(T, grease)
    beyond = grease.good_to[0] > T if grease.good_to else np.zeros(T.shape, dtype=bool)
    return ColdFactor(low, high, np.asarray(beyond), np.asarray(T < FREEZING))


def _checked(temperature: ArrayLike) -> Array:
    T = np.asarray(temperature, dtype=np.float64)
    if not ((T >= COLDEST) & (T <= _HOTTEST)).all():
        raise CableRouteError(
            f"temperature: expected {COLDEST:g} to {_HOTTEST:g} degC, got {temperature!r}"
        )
    return T


def _band(temperature: Array, lubricant: Lubricant) -> tuple[Array, Array]:
    """Low and high factor of one lubricant."""
    T = np.minimum(temperature, WARM)
    if lubricant.oils is None:
        low, high = (1.0 + per_ten * (WARM - T) / 10.0 for per_ten in DRY_PER_TEN)
    else:
        low, high = (
            1.0 + share * (thickening(T, oil=oil) - 1.0)
            for share, oil in zip(lubricant.share, lubricant.oils, strict=True)
        )
    return low, high
