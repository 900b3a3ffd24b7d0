"""What heat and cold do to lengths: free play between core and conduit, a liner that creeps."""

from __future__ import annotations

from math import isfinite

from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.hardware.liners import STEEL_EXPANSION
from cableroute.mechanics.capstan import check_not_negative
from cableroute.units import ABSOLUTE_ZERO


def free_play_change(
    *,
    length: ArrayLike,
    core_expansion: ArrayLike,
    conduit_expansion: ArrayLike,
    temperature_range: tuple[float, float],
    installed_at: float = 20.0,
) -> tuple[Array, Array]:
    r"""Return by how much the core grows slack in its conduit, coldest and hottest.

    .. math:: \Delta = (\alpha_{core} - \alpha_{conduit})\,L\,(T - T_0)

    Parameters
    ----------
    length : array-like
        Length of the conduit along the run [mm].
    core_expansion : array-like
        Linear thermal expansion of the core [1/K].
    conduit_expansion : array-like
        That of the conduit as a whole; of one with steel wires, that of steel [1/K].
    temperature_range : tuple of float
        Lowest and highest temperature of the whole run [degC].
    installed_at : float
        Temperature at which it was adjusted [degC].

    Returns
    -------
    cold, hot : ndarray
        Change of free play at the lowest and the highest temperature; positive is more slack,
        negative a tighter cable [mm].

    Raises
    ------
    CableRouteError
        For a negative length or expansion, or temperatures that are no range.

    Notes
    -----
    *The frame does not enter.* Core and conduit start and end at the same two brackets, so when
    the frame grows the conduit only bows a little less between them; how much core it uncovers is
    a matter of core against conduit. Left out are the exposed ends, a few tenths of a metre at
    most, where the core does run against the frame, and a conduit so short that the frame pulls it
    straight.

    *Steel in steel* changes next to nothing; an austenitic stainless core in a carbon steel conduit
    some tenths of a millimetre; any core in a conduit without steel, millimetres. The steel of a
    conduit, close-wound or laid along, is far stiffer than its liner and jacket, which have to
    follow or slide (:func:`liner_growth`).

    Core and conduit are taken to be equally warm, though one end of the run may lie by an exhaust.

    Examples
    --------
    >>> cold, hot = free_play_change(
    ...     length=2000.0, core_expansion=17e-6, conduit_expansion=12e-6,
    ...     temperature_range=(-40.0, 80.0),
    ... )
    >>> float(cold.round(2)), float(hot.round(2))
    (-0.6, 0.6)
    """
    core = check_not_negative(core_expansion, name="core expansion")
    conduit = check_not_negative(conduit_expansion, name="conduit expansion")
    return _at_extremes(length, core - conduit, temperature_range, installed_at)


def liner_growth(
    *,
    length: ArrayLike,
    liner_expansion: ArrayLike,
    conduit_expansion: ArrayLike = STEEL_EXPANSION,
    temperature_range: tuple[float, float],
    installed_at: float = 20.0,
) -> tuple[Array, Array]:
    r"""Return by how much a free liner comes out of its conduit, coldest and hottest.

    .. math:: \Delta = (\alpha_{liner} - \alpha_{conduit})\,L\,(T - T_0)

    Parameters
    ----------
    length : array-like
        Length of the conduit along the run [mm].
    liner_expansion : array-like
        Linear thermal expansion of the liner
        (:data:`~cableroute.hardware.liners.LINERS`) [1/K].
    conduit_expansion : array-like
        That of the conduit around it; 0 for the growth of the liner by itself [1/K].
    temperature_range : tuple of float
        Lowest and highest temperature of the whole run [degC].
    installed_at : float
        Temperature at which it was cut flush [degC].

    Returns
    -------
    cold, hot : ndarray
        Length beyond the conduit, both ends together, at the lowest and the highest temperature;
        negative where it has drawn back inside and the core runs on the conduit's edge [mm].

    Raises
    ------
    CableRouteError
        For a negative length or expansion, or temperatures that are no range.

    Notes
    -----
    An upper bound: the liner slides freely in its conduit. One that is bonded, extruded on, or
    held by its end caps strains instead, and presses on them.

    Examples
    --------
    >>> cold, hot = liner_growth(
    ...     length=2000.0, liner_expansion=120e-6, temperature_range=(-20.0, 80.0)
    ... )
    >>> float(cold.round(2)), float(hot.round(2))
    (-8.64, 12.96)
    """
    liner = check_not_negative(liner_expansion, name="liner expansion")
    conduit = check_not_negative(conduit_expansion, name="conduit expansion")
    return _at_extremes(length, liner - conduit, temperature_range, installed_at)


def _at_extremes(
    length: ArrayLike,
    difference: Array,
    temperature_range: tuple[float, float],
    installed_at: float,
) -> tuple[Array, Array]:
    """Return what a difference in expansion comes to at both ends of the range [mm]."""
    lowest, highest = temperature_range
    if not ABSOLUTE_ZERO <= lowest <= highest < float("inf"):
        raise CableRouteError(
            f"temperature range: expected {ABSOLUTE_ZERO} <= low <= high degC, "
            f"got low {lowest:g}, high {highest:g}"
        )
    if not (isfinite(installed_at) and installed_at >= ABSOLUTE_ZERO):
        raise CableRouteError(
            f"installed at: expected {ABSOLUTE_ZERO} degC or more, got {installed_at:g}"
        )
    per_kelvin = check_not_negative(length, name="length") * difference
    return per_kelvin * (lowest - installed_at), per_kelvin * (highest - installed_at)
