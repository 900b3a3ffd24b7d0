"""The page in a real browser: tables of the file as forms, made of what their models say."""

from __future__ import annotations

import re
import tomllib

import pytest

from tests.page.browsing import DATA, DESK, PHONE, expect, field, put, settle, tab, tab_to

#: A linkage, field by field in the order of the form: path within it, and what is typed.
LINKAGE = (
    ("name", "column"),
    ("cable", "select"),
    ("adjusters", "20, 20"),
    ("hand-pivot", "0, 200, 500"),
    ("hand-axis", "aft"),
    ("hand-range_deg", "-8, 8"),
    ("hand-facing", "forward"),
    ("hand-handle-radius", "350"),
    ("hand-handle-direction", "up"),
    ("hand-cable-in", None),
    ("hand-cable-radius", "3 5/16 in"),
    ("hand-cable-direction", "down"),
    ("hand-swivel-in", None),
    ("hand-swivel-fitting", "188"),
    ("far-travel", "10"),
    ("far-load", "60"),
    ("far-slide-in", None),
    ("far-slide-origin", "-1600, -50, -150"),
    ("far-slide-direction", "left"),
    ("far-swivel-in", None),
    ("far-swivel-fitting", "138"),
    ("wanted-hand", "left"),
    ("wanted-far", "left"),
)


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_a_linkage_is_written_by_keyboard_alone_and_drawn(tmp_path, serve, browse, size):
    file = tmp_path / "loco.toml"
    text = (DATA / "works_locomotive_forward.toml").read_text()
    file.write_text(text[: text.index("[[linkage]]")])
    before = file.read_bytes()
    page = browse(serve(file)[1], size)
    tab_to(page, "#tabs [role=tab]")
    tab(page, "levers")
    page.keyboard.press("Enter")
    tab_to(page, "#r-linkage-0")
    page.keyboard.press("Enter")
    for path, typed in LINKAGE:
        tab_to(page, f"#r-linkage-0-{path}")
        if typed is None:
            page.keyboard.press("Enter")
        else:
            put(page, typed)
    page.keyboard.press("Enter")
    settle(page)
    expect(page.get_by_role("region", name="column").get_by_role("slider")).to_be_visible()
    (linkage,) = tomllib.loads(file.read_text())["linkage"]
    assert linkage["hand"]["range_deg"] == [-8, 8]
    assert linkage["hand"]["cable"] == {"radius": "3 5/16 in", "direction": "down"}
    assert linkage["far"]["slide"] == {"origin": [-1600, -50, -150], "direction": "left"}
    page.locator("#undo").click()
    settle(page)
    assert file.read_bytes() == before


