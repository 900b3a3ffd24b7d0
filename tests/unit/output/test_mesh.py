"""The mesh read back by hand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.errors import CableRouteError
from cableroute.measure.reading import read_job
from cableroute.output import mesh
from cableroute.output.mesh import stl_bytes

DATA = Path(__file__).resolve().parents[3] / "data"
FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("none", "<u2")])


@pytest.fixture(scope="module")
def buggy():
    return assess(read_job(DATA / "grass_track_buggy.toml"))


def test_more_than_other_programs_read_is_not_written(buggy, monkeypatch):
    monkeypatch.setattr(mesh, "MOST_TRIANGLES", 1000)
    with pytest.raises(CableRouteError, match="triangles, and 1000 at most are written"):
        stl_bytes(buggy.cables)


def volume(corners):
    return np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6.0


def test_stl_is_a_closed_tube_of_the_right_volume(buggy):
    for cable in buggy.cables:
        data = stl_bytes([cable])
        facets = np.frombuffer(data[84:], dtype=FACET)
        assert int.from_bytes(data[80:84], "little") == len(facets)
        family = cable.figures.cable.family
        wanted = np.pi * family.conduit_od**2 / 4 * cable.figures.route.length
        corners = facets["corners"].astype(np.float64)
        assert volume(corners - corners[0, 0]) == pytest.approx(wanted, rel=0.01)
        edges = [
            (tuple(one), tuple(other))
            for i in range(3)
            for one, other in zip(
                facets["corners"][:, i].tolist(),
                facets["corners"][:, (i + 1) % 3].tolist(),
                strict=True,
            )
        ]
        assert len(set(edges)) == len(edges)
        assert {(b, a) for a, b in edges} == set(edges), "every edge is shared, in both senses"
        assert np.linalg.norm(facets["normal"], axis=1) == pytest.approx(1.0, abs=1e-5)
