"""A job from text that is in no file, as a notebook or a page holds it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cableroute.hardware.family import Family
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job
from cableroute.units import Unit


def read_text(
    text: str,
    *,
    source: str = "route.toml",
    unit: Unit | None = None,
    library: Mapping[str, Family] | None = None,
    overrides: Mapping[str, Any] | None = None,
) -> Job:
    """Read the text of a route file, or of a list of points, that is in no file.

    Parameters
    ----------
    text : str
        What would stand in the file.
    source : str
        Name for it, in the words of faults; its ending says what it is, as for :func:`read_job`.
    unit : str, optional
        Unit of bare numbers, instead of the text's own.
    library : mapping of str to Family, optional
        Cable families by name; the shipped ones if not given.
    overrides : mapping, optional
        Values that replace those of every cable, as for :func:`read_job`.

    Returns
    -------
    Job
        Everything in mm and N.

    Raises
    ------
    RouteFileError
        With one line for every fault found, each with source, line, cable and point.

    Examples
    --------
    >>> points = "0, 0, 0; 400, 0, 0; 400, 300, 0".replace("; ", chr(10))
    >>> job = read_text(points, source="points.csv", overrides={"bend_radius": 60.0})
    >>> job.cables[0].points[2].tolist()
    [400.0, 300.0, 0.0]
    """
    return read_job(source, unit=unit, library=library, overrides=overrides, content=text.encode())
