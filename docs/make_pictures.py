"""Make the pictures of the README from the shipped data: ``python docs/make_pictures.py``."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image

from cableroute.assess import assess
from cableroute.measure.reading import read_job
from cableroute.output.drawings import draw_sheet, picture

HERE = Path(__file__).resolve().parent
#: Colours kept: enough for smooth letters, and a third of the bytes.
COLOURS = 48


def main() -> None:
    """Draw the sheet of the buggy's gear selector."""
    job = read_job(HERE.parent / "data" / "grass_track_buggy.toml")
    sheet = picture(draw_sheet(assess(job).cables[0], unit=job.unit), ".png")
    image = Image.open(io.BytesIO(sheet)).convert("RGB").quantize(COLOURS)
    image.save(HERE / "buggy.png", optimize=True)


if __name__ == "__main__":
    main()
