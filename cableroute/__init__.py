"""From tape-measure points to a verdict on a control cable.

>>> from cableroute import fit_arcs, pull_force
>>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=60.0)
>>> round(pull_force(route, load=60.0, friction=0.12), 2)
72.45
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType

TYPE_CHECKING = False  # typing's own is not worth loading before Ctrl-C is in hand
if TYPE_CHECKING:
    from typing import Any

    from cableroute.assess import Assessment, assess
    from cableroute.errors import CableRouteError
    from cableroute.figures.feel import work_out_feel
    from cableroute.hardware.family import Family
    from cableroute.hardware.library import find_family
    from cableroute.measure.from_text import read_text
    from cableroute.measure.job import Cable, Job
    from cableroute.measure.locate import locate
    from cableroute.measure.reading import read_job
    from cableroute.mechanics.calibration import calibrate_friction
    from cableroute.mechanics.pull import pull_force
    from cableroute.mechanics.push import push_force
    from cableroute.output.as_dict import assessment_dict as as_dict
    from cableroute.output.calibrated_toml import calibrated
    from cableroute.output.drawings import draw
    from cableroute.output.report.written import report
    from cableroute.output.template.schedule_text import template_text
    from cableroute.output.verdict_text import as_text
    from cableroute.route.fillet import fit_arcs
    from cableroute.route.lay import natural_lay
    from cableroute.route.pieces import Route
    from cableroute.route.smoothing import smooth_points
    from cableroute.study.many import study_many
    from cableroute.study.run import study
    from cableroute.suggestions import suggest
    from cableroute.verdict.advice import advise
    from cableroute.verdict.limits import Limits

__version__ = "0.1.0"

__all__ = [
    "Assessment",
    "Cable",
    "CableRouteError",
    "Family",
    "Job",
    "Limits",
    "Route",
    "advise",
    "as_dict",
    "as_text",
    "assess",
    "calibrate_friction",
    "calibrated",
    "draw",
    "find_family",
    "fit_arcs",
    "locate",
    "natural_lay",
    "pull_force",
    "push_force",
    "read_job",
    "read_text",
    "report",
    "smooth_points",
    "study",
    "study_many",
    "suggest",
    "template_text",
    "work_out_feel",
]

#: Where each public name is; it is loaded when it is first asked for.
_HOMES = {
    "Assessment": "assess",
    "Cable": "measure.job",
    "CableRouteError": "errors",
    "Family": "hardware.family",
    "Job": "measure.job",
    "Limits": "verdict.limits",
    "Route": "route.pieces",
    "advise": "verdict.advice",
    "as_dict": "output.as_dict:assessment_dict",
    "as_text": "output.verdict_text",
    "assess": "assess",
    "calibrate_friction": "mechanics.calibration",
    "calibrated": "output.calibrated_toml",
    "draw": "output.drawings",
    "find_family": "hardware.library",
    "fit_arcs": "route.fillet",
    "locate": "measure.locate",
    "natural_lay": "route.lay",
    "pull_force": "mechanics.pull",
    "push_force": "mechanics.push",
    "read_job": "measure.reading",
    "read_text": "measure.from_text",
    "report": "output.report.written",
    "smooth_points": "route.smoothing",
    "study": "study.run",
    "study_many": "study.many",
    "suggest": "suggestions",
    "template_text": "output.template.schedule_text",
    "work_out_feel": "figures.feel",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module, _, there = _HOMES[name].partition(":")
    found = getattr(import_module(f"{__name__}.{module}"), there or name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})


class _Package(ModuleType):
    """A package whose functions are not hidden by the modules that have their names."""

    def __setattr__(self, name: str, value: Any) -> None:
        if not (isinstance(value, ModuleType) and name in _HOMES):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Package
