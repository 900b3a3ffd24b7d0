"""Where along a number a yes turns into a no: bisection, and a scan for the nearest such place."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

#: Bisection steps: a full turn down to less than rounding.
HALVINGS = 60

#: Multiples of the present value looked at [-].
SCAN = np.geomspace(0.25, 4.0, 49)


def bisect(test: Callable[[float], bool], *, holds: float, fails: float) -> float:
    """Return the last place towards `fails` at which a test still holds.

    Parameters
    ----------
    test : callable
        Takes a float, tells whether it holds.
    holds, fails : float
        A place where it does and one where it does not [any].

    Returns
    -------
    float
        Correct to rounding; always on the holding side.

    Examples
    --------
    >>> round(bisect(lambda x: x * x < 2, holds=0, fails=2), 9)
    1.414213562
    """
    for _ in range(HALVINGS):
        middle = (holds + fails) / 2
        holds, fails = (middle, fails) if test(middle) else (holds, middle)
    return holds


def nearest_change(test: Callable[[float], bool], *, present: float) -> float | None:
    """Return the value nearest the present one (by ratio) at which a test changes its answer.

    Parameters
    ----------
    test : callable
        Takes a float, tells whether it holds.
    present : float
        Where to look around: a quarter to four times this, above 0 [any].

    Returns
    -------
    float or None
        On the side where the test holds; None if it never changes there.

    Examples
    --------
    >>> round(nearest_change(lambda x: x * x >= 2, present=1), 9)
    1.414213562
    """
    places = [float(place) for place in present * SCAN]
    held = np.array([test(place) for place in places])
    changes = np.flatnonzero(held[1:] != held[:-1])
    if changes.size == 0:
        return None
    i = int(changes[np.argmin(np.abs(np.log(SCAN[changes])))])
    holds, fails = (i, i + 1) if held[i] else (i + 1, i)
    return bisect(test, holds=places[holds], fails=places[fails])
