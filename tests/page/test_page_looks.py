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


@pytest.mark.parametrize("name", ["recumbent_trike.toml", "works_locomotive_forward.toml"])
def test_a_narrow_screen_needs_no_scrolling_sideways_and_targets_are_large(
    tmp_path, serve, browse, name
):
    file = tmp_path / name
    file.write_bytes((DATA / name).read_bytes())
    page = browse(serve(file)[1], {"width": 320, "height": 640})
    for each in TABS:
        look_at(page, each)
        assert page.evaluate("document.documentElement.scrollWidth") == 320, each
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
