"""What every request must pass before the page looks at it, and what every answer carries.

::

    Host  ->  Origin, Sec-Fetch-Site  ->  cookie  ->  JSON  ->  size  ->  time  ->  depth  ->  page

The pages that hold no data (``/`` and ``/static``) need no cookie.
"""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import Awaitable, Callable, Collection, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import Any

from cableroute.page.keys import Keys

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Message, Receive, Send], Awaitable[None]]

#: A request longer than this is none of the page's [bytes].
LONGEST_BODY = 2_000_000
#: Brackets within brackets; a route file needs eight.
DEEPEST = 40
#: A body that is not there after this long is not waited for [s].
BODY_SECONDS = 10.0
#: A reader that takes nothing for this long is left [s].
SEND_SECONDS = 30.0

#: Nothing but this server's own files is loaded, run, asked or framed.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), geolocation=(), microphone=()"),
    (b"cache-control", b"no-store"),
)
_BRACKETS = re.compile(rb'"(?:\\.|[^"\\])*"?|[\[{]|[\]}]', re.DOTALL)


class RefusedError(Exception):
    """Raised for a request that is not let in."""

    def __init__(self, status: int, words: str) -> None:
        self.status, self.words = status, words
        super().__init__(words)


class Guard:
    """Lets requests of the page's own browser through to an app.

    Parameters
    ----------
    app : callable
        What answers.
    keys : Keys
        Whose cookies count.
    hosts : collection of str
        What the Host header may say.
    cookie : str
        Name of the cookie.
    """

    def __init__(self, app: App, *, keys: Keys, hosts: Collection[str], cookie: str) -> None:
        self.app, self.keys, self.hosts, self.cookie = app, keys, frozenset(hosts), cookie

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Answer one request, or refuse it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        patient = _answering(send)
        try:
            self._check(scope)
            body = await _body(scope, receive) if scope["method"] == "POST" else b""
        except RefusedError as refused:
            await _refuse(patient, refused)
            return
        await self.app(scope, _replay(body, receive), patient)

    def _check(self, scope: Message) -> None:
        """Refuse what no page of ours would send."""
        heads: dict[str, list[str]] = {}
        for name, value in scope["headers"]:
            heads.setdefault(name.decode("latin-1"), []).append(value.decode("latin-1"))
        hosts = heads.get("host", [])
        if len(hosts) != 1 or hosts[0].lower() not in self.hosts:
            raise RefusedError(421, "expected the address that the command printed")
        if not scope["path"].isprintable():
            raise RefusedError(400, "expected a path of letters")
        is_api, is_post = scope["path"].startswith("/api/"), scope["method"] == "POST"
        origins = heads.get("origin", [])
        if (origins or is_post) and origins != [f"http://{hosts[0]}"]:
            raise RefusedError(403, "expected a request of the page itself")
        sites = heads.get("sec-fetch-site", [])
        if is_api and any(site not in ("same-origin", "none") for site in sites):
            raise RefusedError(403, "expected a request of the page itself")
        if is_api and scope["path"] != "/api/enter" and not self._is_known(heads):
            raise RefusedError(
                401, "expected the address with its token, as the command printed it"
            )
        if is_post:
            kind = heads.get("content-type", [""])[0].split(";")[0].strip().lower()
            if kind != "application/json":
                raise RefusedError(415, "expected application/json")
            length = heads.get("content-length", ["0"])[0]
            if length.isdigit() and int(length) > LONGEST_BODY:
                raise RefusedError(413, f"expected at most {LONGEST_BODY} bytes")

    def _is_known(self, heads: dict[str, list[str]]) -> bool:
        try:
            cookies = SimpleCookie("; ".join(heads.get("cookie", [])))
        except CookieError:
            return False
        return self.cookie in cookies and self.keys.know(cookies[self.cookie].value)


async def _body(scope: Message, receive: Receive) -> bytes:
    """Wait for a whole body, so long and no longer; see that it is no trap for the parser."""
    try:
        async with asyncio.timeout(BODY_SECONDS):
            body = bytearray()
            while True:
                message = await receive()
                if message["type"] != "http.request":
                    raise RefusedError(400, "expected a whole request")
                body += message.get("body", b"")
                if len(body) > LONGEST_BODY:
                    raise RefusedError(413, f"expected at most {LONGEST_BODY} bytes")
                if not message.get("more_body", False):
                    break
    except TimeoutError:
        raise RefusedError(408, f"expected a whole request within {BODY_SECONDS:g} s") from None
    depth = deepest = 0
    for found in _BRACKETS.finditer(body):
        depth += (found[0] in b"[{") - (found[0] in b"]}")
        deepest = max(depth, deepest)
    if deepest > DEEPEST:
        raise RefusedError(400, f"expected at most {DEEPEST} brackets within each other")
    return bytes(body)


def _replay(body: bytes, receive: Receive) -> Receive:
    """Give the body that is there already, then whatever comes."""
    waiting = [body]

    async def again() -> Message:
        if waiting:
            return {"type": "http.request", "body": waiting.pop(), "more_body": False}
        return await receive()

    return again


def _answering(send: Send) -> Send:
    """Send with our headers, and not for ever to somebody who does not read."""

    async def patient(message: Message) -> None:
        if message["type"] == "http.response.start":
            own = {name for name, _ in HEADERS}
            heads = [pair for pair in message.get("headers", ()) if pair[0].lower() not in own]
            message = {**message, "headers": [*heads, *HEADERS]}
        async with asyncio.timeout(SEND_SECONDS):
            await send(message)

    return patient


async def _refuse(send: Send, refused: RefusedError) -> None:
    body = json.dumps({"error": refused.words}).encode()
    heads = [
        (b"content-type", b"application/json"),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),
    ]
    await send({"type": "http.response.start", "status": refused.status, "headers": heads})
    await send({"type": "http.response.body", "body": body})
