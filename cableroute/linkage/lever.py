"""A lever that goes two ways about one point."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.arms import SQUARE_WITHIN
from cableroute.linkage.vectors import check_direction, check_point, dot, norm, turned

LeverJoint = Literal["ball", "shift-outer", "select-outer"]


@frozen(eq=False, kw_only=True)
class TwoAxisLever:
    """A lever that goes two ways about one point.

    Parameters
    ----------
    pivot : array-like, shape (3,)
        Centre of the ball, or where the two pins cross [mm].
    knob : array-like, shape (3,)
        Where the hand holds it at neutral [mm].
    select_axis, shift_axis : array-like, shape (3,)
        Axis of each motion; for a lever standing up, ``(-1, 0, 0)`` makes a growing select go
        left and ``(0, 1, 0)`` a growing shift go forward [-].
    joint : str, default "ball"
        "ball": both at once about one slanting axis, no twist. "shift-outer", "select-outer": two
        pins, the outer one fixed to the machine and carrying the other.

    Raises
    ------
    GeometryError
        If the axes are not square within 1 degree, or the knob lies on the pivot.
    """

    pivot: Array
    knob: Array
    select_axis: Array
    shift_axis: Array
    joint: LeverJoint = "ball"

    def __post_init__(self) -> None:
        for name in ("pivot", "knob"):
            object.__setattr__(self, name, check_point(getattr(self, name), f"lever {name}"))
        for name in ("select_axis", "shift_axis"):
            object.__setattr__(self, name, check_direction(getattr(self, name), f"lever {name}"))
        off = float(dot(self.select_axis, self.shift_axis))
        if abs(off) > SQUARE_WITHIN:
            raise GeometryError(
                "lever axes: expected select and shift square within 1 degree, got "
                f"{np.degrees(np.arccos(np.clip(off, -1, 1))):.1f} degrees"
            )
        check_direction(self.knob - self.pivot, "lever, pivot to knob")
        if self.joint not in ("ball", "shift-outer", "select-outer"):
            raise GeometryError(
                f"lever joint: expected ball, shift-outer or select-outer, got {self.joint!r}"
            )

    def carried(self, point: Array, select: ArrayLike, shift: ArrayLike) -> Array:
        """Return where a point fixed to the lever goes.

        Parameters
        ----------
        point : ndarray, shape (..., 3)
            Where it is at neutral [mm].
        select, shift : array-like, shape (...)
            Lever angles from neutral [rad].

        Returns
        -------
        ndarray, shape (..., 3)
            [mm]
        """
        across, along = np.broadcast_arrays(
            np.asarray(select, dtype=np.float64), np.asarray(shift, dtype=np.float64)
        )
        arm = point - self.pivot
        if self.joint == "shift-outer":
            return self.pivot + turned(
                turned(arm, self.select_axis, across), self.shift_axis, along
            )
        if self.joint == "select-outer":
            return self.pivot + turned(
                turned(arm, self.shift_axis, along), self.select_axis, across
            )
        slanting = across[..., None] * self.select_axis + along[..., None] * self.shift_axis
        angle = norm(slanting)
        axis = slanting / np.where(angle > 0, angle, 1.0)[..., None]
        return self.pivot + turned(arm, axis, angle)
