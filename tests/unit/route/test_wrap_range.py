"""The range of wrap holds the true one; the tables go to the tests' output (pytest -s).

Runs are invented: a list of (length, radius, clock) whose turn is known exactly. A straight has
radius inf; the clock is the way a bend goes about the run, in degrees, 0 sideways and 90 up.
"""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import GeometryError
from cableroute.route.fillet import fit_arcs
from cableroute.route.lay_through import lay_through
from cableroute.route.smoothing import least_turn, total_turn
from cableroute.route.wrap_range import wrap_range

STRAIGHT = np.inf


def helix(radius: float, turns: float, pitch: float) -> list[tuple[float, float, float]]:
    """A coil as short bends whose clock turns evenly: curvature and torsion of the helix."""
    rise = pitch / (2 * np.pi)
    size = radius**2 + rise**2
    length, count = 2 * np.pi * turns * np.sqrt(size), 200
    step = length / count
    twist = np.degrees(rise / size * step)
    return [(step, size / radius, i * twist) for i in range(count)]


def bend(radius: float, degrees: float, clock: float = 0.0) -> tuple[float, float, float]:
    return (radius * np.radians(degrees), radius, clock)


def line(length: float) -> tuple[float, float, float]:
    return (length, STRAIGHT, 0.0)


SHAPES = {
    "straight": [line(1500)],
    "planar 90": [line(500), bend(150, 90), line(500)],
    "two bends": [line(300), bend(150, 60), line(400), bend(150, 45), line(300)],
    "sweep R600": [line(200), bend(600, 90), line(200)],
    "close S": [line(400), bend(150, 70), bend(150, 70, 180), line(400)],
    "coil from end to end": helix(200, 1.2, 150),
    "slalom": [
        line(200), bend(400, 15), bend(400, 30, 180), bend(400, 30), bend(400, 30, 180),
        bend(400, 15), line(200),
    ],
    "helix R150": [line(200), *helix(150, 1.4, 150), line(200)],
    "helix R300": [line(200), *helix(300, 0.8, 200), line(200)],
    "U": [line(500), bend(120, 180), line(500)],
    "offset": [line(400), bend(200, 30), line(100), bend(200, 30, 180), line(400)],
    "spatial mix": [line(300), bend(150, 60), line(150), bend(200, 80, 90), line(300)],
    "spatial weave": [line(200), bend(150, 50), bend(150, 60, 120), bend(200, 40, 240), line(300)],
}  # fmt: skip


def true_wrap(shape: list[tuple[float, float, float]]) -> float:
    return float(sum(length / radius for length, radius, _ in shape))


def places(shape: list[tuple[float, float, float]], spacing: float) -> np.ndarray:
    """Points on the run about `spacing` apart, both ends among them, exact to rounding."""
    total = sum(length for length, _, _ in shape)
    wanted = np.linspace(0, total, max(round(total / spacing), 2) + 1)
    at, frame, begun, found = np.zeros(3), np.eye(3), 0.0, []
    for length, radius, clock in shape:
        ahead = frame[0]
        to_centre = np.cos(np.radians(clock)) * frame[1] + np.sin(np.radians(clock)) * frame[2]

        def reach(s: np.ndarray, radius=radius, at=at, ahead=ahead, to_centre=to_centre):
            if np.isinf(radius):
                return at + s[:, None] * ahead
            turn = s[:, None] / radius
            return at + radius * (np.sin(turn) * ahead + (1 - np.cos(turn)) * to_centre)

        here = (wanted >= begun - 1e-9) & (wanted < begun + length - 1e-9)
        found.append(reach(wanted[here] - begun))
        if not np.isinf(radius):
            frame = turned(frame, np.cross(ahead, to_centre), length / radius)
        at, begun = reach(np.array([length]))[0], begun + length
    return np.vstack([*found, at])


