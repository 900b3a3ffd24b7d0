"""The page in a real browser: what goes wrong, and what is never lost."""

from __future__ import annotations

import tomllib

from tests.page.browsing import PHONE, expect, field, settle


def test_a_file_changed_outside_is_told_and_both_are_offered(machine, serve, browse):
    page = browse(serve(machine)[1])
    field(page, "cable", 0, "points", 1, "label").fill("mine")
    page.keyboard.press("Enter")
    settle(page)
    other = machine.read_text().replace("mine", "theirs")
    machine.write_text(other)
    expect(page.locator("#news")).to_contain_text("Another program has changed the file")
    page.get_by_text("Look at the file as it is on disk").click()
    expect(page.locator("#news pre")).to_contain_text("theirs")
    page.get_by_role("button", name="Take the file on disk").click()
    settle(page)
    expect(field(page, "cable", 0, "points", 1, "label")).to_have_value("theirs")
    machine.write_text(other.replace("theirs", "others"))
    page.get_by_role("button", name="Keep this page's").click()
    settle(page)
    expect(field(page, "cable", 0, "points", 1, "label")).to_have_value("theirs")
    assert machine.read_text() == other


def test_a_server_that_is_killed_is_told_and_edits_are_sent_when_it_is_back(machine, serve, browse):
    server, client = serve(machine)
    page = browse(client, may_fail=True)
    server.kill()
    server.communicate()
    expect(page.locator("#news")).to_contain_text("The server is gone")
    field(page, "cable", 0, "points", 1, "label").fill("typed in the dark")
    page.keyboard.press("Enter")
    field(page, "cable", 0, "points", 1, "at", 2).fill("33")
    page.keyboard.press("Enter")
    expect(page.locator("#saved")).to_have_text("server gone, 2 edits kept here")
    again = serve(machine, "--port", client.host.split(":")[1])[1]
    page.locator("#address").fill(f"{again.origin}/#{again.token}")
    page.keyboard.press("Enter")
    settle(page)
    saved = tomllib.loads(machine.read_text())["cable"][0]["points"][1]
    assert (saved["label"], saved["at"][2]) == ("typed in the dark", 33)


def test_offline_edits_are_kept_and_sent_later(machine, serve, browse):
    page = browse(serve(machine)[1], may_fail=True)
    page.context.set_offline(True)
    field(page, "cable", 0, "points", 1, "at", 2).fill("44")
    page.keyboard.press("Enter")
    expect(page.locator("#saved")).to_have_text("server gone, 1 edit kept here")
    assert tomllib.loads(machine.read_text())["cable"][0]["points"][1]["at"][2] == 20
    page.context.set_offline(False)
    settle(page)
    assert tomllib.loads(machine.read_text())["cable"][0]["points"][1]["at"][2] == 44


def test_two_pages_see_each_others_edits(machine, serve, browse):
    client = serve(machine)[1]
    one, two = browse(client), browse(client, PHONE)
    field(one, "cable", 0, "points", 1, "label").fill("from one")
    one.keyboard.press("Enter")
    expect(field(two, "cable", 0, "points", 1, "label")).to_have_value("from one")
    field(two, "cable", 0, "points", 2, "along").fill("350")
    two.keyboard.press("Enter")
    expect(field(one, "cable", 0, "points", 2, "along")).to_have_value("350")


def test_an_edit_of_a_row_that_another_page_has_changed_is_told_and_not_made(
    machine, serve, browse
):
    client = serve(machine)[1]
    one, two = browse(client, may_fail=True), browse(client)
    one.context.set_offline(True)
    field(one, "cable", 0, "points", 1, "at", 2).fill("44")
    one.keyboard.press("Enter")
    field(two, "cable", 0, "points", 1, "at", 2).fill("55")
    two.keyboard.press("Enter")
    settle(two)
    one.context.set_offline(False)
    expect(one.locator("#news")).to_contain_text("not saved")
    expect(one.locator("#news")).to_contain_text("44")
    expect(field(one, "cable", 0, "points", 1, "at", 2)).to_have_value("55")
