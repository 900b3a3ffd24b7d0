"""Plane four-bars and slider-cranks of the textbooks, against the closures of this package.

Sources, all from memory:

- Norton, Design of Machinery, chapter 4, vector-loop solution of the four-bar (Freudenstein's
  equation in half-angle form) and of the offset slider-crank; the four-bar a=40, b=120, c=80,
  d=100 mm at 40 degrees (open 57.33, crossed -98.01 degrees) and the slider-crank a=40, b=120,
  c=-20 mm at 60 degrees (126.84 mm) are its worked examples. The printed digits are recalled; each
  was recomputed here from the closed formula.
- Freudenstein, "Approximate synthesis of four-bar linkages", Trans. ASME 77 (1955) 853.
- Shigley & Uicker, Theory of Machines and Mechanisms: piston motion
  x = r cos q + sqrt(l^2 - r^2 sin^2 q), limit positions and transmission angle of a crank-rocker.
"""

import math

import numpy as np
import pytest
from scipy.optimize import fsolve

from cableroute.errors import GeometryError
from cableroute.linkage.arms import Arm
from cableroute.linkage.follow import follow_link
from cableroute.linkage.joints import Link
from cableroute.linkage.slide import Slide

CRANK, COUPLER, ROCKER, GROUND = 40.0, 120.0, 80.0, 100.0
NORMAL = (0.0, -1.0, 0.0)  # so that growing angles go from x towards z


def plane_arm(pivot, angle, radius):
    return Arm(
        pivot=(pivot, 0, 0),
        axis=NORMAL,
        neutral=(math.cos(angle), 0, math.sin(angle)),
        radius=radius,
    )


def freudenstein(theta, *, sign):
    """K1 cos(t4) - K2 cos(t2) + K3 = cos(t2 - t4), solved in the half angle."""
    k1, k2 = GROUND / CRANK, GROUND / ROCKER
    k3 = (CRANK**2 - COUPLER**2 + ROCKER**2 + GROUND**2) / (2 * CRANK * ROCKER)
    a = np.cos(theta) - k1 - k2 * np.cos(theta) + k3
    b = -2 * np.sin(theta)
    c = k1 - (k2 + 1) * np.cos(theta) + k3
    return 2 * np.arctan2(-b + sign * np.sqrt(b * b - 4 * a * c), 2 * a)


def rocker_angle(theta, *, start):
    """Rocker of the four-bar by this package, from the layout with the rocker at `start`."""
    crank = plane_arm(0, 0, CRANK)
    rocker = plane_arm(GROUND, start, ROCKER)
    link = Link(name="coupler", length=COUPLER)
    driven, motion = follow_link(link, crank, rocker, np.asarray(theta))
    return driven + start, motion


def test_norton_worked_example():
    """Open 57.33 degrees, crossed -98.01 degrees.

    Exact arithmetic gives 57.3249 and -98.0050; the book carries rounded constants, so one unit
    of its last digit is allowed.
    """
    theta = math.radians(40)
    opened, _ = rocker_angle(theta, start=math.radians(80))
    crossed, _ = rocker_angle(theta, start=math.radians(-80))
    assert math.degrees(opened) == pytest.approx(57.33, abs=0.01)
    assert math.degrees(crossed) == pytest.approx(-98.01, abs=0.01)


@pytest.mark.parametrize(("start", "sign"), [(1.4, -1), (-1.4, 1)])
def test_freudenstein_all_round(start, sign):
    """A crank-rocker (40 + 120 < 80 + 100): one whole turn of the crank, both assemblies."""
    theta = np.linspace(-math.pi, math.pi, 73)
    got, _ = rocker_angle(theta, start=start)
    expected = freudenstein(theta, sign=sign)
    np.testing.assert_allclose(np.exp(1j * got), np.exp(1j * expected), atol=1e-9)


def test_freudenstein_equation_holds():
    theta = np.linspace(0, 2 * math.pi, 50)
    phi, _ = rocker_angle(theta, start=1.4)
    k3 = (CRANK**2 - COUPLER**2 + ROCKER**2 + GROUND**2) / (2 * CRANK * ROCKER)
    left = GROUND / CRANK * np.cos(phi) - GROUND / ROCKER * np.cos(theta) + k3
    np.testing.assert_allclose(left, np.cos(theta - phi), atol=1e-12)


def test_limit_positions_of_the_rocker():
    """Crank and coupler in line: cos t4' = (c^2 + d^2 - (b +- a)^2) / (2 c d), gain 0."""
    for reach in (COUPLER + CRANK, COUPLER - CRANK):
        inner = math.acos((ROCKER**2 + GROUND**2 - reach**2) / (2 * ROCKER * GROUND))
        at_crank = math.acos((GROUND**2 + reach**2 - ROCKER**2) / (2 * GROUND * reach))
        theta = at_crank if reach > COUPLER else at_crank + math.pi
        phi, motion = rocker_angle(theta, start=1.4)
        assert phi == pytest.approx(math.pi - inner, abs=1e-9)
        assert motion.gain == pytest.approx(0, abs=1e-9)
        assert motion.start_leverage == pytest.approx(0, abs=1e-9)


