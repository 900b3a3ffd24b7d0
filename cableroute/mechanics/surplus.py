"""What a conduit that is too long does: it bows, and bows are wrap."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.mechanics.capstan import check_not_negative


def surplus_wrap(surplus: ArrayLike, *, span: ArrayLike) -> Array:
    r"""Return the wrap of a bow that swallows surplus length, :math:`4\sqrt{6\,\Delta L/L}`.

    A straight span takes up the surplus by bowing out and back in four even arcs of alternating
    sense, each turning :math:`\alpha`; its slope rises and falls linearly, so
    :math:`\Delta L/L = \alpha^2/6`.

    Parameters
    ----------
    surplus : array-like
        Length too much between the ends of the span [mm].
    span : array-like
        Length of the straight span [mm].

    Returns
    -------
    ndarray
        Sum of the unsigned turns of the bow [rad].

    Notes
    -----
    Our own derivation (arcs of equal curvature, small slopes: the wrap is 4 % over at
    :math:`\Delta L/L` of 0.1). Zero where there is no span.

    Examples
    --------
    >>> float(np.degrees(surplus_wrap(100.0, span=1000.0)).round(1))
    177.5
    """
    extra = check_not_negative(surplus, name="surplus length")
    room = np.asarray(span, dtype=np.float64)
    share = np.divide(
        extra, room, out=np.zeros(np.broadcast_shapes(extra.shape, room.shape)), where=room > 0.0
    )
    wrap: Array = 4.0 * np.sqrt(6.0 * share)
    return wrap
