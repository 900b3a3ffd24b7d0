"""What a rod that leans does to its swivel, and to itself once the swivel is at its stop."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_above_zero, check_not_negative


@frozen(eq=False)
class LeaningRod:
    """Forces across a leaning rod.

    Parameters
    ----------
    swivel : ndarray
        Side load on the swivel's seat, where the core turns into the rod's line [N].
    mouth : ndarray
        Side load at the mouth of the guide, none while the swivel is free [N].
    stress : ndarray
        Bending stress of the rod at the mouth [MPa].
    """

    swivel: Array
    mouth: Array
    stress: Array


def leaning_rod(
    force: ArrayLike,
    *,
    lean: ArrayLike,
    free_lean: ArrayLike,
    exposed: ArrayLike,
    guided: ArrayLike,
    diameter: ArrayLike,
) -> LeaningRod:
    r"""Work out the side loads of a rod that leans from the line of its conduit.

    Up to its stop, :math:`\alpha_0`, the guide follows: the core turns at the swivel, whose seat
    bears :math:`2F\sin(\alpha/2)`. What the rod leans beyond it, :math:`\beta = \alpha - \alpha_0`,
    puts :math:`F\tan\beta` across its end. The mouth of the guide bears that and what its lever makes
    of it, the rod bends:

    .. math:: N = F\tan\beta\,(1 + a/b), \qquad \sigma = \frac{32\,F\tan\beta\,a}{\pi d^3}

    Parameters
    ----------
    force : array-like
        Pull or push in the rod [N].
    lean : array-like
        Angle between the rod's force and the line of the conduit [rad].
    free_lean : array-like
        Angle to which the swivel goes, to one side [rad].
    exposed : array-like
        Rod out of the guide, a [mm].
    guided : array-like
        Rod still within the guide, b, above zero [mm].
    diameter : array-like
        Rod diameter, d [mm].

    Returns
    -------
    LeaningRod
        The side loads and the stress.

    Raises
    ------
    CableRouteError
        For a negative number, or a guided length or diameter that is not above zero.

    Notes
    -----
    A rod's largest lean is the unsafe end. The core's turn at the swivel is wrap like any other and
    costs :math:`e^{\mu\alpha}`. A rod at full stroke is the worst: most exposed, least guided. The
    stress of a push comes on top of that of the column.

    Examples
    --------
    >>> rod = leaning_rod(
    ...     300.0, lean=0.20, free_lean=0.14, exposed=90.0, guided=30.0, diameter=6.0
    ... )
    >>> [float(each.round(1)) for each in (rod.swivel, rod.mouth, rod.stress)]
    [42.0, 72.1, 76.5]
    """
    F = check_not_negative(force, name="force")
    angle = check_not_negative(lean, name="lean")
    free = check_not_negative(free_lean, name="free lean")
    a = check_not_negative(exposed, name="exposed rod")
    b = check_above_zero(guided, name="guided rod", expected="mm")
    d = check_above_zero(diameter, name="rod diameter", expected="mm")
    across = F * np.tan(np.maximum(angle - free, 0.0))
    return LeaningRod(
        swivel=2.0 * F * np.sin(0.5 * np.minimum(angle, free)),
        mouth=across * (1.0 + a / b),
        stress=32.0 * across * a / (np.pi * d**3),
    )
