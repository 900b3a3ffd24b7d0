"""Exceptions that callers may catch.

::

    CableRouteError          anything wrong with what the user gave
    ├── TapeError            a length, force or angle that cannot be read
    ├── RouteFileError       a route file, survey or library with one or more faults
    ├── GeometryError        points from which no route can be made
    └── SolverError          an iteration that did not reach its stated tolerance

A bend that is too tight, or a core that folds, is not an error: it is a finding
(:mod:`cableroute.verdict`).
"""

from __future__ import annotations

from collections.abc import Iterable


class CableRouteError(ValueError):
    """Base of every error raised for what the user gave; its text is meant for the user.

    Parameters
    ----------
    told : object
        The text.
    argument : str, optional
        Which argument is at fault or would help, so that a caller can name it in words of its own.
    """

    def __init__(self, *told: object, argument: str = "") -> None:
        self.argument = argument
        super().__init__(*told)


class TapeError(CableRouteError):
    """Raised when a length, force or angle cannot be read, or can be read in two ways."""


class RouteFileError(CableRouteError):
    """Raised once for a whole file, with every fault found in it.

    Parameters
    ----------
    faults : iterable of str
        One line each, already naming file, line, cable and point.
    argument : str, optional
        Which argument would help.
    """

    def __init__(self, faults: Iterable[str], *, argument: str = "") -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(self.faults), argument=argument)


class GeometryError(CableRouteError):
    """Raised when the points given define no route (too few, not finite, a reversal).

    Parameters
    ----------
    told : str
        What is wrong, what was expected and what was got.
    point : int, optional
        At which of the points, the first being 0; its number stands before the text [-].
    """

    def __init__(self, told: str, *, point: int | None = None) -> None:
        self.told, self.point = told, point
        super().__init__(told if point is None else f"point {point + 1}: {told}")


class SolverError(CableRouteError):
    """Raised when an iteration ends short of its stated tolerance; the text gives the residual."""
