"""The page in a real browser: the focus stays, or goes where a press asks for it; never to nowhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest

from tests.page.browsing import DATA, Page, expect

#: Notes each picture that is drawn while nothing has the focus.
WATCH = """() => {
  window.lost = [];
  const look = () => {
    if (document.activeElement === document.body) window.lost.push(window.pressed);
    requestAnimationFrame(look);
  };
  look();
}"""
#: What is pressed under which tab, and what has the focus then, one after the other.
PRESSES = {
    "points": (
        ("#point-1 .number", "#point-1 .number"),
        ("#down-1", "#down-2"),
        ("#undo", "#undo"),
        ("#point-2 .details >> text=Insert before", "#f-cable-0-points-2-at-0"),
        ("text=Leave it", "#panel :focus"),
        (".point .badge", "[id^=found-]:focus"),
        (".skip", "#panel"),
    ),
    "frame": (
        ("#r-keepout-0", "#r-keepout-0-name"),
        ("#r-keepout-0-capsule-in", "#r-keepout-0-capsule-in"),
        ("#r-keepout-0-form >> text=Leave it as it was", "#r-keepout-0"),
        ("#panel >> [aria-label^='remove']", "#panel :focus"),
    ),
    "cables": (
        ("#r-cable-0-resists", "#r-cable-0-resists-preload"),
        ("#r-cable-0-resists-form >> text=Put in a detent", "text=Put in a detent"),
        ("text=Leave out detent 4", "text=Put in a detent"),
        ("#r-cable-0-resists-form [type=submit]", "#r-cable-0-resists"),
        ("text=Copy this cable", "#panel :focus"),
        ("text=Remove this cable", "#panel :focus"),
    ),
    "offers": (("#panel .remarks button", "#undo-it"), ("#undo-it", "#panel .remarks button")),
    "away": (("#take-points-csv", "#take-points-csv"),),
}


@pytest.mark.parametrize("tab", PRESSES)
def test_no_press_loses_the_focus(tmp_path, serve, browse, tab):
    file = tmp_path / "buggy.toml"
    file.write_bytes((DATA / "grass_track_buggy.toml").read_bytes())
    page = browse(serve(file)[1])
    page.locator(f"#tab-{tab}").focus()
    page.evaluate(WATCH)
    page.keyboard.press("Enter")
    for pressed, then in PRESSES[tab]:
        page.evaluate("words => { window.pressed = words; }", pressed)
        page.locator(pressed).first.focus()
        page.keyboard.press("Enter")
        expect(page.locator(then).first).to_be_focused()
        settled(page)
        expect(page.locator(then).first).to_be_focused()
    assert page.evaluate("window.lost") == []


def settled(page: Page) -> None:
    """Wait until nothing is asked for any more; what is typed may not be whole."""
    expect(page.locator(".verdicts")).to_have_attribute("aria-busy", "false")
    expect(page.locator("#panel progress")).to_have_count(0)


@contextmanager
def held(page: Page, address: str) -> Iterator[list]:
    """Hold back what is asked at an address until the end."""
    kept: list = []

    def hold(route) -> None:
        kept.append(route)

    page.route(address, hold)
    yield kept
    for route in kept:
        route.continue_()
    page.unroute(address)


def test_the_focus_waits_at_its_button_for_the_form(tmp_path, serve, browse):
    page, button, first = levers(tmp_path, serve, browse)
    with held(page, "**/api/tables") as kept:
        page.keyboard.press("Enter")
        expect(page.locator(".recorded progress")).to_be_visible()
        expect(button).to_be_focused()
    expect(first).to_be_focused()
    assert kept
    page.keyboard.press("Escape")
    expect(button).to_be_focused()


def test_a_form_that_comes_late_does_not_take_the_focus_from_elsewhere(tmp_path, serve, browse):
    page, _, first = levers(tmp_path, serve, browse)
    with held(page, "**/api/tables"):
        page.keyboard.press("Enter")
        expect(page.locator(".recorded progress")).to_be_visible()
        page.locator("#r-linkage-1").focus()
        page.keyboard.press("Shift")
    expect(first).to_be_visible()
    expect(page.locator("#r-linkage-1")).to_be_focused()


def levers(tmp_path, serve: Callable, browse: Callable):
    """Open the levers of a file and put the focus on what opens the form of its linkage."""
    file = tmp_path / "loco.toml"
    file.write_bytes((DATA / "works_locomotive_forward.toml").read_bytes())
    page = browse(serve(file)[1])
    page.locator("#tab-levers").click()
    button = page.locator("#r-linkage-0")
    button.focus()
    return page, button, page.locator("#r-linkage-0-name")
