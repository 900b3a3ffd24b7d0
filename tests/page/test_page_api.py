"""What the page asks of its server, and the file that stands behind it."""

from __future__ import annotations

import stat
import threading
import tomllib
from difflib import unified_diff
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.assess import assess
from cableroute.cli import app as cli
from cableroute.measure.reading import read_job
from cableroute.output.as_dict import assessment_dict

DATA = Path(__file__).parents[2] / "data"


def op(kind, *path, **more):
    return {"op": kind, "path": list(path), **more}


def changed(old: bytes, new: bytes) -> list[str]:
    lines = unified_diff(old.decode().splitlines(), new.decode().splitlines(), n=0, lineterm="")
    return [line for line in lines if line[0] in "+-" and line[:3] not in ("+++", "---")]


def test_the_state_holds_what_check_tells(page, machine):
    status, state = page.get("/api/state")
    found = assess(read_job(machine))
    assert status == 200
    assert state["file"] == "machine.toml"
    assert state["document"] == tomllib.loads(machine.read_text())
    assert (state["faults"], state["lacks"], state["outside"]) == ([], [], None)
    assert state["answer"]["verdict"] == found.verdict
    told = assessment_dict(found)
    assert [cable["name"] for cable in state["answer"]["assessment"]["cables"]] == [
        cable["name"] for cable in told["cables"]
    ]
    assert state["answer"]["assessment"]["cables"][0]["pull"] == told["cables"][0]["pull"]
    assert len(state["answer"]["scene"]["cables"]) == 2
    document = state["document"]
    for finding in state["answer"]["findings"]:
        row = document
        for part in finding["path"]:
            row = row[part]
        assert isinstance(row, dict)


def test_an_edit_is_judged_and_changes_its_line_only(page, machine):
    before = machine.read_bytes()
    machine_mode = stat.S_IMODE(machine.stat().st_mode)
    version = page.get("/api/state")[1]["version"]
    status, state = page.edit(op("set", "cable", 0, "load", value="31 lbf"), base=version)
    assert status == 200
    assert state["document"]["cable"][0]["load"] == "31 lbf"
    assert state["version"] != version
    gone, come = changed(before, machine.read_bytes())
    assert gone.startswith("-load = ")
    assert come.startswith('+load = "31 lbf"')
    assert stat.S_IMODE(machine.stat().st_mode) == machine_mode
    pull = state["answer"]["assessment"]["cables"][0]["pull"]
    assert pull["load_n"] == pytest.approx(31 * 4.4482216152605)


def test_undo_to_the_start_is_the_old_file_and_redo_the_new(page, machine):
    before = machine.read_bytes()
    texts = [before]
    for step in range(6):
        ops = [op("insert", "cable", 0, "points", 1, value={"at": [step, 1, 2]})]
        ops.append(op("set", "cable", 0, "points", 0, "label", value=f"no. {step}"))
        assert page.edit(*ops)[0] == 200
        texts.append(machine.read_bytes())
    for text in reversed(texts[:-1]):
        state = page.post("/api/undo")[1]
        assert machine.read_bytes() == text
    assert (state["undo"], state["redo"]) == (0, 6)
    assert page.post("/api/undo")[1]["undo"] == 0
    for text in texts[1:]:
        page.post("/api/redo")
        assert machine.read_bytes() == text
    page.post("/api/undo")
    assert page.edit(op("set", "title", value="other"))[1]["redo"] == 0


def test_what_cannot_be_read_is_told_at_its_field_and_not_saved(page, machine):
    before = machine.read_bytes()
    status, told = page.edit(
        op("set", "cable", 1, "points", 2, "at", 1, value="3 furlongs"),
        op("set", "cable", 0, "travel", value=-4),
    )
    assert status == 422
    paths = [fault["path"] for fault in told["faults"]]
    assert paths == [["cable", 0, "travel"], ["cable", 1, "points", 2, "at", 1]]
    assert "furlongs" in told["faults"][1]["message"]
    assert page.edit(op("set", "cable", 9, "load", value=3))[0] == 422
    assert machine.read_bytes() == before
    assert page.get("/api/state")[1]["undo"] == 0


def test_a_file_with_a_fault_can_be_mended_step_by_step(serve, machine):
    machine.write_text(
        '[[cable]]\nname = "a"\nload = "two"\nfriction = 9\nbend_radius = 60\n'
        "points = [{ at = [0, 0, 0] }, { at = [0, 900, 0] }]\n"
    )
    page = serve(machine)[1]
    page.enter()
    state = page.get("/api/state")[1]
    assert [fault["path"][2] for fault in state["faults"]] == ["friction", "load"]
    assert state["answer"] is None
    status, state = page.edit(op("set", "cable", 0, "load", value=2))
    assert (status, len(state["faults"])) == (200, 1)
    assert page.edit(op("set", "cable", 0, "travel", value="x"))[0] == 422
    assert page.edit(op("set", "cable", 0, "friction", value=0.1))[1]["answer"]["verdict"]


