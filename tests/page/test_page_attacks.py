"""Whoever is not the page's own browser gets nothing, and holds up nobody else."""

from __future__ import annotations

import json
import re
import signal
import socket
import struct
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from pathlib import Path

import pytest

STATE = "/api/state"
EDIT = json.dumps({"ops": [{"op": "set", "path": ["title"], "value": "taken"}]}).encode()


def said(reply: bytes) -> int:
    return int(reply.split(b" ", 2)[1])


def raw(client, text: bytes) -> bytes:
    """Send bytes as they are; return all that comes back until the server closes."""
    with socket.create_connection(client.host.split(":"), timeout=120) as line:
        line.sendall(text)
        line.shutdown(socket.SHUT_WR)
        return b"".join(iter(lambda: line.recv(65536), b""))


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",  # a name that was made to point here
        "evil.example:{port}",
        "127.0.0.1",
        "127.0.0.1:1",
        "127.0.0.1:{port}.evil.example",
        "localhost.:{port}",
        "[::1]:{port}",
        "",
    ],
)
@pytest.mark.parametrize("path", ["/", "/static/main.js", STATE])
def test_a_foreign_host_is_refused_everywhere(shared, host, path):
    port = shared.host.split(":")[1]
    heads = f"GET {path} HTTP/1.1\r\nHost: {host.format(port=port)}\r\nConnection: close\r\n"
    heads += f"Cookie: {shared.cookie}\r\n\r\n"
    reply = raw(shared, heads.encode())
    assert said(reply) == 421
    assert b"machine.toml" not in reply


def test_a_missing_or_double_host_is_refused(shared):
    head = f"GET {STATE} HTTP/1.1\r\nCookie: {shared.cookie}\r\nConnection: close\r\n"
    assert said(raw(shared, f"{head}\r\n".encode())) == 400
    assert said(raw(shared, f"{head}\r\n".replace("1.1", "1.0").encode())) == 421
    double = f"{head}Host: {shared.host}\r\nHost: {shared.host}\r\n\r\n"
    assert said(raw(shared, double.encode())) in (400, 421)


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://{host}", "http://{host}.evil.example", None]
)
@pytest.mark.parametrize("path", ["/api/edit", "/api/undo", "/api/enter", "/api/take"])
def test_a_foreign_null_or_missing_origin_writes_nothing(shared, origin, path):
    sent = origin and origin.format(host=shared.host)
    assert shared.raw("POST", path, body=EDIT, Origin=sent)[0] == 403


def test_a_page_from_elsewhere_reads_nothing_even_with_the_cookie(shared):
    assert shared.raw("GET", STATE, Origin="http://evil.example")[0] == 403
    assert shared.raw("GET", STATE, Sec_Fetch_Site="cross-site")[0] == 403
    assert shared.raw("GET", STATE, Sec_Fetch_Site="same-site")[0] == 403
    assert shared.raw("GET", STATE, Sec_Fetch_Site="same-origin")[0] == 200


@pytest.mark.parametrize("token", ["", "x", "é", "a" * 10_000, None, 5, ["a"], {"a": 1}, "\ud800"])
def test_a_wrong_token_gives_no_cookie(shared, token):
    status, heads, _ = shared.raw("POST", "/api/enter", body=json.dumps({"token": token}).encode())
    assert status == 403
    assert heads["Set-Cookie"] is None


@pytest.mark.parametrize("cookie", [None, "x=y", "{name}=", "{name}=wrong", "{name}", ";;=;", "é"])
@pytest.mark.parametrize("path", [STATE, "/api/wait", "/api/export/file.toml", "/api/none"])
def test_without_the_cookie_there_is_no_data(shared, cookie, path):
    name = shared.cookie.split("=")[0]
    assert shared.raw("GET", path, Cookie=cookie and cookie.format(name=name))[0] == 401


def test_the_cookie_is_for_this_page_and_no_script(shared):
    body = json.dumps({"token": shared.token}).encode()
    cookie = shared.raw("POST", "/api/enter", body=body)[1]["Set-Cookie"].lower()
    assert {"httponly", "samesite=strict", "path=/api"} <= set(cookie.split("; "))