def turned(frame: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    """The three rows turned about an axis (Rodrigues)."""
    return (
        np.cos(angle) * frame
        + np.sin(angle) * np.cross(axis, frame)
        + (1 - np.cos(angle)) * (frame @ axis)[:, None] * axis
    )


def read(points: np.ndarray, tolerance: float, rng: np.random.Generator) -> np.ndarray:
    """Readings good to a tolerance, a 95 % half-width: half of it is the standard deviation."""
    return points + rng.normal(0.0, tolerance / 2, points.shape)


RADIUS = 100.0  # the least bend radius asked for; all shapes bend wider
EACH = 2  # surveys of each shape, spacing and tolerance


def surveys(shape, seed: int, spacing: float, tolerance: float):
    """Readings of a run, begun at other places each time."""
    rng = np.random.default_rng([seed, int(spacing), int(tolerance)])
    for _ in range(EACH):
        yield read(places(shape, spacing * rng.uniform(0.9, 1.1)), tolerance, rng)


@pytest.fixture(scope="module")
def trials():
    """True, low, high and smoothed wrap [deg] by shape name, spacing and tolerance."""
    return {
        (name, spacing, tolerance): np.degrees(
            [
                [true_wrap(shape), found.low, found.high, found.smoothed]
                for survey in surveys(shape, seed, spacing, tolerance)
                for found in [wrap_range(survey, tolerance=tolerance, min_bend_radius=RADIUS)]
            ]
        )
        for seed, (name, shape) in enumerate(SHAPES.items())
        for spacing in (60.0, 120.0)
        for tolerance in (2.0, 4.0)
    }


def test_the_true_wrap_lies_in_the_range_in_95_of_100_surveys(trials):
    """Thirteen shapes, two spacings, two tolerances; a straight has no more than as smoothed."""
    print("\nshape                  true   low..high, smoothed at 60/2, 60/4, 120/2, 120/4 mm")  # noqa: T201
    for name in SHAPES:
        rows = [trials[name, d, t] for d in (60.0, 120.0) for t in (2.0, 4.0)]
        told = "".join(f"{r[0][1]:7.0f}..{r[0][2]:3.0f}{r[0][3]:5.0f}" for r in rows)
        print(f"{name:22}{rows[0][0][0]:5.0f}{told}")  # noqa: T201
    every = np.concatenate(list(trials.values()))
    holds = (every[:, 1] <= every[:, 0] + 1e-9) & (every[:, 0] <= every[:, 2] + 1e-9)
    width = (every[:, 2] - every[:, 1]).mean()
    print(f"{holds.mean():.1%} of {len(every)} ranges hold the truth; mean width {width:.0f} deg")  # noqa: T201
    assert len(SHAPES) == 13
    assert holds.mean() >= 0.95
    assert width < 40
    straight = np.concatenate([rows for key, rows in trials.items() if key[0] == "straight"])
    np.testing.assert_allclose(straight[:, 2], straight[:, 3], atol=1e-9)
    assert (straight[:, 1] == 0.0).all()


def test_the_smoothed_wrap_alone_would_not_do(trials):
    """What a single figure would miss: weaving runs read tens of degrees low."""
    low = [np.mean(rows[:, 0] - rows[:, 3]) for key, rows in trials.items() if key[0] == "slalom"]
    assert min(low) > 25


def test_exact_corners_far_apart_leave_no_doubt_at_a_tolerance_of_nothing():
    corners = [[0, 0, 0], [500, 0, 0], [500, 500, 0], [500, 500, 500], [900, 500, 500]]
    found = wrap_range(corners, tolerance=0.0)
    assert found.low == pytest.approx(found.smoothed) == pytest.approx(1.5 * np.pi)


def test_readings_that_coincide_are_refused():
    with pytest.raises(GeometryError):
        wrap_range([[0, 0, 0], [0, 0, 0], [1, 0, 0]], tolerance=1.0)


def test_errors_of_thirty_nine_noisy_surveys():
    """Wrap and length of thirteen known runs read thrice at 60 mm: raw, smoothed, tight, lay.

    The last three weave: bends to and fro with no straight between, which smoothing takes for noise.
    """
    weaving = ("slalom", "close S", "spatial weave")
    names = [name for name in SHAPES if name not in weaving]
    wraps, lengths = [], []
    for seed, name in enumerate((*names, *weaving)):
        shape = SHAPES[name]
        length = sum(piece[0] for piece in shape)
        rng = np.random.default_rng(seed)
        for tolerance in (1.0, 2.0, 3.0):
            survey = read(places(shape, 60), tolerance, rng)
            smooth = least_turn(survey, tolerance=tolerance, min_bend_radius=RADIUS).points
            lay = lay_through(smooth)
            tight = fit_arcs(smooth, min_bend_radius=RADIUS, through=True)
            assert lay.settled
            legs = [
                np.linalg.norm(np.diff(each, axis=0), axis=1).sum() for each in (survey, smooth)
            ]
            found = np.degrees(
                [total_turn(survey), total_turn(smooth), float(tight.wrap), float(lay.wrap)]
            )
            wraps.append(found - np.degrees(true_wrap(shape)))
            lengths.append(
                np.array([*legs, float(tight.length), float(lay.length)]) / length * 100 - 100
            )
    wraps, lengths = np.array(wraps), np.array(lengths)
    print("\nerror of                        raw   smoothed      tight        lay")  # noqa: T201
    for group, some in (("plain", slice(30)), ("weaving", slice(30, None))):
        for what, rows in (("wrap [deg]", wraps[some]), ("length [%]", lengths[some])):
            for how, pick in (("mean", rows.mean(0)), ("worst", np.abs(rows).max(0))):
                told = "".join(f"{value:11.2f}" for value in pick)
                print(f"{group:8}{what:11} {how:6}{told}")  # noqa: T201
    assert len(wraps) == 39
    worst = np.abs(wraps[:30]).max(0)
    assert worst[0] > 80  # noise reads as bends
    assert worst[1] < 25
    assert worst[2] < 40
    assert worst[3] < 40
    assert np.abs(lengths).max(0)[1:].max() < 2
    weaving_worst = np.abs(wraps[30:]).max(0)
    assert (wraps[30:, 1:].mean(0) < -10).all()  # all three read low; the range told holds them
    assert weaving_worst[1] < 55
    assert weaving_worst[2] < 55
    assert weaving_worst[3] < 40
