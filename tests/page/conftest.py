"""A real server on loopback, and a plain client that says what headers it likes."""

from __future__ import annotations

import http.client
import json
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

DATA = Path(__file__).parents[2] / "data"
COMMAND = (sys.executable, "-W", "error", "-m", "cableroute", "page", "--no-open")
#: What the machine of a test may take, busy as it may be [s].
SECONDS = 120


class Client:
    """Talks to a page as its own browser would, unless told otherwise."""

    def __init__(self, address: str) -> None:
        self.origin, self.token = address.split("/#")
        self.host = self.origin.removeprefix("http://")
        self.cookie = ""

    def raw(self, method: str, path: str, *, body: bytes = b"", **heads: str | None):
        """Send a request; a head of None is left out. Return status, heads and body."""
        usual = {"Host": self.host, "Cookie": self.cookie}
        if method == "POST":
            usual |= {"Origin": self.origin, "Content-Type": "application/json"}
        sent = usual | {name.replace("_", "-"): value for name, value in heads.items()}
        connection = http.client.HTTPConnection(self.host, timeout=SECONDS)
        try:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for name, value in sent.items():
                if value:
                    connection.putheader(name, value)
            if method == "POST":
                connection.putheader("Content-Length", str(len(body)))
            connection.endheaders(body if method == "POST" else None)
            reply = connection.getresponse()
            return reply.status, reply.headers, reply.read()
        finally:
            connection.close()

    def enter(self, token: str | None = None) -> int:
        body = json.dumps({"token": self.token if token is None else token}).encode()
        status, heads, _ = self.raw("POST", "/api/enter", body=body)
        if status == 200:
            self.cookie = heads["Set-Cookie"].split(";")[0]
        return status

    def get(self, path: str):
        status, _, body = self.raw("GET", path)
        return status, json.loads(body)

    def post(self, path: str, **asked):
        status, _, body = self.raw("POST", path, body=json.dumps(asked).encode())
        return status, json.loads(body)

    def edit(self, *ops, base: str | None = None):
        return self.post("/api/edit", base=base, ops=list(ops))


def start(file: Path, *words: str, answer: str = ""):
    """Start the command, say what kind of cable if it asks, and wait for its address."""
    command = [*COMMAND, str(file), *words]
    server = subprocess.Popen(
        command, stdin=-1 if answer else subprocess.DEVNULL, stdout=-1, stderr=-1, text=True
    )
    if answer:
        server.stdin.write(f"{answer}\n")
        server.stdin.flush()
    return server, Client(server.stdout.readline().strip())


def stop(server: subprocess.Popen[str]) -> int:
    if server.poll() is None:
        server.terminate()
    server.communicate(timeout=SECONDS)
    return server.returncode


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    file = tmp_path / "machine.toml"
    file.write_bytes((DATA / "recumbent_trike.toml").read_bytes())
    return file


@pytest.fixture
def serve() -> Iterator[Callable[..., tuple[subprocess.Popen[str], Client]]]:
    """Start servers; those still alive at the end are stopped, and must end well."""
    running = []

    def begin(file: Path, *words: str, answer: str = ""):
        running.append(start(file, *words, answer=answer))
        return running[-1]

    yield begin
    for server, _ in running:
        if server.poll() is None:
            assert stop(server) == 0


@pytest.fixture
def page(machine: Path, serve) -> Client:
    client = serve(machine)[1]
    assert client.enter() == 200
    return client


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    """One server for tests that change nothing; it is alive and well when all are through."""
    file = tmp_path_factory.mktemp("page") / "machine.toml"
    before = (DATA / "recumbent_trike.toml").read_bytes()
    file.write_bytes(before)
    server, client = start(file)
    assert client.enter() == 200
    yield client
    assert client.get("/api/state")[0] == 200
    assert stop(server) == 0
    assert file.read_bytes() == before


@pytest.fixture
def client_of() -> type[Client]:
    """Make a client of an address."""
    return Client


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium; only tests that need it find out whether it is here."""
    from tests.page.browsing import CHROMIUM, FLAGS, sync_playwright

    with sync_playwright() as play:
        found = play.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield found
        found.close()


@pytest.fixture
def browse(browser: Browser) -> Iterator[Callable[..., Page]]:
    """Open pages; at the end each has asked its own server only, and complained of nothing."""
    from tests.page.browsing import DESK, GONE, SETTLED, settle

    opened: list[tuple[BrowserContext, str, list[str], list[str], bool]] = []

    def begin(client, size=None, *, may_fail: bool = False, wait: bool = True, **more) -> Page:
        context = browser.new_context(viewport=size or DESK, **more)
        page = context.new_page()
        page.set_default_timeout(SETTLED)
        said: list[str] = []
        asked: list[str] = []
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", lambda request: asked.append(request.url))
        opened.append((context, client.host, said, asked, may_fail))
        page.goto(f"{client.origin}/#{client.token}")
        if wait:
            settle(page)
        return page

    yield begin
    for context, host, said, asked, may_fail in opened:
        context.close()
        assert [words for words in said if not (may_fail and GONE in words)] == []
        hosts = {urlsplit(url).netloc for url in asked if not url.startswith(("blob:", "data:"))}
        assert hosts == {host}
