"""The page in a real browser: cables, frame, suggestions, levers and the bench."""

from __future__ import annotations

import re
import tomllib

from tests.page.browsing import DATA, expect, field, settle


def test_suggestions_are_applied_and_undone_with_a_tap(tmp_path, serve, browse):
    file = tmp_path / "buggy.toml"
    before = (DATA / "grass_track_buggy.toml").read_bytes()
    file.write_bytes(before)
    page = browse(serve(file)[1])
    page.locator("#tab-offers").click()
    page.locator("#panel .remarks button").first.click()
    settle(page)
    assert file.read_bytes() != before
    page.get_by_role("button", name="Undo it").click()
    settle(page)
    assert file.read_bytes() == before


def test_readings_of_the_bench_become_the_friction_of_the_file(machine, serve, browse):
    before = machine.read_bytes()
    page = browse(serve(machine)[1], may_fail=True)
    page.locator("#tab-bench").click()
    for i, (load, hand) in enumerate((("20", "27"), ("40", "5x"), ("10 lbf", "13.2 lbf"))):
        page.locator(f"#bench-{i}-load_n").fill(load)
        page.locator(f"#bench-{i}-hand_n").fill(hand)
    expect(page.locator("#bench-1-hand_n-says")).to_contain_text("cannot read")
    page.locator("#bench-1-hand_n").fill("53")
    expect(page.locator("#panel .fit")).to_contain_text("with 95 % confidence")
    expect(page.locator("#verdict")).to_contain_text("would be")
    assert machine.read_bytes() == before
    page.get_by_role("button", name="Take it over").click()
    expect(page.locator("#panel .fit")).to_contain_text("Taken over")
    settle(page)
    low, high = tomllib.loads(machine.read_text())["cable"][0]["friction"]
    assert 0.0 < low < high < 0.5


def test_a_mirrored_motion_is_marked_and_mended_by_a_button(tmp_path, serve, browse):
    file = tmp_path / "loco.toml"
    file.write_bytes((DATA / "works_locomotive_aft.toml").read_bytes())
    page = browse(serve(file)[1])
    page.locator("#tab-levers").click()
    select = page.get_by_role("region", name="select", exact=True)
    expect(select).to_contain_text("MIRRORED")
    expect(select.locator(".wrong-way")).to_have_count(1)
    expect(page.get_by_role("region", name="gearbox")).to_contain_text("mirrored both ways")
    slider = select.get_by_role("slider")
    far = select.locator("dd").nth(3)
    before = far.inner_text()
    slider.focus()
    page.keyboard.press("Home")
    expect(far).not_to_have_text(before)
    select.get_by_role("button", name=re.compile("Swap the lever end")).click()
    settle(page)
    expect(select).not_to_contain_text("MIRRORED")
    hand = tomllib.loads(file.read_text())["linkage"][0]["hand"]
    assert hand["cable"]["direction"] == [0, 0, 1]


def test_cables_are_added_copied_removed_and_given_another_family(machine, serve, browse):
    page = browse(serve(machine)[1])

    def cables() -> list[dict]:
        settle(page)
        return tomllib.loads(machine.read_text())["cable"]

    page.locator("#tab-cables").click()
    page.get_by_role("button", name="Copy this cable").click()
    expect(page.locator("#panel h2").first).to_have_text("rear gear 2")
    was = cables()
    assert [cable["name"] for cable in was] == ["rear gear", "left brake", "rear gear 2"]
    assert was[2]["points"] == was[0]["points"]
    page.get_by_text("Which would do?").click()
    page.get_by_role("button", name=re.compile("^take pull-")).first.click()
    assert cables()[2]["family"] != was[2]["family"]
    page.get_by_role("button", name="Add a push-pull cable").click()
    expect(page.locator("#panel h2").first).to_have_text("push-pull")
    assert cables()[3]["points"] == []
    for _ in range(2):
        page.get_by_role("button", name="Remove this cable").click()
        settle(page)
    assert [cable["name"] for cable in cables()] == ["rear gear", "left brake"]


def test_a_point_on_a_new_tube_between_new_nodes(tmp_path, serve, browse):
    file = tmp_path / "new.toml"
    page = browse(serve(file, answer="pull")[1])
    page.locator("#tab-frame").click()
    for name, x in (("A", "0"), ("B", "1 m")):
        for key, text in (("name", name), ("x", x), ("y", "0"), ("z", "0")):
            page.locator(f"#new-node-{key}").fill(text)
        page.keyboard.press("Enter")
        expect(page.locator("#panel .name-of", has_text=name)).to_be_visible()
    page.locator("#new-tube-name").fill("rail")
    page.locator("#new-tube-to").select_option("B")
    page.locator("#new-tube-diameter").fill("38")
    page.keyboard.press("Enter")
    expect(page.locator("#panel .name-of", has_text="rail")).to_be_visible()
    page.locator("#tab-points").click()
    page.locator("#add-point").click()
    page.locator("#point-0 .number").click()
    page.get_by_label("measured").select_option("on")
    for key, text in (("along", "100"), ("clock", "3 o'clock")):
        field(page, "cable", 0, "points", 0, key).fill(text)
        page.keyboard.press("Enter")
    settle(page)
    saved = tomllib.loads(file.read_text())
    assert saved["tubes"]["rail"] == {"from": "A", "to": "B", "diameter": 38}
    assert saved["cable"][0]["points"] == [{"on": "rail", "along": 100, "clock": "3 o'clock"}]
