"""Every figure of one cable: fit the route, then forces, stresses and lengths."""

from __future__ import annotations

from dataclasses import field, replace

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.figures import forces, shape, travel
from cableroute.figures.forces import apparent_friction
from cableroute.figures.lay import NaturalLay
from cableroute.figures.order import Order
from cableroute.figures.shape import LEVEL, Clearance, Shapes
from cableroute.figures.stiffness import drag_band
from cableroute.figures.transmission import Push, Transmission
from cableroute.figures.tubes import TubeCrossed, tubes_crossed
from cableroute.frozen import frozen
from cableroute.measure.job import Cable, Job
from cableroute.measure.wording import Words
from cableroute.mechanics.construction import CoreSection, core_section
from cableroute.mechanics.lost_motion import LostMotion
from cableroute.mechanics.push_travel import PushTravel
from cableroute.mechanics.wire import bending_stress
from cableroute.route.lays_together import Asking, alone
from cableroute.route.pieces import Route
from cableroute.route.survey import Survey, steady_points


@frozen(eq=False)
class Figures:
    """All figures of one cable.

    Parameters
    ----------
    cable : Cable
        The cable as measured.
    route : Route
        The run drawn tight.
    shapes : Shapes
        It, the natural lay, the shape at the length bought, and how much they turn.
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
    pulls : ndarray, shape (2, joints)
        Pull at every joint of the run, hand end first, at low and at high friction, a measured drag
        left out; infinite where no force is enough [N].
    drag_band : tuple of float or None
        Force that moves the core with no load on it, at high friction, as estimated: free wires in a
        conduit that yields, locked ones in a rigid one; None without the cable's data [N].
    weight_force : float
        What the core's own weight adds to the pull at the hand, at high friction [N].
    push : Push or None
        Pushing; None for a pull cable.
    pushes : ndarray, shape (2, joints), or None
        As ``pulls``, pushing; infinite where the core locks up [N].
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
    tubes : tuple of TubeCrossed
        Tubes of the frame that the run goes through.
    tolerance : float
        One reading is good to plus or minus this [mm].
    assumed : tuple of str
        What had to be assumed.
    words : Words
        How lengths and forces are told, in the units that were typed.
    """

    cable: Cable
    route: Route
    shapes: Shapes
    survey: Survey
    friction: tuple[float, float]
    core: CoreSection | None
    bend_stress: float | None
    pull: Transmission
    pulls: Array
    drag_band: tuple[float, float] | None
    weight_force: float
    push: Push | None
    pushes: Array | None
    lost: LostMotion | None
    push_lost: PushTravel | None
    travel: float | None
    order: Order
    clearances: tuple[Clearance, ...]
    tubes: tuple[TubeCrossed, ...]
    tolerance: float
    assumed: tuple[str, ...]
    words: Words = field(default_factory=Words)

    @property
    def stiffens(self) -> bool:
        """Whether the core's stiffness adds to a force, as no drag is measured."""
        throughs = (self.pull, self.push.through) if self.push else (self.pull,)
        return any(each.stiffness for each in throughs)

    @property
    def sure(self) -> Figures:
        """The same with its forces at the hand without what the core's stiffness adds, where it does."""
        push = self.push.sure if self.push else None
        return replace(self, pull=self.pull.sure, push=push)

    @property
    def wrap_as_measured(self) -> float:
        """What the run drawn tight turns through the points as read, not smoothed [rad]."""
        if not self.survey.moves.any():
            return float(self.route.wrap)
        try:
            return float(shape.tight_run(self.cable, self.cable.points).wrap)
        except GeometryError:  # noise against a heading: what the readings turn from leg to leg
            return self.survey.wrap_as_measured

    @property
    def drag(self) -> float | None:
        """Force that moves the core with no load on it: as measured, or the most of the band [N]."""
        return self.drag_estimate if self.cable.drag is None else self.pull.drag

    @property
    def drag_estimate(self) -> float | None:
        """The most that moves the core with no load on it, as estimated [N]."""
        return self.drag_band[1] if self.drag_band else None

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

    def point_name(self, point: int) -> str:
        """Return what the user calls a point that the route was fitted to."""
        return self.cable.point_name(int(self.route.kept[point]))

    def corner_name(self, corner: int) -> str:
        """Return what the user calls a corner of the fitted route."""
        return self.vertex_name(corner + 1)

    def vertex_name(self, vertex: int) -> str:
        """Return what the user calls the point that a vertex of the fitted route belongs to."""
        return self.point_name(int(self.route.owners[vertex]))

    @property
    def in_the_way(self) -> frozenset[str]:
        """Tubes that either shape goes through, and solids that it comes too near to."""
        near = (each.zone for each in self.clearances if each.clear < each.zone.distance)
        return frozenset(
            (
                *(f"tube {crossed.tube.name}" for crossed in self.tubes),
                *(zone.name for zone in near),
            )
        )

    @property
    def lay(self) -> NaturalLay:
        """The shape that the conduit takes left to itself."""
        return self.shapes.lay

    @property
    def wraps(self) -> tuple[float, float]:
        """The least and the most that the run may turn [rad]."""
        return self.shapes.wraps

    @property
    def apparent_friction(self) -> tuple[float, float]:
        """Friction with which the tight run takes the least and the most force of any shape [-]."""
        return apparent_friction(self.friction, self.shapes)

    @property
    def range_shares(self) -> tuple[float, float]:
        """Shares of friction and of shape in the range of the force at the hand [-].

        Of ``ln(F_high/F_low) = mu_high wrap_high - mu_low wrap_low``, halves of the cross term each.
        """
        (mu_low, mu_high), (low, high) = self.friction, self.wraps
        friction = 0.5 * (mu_high - mu_low) * (high + low)
        shape = 0.5 * (high - low) * (mu_high + mu_low)
        whole = friction + shape
        return (friction / whole, shape / whole) if high > LEVEL and whole > 0.0 else (1.0, 0.0)


