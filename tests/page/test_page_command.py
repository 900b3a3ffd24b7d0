"""The command: its address, its end, a new file, a code for a phone, and a kill at any moment."""

from __future__ import annotations

import http.client
import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app
from cableroute.page.keys import MOST_COOKIES, Keys

#: Moments at which the server is killed in the middle of saving.
KILLS = 50


@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_it_ends_at_a_signal_with_the_file_whole_even_with_a_page_waiting(serve, machine, end):
    server, page = serve(machine)
    page.enter()
    state = page.edit({"op": "set", "path": ["title"], "value": "x"})[1]
    waiting = threading.Thread(target=page.get, args=(f"/api/wait?version={state['version']}",))
    waiting.start()
    time.sleep(0.3)
    server.send_signal(end)
    out, err = server.communicate(timeout=120)
    waiting.join(120)
    assert (server.returncode, out, err) == (0, "", "")
    assert tomllib.loads(machine.read_text())["title"] == "x"
    assert [each.name for each in machine.parent.iterdir()] == ["machine.toml"]


def test_the_address_stands_alone_on_a_line_and_nothing_listens_elsewhere(serve, machine):
    page = serve(machine)[1]
    assert page.origin.startswith("http://127.0.0.1:")
    assert len(page.token) >= 32
    with socket.socket() as other, pytest.raises(OSError):  # noqa: PT011 - the system's own word
        other.connect(("127.0.0.2", int(page.host.split(":")[1])))


def test_a_new_file_is_made_after_asking_what_kind_of_cable(tmp_path):
    file = tmp_path / "carrier.toml"
    command = [sys.executable, "-m", "cableroute", "page", "--no-open", str(file)]
    server = subprocess.Popen(command, stdin=-1, stdout=-1, stderr=-1, text=True)
    server.stdin.write("rope\n2\n")
    server.stdin.flush()
    assert server.stdout.readline().startswith("http://127.0.0.1:")
    server.terminate()
    _, err = server.communicate(timeout=120)
    assert "push-pull" in err
    assert "expected one of" in err
    (cable,) = tomllib.loads(file.read_text())["cable"]
    assert (cable["name"], cable["kind"], cable["points"]) == ("carrier", "pull", [])


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("a.csv", "0,0,0", "ending in .toml"),
        ("a.toml", None, "expected the kind of cable"),
        ("a.toml", "", "empty"),
        ("a.toml", "not [ toml", "expected valid TOML"),
        ("no/a.toml", None, "cannot write there"),
    ],
)
def test_bad_input_is_one_line_and_no_server(tmp_path, name, text, words):
    file = tmp_path / name
    if text is not None:
        file.write_text(text)
    result = CliRunner().invoke(app, ["page", str(file), "--no-open"])
    assert result.exit_code == 2
    assert words in result.stderr
    assert result.stdout == ""
    assert text is None or file.read_text() == text


def test_a_port_that_is_taken_is_said(machine):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        result = CliRunner().invoke(app, ["page", str(machine), "--no-open", "--port", str(port)])
    assert result.exit_code == 2
    assert f"127.0.0.1:{port}: cannot answer there" in result.stderr


def test_a_one_time_code_opens_once_and_the_next_one_is_told():
    told = []
    keys = Keys(one_time=True, on_new=told.append)
    first = keys.token
    assert keys.enter("wrong") is None
    cookie = keys.enter(first)
    assert keys.know(cookie)
    assert keys.enter(first) is None  # used
    assert told == [keys.token]
    assert keys.token != first
    assert keys.enter(keys.token)


def test_a_ticket_opens_once_and_leaves_the_token_as_it_is():
    keys = Keys()
    ticket = keys.ticket()
    assert keys.know(keys.enter(ticket))
    assert keys.enter(ticket) is None
    assert keys.enter(keys.token)
    assert keys.enter(keys.token)


