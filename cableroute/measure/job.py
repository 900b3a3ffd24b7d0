"""A measured job: every point in one frame, every number in mm and N."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.frozen import frozen
from cableroute.hardware.family import Family
from cableroute.measure.checked_cable import check_cable, check_job
from cableroute.measure.models import RouteFile
from cableroute.measure.tubes import Tube
from cableroute.measure.wording import Words
from cableroute.shown import LONGEST_NAME, one_line

if TYPE_CHECKING:
    from cableroute.measure.keepout import KeepOut
    from cableroute.measure.linkage_models import LinkageEntry, SelectorEntry
    from cableroute.measure.load_models import AnchorsEntry, ResistsEntry

#: A reading this many tolerances out, with nothing to tell which it is, fails; our own choice [-].
FAR_OUT = 5.0


@frozen
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
    off : float or None
        How far a reading is out; None where that is not the matter [mm].
    far : float or None
        From where on that makes the place worthless [mm].
    """

    code: str
    where: str
    message: str
    off: float | None = None
    far: float | None = None


@frozen
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


@frozen(eq=False)
class Cable:
    """One cable as measured.

    Parameters
    ----------
    name : str
        What to call it.
    points : array-like, shape (n, 3)
        Points from the hand end to the far end; kept as an array of float64 [mm].
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
    family : Family or str or None
        The cable's data, where known, or the name of a family in the library shipped.
    friction : tuple of float or float or None
        Low and high coefficient of friction, or one number for both [-]; None leaves it to the
        family.
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
    bending_stiffness : tuple of float or None
        EI of the core as measured, low and high [N*mm^2]; None leaves it to the family.
    resists : ResistsEntry or None
        What the far end resists with.
    hand_resists : float
        Force on the core that brings a pedal or lever let go back to rest [N].
    anchors : AnchorsEntry or None
        How the conduit's ends are held.
    temperature : tuple of float or None
        Coldest and hottest that the cable works at [degC].
    lubricant : str or None
        What it runs in (:data:`~cableroute.hardware.lubricants.LUBRICANTS`); None leaves it to the
        family.
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
    tubes : tuple of (str or None)
        Name of the tube that each point lies on.
    notes : tuple of str
        What was taken for granted about it.
    places : sequence of str
        Where each point stands, in words for faults: file, line, cable, point.
    passes : tuple of str or str
        ``through`` for a point on the conduit's centreline, ``inside`` for the corner of two
        straights; one word for all points between the ends; all through where none is given.
    headings : tuple of (ndarray or None)
        Direction in which the conduit is held at each point, towards the far end [-].
    cut : bool
        Whether conduit and core are cut to length, and not bought in stock lengths.
    is_drawn : bool
        Whether its points were drawn and not taped, so that they are fitted as they are.

    Raises
    ------
    CableRouteError
        For a field that no route file could hold, with what was expected and what was got.
    """

    name: str
    points: Array
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
    bending_stiffness: tuple[float, float] | None = None
    resists: ResistsEntry | None = None
    hand_resists: float = 0.0
    anchors: AnchorsEntry | None = None
    temperature: tuple[float, float] | None = None
    lubricant: str | None = None
    checks: tuple[CheckReading, ...] = ()
    remarks: tuple[Remark, ...] = ()
    moves: tuple[str, ...] = ()
    tube_axes: tuple[Array | None, ...] = ()
    tube_rooms: tuple[tuple[float, float] | None, ...] = ()
    tubes: tuple[str | None, ...] = ()
    notes: tuple[str, ...] = ()
    places: Sequence[str] = ()
    passes: tuple[str, ...] | str = "through"
    headings: tuple[Array | None, ...] = ()
    cut: bool = False
    is_drawn: bool = False

    def __post_init__(self) -> None:
        check_cable(self)

    @property
    def through(self) -> BoolArray:
        """Which points lie on the conduit's centreline, shape (n,)."""
        through = np.ones(len(self.points), dtype=bool)
        if isinstance(self.passes, str):
            through[1:-1] = self.passes == "through"
        else:
            through[[i for i, how in enumerate(self.passes) if how == "inside"]] = False
        return through

    @property
    def held_headings(self) -> Array | None:
        """Headings as an array, shape (n, 3), nan where free; None where all are."""
        held = np.full((len(self.points), 3), np.nan)
        for i, heading in enumerate(self.headings):
            if heading is not None:
                held[i] = heading
        return None if np.isnan(held).all() else held

    def place_of(self, point: int | None) -> str:
        """Return where a point stands, in words for faults; of no point, which cable it is."""
        if point is not None and point < len(self.places):
            return self.places[point]
        name, number = one_line(self.name, most=LONGEST_NAME), "" if point is None else point + 1
        label = (
            one_line(self.labels[point], most=LONGEST_NAME)
            if point is not None and self.labels
            else ""
        )
        at = f", point {number}" + (f" ({label})" if label else "") if number else ""
        return f'cable "{name}"{at}'

    def point_name(self, index: int) -> str:
        """Return the label of a point, or its number counted from one."""
        label = self.labels[index] if index < len(self.labels) else ""
        return (label and one_line(label, most=LONGEST_NAME)) or f"point {index + 1}"


@frozen(eq=False)
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
    force_unit : str
        Unit that forces are told in: ``N``, ``lbf`` or ``kgf``.
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
    as_read : RouteFile or None
        The readings that its points were worked out from; None of a job made otherwise.
    """

    title: str
    cables: tuple[Cable, ...]
    unit: str = "mm"
    force_unit: str = "N"
    tape_tolerance: float = 3.0
    notes: tuple[str, ...] = ()
    keepouts: tuple[KeepOut, ...] = ()
    linkages: tuple[LinkageEntry, ...] = ()
    selectors: tuple[SelectorEntry, ...] = ()
    nodes: Mapping[str, Array] = field(default_factory=dict)
    tubes: tuple[Tube, ...] = ()
    as_read: RouteFile | None = None

    def __post_init__(self) -> None:
        check_job(self, Cable)

    @property
    def words(self) -> Words:
        """How lengths and forces are told."""
        return Words(self.unit, self.force_unit)