@pytest.mark.parametrize(
    "kind", [None, "text/plain", "application/x-www-form-urlencoded", "multipart/form-data"]
)
def test_only_json_is_taken(shared, kind):
    assert shared.raw("POST", "/api/edit", body=EDIT, Content_Type=kind)[0] == 415


@pytest.mark.parametrize(
    "body",
    [
        b"{",
        b"[]",
        b"3",
        b'{"ops": 5}',
        b'{"ops": [5]}',
        b'{"ops": [{"op": "set"}]}',
        b'{"ops": [{"op": "run", "path": ["title"]}]}',
        b'{"ops": [{"op": "set", "path": [1.5], "value": 1}]}',
        b'{"ops": [{"op": "set", "path": [true], "value": 1}]}',
        b'{"ops": [{"op": "set", "path": "title", "value": 1}]}',
        b'{"ops": [{"op": "move", "path": ["cable", 0], "to": "x"}]}',
        b'{"ops": [{"op": "set", "path": ["title"], "value": NaN}]}',
        b'{"ops": [{"op": "set", "path": ["title"], "value": 1e999}]}',
        b'{"ops": [{"op": "set", "path": ["title"], "value": "\\ud800"}]}',
        b'{"ops": [{"op": "set", "path": ["title"], "value": null}]}',
        b'{"ops": [{"op": "set", "path": [], "value": {}}]}',
        b'{"base": {}, "ops": []}',
        b"\xff\xfe",
        b"\0",
        b"9" * 100_000,
    ],
)
@pytest.mark.parametrize("path", ["/api/edit", "/api/try"])
def test_nonsense_is_refused_with_a_word(shared, path, body):
    status, _, reply = shared.raw("POST", path, body=body)
    assert status in (400, 409, 422) or (path == "/api/try" and b"base" in body)
    assert json.loads(reply)


@pytest.mark.parametrize(
    ("path", "asked"),
    [
        ("edit", {"ops": [{"op": "set", "path": ["\ud800"], "value": 1}]}),
        ("locate", {"cable": 0, "point": {"\ud800": 1}}),
        ("calibrate", {"cable": "rear gear", "readings": [{"label": "\ud800"}]}),
        ("echo", {"text": "\ud800", "unit": "mm"}),
    ],
)
def test_half_a_letter_is_refused(shared, path, asked):
    assert shared.post(f"/api/{path}", **asked) == (
        400,
        {"error": "expected text, got half a letter"},
    )


def test_a_body_of_ten_megabytes_is_refused_without_being_read(shared):
    head = f"POST /api/edit HTTP/1.1\r\nHost: {shared.host}\r\nOrigin: {shared.origin}\r\n"
    head += f"Cookie: {shared.cookie}\r\nContent-Type: application/json\r\n"
    with socket.create_connection(shared.host.split(":"), timeout=120) as line:
        line.sendall(f"{head}Content-Length: 10000000\r\n\r\n".encode())
        assert said(line.recv(65536)) == 413
    with socket.create_connection(shared.host.split(":"), timeout=120) as line:
        line.sendall(f"{head}Transfer-Encoding: chunked\r\n\r\n".encode())
        chunk, sent = b"fffff\r\n" + b"x" * 0xFFFFF + b"\r\n", 0
        with suppress(OSError):  # it may answer, or close the line before all is sent
            while sent < 40:
                line.sendall(chunk)
                sent += 1
        with suppress(OSError):
            assert said(line.recv(65536)) == 413
        assert sent < 40
    assert shared.get(STATE)[0] == 200


@pytest.mark.parametrize("opening", [b"[", b'{"a":', b'{"ops":[', b'{"ops":[{"value":['])
def test_json_ten_thousand_deep_is_refused(shared, opening):
    assert shared.raw("POST", "/api/edit", body=opening * 10_000)[0] == 400
    inside = b'{"ops":[],"a":"' + b"[" * 10_000 + b'"}'  # a text may hold what it likes
    assert shared.raw("POST", "/api/edit", body=inside)[0] == 200


