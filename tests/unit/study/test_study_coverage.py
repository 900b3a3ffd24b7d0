"""Do the intervals that are printed hold the truth: 500 invented machines, measured badly."""

import numpy as np

from cableroute import Cable, Job
from cableroute.route.fillet import fit_arcs
from cableroute.route.lay_through import lay_through
from cableroute.study.run import study

RUN = np.array([[50.0, 20, 0], [450, 0, 30], [500, 400, 0], [500, 700, 250]])
MACHINES, TOLERANCE, FRICTION, LOAD = 500, 4.0, (0.1, 0.2), 50.0


def test_90_of_100_true_machines_lie_between_the_5_and_95_of_100_of_their_study():
    """Each machine's shape, friction and load are drawn, and its readings as the tape gives them.

    Of 500 machines 450 are expected in each band, with a standard deviation of 6.7; 430 to 470 are
    three of them. The truth is worked out by the capstan law and the lays themselves.
    """
    rng = np.random.default_rng(11)
    true = RUN + rng.normal(0.0, 25.0, (MACHINES, *RUN.shape))
    read = true + rng.normal(0.0, 0.5 * TOLERANCE, true.shape)
    tight, lay = fit_arcs(true, min_bend_radius=60.0, through=True), lay_through(true)
    share = rng.uniform(size=MACHINES)
    wrap = tight.wrap + share * (lay.wrap - tight.wrap)
    load = LOAD * rng.uniform(0.9, 1.1, MACHINES)
    truth = {
        "length": tight.length + share * (lay.length - tight.length),
        "wrap": np.degrees(wrap),
        "pull": load * np.exp(rng.uniform(*FRICTION, MACHINES) * wrap),
    }
    bands = [_bands(points) for points in read]
    for key, values in truth.items():
        held = sum(
            low <= value <= high
            for value, (low, high) in zip(values, (each[key] for each in bands), strict=True)
        )
        assert 430 <= held <= 470, key


def _bands(points):
    cable = Cable("c", points, "pull", 60.0, friction=FRICTION, load=LOAD)
    found = study(Job("", (cable,), tape_tolerance=TOLERANCE), n=128, sensitive=False)
    return {each.key: (each.p5, each.p95) for each in found.quantiles}
