"""Make the pictures of the README from the shipped data: ``python docs/make_pictures.py``."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image

from cableroute.assess import Assessment, assess
from cableroute.measure.reading import read_job
from cableroute.output.drawings import draw, picture

if TYPE_CHECKING:
    from matplotlib.figure import Figure

HERE = Path(__file__).resolve().parent
#: Colours kept: enough for smooth letters and true hues, and half of the bytes.
COLOURS = 160


def main() -> None:
    """Draw a sheet, a linkage and a selector that comes out mirrored."""
    buggy = _assessed("grass_track_buggy")
    _save(draw(buggy.cables[0], "sheet", unit=buggy.job.unit, job=buggy.job), "buggy")
    gear = _assessed("grass_track_buggy_selector")
    _save(draw(gear.linkages[0], "linkage", unit=gear.job.unit), "linkage")
    box = _assessed("works_locomotive_aft")
    _save(draw(box.selectors[0], "selector", unit=box.job.unit), "selector")


def _assessed(name: str) -> Assessment:
    return assess(read_job(HERE.parent / "data" / f"{name}.toml"))


def _save(figure: Figure, name: str) -> None:
    image = Image.open(io.BytesIO(picture(figure, ".png"))).convert("RGB").quantize(COLOURS)
    image.save(HERE / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
