"""A member of a linkage looked at square to the plane it moves in, and its lines as seen."""

from __future__ import annotations

from dataclasses import replace
from math import degrees, radians

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.linkage import LinkageFigures
from cableroute.frozen import frozen
from cableroute.linkage.arms import Arm
from cableroute.linkage.arms import Member as Point
from cableroute.linkage.body import Body
from cableroute.linkage.chain import Stroke
from cableroute.linkage.direction import SEEN_FROM, way
from cableroute.linkage.drum import Drum
from cableroute.linkage.ends import Swivel
from cableroute.linkage.joints import Cable
from cableroute.linkage.slide import Slide
from cableroute.output.pictures.projection import View
from cableroute.output.pictures.scene import RING, hull
from cableroute.output.pictures.style import plain

#: A rod nearer than this to the line of a shaft, as a share of it, lies on that line [-].
_IN_LINE = 0.02
#: How far beside its point the path of a member is drawn, as a share of its arm or of the path [-].
_BESIDE = 0.1
#: A lean below this is none [deg]; of one, this share must be seen in the member's own view [-].
_NO_LEAN, _SHOWN = 0.5, 0.7
#: How much of a rod between two members is drawn at each, as a share of the longest arm [-].
_STUB = 0.8


@frozen(eq=False, kw_only=True)
class Member:
    """One member of a linkage over the stroke, and the rods that take hold of it.

    Attributes
    ----------
    body : Body
        The member.
    view : View
        Square to the plane it moves in.
    where : ndarray, shape (n,)
        Its coordinate over the stroke [rad or mm].
    rods : tuple of (ndarray, ndarray), each of shape (n, 3)
        Where each rod comes from, and where it takes hold, over the stroke [mm].
    swivel : Swivel or None
        The cable's, if it ends here.
    lean : tuple of float or None
        How far the cable's rod leans at most, and what its swivel allows [deg].
    first, last : bool
        Whether it is the hand's member, or the far one.
    """

    body: Body
    view: View
    where: Array
    rods: tuple[tuple[Array, Array], ...]
    swivel: Swivel | None
    lean: tuple[float, float] | None
    first: bool
    last: bool

    @property
    def point(self) -> Point:
        """The point whose path is shown: the grip of the hand's member, else where it works."""
        return self.body.point(working=not self.first)

    @property
    def middle(self) -> Array:
        """What its point goes round, or the middle of its slide, as seen, shape (2,) [mm]."""
        point = self.point
        return self.view.project(point.pivot if isinstance(point, Arm) else point.origin)

    @property
    def cable_rod(self) -> tuple[Array, Array]:
        """The cable's rod over the stroke, from its swivel to its pin."""
        return self.rods[-1 if self.first else 0]

    @property
    def reach(self) -> float:
        """Length of the cable's rod at its longest [mm]."""
        start, end = self.cable_rod
        return float(np.max(np.linalg.norm(end - start, axis=-1)))

    def leaning(self) -> Member | None:
        """Return the same seen square to the plane in which the rod leans most.

        None where the member's own view shows the lean well enough.
        """
        if self.swivel is None or self.lean is None or self.lean[0] < _NO_LEAN:
            return None
        start, end = self.cable_rod
        rods, axis = end - start, self.swivel.axis
        aside = rods - (rods @ axis)[:, None] * axis
        most = int(np.argmax(np.linalg.norm(aside, axis=-1) / np.linalg.norm(rods, axis=-1)))
        up = aside[most] / np.linalg.norm(aside[most])
        shown = np.linalg.norm(self.view.project(aside[most])) / np.linalg.norm(aside[most])
        if shown > _SHOWN:
            return None
        heading = f"rod at {plain(self.body.name)}, where its lean shows"
        view = View(heading, _triple(axis), _triple(up), f"{way(axis)} →", f"{way(up)} →")
        return replace(self, view=view)

    def arm_lines(self, at: int) -> list[Array]:
        """Return each arm from its pivot to its end, as seen."""
        arms = [arm for arm in (self.body.incoming, self.body.out) if isinstance(arm, Arm)]
        q = self.where[at]
        lines = [self.view.project(np.stack((arm.pivot, arm.at(q)))) for arm in arms]
        return lines[: 1 if self.body.out is self.body.incoming else 2]

    def rod_lines(self, at: int) -> list[Array]:
        """Return each rod, as seen."""
        return [self.view.project(np.stack((start[at], end[at]))) for start, end in self.rods]

    def path(self, where: Array, *, beside: float = _BESIDE) -> Array:
        """Return the path of its point, drawn a little beside it, as seen."""
        point = self.point
        seen = self.view.project(point.at(where))
        if isinstance(point, Arm):
            return np.asarray(seen + beside * (seen - self.middle))
        x, y = self.view.project(point.direction)
        return np.asarray(seen + 3.0 * beside * np.ptp(self.where) * np.array([-y, x]))

    def rim(self) -> Array:
        """Return the outline of the drum that the core winds on, as seen at neutral."""
        drum = self.body.out
        if not isinstance(drum, Drum):
            return np.empty((0, 2))
        return np.asarray(self.middle + np.interp(0.0, drum.angles, drum.radii) * RING)

    def cone(self) -> Array:
        """Return the outline of the cone in which the swivel lets the cable's rod lean, as seen."""
        if self.swivel is None or self.lean is None:
            return np.empty((0, 2))
        axis = self.swivel.axis
        side = np.cross(axis, np.eye(3)[np.argmin(np.abs(axis))])
        side /= np.linalg.norm(side)
        rim = np.tan(radians(self.lean[1])) * RING @ np.stack((side, np.cross(axis, side)))
        spokes = 1.1 * self.reach * np.concatenate((np.zeros((1, 3)), axis + rim))
        return hull(self.view.project(self.swivel.point + spokes))


