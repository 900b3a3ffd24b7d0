"""What is asked of a page about a mutant: edits of its file above all, some of them no requests."""

from __future__ import annotations

import json
import random
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from urllib.parse import quote

from starlette.testclient import TestClient

from cableroute.page.api import Page
from cableroute.page.desk import Desk
from cableroute.page.document import Document, version_of
from cableroute.page.guard import Guard
from cableroute.page.keys import Keys
from tests.fuzz.mutate import (
    NUMBERS,
    READ_BADLY,
    TYPES,
    WORDS,
    alike,
    changed_bytes,
    number,
    places,
)

HERE = "http://127.0.0.1"
#: Answers a page may give, whatever it is asked.
KNOWN = (200, 400, 404, 405, 409, 413, 415, 422)
_DOWNLOADS = ("route.dxf", "points.csv", "clips.csv", "linkage.csv", "file.toml", "report.md", "x")
#: What may follow when something has been saved.
_SAVING = ("/api/edit", "/api/undo", "/api/redo", "/api/take")

_DOINGS = ("edit", "try", "undo", "redo", "take", "echo", "locate", "calibrate")

#: How and where, and the body that is sent.
Request = tuple[str, str, bytes]


def requests(data: bytes, chance: random.Random) -> tuple[Request, ...]:
    """Return what is asked of a page about a file; it follows from both."""
    try:
        document = tomllib.loads(data.decode())
    except ValueError:
        document = {}
    document.setdefault("unit", "mm")
    return tuple(_request(document, chance) for _ in range(chance.choice((1, 2, 3, 5))))


def _request(document: dict[str, Any], chance: random.Random) -> Request:
    way = chance.choice((*("edit", "get") * 3, *_DOINGS))
    if way == "get":
        return "GET", _address(document, chance), b""
    asked = {
        "edit": lambda: _edit(document, chance),
        "try": lambda: _edit(document, chance),
        "take": lambda: {"which": chance.choice(("disk", "page", 1))},
        "echo": lambda: {"text": _value(None, chance), "unit": chance.choice(("mm", "in", "x"))},
        "locate": lambda: {
            "cable": chance.choice((0, 1, -1, 9, "")),
            "point": _row(document, chance),
        },
        "calibrate": lambda: {"cable": _name(document, chance), "readings": _readings(chance)},
    }.get(way, dict)()
    if chance.random() < 0.05:
        asked[chance.choice(list(asked) or ["x"])] = chance.choice(TYPES)
    return "POST", f"/api/{way}", changed_bytes(json.dumps(asked, default=str), chance)


def _address(document: dict[str, Any], chance: random.Random) -> str:
    name = quote(_name(document, chance))
    return "/api/" + chance.choice(
        (
            *("state", "linkages", "starters", "tables", f"mends?linkage={name}"),
            *(f"suggestions?cable={name}", f"families?cable={name}"),
            *(f"export/{each}" for each in _DOWNLOADS),
        )
    )


def _name(document: dict[str, Any], chance: random.Random) -> str:
    rows = [document.get(key) for key in ("cable", "linkage")]
    every = [
        row.get("name")
        for table in rows
        if isinstance(table, list)
        for row in table
        if isinstance(row, dict)
    ]
    names = [name for name in every if isinstance(name, str)]
    return chance.choice(names) if names and chance.random() < 0.9 else chance.choice(WORDS)


def _row(document: dict[str, Any], chance: random.Random) -> Any:
    """Return a point of the file, or something else out of it, with a number of it changed."""
    rows = [path for path in places(document) if "points" in path[-2:-1]] or places(document)
    row = json.loads(json.dumps(_at(document, chance.choice(rows)), default=str))
    if isinstance(row, dict) and row:
        key = chance.choice(list(row))
        row[key] = _value(row[key], chance)
    return row


def _readings(chance: random.Random) -> list[Any]:
    rows = [
        {"wrap_deg": 90.0 * i, "load_n": 50 * i, "hand_n": 57.0 * i, "label": "a"}
        for i in range(1, 5)
    ]
    row: dict[str, Any] = chance.choice(rows)
    key = chance.choice(list(row))
    row[key] = _value(row[key], chance)
    return rows


def _edit(document: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    ops = [_op(document, chance) for _ in range(chance.choice((1, 1, 1, 2, 4)))]
    return {"base": chance.choice((None, None, None, "x")), "ops": ops}


def _op(document: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    path = chance.choice(places(document))
    old = _at(document, path)
    op = {
        "op": chance.choice(("set", "set", "set", "insert", "move", "delete")),
        "path": list(path),
    }
    if chance.random() < 0.15:
        op["path"][-1:] = chance.choice(
            (["name"], ["points"], [-1], [0], [99], ["x y"], ["ö", 0], [])
        )
    if op["op"] in ("set", "insert"):
        op["value"] = alike(path[-1], chance) if chance.random() < 0.4 else _value(old, chance)
    return op | ({"to": chance.choice((0, 1, -1, 99))} if op["op"] == "move" else {})


def _value(old: Any, chance: random.Random) -> Any:
    values = (
        number(old, chance),
        chance.choice(NUMBERS),
        chance.choice(WORDS),
        chance.choice(TYPES),
    )
    return chance.choice((*values, values[0], values[0], old, chance.choice(READ_BADLY)))


def _at(document: Any, path: tuple[Any, ...]) -> Any:
    for part in path:
        document = document[part]
    return document if isinstance(document, str | int | float | list | dict) else str(document)


class Served:
    """A page of a file, without a port.

    Parameters
    ----------
    file : Path
        The file.
    """

    def __init__(self, file: Path) -> None:
        self.file, self.keys = file, Keys()
        app = Page(Desk(Document(file)), keys=self.keys, cookie="fuzz").app()
        guard: Any = Guard(app, keys=self.keys, hosts=["127.0.0.1"], cookie="fuzz")
        self.client = TestClient(guard, base_url=HERE, headers={"origin": HERE})

    def __enter__(self) -> Served:
        self.client.__enter__()
        self.client.post("/api/enter", json={"token": self.keys.token})
        return self

    def __exit__(self, *_: object) -> None:
        self.client.__exit__()

    def ask(self, request: Request) -> tuple[str, bytes, str]:
        """Return what is answered: which kind, the body, and what is wrong with how it was done."""
        before = self.file.read_bytes()
        how, where, body = request
        heads = {"content-type": "application/json"} if how == "POST" else {}
        reply = self.client.request(how, where, content=body, headers=heads)
        after, kind = self.file.read_bytes(), reply.headers.get("content-type", "")
        if reply.status_code not in KNOWN:
            return kind, reply.content, f"answers with {reply.status_code}"
        is_saving = reply.status_code == 200 and where in _SAVING
        if before != after and not is_saving:
            return kind, reply.content, "a file has changed that was to stay"
        if is_saving and _version(reply.json()) != version_of(after.decode()):
            return kind, reply.content, "tells another text than it has saved"
        return kind, reply.content, ""


def _version(state: Mapping[str, Any]) -> str:
    return str(state["version"])
