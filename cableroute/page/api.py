"""What the page asks of its server; all of it is JSON.

A *path* is a list of keys and numbers into the file, as ``["cable", 0, "points", 2, "at"]``. An
*op* is ``{op, path, value?, to?}`` with ``op`` one of ``set``, ``insert`` (before that member),
``move`` (to the place ``to``) and ``delete``.

===================================  ==========================================================
``POST /api/enter {token}``          a cookie for the token of the address's fragment
``GET /api/state``                   the state, see below
``GET /api/wait?version=V``          the state once its version is another, or after 25 s
``POST /api/edit {base, ops}``       the new state; 409 if the file is another than ``base``;
                                     422 with ``faults`` at their paths, and nothing is saved
``POST /api/undo``, ``/api/redo``    the new state; ``{base}``
``POST /api/take {which}``           the new state, with the file of ``"disk"`` or of ``"page"``
``POST /api/try {ops}``              ``{answer, faults, lacks, document}``; nothing is saved
``GET /api/suggestions?cable=NAME``   ``{suggestions: [{kind, words, effect, ops}]}``; the effect has
                                     ``before``, ``after`` (verdict, hand_n, wrap_deg, length_mm)
                                     and ``brings`` (findings that were not there before)
``GET /api/families?cable=NAME``      ``{families: [{family, kind, verdict, stock_mm, hand_n, why,
                                     ops, ...}]}`` as ``compare --families --json``, the best first;
                                     verdict None where it cannot be used
``GET /api/linkages``                ``{linkages, selectors}`` as ``linkage --json``, and for each
                                     linkage ``members`` to draw (:mod:`cableroute.page.levers`)
``GET /api/mends?linkage=NAME``      ``{mends: [{kind, what, verdict, ops, ...}]}``: each way to turn
                                     a mirrored motion round, tried; no ops where none can do it
``GET /api/starters``                what a new cable and a new point begin with
``GET /api/tables``                  ``{tables}``: what each table of a file may hold, by the name of its
                                     model, as in ``schema``
``POST /api/echo {text, unit}``      ``{mm, inches, text}`` of a length as typed, or ``{error}``
``POST /api/locate {cable, point}``  ``{places: [{at_mm, side}], doubt, doubt_mm}``: two places where
                                     tapes leave two, each with the side that would choose it
``POST /api/calibrate``              ``{cable, readings: [{wrap_deg?, load_n, hand_n, label?}]}``: the
                                     fit as ``calibrate --json``, ``words`` and ``ops``
``GET /api/export/NAME``             a download: report.html, report.pdf, report.md, sheet.html,
                                     sheet.pdf, template.pdf, route.dxf, points.csv, clips.csv,
                                     linkage.csv, file.toml
===================================  ==========================================================

The state: ``version`` (name of the text: the base of an edit), ``file``, ``title``, ``unit``, ``force_unit``,
``document`` (the file as plain JSON), ``faults`` and ``lacks`` (``[{path, message}]``: what cannot
be read, what is still to come), ``answer`` (None while there is nothing to judge), ``undo`` and
``redo`` (numbers of steps), ``cautions``, ``saved``, ``outside`` (None, or ``{version, text, faults}`` where
something else has changed the file: only ``take`` is possible then).

The answer: ``verdict``, ``assessment`` (as ``check --json``), ``scene`` (as in the report),
``cables`` (which cables of the document are judged, in the order of the assessment), ``findings``
(``[{code, level, where, message, value, limit, unit, of, path}]``).

An edit is saved unless it brings a fault that was not there before. A refusal has ``error``, and
with status 422 ``faults``, their paths into what was asked (``["hand_n"]`` of a reading comes as
``["readings", 1, "hand_n"]``, of a point to locate as ``["point", "along"]``).
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from cableroute.errors import CableRouteError
from cableroute.output.plain import JsonObject
from cableroute.page import STATIC, VIEW
from cableroute.page.answers import faults_of
from cableroute.page.desk import Desk, WrongError
from cableroute.page.downloads import DOWNLOADS, download
from cableroute.page.keys import Keys

#: How long a request may wait for news [s], and how often it looks [s].
WAIT, LOOK = 25.0, 0.25
#: What can be asked for, and done, by its name in the address.
ASKED = ("state", "suggestions", "families", "linkages", "mends", "starters", "tables")
DONE = {name: name for name in ("edit", "undo", "redo", "take", "echo", "locate", "calibrate")}
DONE["try"] = "try_out"


class Page:
    """The requests about one file, one at a time.

    Parameters
    ----------
    desk : Desk
        The file.
    keys : Keys
        Who may use it.
    cookie : str
        Name of the cookie.
    """

    def __init__(self, desk: Desk, *, keys: Keys, cookie: str) -> None:
        self.desk, self.keys, self.cookie = desk, keys, cookie
        self.is_ending = False
        self._lock = asyncio.Lock()

    def app(self) -> Starlette:
        """Return what answers requests."""
        routes: list[BaseRoute] = [
            Route("/", _index),
            Route("/api/enter", self._enter, methods=["POST"]),
            Route("/api/wait", self._wait),
            Route("/api/export/{name}", self._export),
            Mount("/static", StaticFiles(directory=STATIC)),
            Mount("/view", StaticFiles(directory=VIEW)),
        ]
        asked = ((name, name, "GET") for name in ASKED)
        done = ((name, does, "POST") for name, does in DONE.items())
        for name, does, method in (*asked, *done):
            handler = self._alone(getattr(self.desk, does))
            routes.append(Route(f"/api/{name}", handler, methods=[method]))
        return Starlette(routes=routes)

    def _alone(
        self, doer: Callable[[JsonObject], JsonObject]
    ) -> Callable[[Request], Awaitable[Response]]:
        async def handle(request: Request) -> Response:
            try:
                is_post = request.method == "POST"
                asked = dict(request.query_params)
                if is_post:
                    asked = _of_whole_letters(_json(await request.body()))
                async with self._lock:
                    return JSONResponse(await run_in_threadpool(doer, asked))
            except WrongError as wrong:
                return JSONResponse(wrong.told, status_code=wrong.status)
            except CableRouteError as error:
                faults = faults_of(error)
                words = "; ".join(fault["message"] for fault in faults)
                return JSONResponse({"error": words, "faults": faults}, status_code=422)

        return handle

    async def _enter(self, request: Request) -> Response:
        try:
            token = _json(await request.body()).get("token")
        except WrongError as wrong:
            return JSONResponse(wrong.told, status_code=wrong.status)
        cookie = self.keys.enter(token) if isinstance(token, str) and token.isascii() else None
        if cookie is None:
            words = "this address was used already, or is not the one that the command printed"
            return JSONResponse({"error": words}, status_code=403)
        reply = JSONResponse({"ok": True})
        reply.set_cookie(self.cookie, cookie, path="/api", httponly=True, samesite="strict")
        return reply

    async def _wait(self, request: Request) -> Response:
        """Answer when the file is another than the page knows and at rest, or after a while."""
        known, last = request.query_params.get("version"), None
        for _ in range(int(WAIT / LOOK)):
            now = self.desk.document.version
            is_at_rest = "~" not in now or now == last  # others write a file bit by bit
            if self.is_ending or (now != known and is_at_rest):
                break
            last = now
            await asyncio.sleep(LOOK)
        async with self._lock:
            return JSONResponse(await run_in_threadpool(self.desk.state))

    async def _export(self, request: Request) -> Response:
        name = request.path_params["name"]
        if name not in DOWNLOADS:
            return JSONResponse({"error": f"known: {', '.join(DOWNLOADS)}"}, status_code=404)
        document = self.desk.document
        try:
            async with self._lock:
                data = await run_in_threadpool(download, name, document.text, document.path)
        except CableRouteError as error:
            return JSONResponse({"error": str(error)}, status_code=422)
        heads = {"content-disposition": f'attachment; filename="{name}"'}
        return Response(data, media_type=DOWNLOADS[name], headers=heads)


async def _index(_: Request) -> Response:
    return FileResponse(STATIC / "index.html")


def _of_whole_letters(asked: JsonObject) -> JsonObject:
    """Refuse half letters, which JSON can spell and no answer can repeat."""
    try:
        json.dumps(asked, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        raise WrongError(400, error="expected text, got half a letter") from None
    return asked


def _json(body: bytes) -> JsonObject:
    """Read a request; numbers that JSON does not have are refused."""

    def refuse(word: str) -> None:
        raise ValueError(word)

    try:
        asked = json.loads(body or b"{}", parse_constant=refuse)
    except (ValueError, RecursionError):
        raise WrongError(400, error="expected JSON") from None
    if not isinstance(asked, dict):
        raise WrongError(400, error="expected a JSON object")
    return asked