def test_a_job_from_an_empty_file(serve, tmp_path):
    file = tmp_path / "new.toml"
    file.write_text('[[cable]]\nname = "a"\nkind = "pull"\nfamily = "throttle-thin"\npoints = []\n')
    page = serve(file)[1]
    page.enter()
    state = page.get("/api/state")[1]
    assert (state["answer"], state["faults"]) == (None, [])
    assert state["lacks"][0]["path"] == ["cable", 0, "points"]
    for k in range(2):
        point = {"at": ["3 ft", f"{k} m", 0]}
        status, state = page.edit(op("insert", "cable", 0, "points", k, value=point))
        assert status == 200
    assert state["answer"]["verdict"] in ("pass", "marginal", "fail")
    second = {"name": "b", "bend_radius": 60, "points": []}
    state = page.edit(op("insert", "cable", 1, value=second))[1]
    assert state["answer"]["cables"] == [0]  # the first is judged while the second is begun
    assert state["lacks"][0]["path"] == ["cable", 1, "points"]
    state = page.edit(op("delete", "cable", 0))[1]
    state = page.edit(op("delete", "cable", 0))[1]
    assert (state["answer"], state["lacks"][0]["path"]) == (None, ["cable"])


@pytest.mark.parametrize("unit", ["cm", "m", "in", "ft"])
def test_a_run_without_points_is_no_fault_in_any_unit(serve, tmp_path, unit):
    file = tmp_path / "new.toml"
    client = serve(file, answer="pull")[1]
    client.enter()
    status, state = client.edit(op("set", "unit", value=unit))
    assert status == 200, state
    assert state["faults"] == []
    (lack,) = state["lacks"]
    assert lack["message"] == "a run needs two points at least, this has none yet"


def test_an_edit_on_an_old_text_is_refused_and_told_the_new_one(page):
    old = page.get("/api/state")[1]["version"]
    page.edit(op("set", "title", value="one"))
    status, told = page.edit(op("set", "title", value="two"), base=old)
    assert (status, told["why"]) == (409, "stale")
    assert told["state"]["title"] == "one"
    assert page.post("/api/undo", base=old)[0] == 409


@pytest.mark.parametrize("which", ["disk", "page"])
def test_a_file_changed_by_something_else_is_left_alone_until_one_is_chosen(page, machine, which):
    mine = page.edit(op("set", "title", value="mine"))[1]
    text = machine.read_text()
    theirs = text.replace('"mine"', '"theirs"')
    machine.write_text(theirs)
    status, told = page.edit(op("set", "title", value="more"), base=mine["version"])
    assert (status, told["why"]) == (409, "outside")
    assert (told["page"]["text"], told["disk"]["text"]) == (text, theirs)
    assert machine.read_text() == theirs
    state = page.get("/api/state")[1]
    assert state["outside"]["faults"] == []
    assert (state["saved"], state["version"] != mine["version"]) == (False, True)
    state = page.post("/api/take", which=which)[1]
    assert state["title"] == ("theirs" if which == "disk" else "mine")
    assert machine.read_text() == (theirs if which == "disk" else text)
    assert state["outside"] is None
    assert page.post("/api/undo")[1]["title"] == ("mine" if which == "disk" else "theirs")


@pytest.mark.parametrize("bad", [b"", b"not toml [", b"\xff\xfe\0"])
def test_a_file_spoiled_by_something_else_cannot_be_taken_but_put_right(page, machine, bad):
    before = machine.read_bytes()
    machine.write_bytes(bad)
    assert page.get("/api/state")[1]["outside"]["faults"]
    assert page.post("/api/take", which="disk")[0] == 422
    assert page.post("/api/take", which="page")[0] == 200
    assert machine.read_bytes() == before


def test_a_file_that_is_gone_is_written_again(page, machine):
    before = machine.read_bytes()
    machine.unlink()
    assert page.get("/api/state")[1]["saved"] is False
    assert page.post("/api/take", which="page")[1]["saved"] is True
    assert machine.read_bytes() == before


def test_two_pages_see_each_others_edits_and_those_from_outside(page, machine):
    version = page.get("/api/state")[1]["version"]
    seen = []
    waiting = threading.Thread(
        target=lambda: seen.append(page.get(f"/api/wait?version={version}")[1])
    )
    waiting.start()
    page.edit(op("set", "title", value="news"))
    waiting.join(20)
    assert seen[0]["title"] == "news"
    version = seen[0]["version"]
    waiting = threading.Thread(
        target=lambda: seen.append(page.get(f"/api/wait?version={version}")[1])
    )
    waiting.start()
    machine.write_text(machine.read_text() + "# by hand\n")
    waiting.join(20)
    assert seen[1]["outside"]["text"].endswith("# by hand\n")


