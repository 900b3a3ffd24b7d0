"""The page in a real browser: whole jobs by keyboard, points as measured, and steps back."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import pytest

from tests.page.browsing import (
    DATA,
    DESK,
    PHONE,
    expect,
    field,
    focused,
    path_of,
    put,
    settle,
    tab,
    tab_to,
)

RUN = (
    ("lever bracket", ("0", "0", "0")),
    ("sill", ("500", "0", "20 mm")),
    ("floor", ("3' 3 1/2\"", "150", "0")),
    ("box bracket", ("1600", "150", "0")),
)


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_a_whole_job_by_keyboard_from_an_empty_file_to_a_report(tmp_path, serve, browse, size):
    file = tmp_path / "new.toml"
    page = browse(serve(file, answer="push-pull")[1], size)
    expect(page.locator("#verdict")).to_have_text("nothing to judge yet")
    tab_to(page, "#add-point")
    page.keyboard.press("Enter")
    for i, (label, at) in enumerate(RUN):
        page.wait_for_function(
            "path => document.activeElement.dataset.path === path",
            arg=json.dumps(["cable", 0, "points", i, "at", 0], separators=(",", ":")),
        )
        for text in at:
            put(page, text)
            page.keyboard.press("Tab")
        tab_to(page, path_of("cable", 0, "points", i, "label"), key="Shift+Tab")
        put(page, label)
        page.keyboard.press("Enter")
        if i + 1 < len(RUN):
            settle(page)
            page.keyboard.press("Control+Enter")
    settle(page)
    tab_to(page, "#tabs [role=tab]", key="Shift+Tab")
    tab(page, "cables")
    page.keyboard.press("Enter")
    for key, text in (("load", "60"), ("push_load", "40"), ("travel", "30"), ("slack", "50")):
        tab_to(page, path_of("cable", 0, key))
        put(page, text)
        page.keyboard.press("Enter")
    settle(page)
    expect(page.locator("#verdict")).to_have_text(re.compile("PASS|MARGINAL"))
    tab_to(page, "#tabs [role=tab]", key="Shift+Tab")
    tab(page, "bench")
    for i, (load, hand) in enumerate((("20", "24.4"), ("40", "48.9"), ("15 lbf", "18.3 lbf"))):
        for key, text in (("load_n", load), ("hand_n", hand)):
            tab_to(page, f"#bench-{i}-{key}")
            put(page, text)
    expect(page.locator("#verdict")).to_contain_text("would be")
    tab_to(page, "#panel .fit button")
    page.keyboard.press("Enter")
    expect(page.locator("#panel .fit")).to_contain_text("Taken over")
    settle(page)
    tab_to(page, "#tabs [role=tab]", key="Shift+Tab")
    tab(page, "away")
    page.keyboard.press("Enter")
    tab_to(page, "#take-report-html")
    with page.expect_download() as taken:
        page.keyboard.press("Enter")
    report = Path(taken.value.path()).read_text(encoding="utf-8")
    assert "<!DOCTYPE html>" in report
    assert "box bracket" in report
    saved = tomllib.loads(file.read_text())["cable"][0]
    assert [point["label"] for point in saved["points"]] == [label for label, _ in RUN]
    assert 0.0 < saved["friction"][0] < saved["friction"][1]
    assert saved["points"][2]["at"] == ["3' 3 1/2\"", 150, 0]


def test_focus_is_kept_through_50_quick_edits(machine, serve, browse):
    page = browse(serve(machine)[1])
    path = ["cable", 0, "points", 1, "at", 0]
    field(page, *path).focus()
    for i in range(50):
        put(page, str(-130 - i))
        page.keyboard.press("Enter")
        assert focused(page) == path
        assert page.evaluate("document.activeElement.value") == str(-130 - i)
    settle(page)
    assert focused(page) == path
    assert tomllib.loads(machine.read_text())["cable"][0]["points"][1]["at"][0] == -179


def test_undo_to_the_beginning_gives_the_old_file_byte_for_byte(machine, serve, browse):
    before = machine.read_bytes()
    page = browse(serve(machine)[1])
    field(page, "cable", 0, "points", 1, "at", 2).fill("4 1/2 in")
    page.keyboard.press("Enter")
    field(page, "cable", 0, "points", 1, "label").fill("pivot")
    page.keyboard.press("Alt+ArrowDown")
    settle(page)
    page.locator("#point-3 .number").click()
    page.get_by_role("button", name="Delete").click()
    settle(page)
    page.locator("#add-point").click()
    for axis, text in enumerate(("-1300", "-90", "-60")):
        field(page, "cable", 0, "points", 5, "at", axis).fill(text)
    page.keyboard.press("Enter")
    settle(page)
    page.locator("#tab-cables").click()
    field(page, "cable", 0, "load").fill("12 lbf")
    page.keyboard.press("Enter")
    settle(page)
    after = machine.read_bytes()
    assert after != before
    while page.locator("#undo").is_enabled():
        page.locator("#undo").click()
        settle(page)
    assert machine.read_bytes() == before
    while page.locator("#redo").is_enabled():
        page.keyboard.press("Control+y")
        settle(page)
    assert machine.read_bytes() == after


def test_figures_that_are_waited_for_are_grey_and_said_to_be(machine, serve, browse):
    page = browse(serve(machine)[1])
    held: list = []

    def hold(route) -> None:
        held.append(route)

    page.route("**/api/edit", hold)
    field(page, "cable", 0, "points", 1, "at", 2).fill("60")
    page.keyboard.press("Enter")
    expect(page.locator(".verdicts")).to_have_class(re.compile("old"))
    expect(page.locator("#saved")).to_have_text(re.compile("judging"))
    expect(page.locator("progress.soon")).to_be_visible()
    page.wait_for_timeout(50)
    held[0].continue_()
    settle(page)
    expect(page.locator(".verdicts")).not_to_have_class(re.compile("old"))


def test_a_misread_is_said_at_its_field_and_nothing_is_saved(machine, serve, browse):
    before = machine.read_bytes()
    page = browse(serve(machine)[1], may_fail=True)
    wrong = field(page, "cable", 0, "points", 1, "at", 1)
    wrong.fill("3' 4 1/")
    page.keyboard.press("Enter")
    expect(wrong).to_have_attribute("aria-invalid", "true")
    says = page.locator(f"#{wrong.get_attribute('aria-describedby')}")
    expect(says).to_contain_text("cannot read")
    assert machine.read_bytes() == before
    page.keyboard.press("Escape")
    expect(wrong).to_have_value("-190")
    wrong.fill("7 1/2 in")
    expect(page.locator(f"#{wrong.get_attribute('id')}-says")).to_have_text(
        '190.5\u00a0mm = 7\u00a01/2"'
    )


def test_a_point_is_dragged_in_plan_and_its_readings_snap_to_the_tape(machine, serve, browse):
    page = browse(serve(machine)[1])
    page.locator("#views").get_by_role("button", name="Plan").click()
    spot = page.locator("#space .cable-0.hollow").nth(3).bounding_box()
    x, y = spot["x"] + spot["width"] / 2, spot["y"] + spot["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 20, y - 15, steps=4)
    page.mouse.up()
    settle(page)
    before = tomllib.loads((DATA / "recumbent_trike.toml").read_text())["cable"][0]["points"]
    after = tomllib.loads(machine.read_text())["cable"][0]["points"]
    (moved,) = [i for i, (a, b) in enumerate(zip(before, after, strict=True)) if a != b]
    (x0, y0, z0), (x1, y1, z1) = before[moved]["at"], after[moved]["at"]
    assert x1 > x0
    assert y1 > y0
    assert z1 == z0
    assert all(float(value).is_integer() for value in (x1, y1))


def test_the_clock_is_turned_by_keys(machine, serve, browse):
    page = browse(serve(machine)[1])
    page.locator("#point-2 .number").click()
    clock = page.get_by_role("slider", name="clock on main")
    clock.focus()
    page.keyboard.press("ArrowRight")
    settle(page)
    assert tomllib.loads(machine.read_text())["cable"][0]["points"][2]["clock"] == 275
    expect(clock).to_be_focused()
    expect(page.locator(".clock figcaption")).to_contain_text("from cross towards dropout_bridge")


def test_of_two_places_by_tapes_the_right_one_is_tapped(tmp_path, serve, browse):
    file = tmp_path / "hoist.toml"
    text = (DATA / "survey_tapes.toml").read_text()
    file.write_text(text)
    page = browse(serve(file)[1])
    page.locator("#point-4 .number").click()
    answers = page.get_by_role("group", name="Where the point is").get_by_role("button")
    expect(answers).to_have_count(2)
    expect(page.locator("#space .ghost")).to_have_count(2)
    expect(answers.filter(has_text="forward")).to_have_attribute("aria-pressed", "true")
    ghost = page.locator("#space .ghost").nth(1).bounding_box()
    page.mouse.click(ghost["x"] + ghost["width"] / 2, ghost["y"] + ghost["height"] / 2)
    settle(page)
    assert tomllib.loads(file.read_text())["cable"][0]["points"][4]["side"] == "aft"


def test_users_words_are_text_and_nothing_else(machine, serve, browse):
    words = '<img src=x onerror="document.title=1"></script><b>'
    page = browse(serve(machine)[1])
    field(page, "cable", 0, "points", 1, "label").fill(words)
    page.keyboard.press("Enter")
    settle(page)
    page.locator("#tab-frame").click()
    field(page, "title").fill(words)
    page.keyboard.press("Enter")
    settle(page)
    expect(page.locator("h1")).to_have_text(words)
    assert page.locator("img, script:not([src])").count() == 0
