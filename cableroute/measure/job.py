"""A measured job: every point in one frame, every number in mm and N."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from cableroute.hardware.family import Family
from cableroute.measure.keepout import KeepOut
from cableroute.measure.linkage_models import LinkageEntry, SelectorEntry
from cableroute.measure.load_models import AnchorsEntry, ResistsEntry
from cableroute.measure.tubes import Tube


@dataclass(frozen=True, slots=True)
class Remark:
    """Something doubtful found while reading.

    Parameters
    ----------
    code : str
        Short name, as for a finding.
    where : str
        Point or node.
    message : str
        What is doubtful and what to do about it.
    """

    code: str
    where: str
    message: str


@dataclass(frozen=True, slots=True)
class CheckReading:
    """A distance taped between two points of a cable.

    Parameters
    ----------
    start : int
        One point, the first being 0 [-].
    end : int
        The other [-].
    read : float
        What the tape said [mm].
    axis : int or None
        0, 1 or 2 for an offset along x, y or z; None for the distance [-].
    """

    start: int
    end: int
    read: float
    axis: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Cable:
    """One cable as measured.

    Parameters
    ----------
    name : str
        What to call it.
    points : ndarray, shape (n, 3)
        Points from the hand end to the far end [mm].
    kind : str
        ``push-pull``, ``pull`` or ``pull-pair``.
    bend_radius : float
        Least bend radius to the conduit's centreline [mm].
    labels : tuple of str
        What to call each point; may be empty strings.
    fixes : tuple of (str or None)
        ``anchor``, ``clip`` or None for each point.
    point_radii : tuple of (float or None)
        Least bend radius of single points, instead of the cable's [mm].
    family : Family or None
        The cable's data, where known.
    friction : tuple of float or None
        Low and high coefficient of friction [-]; None leaves it to the family.
    load : float or None
        Force at the far end, pulling [N].
    push_load : float or None
        Force at the far end, pushing; of a pull pair, pulled the other way [N].
    preload : float or None
        Tension of both cores of a pull pair as assembled [N].
    travel : float or None
        Travel needed at the far end [mm].
    slack : float
        Slack wanted at least in the length ordered [mm].
    rod_end : str
        End condition of the exposed rod.
    controls : str or None
        What it works: ``throttle``, ``brake``, ``clutch``, ``steering``, ``selector``, ``other``.
    drag : float or None
        Force at the hand that moves the core with no load on it, as measured [N].
    resists : ResistsEntry or None
        What the far end resists with.
    hand_resists : float
        Force on the core that brings a pedal or lever let go back to rest [N].
    anchors : AnchorsEntry or None
        How the conduit's ends are held.
    temperature : tuple of float or None
        Coldest and hottest that the cable works at [degC].
    checks : tuple of CheckReading
        Distances taped between its points.
    remarks : tuple of Remark
        What is doubtful about its points.
    moves : tuple of str
        Where each point may be moved: ``no``, ``x``, ``y``, ``z``, ``tube`` or ``free``.
    tube_axes : tuple of (ndarray or None)
        Unit vector along the tube that a point lies on [-].
    tube_rooms : tuple of (tuple of float or None)
        How far such a point is from the start and from the end of its tube [mm].
    """

    name: str
    points: NDArray[np.float64]
    kind: str
    bend_radius: float
    labels: tuple[str, ...] = ()
    fixes: tuple[str | None, ...] = ()
    point_radii: tuple[float | None, ...] = ()
    family: Family | None = None
    friction: tuple[float, float] | None = None
    load: float | None = None
    push_load: float | None = None
    preload: float | None = None
    travel: float | None = None
    slack: float = 0.0
    rod_end: str = "pinned"
    controls: str | None = None
    drag: float | None = None
    resists: ResistsEntry | None = None
    hand_resists: float = 0.0
    anchors: AnchorsEntry | None = None
    temperature: tuple[float, float] | None = None
    checks: tuple[CheckReading, ...] = ()
    remarks: tuple[Remark, ...] = ()
    moves: tuple[str, ...] = ()
    tube_axes: tuple[NDArray[np.float64] | None, ...] = ()
    tube_rooms: tuple[tuple[float, float] | None, ...] = ()

    def point_name(self, index: int) -> str:
        """Return the label of a point, or its number counted from one.

        Parameters
        ----------
        index : int
            Which point, the first being 0 [-].

        Returns
        -------
        str
            ``sill`` or ``point 3``.
        """
        label = self.labels[index] if index < len(self.labels) else ""
        return label or f"point {index + 1}"


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """One machine and its cables.

    Parameters
    ----------
    title : str
        What the machine is.
    cables : tuple of Cable
        Its cables.
    unit : str
        Unit the tape was read in, for the words of findings.
    tape_tolerance : float
        One reading is good to plus or minus this [mm].
    notes : tuple of str
        What had to be assumed in reading it.
    keepouts : tuple of KeepOut
        Solids that every cable must keep away from.
    linkages : tuple of LinkageEntry
        What its cables join, hand to far arm.
    selectors : tuple of SelectorEntry
        Pairs of them on one lever.
    nodes : mapping of str to ndarray, shape (3,)
        Known points of the frame [mm].
    tubes : tuple of Tube
        Tubes of the frame.
    """

    title: str
    cables: tuple[Cable, ...]
    unit: str = "mm"
    tape_tolerance: float = 3.0
    notes: tuple[str, ...] = ()
    keepouts: tuple[KeepOut, ...] = ()
    linkages: tuple[LinkageEntry, ...] = ()
    selectors: tuple[SelectorEntry, ...] = ()
    nodes: Mapping[str, NDArray[np.float64]] = field(default_factory=dict)
    tubes: tuple[Tube, ...] = ()
