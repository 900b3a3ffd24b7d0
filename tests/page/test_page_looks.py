"""The page in a real browser: narrow screens, large targets, and what an independent library finds."""

from __future__ import annotations

import pytest

from tests.page.browsing import DATA, DESK, IN_CI, PHONE, ROOT, SETTLED, Page, expect

TABS = ("points", "frame", "cables", "offers", "levers", "bench", "away")


def axe() -> str:
    found = ROOT / ".axe" / "node_modules" / "axe-core" / "axe.min.js"
    if not found.exists() and not IN_CI:
        pytest.skip("no axe-core here: npm install --no-save --prefix .axe axe-core")
    return found.read_text(encoding="utf-8")


#: What is opened under a tab before it is looked at.
FORMS = {
    "points": ("#point-1 .number",),
    "frame": ("#r-keepout-0", "#r-keepout-0-capsule-in"),
    "cables": ("#r-cable-0-anchors-far", "#r-cable-0-anchors-far-bracket-in"),
    "levers": ("#r-linkage-0", "#r-selector-0"),
}


def look_at(page: Page, tab: str) -> None:
    """Go to a tab and open the forms that are there."""
    page.locator(f"#tab-{tab}").click()
    for each in FORMS.get(tab, ()):
        if page.locator(each).count() or each.endswith("-in"):
            page.locator(each).click()
    expect(page.locator("#panel progress")).to_have_count(0, timeout=SETTLED)


@pytest.mark.parametrize(
    "name", ["recumbent_trike.toml", "works_locomotive_forward.toml", "workboat.toml"]
)
def test_a_narrow_screen_needs_no_scrolling_sideways_and_targets_are_large(
    tmp_path, serve, browse, name
):
    file = tmp_path / name
    file.write_bytes((DATA / name).read_bytes())
    page = browse(serve(file)[1], {"width": 320, "height": 640})
    for each in TABS:
        look_at(page, each)
        assert page.evaluate("document.documentElement.scrollWidth") == 320, each
        cut = page.evaluate(
            """() => [...document.querySelectorAll("#head *")].filter(e => e.getBoundingClientRect().right > 320
            || (e.scrollWidth > e.clientWidth + 1 && e.clientWidth && !e.matches("h1, .unseen"))).map(e => e.outerHTML)"""
        )
        assert cut == [], each
        small = page.evaluate(
            """() => [...document.querySelectorAll("button, select, summary, input:not([type=range])")]
            .map(e => [e.outerHTML.slice(0, 90), e.getBoundingClientRect()])
            .filter(([, box]) => box.width && (box.height < 43.9 || box.width < 43.9)).map(([words]) => words)"""
        )
        assert small == [], each


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_an_independent_library_finds_nothing_serious(tmp_path, serve, browse, size, scheme):
    file = tmp_path / "loco.toml"
    file.write_bytes((DATA / "works_locomotive_forward.toml").read_bytes())
    page = browse(serve(file)[1], size, color_scheme=scheme)
    page.evaluate(axe())
    for each in TABS:
        look_at(page, each)
        if each == "cables":
            page.get_by_text("Which would do?").click()
        expect(page.locator("#panel progress")).to_have_count(0, timeout=SETTLED)
        found = page.evaluate("axe.run().then(({ violations }) => violations)")
        serious = [
            (each["id"], each["nodes"][0]["html"])
            for each in found
            if each["impact"] in ("serious", "critical")
        ]
        assert serious == [], each


def test_what_is_printed_is_what_is_saved_and_nothing_to_press(tmp_path, serve, browse):
    file = tmp_path / "loco.toml"
    file.write_bytes((DATA / "works_locomotive_aft.toml").read_bytes())
    page = browse(serve(file)[1], color_scheme="dark")
    page.locator("#tab-levers").click()
    expect(page.locator("#panel .member").first).to_be_visible()
    page.locator("#tab-frame").click()
    page.locator("#r-keepout-0").click()
    page.locator("#r-keepout-0-name").fill("half typed")
    expect(page.locator("#saved")).to_have_text("not saved: see the form")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    for gone in ("form", "input", "select", "button:not(.link)", "progress", ".old"):
        assert page.locator(gone).locator("visible=true").count() == 0, gone
    for there in ("#verdict", "#space", "#paper td >> text=cab side", "#told li", "#foot li"):
        expect(page.locator(there).first).to_be_visible()
    expect(page.locator("#paper .member")).to_have_count(2)
    ink = "getComputedStyle(document.getElementById('verdict')).color"
    assert page.evaluate(ink) == "rgb(34, 34, 34)"
    page.emulate_media(media="screen")
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    expect(page.locator("#r-keepout-0-name")).to_have_value("half typed")
    expect(page.locator("#paper td")).to_have_count(0)