def test_transmission_angle():
    """cos mu = (b^2 + c^2 - (a^2 + d^2 - 2 a d cos t2)) / (2 b c); our leverage is its sine."""
    theta = np.linspace(0, 2 * math.pi, 37)
    _, motion = rocker_angle(theta, start=1.4)
    cosine = (
        COUPLER**2 + ROCKER**2 - (CRANK**2 + GROUND**2 - 2 * CRANK * GROUND * np.cos(theta))
    ) / (2 * COUPLER * ROCKER)
    np.testing.assert_allclose(np.abs(motion.end_leverage), np.sqrt(1 - cosine**2), atol=1e-12)


def test_velocity_ratio():
    """w4/w2 = a sin(t2 - t3) / (c sin(t4 - t3))."""
    theta = np.linspace(0.1, 6.0, 25)
    phi, motion = rocker_angle(theta, start=1.4)
    coupler = np.arctan2(
        ROCKER * np.sin(phi) - CRANK * np.sin(theta),
        GROUND + ROCKER * np.cos(phi) - CRANK * np.cos(theta),
    )
    expected = CRANK * np.sin(theta - coupler) / (ROCKER * np.sin(phi - coupler))
    np.testing.assert_allclose(motion.gain, expected, atol=1e-12)


def test_norton_offset_slider_crank():
    """a=40, b=120, c=-20, 60 degrees: d = a cos t2 - b cos t3, open 126.84, crossed -86.84 mm."""
    crank = plane_arm(0, 0, 40.0)
    for start, printed in ((100.0, 126.84), (-100.0, -86.84)):
        slider = Slide(origin=(start, 0, -20), direction=(1, 0, 0))
        moved, _ = follow_link(Link(name="rod", length=120.0), crank, slider, np.radians(60.0))
        assert moved + start == pytest.approx(printed, abs=0.005)


def test_piston_motion():
    """x = r cos q + sqrt(l^2 - r^2 sin^2 q) and its derivative, over a whole turn."""
    r, length = 35.0, 110.0
    crank, piston = plane_arm(0, 0, r), Slide(origin=(r + length, 0, 0), direction=(1, 0, 0))
    q = np.linspace(0, 2 * math.pi, 61)
    moved, motion = follow_link(Link(name="rod"), crank, piston, q)
    root = np.sqrt(length**2 - (r * np.sin(q)) ** 2)
    np.testing.assert_allclose(moved + r + length, r * np.cos(q) + root, atol=1e-10)
    slope = -r * np.sin(q) * (1 + r * np.cos(q) / root)
    np.testing.assert_allclose(motion.gain, slope, atol=1e-10)


def test_a_spatial_linkage_against_its_constraint_equation():
    """Two arms on skew axes and a rod with two ball ends, by an independent root finder."""
    first = Arm(
        pivot=(0, 0, 0), axis=(0.3, 1, 0.2), neutral=np.cross((0.3, 1, 0.2), (1, 0, 0)), radius=45
    )
    second = Arm(
        pivot=(-260, 70, 40),
        axis=(0.1, -0.4, 1),
        neutral=np.cross((0.1, -0.4, 1), (1, 0, 0.5)),
        radius=70,
    )
    q = np.radians(np.linspace(-30, 30, 7))
    got, _ = follow_link(Link(name="rod"), first, second, q)
    length = np.linalg.norm(second.at(0.0) - first.at(0.0))
    guess = 0.0
    for i in sorted(range(7), key=lambda i: abs(q[i])):
        guess = fsolve(
            lambda b, at=q[i]: np.linalg.norm(second.at(b[0]) - first.at(at)) - length,
            got[3] if i == 3 else guess,
            xtol=1e-12,
        )[0]
        assert got[i] == pytest.approx(guess, abs=1e-8)
        guess = 0.0


def test_a_double_rocker_that_cannot_close_has_the_shortfall_of_the_triangle():
    """Crank 90, coupler 50, rocker 60, ground 100: at 90 degrees pin to pivot is hypot(90, 100)."""
    crank, rocker = plane_arm(0, 0, 90.0), plane_arm(100.0, 1.4, 60.0)
    driven, motion = follow_link(
        Link(name="coupler", length=50.0), crank, rocker, np.array([math.pi / 2])
    )
    assert np.isnan(driven[0])
    assert motion.shortfall[0] == pytest.approx(-(math.hypot(90, 100) - 60 - 50))
    with pytest.raises(GeometryError):
        plane_arm(0, 0, -1)