def test_what_cannot_be_read_is_told_at_its_field_of_the_form(machine, serve, browse):
    before = machine.read_bytes()
    page = browse(serve(machine)[1], may_fail=True)
    page.locator("#tab-frame").click()
    page.get_by_role("button", name="Add a space to keep out of").click()
    page.locator("#r-keepout-0-name").fill("chain")
    page.get_by_role("button", name="Put in: sphere").click()
    page.locator("#r-keepout-0-sphere-at").fill("0, 0, 40 in")
    page.locator("#r-keepout-0-sphere-radius").fill("4 1/")
    page.keyboard.press("Enter")
    expect(page.locator("#r-keepout-0-sphere-radius")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#r-keepout-0-sphere-radius-says")).to_contain_text("cannot read")
    assert machine.read_bytes() == before
    page.locator("#r-keepout-0-sphere-radius").fill("4 1/2 in")
    page.keyboard.press("Enter")
    settle(page)
    zone = {"name": "chain", "sphere": {"at": [0, 0, "40 in"], "radius": "4 1/2 in"}}
    assert tomllib.loads(machine.read_text())["keepout"] == [zone]


def test_a_form_is_judged_as_it_is_typed_and_saved_by_its_button_only(tmp_path, serve, browse):
    file = tmp_path / "loco.toml"
    before = (DATA / "works_locomotive_forward.toml").read_bytes()
    file.write_bytes(before)
    page = browse(serve(file)[1])
    verdict, load = page.locator("#verdict"), page.locator("#r-linkage-0-far-load")
    page.locator("#tab-levers").click()
    page.locator("#r-linkage-0").click()
    load.fill("6000")
    expect(verdict).to_have_text("would be FAIL")
    expect(page.locator("#saved")).to_have_text("not saved yet")
    expect(page.locator("#told .badge.fail").first).to_be_visible()
    load.fill("6 furlongs")
    expect(load).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#r-linkage-0-far-load-says")).to_contain_text("cannot read")
    expect(page.locator(".verdicts")).to_have_class(re.compile("old"))
    load.fill("61")
    expect(verdict).to_have_text("would be PASS")
    expect(load).not_to_have_attribute("aria-invalid", "true")
    page.locator("#tab-points").click()
    settle(page)
    expect(verdict).to_have_text("PASS")
    page.locator("#tab-levers").click()
    expect(verdict).to_have_text("would be PASS")
    assert file.read_bytes() == before
    load.press("Enter")
    settle(page)
    expect(verdict).to_have_text("PASS")
    assert tomllib.loads(file.read_text())["linkage"][0]["far"]["load"] == 61


def test_what_a_new_table_still_lacks_is_no_fault_before_it_is_saved(machine, serve, browse):
    page = browse(serve(machine)[1], may_fail=True)
    page.locator("#tab-frame").click()
    page.locator("#r-keepout-0").click()
    page.locator("#r-keepout-0-name").fill("chain")
    expect(page.locator("#r-keepout-0-form")).to_contain_text("Still to come: expected one of box")
    expect(page.locator("#r-keepout-0-form .wrong")).to_have_count(0)
    page.keyboard.press("Enter")
    expect(page.locator("#r-keepout-0-form .wrong").first).to_be_visible()


def test_a_change_in_a_form_leaves_the_rest_of_its_table_as_it_is_written(tmp_path, serve, browse):
    file = tmp_path / "loco.toml"
    text = (DATA / "works_locomotive_forward.toml").read_text()
    file.write_text(text)
    page = browse(serve(file)[1])
    page.locator("#tab-levers").click()
    page.get_by_role("button", name="Change linkage select").click()
    page.locator("#r-linkage-0-hand-handle-radius").fill("360")
    page.keyboard.press("Enter")
    settle(page)
    line = 'handle = { radius = 350, direction = "up" }'
    assert file.read_text() == text.replace(line, line.replace("350", "360"), 1)
    page.get_by_role("button", name="Change selector gearbox").click()
    expect(page.locator("#r-selector-0-columns")).to_have_value("R, ; 1, 2; 3, 4")
    page.locator("#r-selector-0-box_rows").fill("18, -19")
    page.keyboard.press("Enter")
    settle(page)
    assert tomllib.loads(file.read_text())["selector"][0]["box_rows"] == [18, -19]


def test_brackets_holds_detents_and_checks_have_their_forms(machine, serve, browse):
    page = browse(serve(machine)[1])

    def fill(path: str, **typed: str) -> None:
        for key, text in typed.items():
            page.locator(f"#r-cable-0-{path}-{key}").fill(text)

    page.locator("#tab-cables").click()
    page.locator("#r-cable-0-anchors-far").click()
    for inner in ("screws", "bracket"):
        page.get_by_role("button", name=f"Put in: {inner}").click()
    fill("anchors-far-screws", size="M5", count="2")
    page.locator("#r-cable-0-anchors-far-screws-on").select_option("groove")
    fill("anchors-far-bracket", length="40", width="30", thickness="3")
    page.keyboard.press("Enter")
    settle(page)
    page.locator("#r-cable-0-resists").click()
    page.get_by_role("button", name="Put in a detent").click()
    fill("resists", preload="10", spring="0.5")
    fill("resists-detents-0", at="5", depth="12", width="2")
    page.keyboard.press("Enter")
    settle(page)
    page.locator("#r-cable-0-check-0").click()
    fill("check-0", to="2", read="250 mm")
    page.locator("#r-cable-0-check-0-from").fill("1")
    page.keyboard.press("Enter")
    settle(page)
    cable = tomllib.loads(machine.read_text())["cable"][0]
    held = {"size": "M5", "count": 2, "on": "groove"}
    bracket = {"length": 40, "width": 30, "thickness": 3}
    assert cable["anchors"]["far"] == {"screws": held, "bracket": bracket}
    assert cable["resists"]["detents"] == [{"at": 5, "depth": 12, "width": 2}]
    assert cable["check"] == [{"from": 1, "to": 2, "read": "250 mm"}]


@pytest.mark.parametrize("unit", ["lbf", "N"])
def test_bare_forces_are_labelled_in_the_unit_that_the_file_reads_them_in(
    machine, serve, browse, unit
):
    given = f'force_unit = "{unit}"\n' if unit != "N" else ""
    machine.write_text(given + machine.read_text())
    page = browse(serve(machine)[1])
    page.locator("#tab-cables").click()
    page.locator("#r-cable-0-resists").click()
    expect(page.locator("label[for=r-cable-0-resists-preload]")).to_contain_text(f", {unit}")


def test_what_is_cut_to_length_is_shown_and_put_in_those_words(tmp_path, serve, browse):
    file = tmp_path / "trike.toml"
    file.write_bytes((DATA / "recumbent_trike.toml").read_bytes())
    page = browse(serve(file)[1])
    page.locator("#tab-cables").click()
    cut = field(page, "cable", 0, "cut")
    expect(cut.locator("option:checked")).to_have_text("cut to length")
    expect(cut.locator("option")).to_have_count(3)
    cut.select_option(label="bought made up")
    settle(page)
    assert tomllib.loads(file.read_text())["cable"][0]["cut"] is False
    expect(cut.locator("option:checked")).to_have_text("bought made up")
