"""Every figure of one cable, worked out from what was measured."""

from cableroute.workings._forces import (
    DEFAULT_FRICTION,
    DEFAULT_LOAD,
    STEEL_WEIGHT,
    pulls_along,
)
from cableroute.workings._holding import holding_of
from cableroute.workings._lasting import lasting_of
from cableroute.workings.cable import work_out

__all__ = [
    "DEFAULT_FRICTION",
    "DEFAULT_LOAD",
    "STEEL_WEIGHT",
    "holding_of",
    "lasting_of",
    "pulls_along",
    "work_out",
]
