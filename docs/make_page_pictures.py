"""Photograph the page for the README: ``python docs/make_page_pictures.py``; needs Chromium."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

HERE = Path(__file__).resolve().parent
COLOURS = 256
#: Name of the picture, size of the window, what to press first, how wide the picture is in the end.
SHOTS = (
    ("page", (1280, 860), "#tab-points", 860),
    ("page_phone", (360, 700), "#sides button:nth-child(2)", 260),
)


def main() -> None:
    """Serve a copy of an example, and take one picture as at a desk and one as on a phone."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        file = shutil.copy(HERE.parent / "data" / "recumbent_trike.toml", folder)
        command = [sys.executable, "-m", "cableroute", "page", "--no-open", file]
        with subprocess.Popen(command, stdout=-1, text=True) as server:
            assert server.stdout is not None
            address = server.stdout.readline().strip()
            browser = play.chromium.launch(
                executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"]
            )
            for name, size, pressed, wide in SHOTS:
                _shoot(browser, address, name, size, pressed, wide)
            browser.close()
            server.terminate()


def _shoot(
    browser: Browser, address: str, name: str, size: tuple[int, int], pressed: str, wide: int
) -> None:
    page = browser.new_page(viewport={"width": size[0], "height": size[1]})
    page.goto(address)
    page.wait_for_selector('html[data-ready="1"]')
    page.click(pressed)
    page.mouse.move(0, 0)
    page.wait_for_timeout(500)
    image = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    small = image.resize((wide, round(image.height * wide / image.width)), Image.Resampling.LANCZOS)
    small.quantize(COLOURS).save(HERE / f"{name}.png", optimize=True)
    page.close()


if __name__ == "__main__":
    main()