def test_trying_saves_nothing(page, machine):
    before = machine.read_bytes()
    status, told = page.post("/api/try", ops=[op("set", "cable", 0, "load", value=9999)])
    assert status == 200
    assert told["document"]["cable"][0]["load"] == 9999
    assert told["answer"]["assessment"]["cables"][0]["pull"]["load_n"] == 9999
    told = page.post("/api/try", ops=[op("set", "cable", 0, "load", value="x")])[1]
    assert (told["answer"], told["faults"][0]["path"]) == (None, ["cable", 0, "load"])
    assert machine.read_bytes() == before


def test_a_server_that_was_ended_goes_on_from_the_file(serve, machine):
    server, page = serve(machine)
    page.enter()
    state = page.edit(op("set", "title", value="one"))[1]
    server.kill()
    server.communicate()
    server, again = serve(machine)
    again.cookie = page.cookie
    assert again.get("/api/state")[0] == 401  # cookies and tokens ended with the server
    assert again.enter(page.token) == 403
    assert again.enter() == 200
    assert again.edit(op("set", "title", value="two"), base=state["version"])[0] == 200


EXPORTS = {
    "report.html": b"<!DOCTYPE html>",
    "report.md": b"# ",
    "sheet.html": b"<!DOCTYPE html>",
    "route.dxf": b"999\n",
    "points.csv": b"cable",
    "clips.csv": b"cable",
    "file.toml": b"#",
}


@pytest.mark.parametrize("name", [*EXPORTS, "report.pdf", "sheet.pdf", "template.pdf"])
def test_what_is_taken_away_is_a_file_of_its_kind(shared, name):
    status, heads, body = shared.raw("GET", f"/api/export/{name}")
    assert status == 200
    assert heads["Content-Disposition"] == f'attachment; filename="{name}"'
    assert body.startswith(EXPORTS.get(name, b"%PDF"))


def test_the_sheet_is_the_one_that_the_command_gives(page, machine, tmp_path):
    out = tmp_path / "sheet.html"
    done = CliRunner().invoke(cli, ["report", str(machine), "--sheet", "-o", str(out)])
    assert done.exit_code == 0, done.output
    assert page.raw("GET", "/api/export/sheet.html")[2] == out.read_bytes()


def test_the_file_taken_away_is_the_file(page, machine):
    machine_text = machine.read_bytes()
    assert page.raw("GET", "/api/export/file.toml")[2] == machine_text
    assert page.get("/api/export/linkage.csv")[0] == 422


def test_hostile_words_stay_words(page, machine):
    words = "</script><script>alert(1)</script>\"'&\u202e\n\x7f\\"
    ops = [
        op("set", "title", value=words),
        op("set", "cable", 0, "points", 1, "label", value=words),
    ]
    status, state = page.edit(*ops)
    assert status == 200
    assert state["title"] == words
    assert tomllib.loads(machine.read_text())["title"] == words
    heads = page.raw("GET", "/api/state")[1]
    assert heads["Content-Type"] == "application/json"
    assert b"<script>alert" not in page.raw("GET", "/api/export/report.html")[2]
    assert read_job(machine).title == words


def test_what_is_only_asked_is_told_at_its_field_too(shared):
    status, told = shared.post(
        "/api/locate", cable=0, point={"on": "x", "along": "far", "clock": 0}
    )
    assert status == 422
    assert told["faults"][0]["path"] == ["point", "along"]
    readings = [{"wrap_deg": 90, "load_n": 50, "hand_n": "x"}] * 3
    name = shared.get("/api/state")[1]["document"]["cable"][0]["name"]
    status, told = shared.post("/api/calibrate", cable=name, readings=readings)
    assert status == 422
    assert [fault["path"] for fault in told["faults"]] == [
        ["readings", i, "hand_n"] for i in range(3)
    ]
    assert "furlongs" in shared.post("/api/echo", text="3 furlongs", unit="mm")[1]["error"]
    assert shared.post("/api/echo", text="3 in", unit="mm")[1]["mm"] == pytest.approx(76.2)


@pytest.mark.parametrize("path", ["suggestions", "families"])
def test_offers_ask_for_a_cable_by_name(shared, path):
    name = shared.get("/api/state")[1]["document"]["cable"][0]["name"]
    status, told = shared.get(f"/api/{path}?cable={name.replace(' ', '%20')}")
    assert status == 200
    assert told["cable"] == name
    assert shared.get(f"/api/{path}?cable=none")[0] == 422
    assert shared.get(f"/api/{path}")[0] == 400


def test_linkages_and_starters_can_be_asked_for(shared):
    assert shared.get("/api/linkages") == (200, {"linkages": [], "selectors": []})
    assert set(shared.get("/api/starters")[1]) == {"kinds", "cables", "points", "keys"}