def test_slow_senders_are_left_and_others_served_meanwhile(shared):
    """The heads and bodies below never end; the server waits ten seconds for either."""
    head = f"POST /api/edit HTTP/1.1\r\nHost: {shared.host}\r\nOrigin: {shared.origin}\r\n"
    head += f"Cookie: {shared.cookie}\r\nContent-Type: application/json\r\n"
    body = f"{head}Content-Length: 100\r\n\r\n" + '{"ops"'
    with ExitStack() as stack:
        slow = []
        for text in (head, body, "") * 20:
            line = stack.enter_context(
                socket.create_connection(shared.host.split(":"), timeout=120)
            )
            line.sendall(text.encode())
            slow.append(line)
        assert [shared.get(STATE)[0] for _ in range(10)] == [200] * 10
        ends = [b"".join(iter(lambda line=line: line.recv(65536), b"")) for line in slow]
    assert {said(end) for end in ends if end} == {408}
    assert sum(not end for end in ends) == 40


@pytest.mark.parametrize(
    "path",
    [
        "/../../etc/passwd",
        "/static/../api.py",
        "/static/..%2fapi.py",
        "/static/%2e%2e/api.py",
        "/static/..\\api.py",
        "/static//etc/passwd",
        "/static/%00",
        "/static/",
        "/static",
        "/api/export/..%2f..%2fetc%2fpasswd",
        "/api/export/machine.toml",
        "/api/export/",
        "/api/export/report.html/..",
        "//evil.example/static/main.js",
        "/machine.toml",
    ],
)
def test_no_path_leads_to_another_file(shared, path):
    status, _, body = shared.raw("GET", path)
    assert status in (400, 404, 405, 307)
    assert b"root:" not in body
    assert b"import" not in body


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "TRACE", "PATCH", "CONNECT"])
def test_other_methods_do_nothing(shared, method):
    assert shared.raw(method, STATE)[0] in (404, 405)
    heads = shared.raw("OPTIONS", "/api/edit", Origin=shared.origin)[1]
    assert not [name for name in heads if name.lower().startswith("access-control")]


@pytest.mark.parametrize("path", ["/", STATE, "/static/main.js", "/none", "/api/export/file.toml"])
def test_every_answer_says_what_a_browser_may_do_with_it(shared, path):
    for heads in (shared.raw("GET", path)[1], shared.raw("GET", path, Host="evil.example")[1]):
        policy = heads["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert "*" not in policy
        assert heads["X-Frame-Options"] == "DENY"
        assert heads["X-Content-Type-Options"] == "nosniff"
        assert heads["Referrer-Policy"] == "no-referrer"
        assert heads["Cache-Control"] == "no-store"
        assert heads["Server"] is None


def test_the_pages_own_files_hold_no_inline_script_and_ask_nobody_else(shared):
    body = shared.raw("GET", "/")[2].decode()
    assert "machine" not in body
    assert "<script>" not in body
    assert "style=" not in body
    assert " on" not in body.replace(" on ", "")
    assert "http:" not in body
    assert "https:" not in body


def test_two_hundred_requests_at_once_are_all_answered(shared):
    with ThreadPoolExecutor(200) as many:
        replies = list(many.map(lambda _: shared.get(STATE), range(200)))
    assert {status for status, _ in replies} == {200}
    assert len({reply["version"] for _, reply in replies}) == 1


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="needs /proc")
def test_a_browser_that_goes_in_the_middle_does_not_end_the_server(serve, machine):
    server, client = serve(machine)
    assert client.enter() == 200
    status = Path(f"/proc/{server.pid}/status").read_text()
    ignored = int(re.search(r"SigIgn:\s*(\w+)", status)[1], 16)
    assert ignored & 1 << (signal.SIGPIPE - 1)
    for _ in range(20):
        with socket.create_connection(client.host.split(":")) as gone:
            gone.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
            gone.sendall(
                f"GET /static/app.js HTTP/1.1\r\nHost: {client.host}\r\n\r\n".encode() * 20
            )
    assert client.get("/api/state")[0] == 200
