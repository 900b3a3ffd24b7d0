"""Every figure of one cable, worked out from what was measured."""

from cableroute.workings._forces import DEFAULT_FRICTION, DEFAULT_LOAD, STEEL_WEIGHT
from cableroute.workings.cable import work_out

__all__ = ["DEFAULT_FRICTION", "DEFAULT_LOAD", "STEEL_WEIGHT", "work_out"]
