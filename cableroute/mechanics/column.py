"""The exposed rod at the end of a push cable: a column, Euler or Johnson."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.mechanics.capstan import check_above_zero, check_not_negative

#: End-condition constant C, recommended values (Shigley, Mechanical Engineering Design, 9th ed.,
#: table 4-2, p. 184). In theory the last two are 2 and 4, which needs ends that do not give.
END_CONSTANTS: dict[str, float] = {"free": 0.25, "pinned": 1.0, "fixed-pinned": 1.2, "fixed": 1.2}


def rod_buckling_load(
    diameter: ArrayLike,
    *,
    length: ArrayLike,
    modulus: ArrayLike,
    yield_strength: ArrayLike,
    end: str = "pinned",
) -> Array:
    r"""Return the push at which a round rod folds.

    With slenderness :math:`\lambda = L/k`, :math:`k = d/4`, and the end constant :math:`C`:

    .. math::

        P = A\,\frac{C \pi^2 E}{\lambda^2} \quad (\lambda > \lambda_1), \qquad
        P = A\left[S_y - \left(\frac{S_y \lambda}{2\pi}\right)^2 \frac{1}{CE}\right]
        \quad (\lambda \le \lambda_1)

    Euler above :math:`\lambda_1 = \sqrt{2\pi^2 C E/S_y}`, Johnson below; both give
    :math:`P/A = S_y/2` there.

    Parameters
    ----------
    diameter : array-like
        Rod diameter [mm].
    length : array-like
        Length between supports with the rod at full stroke [mm].
    modulus : array-like
        Modulus of elasticity [MPa].
    yield_strength : array-like
        Yield strength in compression [MPa].
    end : str
        ``pinned`` (a rod end at one side, a swivel guide at the other), ``free``,
        ``fixed-pinned`` or ``fixed``.

    Returns
    -------
    ndarray
        Critical load [N].

    Raises
    ------
    CableRouteError
        For an unknown end condition or a number that is not above zero.

    Notes
    -----
    Centric load on a straight rod. For rods and cores in the open only: inside its conduit a core
    cannot fold this way (see :mod:`cableroute.mechanics.push`).

    References
    ----------
    .. [1] Budynas, Nisbett, Shigley's Mechanical Engineering Design, 9th ed., equations 4-43, 4-45
       and 4-46, pp. 183-184.

    Examples
    --------
    >>> float(rod_buckling_load(3.0, length=100.0, modulus=200e3, yield_strength=600.0).round(2))
    784.85
    """
    if end not in END_CONSTANTS:
        msg = f"rod end condition: expected one of {', '.join(END_CONSTANTS)}, got {end!r}"
        raise CableRouteError(msg)
    d = check_above_zero(diameter, name="rod diameter")
    span = check_not_negative(length, name="exposed rod length")
    E = check_above_zero(modulus, name="rod modulus")
    Sy = check_above_zero(yield_strength, name="rod yield strength")
    C = END_CONSTANTS[end]
    slenderness = span / (d / 4.0)
    with np.errstate(divide="ignore"):
        euler = C * np.pi**2 * E / slenderness**2
    johnson = Sy - (Sy * slenderness / (2.0 * np.pi)) ** 2 / (C * E)
    stress = np.where(slenderness > np.sqrt(2.0 * np.pi**2 * C * E / Sy), euler, johnson)
    load: Array = np.pi * d**2 / 4.0 * stress
    return load
