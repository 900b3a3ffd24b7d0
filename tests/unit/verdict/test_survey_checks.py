"""Check readings against coordinates: what is tolerated, and who is blamed."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.measure.job import Cable, CheckReading
from cableroute.measure.wording import Words
from cableroute.verdict.survey import reading_checks

TRUE = np.array([[0, 0, 0], [300, 0, 0], [300, 400, 0], [300, 400, 500]], dtype=float)
LIMIT = 3.0 * 3.0**0.5


def findings(points, *checks, tolerance=3.0, unit="mm"):
    cable = Cable(
        name="one",
        points=np.asarray(points, dtype=float),
        kind="pull",
        bend_radius=50.0,
        labels=("lever", "sill", "", "arm"),
        checks=tuple(CheckReading(*check) for check in checks),
    )
    return list(reading_checks(cable, tolerance=tolerance, words=Words(unit)))


def honest(*pairs):
    return [(i, j, float(np.linalg.norm(TRUE[i] - TRUE[j]))) for i, j in pairs]


def test_readings_that_agree_are_silent():
    assert findings(TRUE, *honest((0, 1), (1, 2), (0, 2), (2, 3))) == []


@pytest.mark.parametrize(("off", "count"), [(LIMIT - 0.01, 0), (LIMIT + 0.01, 1)])
@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_limit_is_the_tolerance_of_three_readings_together(off, count, sign):
    assert len(findings(TRUE, (0, 1, 300.0 + sign * off))) == count


def test_mismatch_carries_both_figures():
    (finding,) = findings(TRUE, (0, 2, 510.0))
    assert (finding.code, finding.level) == ("check-mismatch", "marginal")
    assert finding.where == "lever to point 3"
    assert finding.value == pytest.approx(10.0)
    assert finding.limit == pytest.approx(LIMIT)
    assert "510 mm, the coordinates 500 mm: 10 mm apart" in finding.message


def test_a_check_far_out_fails():
    (finding,) = findings(TRUE, (0, 2, 540.0))
    assert finding.level == "fail"


def test_point_in_most_mismatches_is_blamed():
    bad = TRUE.copy()
    bad[2] += [0.0, 60.0, 0.0]
    found = findings(bad, *honest((0, 1), (1, 2), (0, 2), (2, 3)))
    assert len(found) >= 2
    assert all("Measure point 3 again" in finding.message for finding in found)


def test_agreeing_readings_speak_for_a_point():
    """Of the two ends of the one mismatch, the sill has an agreeing reading, the arm none."""
    bad = TRUE.copy()
    bad[3] += [0.0, 0.0, 80.0]
    (finding,) = findings(bad, *honest((0, 1), (1, 3)))
    assert "Measure arm again" in finding.message


def test_lone_mismatch_blames_both_ends():
    (finding,) = findings(TRUE, (0, 1, 400.0))
    assert "Measure lever or sill again" in finding.message


def test_offset_along_an_axis_has_a_sign():
    assert findings(TRUE, (1, 2, 400.0, 1), (2, 1, -400.0, 1), (0, 3, 500.0, 2)) == []
    (finding,) = findings(TRUE, (1, 2, -400.0, 1))
    assert finding.value == pytest.approx(800.0)


def test_whole_millimetres_are_no_mismatch_where_points_are_fitted_as_read():
    assert findings(TRUE, (0, 1, 301.0), (0, 2, 499.0), tolerance=0.0) == []
    assert len(findings(TRUE, (0, 1, 305.0), tolerance=0.0)) == 1


def test_no_checks_no_findings():
    assert findings(TRUE) == []


def test_lengths_are_worded_for_the_tape():
    off = (0, 1, 406.4)
    assert "says 406 mm, the coordinates 300 mm: 106 mm apart" in findings(TRUE, off)[0].message
    (inches,) = findings(TRUE, off, unit="ft")
    assert 'says 1\' 4", the coordinates 11 13/16": 4 3/16" apart' in inches.message
    assert (round(inches.value, 6), inches.unit) == (106.4, "mm")
