"""Every figure worked out for one cable: what the rules look at and the outputs show."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

from cableroute.hardware.stock import StockChoice
from cableroute.measure.job import Cable
from cableroute.measure.keepout import KeepOut
from cableroute.measure.wording import Words
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.lost_motion import LostMotion
from cableroute.mechanics.push_travel import PushTravel
from cableroute.route.clearance import Nearest
from cableroute.route.pieces import Route
from cableroute.route.survey import Survey


@dataclass(frozen=True, slots=True)
class Transmission:
    """A load moved at the far end and what that takes at the hand, over the friction range.

    Parameters
    ----------
    load : float
        Force at the far end [N].
    inputs : tuple of float
        Force at the hand at low and at high friction; infinite where it locks up [N].
    drag : float
        What of that is measured drag, there at any load [N].
    """

    load: float
    inputs: tuple[float, float]
    drag: float = 0.0

    @property
    def efficiencies(self) -> tuple[float, float]:
        """Far-end force over hand force at high and at low friction [-]."""
        return self._shares(self.inputs)

    @property
    def passed(self) -> tuple[float, float]:
        """The same without the drag: the share that bends let through at any load [-]."""
        return self._shares(hand - self.drag for hand in self.inputs)

    def _shares(self, hands: Iterable[float]) -> tuple[float, float]:
        low, high = (self.load / hand if hand > 0.0 else 1.0 for hand in hands)
        return high, low


@dataclass(frozen=True, slots=True)
class Push:
    """A push: its transmission, and what may fold.

    Parameters
    ----------
    through : Transmission
        Load and hand force.
    snaking_onset : float
        Push at which the core starts to snake in the bend that comes nearest to it, of like bends
        the widest; infinite if not known [N].
    snaking_use : float
        Push over onset where it is nearest to it, at high friction [-].
    rod_buckling : float or None
        Push at which the exposed rod folds; None without rod data [N].
    """

    through: Transmission
    snaking_onset: float
    snaking_use: float
    rod_buckling: float | None

    @property
    def lockup(self) -> bool:
        """Whether the core locks up at high friction."""
        return self.through.inputs[1] == inf

    @property
    def rod_safety(self) -> float | None:
        """Buckling load over the push at the hand at high friction; None without a push [-]."""
        if self.rod_buckling is None or self.lockup:
            return None
        hand = self.through.inputs[1]
        return self.rod_buckling / hand if hand > 0.0 else None


@dataclass(frozen=True, slots=True)
class Order:
    """Lengths to order.

    Parameters
    ----------
    conduit : float
        Conduit from anchor to anchor [mm].
    core : float
        Core, with its exposed ends and stroke [mm].
    need : float
        Length in what the stock is measured by, slack left out [mm].
    measure : str
        ``conduit`` or ``overall``.
    doubt : float
        What the tape leaves uncertain, plus or minus [mm].
    choice : StockChoice or None
        The stock length; None when no list is known.
    surplus_wrap : float
        Wrap that the slack of the chosen length adds, bowed evenly over the run [rad].
    """

    conduit: float
    core: float
    need: float
    measure: str
    doubt: float
    choice: StockChoice | None
    surplus_wrap: float


@dataclass(frozen=True, slots=True, eq=False)
class Clearance:
    """How near the run comes to a solid.

    Parameters
    ----------
    zone : KeepOut
        The solid.
    nearest : Nearest
        Where the centreline is nearest to it.
    clear : float
        From the conduit's outside to the solid; negative where they meet [mm].
    """

    zone: KeepOut
    nearest: Nearest
    clear: float


@dataclass(frozen=True, slots=True)
class NaturalLay:
    """The shape of least bending energy through the points as clips.

    Parameters
    ----------
    length : float
        Length from anchor to anchor [mm].
    wrap : float
        Sum of the unsigned turns [rad].
    min_radius : float
        Least bend radius [mm].
    spare : float or None
        Conduit of the stock length beyond this lay, negative where it is too short for it; None
        without a stock length [mm].
    slack_wrap : float
        Wrap added when the longest span swallows what is spare [rad].
    slack_radius : float
        Least bend radius of that span then [mm].
    slack_span : int
        Which leg that is, the first being 0 [-].
    failure : str
        Why there is none, or nothing.
    """

    length: float = 0.0
    wrap: float = 0.0
    min_radius: float = inf
    spare: float | None = None
    slack_wrap: float = 0.0
    slack_radius: float = inf
    slack_span: int = 0
    failure: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """All figures of one cable.

    Parameters
    ----------
    cable : Cable
        The cable as measured.
    route : Route
        The route as fitted.
    survey : Survey
        The points that were fitted, how far smoothing moved each, and the wrap as measured.
    friction : tuple of float
        Low and high [-].
    core : CoreSection or None
        The core, where the cable's data are known.
    bend_stress : float or None
        Bending stress of the wire in the tightest bend [MPa].
    pull : Transmission
        Pulling.
    drag_estimate : float or None
        Upper estimate of the force that moves the core with no load on it, at high friction; None
        without the cable's data [N].
    weight_force : float
        What the core's own weight adds to the pull at the hand, at high friction [N].
    push : Push or None
        Pushing; None for a pull cable.
    lost : LostMotion or None
        Lost motion at high friction, where the cable's data are known.
    push_lost : PushTravel or None
        What pushing loses to the core and the conduit, at high friction; None for a cable that
        only pulls.
    travel : float or None
        Travel needed, or else the cable's stroke [mm].
    order : Order
        Lengths to order.
    clearances : tuple of Clearance
        How near the run comes to each solid to keep out of.
    lay : NaturalLay or None
        The natural lay, where it was asked for.
    tolerance : float
        One reading is good to plus or minus this [mm].
    assumed : tuple of str
        What had to be assumed.
    unit : str
        Unit the tape was read in, for the words of findings.
    """

    cable: Cable
    route: Route
    survey: Survey
    friction: tuple[float, float]
    core: CoreSection | None
    bend_stress: float | None
    pull: Transmission
    drag_estimate: float | None
    weight_force: float
    push: Push | None
    lost: LostMotion | None
    push_lost: PushTravel | None
    travel: float | None
    order: Order
    clearances: tuple[Clearance, ...]
    lay: NaturalLay | None
    tolerance: float
    assumed: tuple[str, ...]
    unit: str = "mm"

    @property
    def words(self) -> Words:
        """How lengths are worded for the tape."""
        return Words(self.unit)

    @property
    def drag(self) -> float | None:
        """Force that moves the core with no load on it: as measured, or the upper estimate [N]."""
        return self.drag_estimate if self.cable.drag is None else self.pull.drag

    @property
    def lost_share(self) -> float | None:
        """Lost motion over the travel needed [-]."""
        return self.lost.total / self.travel if self.lost and self.travel else None

    @property
    def arrives(self) -> tuple[float | None, float | None]:
        """Travel that reaches the far end, pulling and pushing, of the travel at the hand [mm].

        It goes from one loaded end to the other, so both ways lose what gives at either end.
        """
        if self.lost is None or self.travel is None:
            return None, None
        left = max(self.travel - self.lost.total, 0.0)
        if self.push_lost is None:
            return left, None
        return left, left if self.lost.other_way is not None else 0.0  # locked up

    def corner_name(self, corner: int) -> str:
        """Return what the user calls a corner of the fitted route.

        Parameters
        ----------
        corner : int
            Which corner, the first being 0 [-].

        Returns
        -------
        str
            Label or number of its point.
        """
        return self.vertex_name(corner + 1)

    def vertex_name(self, vertex: int) -> str:
        """Return what the user calls a point of the fitted route.

        Parameters
        ----------
        vertex : int
            Which of the distinct points, the first being 0 [-].

        Returns
        -------
        str
            Label or number of the point.
        """
        return self.cable.point_name(int(self.route.kept[vertex]))
