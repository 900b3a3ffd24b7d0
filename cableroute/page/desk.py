"""One route file on the desk: judged, edited, undone; what is asked for is checked here."""

from __future__ import annotations

from collections import Counter
from typing import Any

from cableroute.errors import CableRouteError, TapeError
from cableroute.output.cautions import CAUTIONS, cautions_for
from cableroute.output.plain import JsonObject
from cableroute.output.toml_ops import Edit, edited
from cableroute.page.answers import Reading, answer, read
from cableroute.page.document import Document, version_of
from cableroute.page.levers import linkages
from cableroute.page.mending import mends
from cableroute.page.offers import calibration, families, suggestions
from cableroute.page.places import echo, place
from cableroute.page.starters import starters, tables

#: Ops in one request; more are no edit that somebody made.
MOST_OPS = 500
#: Answers kept, so that an undo need not wait.
KEPT = 8

_EMPTY: JsonObject = {"path": [], "message": "it is empty or gone"}


class WrongError(Exception):
    """Raised for a request that cannot be done, with what to say of it."""

    def __init__(self, status: int, **told: Any) -> None:
        self.status, self.told = status, told
        super().__init__(status)


class Desk:
    """A route file, and what is done with it; one call at a time.

    Parameters
    ----------
    document : Document
        The file.
    """

    def __init__(self, document: Document) -> None:
        self.document = document
        self._judged: dict[str, tuple[Reading, JsonObject | None, list[JsonObject]]] = {}

    def state(self, _asked: JsonObject | None = None) -> JsonObject:
        """Say everything a page shows."""
        document = self.document
        reading, told, faults = self._judge(document.body)
        outside = document.outside()
        return {
            "version": document.version,
            "file": document.path.name,
            "title": reading.data.get("title", ""),
            "unit": reading.data.get("unit", "mm"),
            "force_unit": reading.data.get("force_unit")
            if reading.job is None
            else reading.job.force_unit,
            "document": reading.data,
            "faults": faults,
            "lacks": reading.lacks,
            "answer": told,
            "cautions": CAUTIONS if reading.job is None else cautions_for(reading.job),
            "undo": document.undoable,
            "redo": document.redoable,
            "saved": outside is None,
            "outside": None if outside is None else _outside(outside),
        }

    def edit(self, asked: JsonObject) -> JsonObject:
        """Change the file and say how things are then."""
        self._check_base(asked)
        before = self._judge(self.document.body)[2]
        text = self._edited(asked)
        faults = self._judge(text)[2]
        known = Counter(fault["message"] for fault in before)
        if Counter(fault["message"] for fault in faults) - known:
            raise WrongError(422, error="the file would not be readable", faults=faults)
        self.document.change(text)
        return self.state()

    def undo(self, asked: JsonObject) -> JsonObject:
        """Go one step back."""
        self._check_base(asked)
        self.document.undo()
        return self.state()

    def redo(self, asked: JsonObject) -> JsonObject:
        """Do again what was undone."""
        self._check_base(asked)
        self.document.redo()
        return self.state()

    def take(self, asked: JsonObject) -> JsonObject:
        """Decide between the file on disk and the page's."""
        which = asked.get("which")
        if which not in ("disk", "page"):
            raise WrongError(400, error='expected which = "disk" or "page"')
        self.document.take("disk" if which == "disk" else "page")
        return self.state()

    def try_out(self, asked: JsonObject) -> JsonObject:
        """Say what edits would lead to, and save nothing."""
        reading, told, faults = self._judge(self._edited(asked))
        return {"document": reading.data, "answer": told, "faults": faults, "lacks": reading.lacks}

    def _check_base(self, asked: JsonObject) -> None:
        outside = self.document.outside()
        if outside is not None:
            mine = {"version": version_of(self.document.text), "text": self.document.text}
            both = {"page": mine, "disk": _outside(outside)}
            raise WrongError(
                409, error="something else has changed the file", why="outside", **both
            )
        if asked.get("base") not in (None, self.document.version):
            words = "another page has changed the file meanwhile"
            raise WrongError(409, error=words, why="stale", state=self.state())

    def _edited(self, asked: JsonObject) -> str:
        edits = _edits(asked)
        try:
            return edited(self.document.body, edits)
        except CableRouteError as error:
            path = edits[0].path if len(edits) == 1 else []
            told = [{"path": path, "message": str(error)}]
            raise WrongError(422, error=str(error), faults=told) from None

    def _judge(self, body: str) -> tuple[Reading, JsonObject | None, list[JsonObject]]:
        """Read and judge a text, but for those that were last."""
        if body not in self._judged:
            reading, told, faults = read(body), None, []
            try:
                told = answer(reading)
            except CableRouteError as error:
                faults = [{"path": [], "message": str(error)}]
            if len(self._judged) >= KEPT:
                del self._judged[next(iter(self._judged))]
            self._judged[body] = reading, told, [*reading.faults, *faults]
        return self._judged[body]

    def suggestions(self, asked: JsonObject) -> JsonObject:
        """Say what to move or leave out."""
        return suggestions(self.document.body, _text(asked, "cable"))

    def families(self, asked: JsonObject) -> JsonObject:
        """Judge a run with every family."""
        return families(self.document.body, _text(asked, "cable"))

    def linkages(self, _asked: JsonObject) -> JsonObject:
        """Say how the levers go."""
        return linkages(self.document.body)

    def mends(self, asked: JsonObject) -> JsonObject:
        """Try every mend of a mirrored motion."""
        return mends(self.document.body, _text(asked, "linkage"))

    def starters(self, _asked: JsonObject) -> JsonObject:
        """Say what new things begin with."""
        return starters()

    def tables(self, _asked: JsonObject) -> JsonObject:
        """Say what each table may hold."""
        return tables()

    def echo(self, asked: JsonObject) -> JsonObject:
        """Say what a length comes to; half typed, it is no fault that it cannot be read yet."""
        try:
            return echo(asked.get("text"), asked.get("unit"))
        except TapeError as error:
            return {"error": str(error)}

    def locate(self, asked: JsonObject) -> JsonObject:
        """Say where a point would be."""
        return place(self.document.body, asked.get("cable"), asked.get("point"))

    def calibrate(self, asked: JsonObject) -> JsonObject:
        """Fit friction to readings."""
        return calibration(self.document.body, _text(asked, "cable"), asked.get("readings"))


