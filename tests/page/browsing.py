"""What tests of the page in a real browser share: Chromium, and how one goes about a page by keys."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DATA = ROOT / "data"
CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
)
IN_CI = os.environ.get("CI") == "true"
try:
    from playwright.sync_api import Page, expect, sync_playwright
except ModuleNotFoundError:
    if IN_CI:
        raise
    pytest.skip("no playwright here: pip install -e '.[dev]'", allow_module_level=True)
if CHROMIUM is None and not IN_CI:
    pytest.skip("no Chromium here: apt-get install chromium", allow_module_level=True)

FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)
DESK, PHONE = {"width": 1280, "height": 900}, {"width": 360, "height": 740}
SETTLED = 90_000  # ms; the machine of a test may be busy
expect.set_options(timeout=SETTLED)
__all__ = ["Page", "expect", "sync_playwright"]
#: What a browser itself says of requests that do not come through.
GONE = "Failed to load resource"


def settle(page: Page) -> None:
    """Wait until every edit is judged and saved."""
    page.wait_for_selector('html[data-ready="1"]', timeout=SETTLED)
    expect(page.locator("#saved")).to_have_text("saved", timeout=SETTLED)


def field(page: Page, *path):
    return page.locator(f"[data-path='{json.dumps(list(path), separators=(',', ':'))}']")


def focused(page: Page) -> list | None:
    found = page.evaluate("document.activeElement.dataset.path")
    return json.loads(found) if found else None


def tab_to(page: Page, wanted: str, *, key: str = "Tab", most: int = 150) -> None:
    """Press Tab until something is reached, once it is there, as one does who has no mouse."""
    expect(page.locator(wanted).first).to_be_visible()
    for _ in range(most):
        if page.evaluate("wanted => document.activeElement.matches(wanted)", wanted):
            return
        page.keyboard.press(key)
    raise AssertionError(f"{wanted} is not reached by {key}")


def tab(page: Page, name: str) -> None:
    """Go to a tab by the keyboard."""
    tab_to(page, "#tabs [role=tab]")
    for _ in range(12):
        if page.evaluate("document.activeElement.id") == f"tab-{name}":
            return
        page.keyboard.press("ArrowRight")
    raise AssertionError(f"no tab {name}")


def path_of(*path) -> str:
    return f"[data-path='{json.dumps(list(path), separators=(',', ':'))}']"


def put(page: Page, text: str) -> None:
    """Type over what stands in the field that has the focus."""
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type(text)
