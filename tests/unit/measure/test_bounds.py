"""Files that ask for more than any machine has are refused before anything is worked out."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.errors import RouteFileError
from cableroute.measure import bounds
from cableroute.measure.reading import read_job

CABLE = "[[cable]]\nname='c{i}'\nbend_radius=60\npoints=[{points}]\n"
TWO = "{at=[0,0,0]},{at=[900,0,0]}"
SOLIDS = "[[keepout]]\nname='k{i}'\nsphere={{at=[0,0,900],radius=9}}\n"


def cables(count, points=TWO):
    return "".join(CABLE.replace("{points}", points).replace("{i}", str(i)) for i in range(count))


def solids(count):
    return "".join(SOLIDS.format(i=i) for i in range(count))


def zigzag(count, leg):
    at = [[leg * (i // 2 + i % 2), leg * (i // 2), 0] for i in range(count)]
    return ",".join(f"{{at={each}}}" for each in at)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (cables(151), r'cable "c150"(?s:.*)at most 150 of cable, got 151'),
        (cables(1) + solids(1001), "at most 1000 of keepout, got 1001"),
        (cables(60) + solids(1000), "at most 24 points beside 1000 tubes and solids"),
        (cables(1, zigzag(2100, 100)), "point 2002: expected at most 2000 bends in all"),
        (
            cables(30, zigzag(100, 100)),
            r'cable "c20", point 42: expected at most 2000 bends in all',
        ),
        (cables(12, TWO.replace("900,", "900000,")), r'cable "c8"(?s:.*)at most 8 km in all'),
        (cables(1, "{at=[0,0,0]},{at=[900000,0,0]},{at=[900000,200000,0]}"), "point 3: .* 1 km"),
    ],
)
def test_what_is_too_much_is_named(tmp_path, text, said):
    file = tmp_path / "much.toml"
    file.write_text(text)
    with pytest.raises(RouteFileError, match=said):
        read_job(file)


def test_taped_points_have_a_bound_of_their_own(tmp_path):
    taped = ",".join(["{tape={A=500,B=500,C=500},side='up'}"] * (bounds.MOST_TAPED + 1))
    file = tmp_path / "taped.toml"
    file.write_text("[nodes]\nA=[0,0,0]\nB=[300,0,0]\nC=[0,300,0]\n" + cables(1, taped))
    with pytest.raises(RouteFileError, match="200 points placed by tape"):
        read_job(file)


def test_a_curve_sampled_closely_is_no_row_of_bends(tmp_path):
    at = np.random.default_rng(1).normal(0, 1, (6000, 3)).cumsum(0).round(2)
    file = tmp_path / "scan.csv"
    file.write_text("x,y,z\n" + "".join(f"{x},{y},{z}\n" for x, y, z in at))
    job = read_job(file, overrides={"bend_radius": 60})
    assert len(job.cables[0].points) == 6000


def test_options_on_a_file_whose_cables_are_no_tables_are_a_complaint(tmp_path):
    file = tmp_path / "number.toml"
    file.write_text("cable = 1e-300\n")
    with pytest.raises(RouteFileError, match="cable"):
        read_job(file, overrides={"passes": "inside"})