def _outside(text: str) -> JsonObject:
    """Say what something else has made of the file."""
    try:
        faults = list(read(text.removeprefix("\ufeff")).faults) if text.strip() else [_EMPTY]
    except ValueError:
        faults = [{"path": [], "message": "it cannot be read as TOML"}]
    return {"version": version_of(text), "text": text, "faults": faults}


def _text(asked: JsonObject, key: str) -> str:
    value = asked.get(key)
    if not isinstance(value, str):
        raise WrongError(400, error=f"expected a text as {key}")
    return value


def _edits(asked: JsonObject) -> list[Edit]:
    """Take the ops of a request for what they are, or refuse them."""
    ops = asked.get("ops")
    if not isinstance(ops, list) or not all(_is_op(op) for op in ops) or len(ops) > MOST_OPS:
        raise WrongError(400, error=f"expected at most {MOST_OPS} ops: {{op, path, value?, to?}}")
    return [Edit(op["op"], tuple(op["path"]), op.get("value"), op.get("to", 0)) for op in ops]


def _is_op(op: Any) -> bool:
    return (
        isinstance(op, dict)
        and op.get("op") in ("set", "insert", "move", "delete")
        and isinstance(op.get("path"), list)
        and all(isinstance(part, str) or type(part) is int for part in op["path"])
        and type(op.get("to", 0)) is int
    )
