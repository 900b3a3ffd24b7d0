from __future__ import annotations

from pathlib import Path

import pytest

from cableroute.assess import assess
from cableroute.measure.reading import read_job
from cableroute.output.drawings import draw

DATA = Path(__file__).resolve().parents[4] / "data"


@pytest.mark.parametrize("name", [path.name for path in sorted(DATA.glob("*.toml"))])
def test_every_cable_of_a_machine_is_in_one_picture(name, check_texts):
    job = read_job(DATA / name)
    found = assess(job)
    figure = draw(found, "machine", unit=job.unit)

    check_texts(figure)
    words = " ".join(text.get_text() for text in figure.texts)
    for each in found.cables:
        assert f"{each.figures.cable.name}: {each.verdict.upper()}" in words
    assert len(figure.axes) == 3


def test_the_ends_are_named_and_the_machine_is_drawn(check_texts):
    found = assess(read_job(DATA / "grass_track_buggy.toml"))
    figure = draw(found, "machine")

    for ax in figure.axes:
        names = {text.get_text() for text in ax.texts}
        assert {"lever bracket", "box bracket", "pedal stop", "carburettor"} <= names
        assert any(patch.get_hatch() for patch in ax.patches)