def shaped(cable: Cable, *, job: Job) -> Asking[tuple[Survey, Shapes]]:
    """Fit one cable's route, and find every shape that it takes."""
    tolerance = _tolerance(cable, job)
    survey = steady_points(
        cable.points,
        tolerance=tolerance,
        min_bend_radius=shape.wanted_radii(cable),
        fixed=shape.fixed_points(cable),
    )
    try:
        shapes = yield from shape.shaping(
            cable, survey, tolerance=tolerance, in_feet=job.words.inches
        )
    except GeometryError as error:
        raise GeometryError(f"{cable.place_of(error.point)}: {error.told}") from error
    return survey, shapes


def _tolerance(cable: Cable, job: Job) -> float:
    return 0.0 if cable.is_drawn else job.tape_tolerance


def work_out(cable: Cable, *, job: Job, found: tuple[Survey, Shapes] | None = None) -> Figures:
    """Work out one cable's forces, stresses and lengths, on the shapes found or by itself."""
    family = cable.family
    friction, load, push_load, assumed = forces.given_or_assumed(cable, job.words)
    survey, shapes = found or alone(shaped(cable, job=job))
    core = core_of(cable)
    run = forces.Run(cable, shapes, core, friction)
    pulling = forces.pull_through(run, load=load)
    pushing = forces.push_through(run, load=push_load)
    push_lost = travel.push_travel_lost(run, load=push_load)
    push = pushing.push if pushing else None
    band = drag_band(cable, shapes.tight, core, friction=run.apparent[1])
    bend_stress = None
    if core and family:
        stress = bending_stress(
            core.wire_diameter, radius=shapes.tight.min_radius, modulus=family.core_modulus
        )
        bend_stress = float(stress)
    return Figures(
        cable=cable,
        route=shapes.tight,
        shapes=shapes,
        survey=survey,
        friction=friction,
        core=core,
        bend_stress=bend_stress,
        pull=pulling.through,
        pulls=pulling.along,
        drag_band=None if band is None else (float(band[0]), float(band[1])),
        weight_force=pulling.weight,
        push=push,
        pushes=pushing.along if pushing else None,
        lost=travel.travel_lost(
            run,
            pull=pulling.through,
            pushed=push_lost,
            push=push.through if push else None,
        ),
        push_lost=push_lost,
        travel=travel.travel_of(cable),
        order=shapes.order,
        clearances=shape.clearances_to((shapes.tight, shapes.loose), job.keepouts, family),
        tubes=tubes_crossed(cable, (shapes.tight, shapes.loose), job.tubes),
        tolerance=_tolerance(cable, job),
        assumed=job.notes + cable.notes + assumed + shape.assumed_headings(cable),
        words=job.words,
    )


def core_of(cable: Cable) -> CoreSection | None:
    """Return the section of a cable's core, where its data are known."""
    family = cable.family
    if family is None:
        return None
    return core_section(
        family.construction,
        diameter=family.core_od,
        modulus=family.core_modulus,
        stiffness=cable.bending_stiffness or family.bending_stiffness,
    )
