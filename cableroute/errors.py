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
    """Base of every error raised for what the user gave; its text is meant for the user."""


class TapeError(CableRouteError):
    """Raised when a length, force or angle cannot be read, or can be read in two ways."""


class RouteFileError(CableRouteError):
    """Raised once for a whole file, with every fault found in it.

    Parameters
    ----------
    faults : iterable of str
        One line each, already naming file, line, cable and point.
    """

    def __init__(self, faults: Iterable[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(self.faults))


class GeometryError(CableRouteError):
    """Raised when the points given define no route (too few, not finite, a reversal)."""


class SolverError(CableRouteError):
    """Raised when an iteration ends short of its stated tolerance; the text gives the residual."""
