import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from cableroute.errors import GeometryError
from cableroute.linkage.drum import Drum

CAM = Drum(angles=[-0.5, 0.2, 1.0, 2.0], radii=[20, 12, 30, 15])


def test_a_round_drum_winds_radius_times_angle():
    drum = Drum(angles=[-1, 2], radii=[14, 14])
    np.testing.assert_allclose(drum.pulled([-1, 0, 0.5, 2]), [-14, 0, 7, 28])


@pytest.mark.parametrize("angle", [-0.5, -0.1, 0.0, 0.2, 0.7, 1.0, 1.6, 2.0])
def test_a_cam_winds_the_integral_of_its_radius(angle):
    area, _ = quad(lambda q: np.interp(q, CAM.angles, CAM.radii), 0, angle, points=[0.2, 1.0])
    assert CAM.pulled(angle) == pytest.approx(area, abs=1e-9)


@settings(max_examples=40)
@given(st.floats(-0.5, 2.0), st.sampled_from([1, -1]))
def test_solving_gives_back_the_angle(angle, sense):
    cam = Drum(angles=CAM.angles, radii=CAM.radii, sense=sense)
    reach = cam.solve(cam.pulled(angle))
    assert reach.shortfall == 0
    assert reach.coordinate == pytest.approx(angle, abs=1e-12)


def test_gain_is_the_derivative():
    q, h = np.array([-0.3, 0.1, 0.6, 1.5]), 1e-6
    np.testing.assert_allclose(
        CAM.gain(q), (CAM.pulled(q + h) - CAM.pulled(q - h)) / (2 * h), rtol=1e-8
    )
    np.testing.assert_array_equal(CAM.leverage(q), 1)
    np.testing.assert_array_equal(CAM.rod_angle(q), 0)


def test_more_core_than_the_drum_holds_is_a_shortfall():
    drum = Drum(angles=[0, 1], radii=[10, 10])
    reach = drum.solve([12.0, -1.0, 10.0])
    np.testing.assert_allclose(reach.shortfall, [2, -1, 0])
    np.testing.assert_allclose(reach.coordinate, [np.nan, np.nan, 1])


def test_an_angle_off_the_table_is_refused():
    with pytest.raises(
        GeometryError, match=r"within its table, 0\.0 to 57\.3 degrees, got 0\.0 to 114"
    ):
        Drum(angles=[0, 1], radii=[10, 10]).pulled([0, 2])


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ({"angles": [0], "radii": [1]}, "two or more finite"),
        ({"angles": [0, np.nan], "radii": [1, 1]}, "two or more finite"),
        ({"angles": [0, 1], "radii": [1, 1, 1]}, "got 2 angles and 3 radii"),
        ({"angles": [1, 0], "radii": [1, 1]}, "rising and holding neutral 0"),
        ({"angles": [1, 2], "radii": [1, 1]}, "rising and holding neutral 0"),
        ({"angles": [0, 1], "radii": [1, 0]}, "all above 0"),
        ({"angles": [0, 1], "radii": [1, 1], "sense": 0}, "expected 1 or -1, got 0"),
    ],
)
def test_bad_tables(table, message):
    with pytest.raises(GeometryError, match=message):
        Drum(**table)