def members_of(figures: LinkageFigures, stroke: Stroke) -> list[Member]:
    """Return every member of a linkage with its rods."""
    count = len(figures.built.chain.bodies)
    return [_member(figures, stroke, index, count) for index in range(count)]


def _member(figures: LinkageFigures, stroke: Stroke, index: int, count: int) -> Member:
    chain, entry = figures.built.chain, figures.built.entry
    rods: list[tuple[Array, Array]] = []
    swivel, lean = None, None
    for at in (index - 1, index):
        if not 0 <= at < count - 1:
            continue
        joint, motion, driven = chain.joints[at], stroke.joints[at], at < index
        pin, other = (motion.end, motion.start) if driven else (motion.start, motion.end)
        if isinstance(joint, Cable):
            swivel = joint.far if driven else joint.hand
            if swivel is None:  # the core winds on a drum
                continue
            allowed = (entry.far if driven else entry.hand).swivel.limit_deg
            angle = figures.far_angle if driven else figures.hand_angle
            lean = degrees(float(np.max(angle))), allowed
            other = np.broadcast_to(swivel.point, pin.shape)
        else:
            other = _stub(chain.bodies[index], pin, other)
        rods.append((other, pin))
    return Member(
        body=chain.bodies[index],
        view=member_view(chain.bodies[index], swivel=swivel),
        where=stroke.coordinates[index],
        rods=tuple(rods),
        swivel=swivel,
        lean=lean,
        first=index == 0,
        last=index == count - 1,
    )


def _stub(body: Body, pin: Array, other: Array) -> Array:
    """Return the end of as much of a rod as is drawn at one of its two members."""
    ends = [end.radius for end in (body.incoming, body.out) if isinstance(end, Arm)]
    whole = np.linalg.norm(other - pin, axis=-1, keepdims=True)
    share = np.minimum(_STUB * max(ends, default=np.inf) / whole, 1.0)
    return np.asarray(pin + share * (other - pin))


def member_view(body: Body, *, swivel: Swivel | None = None) -> View:
    """Return where to look from to see a member move in its true shape."""
    point = body.point(working=True)
    normal = point.axis if isinstance(point, Arm) else _square_to(point, swivel)
    main = int(np.argmax(np.abs(normal)))
    # the sides that side view, front view and plan of a route are seen from
    facing = normal * np.sign(normal[main]) * (-1.0 if main == 1 else 1.0)
    rough = np.eye(3)[1 if main == 2 else 2]
    up = rough - (rough @ facing) * facing
    up /= np.linalg.norm(up)
    across = np.cross(up, facing)
    side = way(np.where(np.arange(3) == main, facing, 0.0))
    heading = f"{plain(body.name)}, {SEEN_FROM[side]}"
    return View(heading, _triple(across), _triple(up), f"{way(across)} →", f"{way(up)} →")


def _square_to(shaft: Slide, swivel: Swivel | None) -> Array:
    """Return a direction square to a shaft, and to its rod unless that lies along the shaft."""
    along = shaft.direction
    if swivel is not None:
        rod = shaft.origin - swivel.point
        across = np.cross(along, rod)
        if np.linalg.norm(across) > _IN_LINE * np.linalg.norm(rod):
            return np.asarray(across / np.linalg.norm(across))
    least = np.eye(3)[np.argmin(np.abs(along))]
    square = least - (least @ along) * along
    return np.asarray(square / np.linalg.norm(square))


def _triple(vector: Array) -> tuple[float, float, float]:
    x, y, z = vector.tolist()
    return x, y, z
