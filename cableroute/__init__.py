"""From tape-measure points to a verdict on a control cable.

>>> from cableroute import fit_arcs, pull_force
>>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=60.0)
>>> round(pull_force(route, load=60.0, friction=0.12), 2)
72.45
"""

from cableroute.assess import Assessment, assess
from cableroute.errors import CableRouteError
from cableroute.measure.job import Cable, Job
from cableroute.measure.locate import locate
from cableroute.measure.reading import read_job
from cableroute.mechanics.pull import pull_force
from cableroute.mechanics.push import push_force
from cableroute.route.fillet import fit_arcs
from cableroute.route.lay import natural_lay
from cableroute.route.pieces import Route
from cableroute.route.smoothing import smooth_points

__version__ = "0.1.0"

__all__ = [
    "Assessment",
    "Cable",
    "CableRouteError",
    "Job",
    "Route",
    "assess",
    "fit_arcs",
    "locate",
    "natural_lay",
    "pull_force",
    "push_force",
    "read_job",
    "smooth_points",
]
