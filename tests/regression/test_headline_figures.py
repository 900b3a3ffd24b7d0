"""Headline figures of the example machines, pinned: our own output, so that a change is seen.

To pin them anew after a change that is meant: ``python tests/regression/test_headline_figures.py``.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cableroute.assess import assess
from cableroute.measure.reading import read_job
from cableroute.output.as_dict import assessment_dict

HERE = Path(__file__).resolve().parent
DATA = HERE.parents[1] / "data"
PINNED = HERE / "headline_figures.json"
#: Where each figure stands in the data of a cable.
HEADLINES = {
    "length_mm": ("route", "length_mm"),
    "wrap_deg": ("route", "wrap_deg"),
    "stock_mm": ("order", "stock_mm"),
    "pull_n": ("pull", "input_n"),
    "push_n": ("push", "input_n"),
    "drag_n": ("pull", "drag_n"),
    "lost_mm": ("lost_motion", "both_ways_mm"),
    "arrives_mm": ("lost_motion", "arrives_pulling_mm"),
    "stress_share": ("stress", "share"),
    "return_margin": ("return_spring", "cold", "margin"),
}


def headlines(path: Path) -> dict:
    found = assessment_dict(assess(read_job(path)))
    return {
        cable["name"]: {
            "verdict": cable["verdict"],
            "codes": sorted(finding["code"] for finding in cable["findings"]),
            "clips_n": [round(clip["force_n"], 6) for clip in cable["clips"]],
            **{name: at(cable, keys) for name, keys in HEADLINES.items()},
        }
        for cable in found["cables"]
    }


def at(data: dict | None, keys: tuple[str, ...]) -> float | None:
    for key in keys:
        data = None if data is None else data[key]
    return data


def test_every_example_is_pinned() -> None:
    assert json.loads(PINNED.read_text()).keys() == {path.name for path in DATA.glob("*.toml")}


@pytest.mark.parametrize("path", sorted(DATA.glob("*.toml")), ids=lambda path: path.stem)
def test_headline_figures_are_as_they_were(path: Path) -> None:
    pinned = json.loads(PINNED.read_text())[path.name]
    found = headlines(path)
    assert found.keys() == pinned.keys()
    for name, cable in found.items():
        for key, value in cable.items():
            expected = pinned[name][key]
            if isinstance(value, float | list) and key != "codes":
                expected = pytest.approx(expected, rel=1e-6)
            assert value == expected, f"{name}: {key}"


if __name__ == "__main__":
    every = {path.name: headlines(path) for path in sorted(DATA.glob("*.toml"))}
    PINNED.write_text(json.dumps(every, indent=1) + "\n")