def test_the_browser_that_is_opened_gets_a_ticket(machine, monkeypatch):
    opened = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    monkeypatch.setattr("uvicorn.Server.run", lambda *_, **__: time.sleep(0.5))
    result = CliRunner().invoke(app, ["page", str(machine)])
    origin, token = result.stdout.strip().split("/#")
    assert [address.split("/#")[0] for address in opened] == [origin]
    assert opened[0].split("/#")[1] != token


def test_the_oldest_of_very_many_browsers_has_to_enter_again():
    keys = Keys()
    cookies = [keys.enter(keys.token) for _ in range(MOST_COOKIES + 1)]
    assert [keys.know(cookie) for cookie in cookies] == [False] + [True] * MOST_COOKIES


LAN = """
import sys
import cableroute.page.serve as serve
serve.lan_address = lambda: "127.0.0.9"  # an address of its own that every machine has
from cableroute.cli import main
main()
"""


def test_for_a_phone_it_says_what_that_means_and_shows_a_code_that_works_once(machine, client_of):
    command = [sys.executable, "-c", LAN, "page", str(machine), "--lan"]
    server = subprocess.Popen(command, stdout=-1, stderr=-1, text=True)
    try:
        page = client_of(server.stdout.readline().strip())
        assert page.host.startswith("127.0.0.9:")
        assert page.raw("GET", "/api/state", Host=f"127.0.0.1:{page.host.split(':')[1]}")[0] == 421
        assert page.enter() == 200
        assert page.get("/api/state")[0] == 200
        assert client_of(f"{page.origin}/#{page.token}").enter() == 403
    finally:
        server.terminate()
        _, err = server.communicate(timeout=120)
    assert "plain HTTP" in err
    assert "127.0.0.9" in err
    codes = [line for line in err.splitlines() if line.startswith("http://")]
    assert codes[0] == f"{page.origin}/#{page.token}"
    assert len(set(codes)) == 2  # the next one follows when it is used
    assert "\u2588" in err or "\u2580" in err


KILLING = r"""
import os, random, signal, sys, time, tomllib
from pathlib import Path
from cableroute.page.document import Document
path, moments, seen = Path(sys.argv[1]), random.Random(7), set()
for _ in range(int(sys.argv[2])):
    begun, child = os.pipe(), os.fork()
    if not child:
        file, number = Document(path), int(tomllib.loads(path.read_text())["title"])
        while True:
            number += 1
            x = "x" * 60000
            file.change(f"title = '{number}'\nx = '''{x}'''\n")
            os.write(begun[1], b"x")  # it is at work, however slow the machine
    os.read(begun[0], 1)
    time.sleep(moments.uniform(0.0, 0.03))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    data = tomllib.loads(path.read_text())
    assert data["title"] == "0" or len(data["x"]) == 60000
    seen.add(data["title"])
print(len(seen))
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the system cannot fork")
def test_killed_while_saving_the_file_is_the_old_one_or_the_new_one(tmp_path: Path):
    file = tmp_path / "machine.toml"
    file.write_text('title = "0"\n')
    command = [sys.executable, "-c", KILLING, str(file), str(KILLS)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.stderr == ""
    assert int(done.stdout) > KILLS // 2  # it was killed while at work, not before


def test_killed_in_the_middle_of_edits_the_file_is_one_of_the_texts(serve, machine):
    """The same with the whole server between the edit and the disk."""
    titles = {tomllib.loads(machine.read_text())["title"]}
    moments = random.Random(3)
    for round_ in range(3):
        server, page = serve(machine)
        page.enter()

        def edit(page=page, round_=round_):
            for step in range(1000):
                titles.add(f"{round_}-{step}")
                try:
                    page.edit({"op": "set", "path": ["title"], "value": f"{round_}-{step}"})
                except (OSError, http.client.HTTPException, json.JSONDecodeError):
                    return

        editing = threading.Thread(target=edit)
        editing.start()
        time.sleep(moments.uniform(0.2, 0.7))
        server.kill()
        server.communicate()
        editing.join(30)
        assert tomllib.loads(machine.read_text())["title"] in titles
