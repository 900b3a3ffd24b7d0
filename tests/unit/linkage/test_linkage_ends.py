import numpy as np
import pytest

from cableroute.errors import GeometryError
from cableroute.linkage.arms import Arm
from cableroute.linkage.ends import RodEnd, Swivel
from cableroute.linkage.slide import Slide

ARM = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=80)


def test_a_long_square_rod_gives_radius_times_sine():
    end = RodEnd(member=ARM, swivel=Swivel(point=(-1e6, 0, 80), axis=(1, 0, 0)))
    q = np.radians([-30, 0, 30])
    np.testing.assert_allclose(end.pulled(q), 80 * np.sin(q), atol=2e-3)
    np.testing.assert_allclose(end.leverage(q), np.cos(q), atol=1e-4)


def test_pulled_is_the_change_of_distance_and_gain_its_derivative():
    end = RodEnd(member=ARM, swivel=Swivel(point=(-200, 30, 70), axis=(1, 0, 0)))
    q, h = np.linspace(-1, 1, 9), 1e-6
    distance = np.linalg.norm(ARM.at(q) - [-200, 30, 70], axis=-1)
    np.testing.assert_allclose(end.pulled(q), distance - np.sqrt(200**2 + 30**2 + 10**2))
    np.testing.assert_allclose(
        end.gain(q), (end.pulled(q + h) - end.pulled(q - h)) / (2 * h), atol=1e-6
    )


def test_solving_stays_on_the_branch_of_neutral():
    for x in (-200, 200):
        end = RodEnd(member=ARM, swivel=Swivel(point=(x, 30, 70), axis=(-x, 0, 0)))
        q = np.linspace(-1, 1, 9)
        np.testing.assert_allclose(end.solve(end.pulled(q)).coordinate, q, atol=1e-12)
        assert end.side == np.sign(-x)


def test_rod_angle_is_to_the_line_of_the_cable():
    slide = Slide(origin=(100, 0, 0), direction=(0, 0, 1))
    end = RodEnd(member=slide, swivel=Swivel(point=(0, 0, 0), axis=(1, 0, 0)))
    np.testing.assert_allclose(end.rod_angle([0, 100, -100]), np.radians([0, 45, 45]))


def test_dead_centres_are_where_the_gain_vanishes():
    end = RodEnd(member=ARM, swivel=Swivel(point=(-200, 30, 70), axis=(1, 0, 0)))
    np.testing.assert_allclose(end.gain(end.dead_centres()), 0, atol=1e-9)


def test_carried_moves_the_whole_member():
    end = RodEnd(member=ARM, swivel=Swivel(point=(-200, 30, 70), axis=(1, 0, 0)))
    moved = Arm(pivot=(0, 12, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=80)
    got = end.solve(5.0, carried=(0, 12, 0)).coordinate
    rod = np.linalg.norm(moved.at(got) - end.swivel.point)
    assert rod == pytest.approx(end.neutral_length + 5)


def test_a_driven_rod_in_line_with_the_pivot_cannot_choose():
    end = RodEnd(member=ARM, swivel=Swivel(point=(0, 0, 300), axis=(0, 0, -1)))
    assert end.side == 0
    with pytest.raises(GeometryError, match="got it in line with the pivot"):
        end.solve(1.0)


def test_no_rod_no_end():
    with pytest.raises(GeometryError, match="clear of the swivel at neutral"):
        RodEnd(member=ARM, swivel=Swivel(point=(0, 0, 80), axis=(0, 0, -1)))


def test_bad_swivel():
    with pytest.raises(GeometryError, match="swivel axis: expected a direction"):
        Swivel(point=(0, 0, 0), axis=(0, 0, 0))
