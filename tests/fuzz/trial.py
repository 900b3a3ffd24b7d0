"""One trial: a command on a mutant, and everything that must be true of it whatever comes out."""

from __future__ import annotations

import json
import os
import random
import re
import resource
import signal
import tomllib
import traceback
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import Any

import scipy.optimize  # noqa: F401  (what it takes for itself is not counted as an input's)
from typer.testing import CliRunner, Result

from cableroute.cli import app
from cableroute.errors import CableRouteError
from tests.fuzz.asked import Request, Served, requests
from tests.fuzz.mutate import mutant
from tests.fuzz.outputs import TEXTS, unreadable
from tests.fuzz.ways import BARE, LISTS, WAYS

#: What an input may take beyond what was taken before [bytes].
MOST_MEMORY = 2 * 2**30
#: What it may take of the processor before it is given up [s]; by hand there is a closer bound.
PATIENCE = 300
LONGEST_LINE = 3000  # letters of a complaint
MINE = b"mine\n"
OTHER = b"[[cable]]\nname='a'\nbend_radius=60\npoints=[{at=[0,0,0]},{at=[9e2,0,0]}]\n"
_NOT_FINITE = re.compile(r"(?<![\w.-])[-+]?(?:nan|inf|NaN|Infinity)(?![\w.-])")
_NAMED = re.compile(rb"(?i)(?:\b|\d)(?:nan|inf|infinity)(?:\b|\d)")
_TOLD = re.compile(r"(?:^|: )(?:says|writes) ")
_ACTS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]")
_ABSURD = re.compile(r"\d{7,} ?%|of [^ ]+ travel -\d|-\d[\d.]* m?m? ?of travel")
#: What no reader sees: programs and styles of a report, pictures as data, a drawing's credits.
_CODE = re.compile(r"(?s)<(script|style|metadata)\b.*?</\1>|base64,[\w+/=\s]+")
_SHARE = re.compile(r"\((?:\d+ to )?(\d+) % arrives")


class LateError(BaseException):
    """Raised when the time is over; no handler of errors takes it for one."""


@dataclass(frozen=True, slots=True)
class Case:
    """What is tried: a command, its words, its input; all of it follows from the number."""

    name: str
    words: tuple[str, ...]
    kind: str
    data: bytes
    asked: tuple[Request, ...] = ()


def case(name: str, number: int) -> Case:
    """Return the trial of a number."""
    chance = random.Random(f"{name} {number}")
    kinds, ways = WAYS[name]
    kind, way = chance.choice(kinds.split()), chance.choice(ways)
    if kind in LISTS and BARE not in way:
        way += f" {BARE}"  # without which a list of points goes no further than that
    data = mutant(kind, chance)
    if kind == "list":
        way = way.replace("{}", "-")
    asked = requests(data, chance) if way == "page" else ()
    return Case(name, tuple(way.split()), kind, data, asked)


def tried(each: Case, folder: Path, *, seconds: float = PATIENCE) -> str:
    """Run it in a folder of its own and return what is wrong, by its cause; nothing if all is well."""
    suffix = {"readings": "csv", "list": "txt", "dialogue": "txt", "library": "toml"}
    given = folder / f"in.{suffix.get(each.kind, each.kind)}"
    given.write_bytes(each.data)
    (folder / "old").write_bytes(MINE)
    (folder / "other.toml").write_bytes(OTHER)
    home = Path.cwd()
    os.chdir(folder)
    try:
        with warnings.catch_warnings(), _bounded(seconds):
            warnings.simplefilter("error")
            fault = _served(each, given) if each.asked else _run(each, given)
        # a label may be called so
        is_named = any(map(_NAMED.search, (each.data, *(body for *_, body in each.asked))))
        return "" if is_named and _TOLD.search(fault) else fault
    except LateError:
        return f"takes longer than {seconds:g} s"
    except MemoryError:
        return f"takes more than {MOST_MEMORY / 2**30:g} GB"
    finally:
        os.chdir(home)


def _run(each: Case, given: Path) -> str:
    """Type it on a command line."""
    words = [word.format(given.name, other="other.toml") for word in each.words]
    typed = each.data if each.kind in ("dialogue", "list") else None
    result = CliRunner().invoke(app, words, input=typed)
    faults = (*_faults(result, "--json" in words), *_written(given, each))
    return next(filter(None, faults), "")


def _served(each: Case, given: Path) -> str:
    """Ask it of a page."""
    try:
        served = Served(given)
    except CableRouteError:
        return ""
    with served:
        for request in each.asked:
            where = request[1].partition("?")[0]
            try:
                kind, body, fault = served.ask(request)
            except Exception as error:
                fault, kind, body = _cause(error), "", b""
            if not fault and kind == "application/json":
                fault = _strict(body.decode()) or _words(_ours(body))
            elif not fault and where.startswith("/api/export/"):
                fault = _looked_at(where.rpartition(".")[2], body)
            if fault:
                return f"{where}: {fault}"
    try:
        tomllib.loads(given.read_text(encoding="utf-8"))
    except ValueError as error:
        return f"leaves a file that is no TOML: {error}"
    return _left_whole()


def _faults(result: Result, is_json: bool) -> Iterator[str]:
    error = result.exception
    if error is not None and not isinstance(error, SystemExit):
        yield _cause(error)
    if result.exit_code not in (0, 1, 2):
        yield f"exit status {result.exit_code}"
    if result.exit_code == 2 and not result.stderr.strip():
        yield "exit status 2 without a word"
    if found := _ACTS.search(result.stdout) or _ACTS.search(result.stderr):
        yield f"acts on a terminal: {found[0]!r}"
    if max(map(len, result.stderr.splitlines()), default=0) > LONGEST_LINE:
        yield "a complaint without end"
    if is_json and result.exit_code < 2:
        yield _strict(result.stdout)
    yield _words(result.stdout)


def _strict(text: str) -> str:
    def refuse(word: str) -> Any:
        raise ValueError(word)

    try:
        json.loads(text, parse_constant=refuse)
    except ValueError as error:
        return f"no strict JSON: {error}"
    return ""


def _words(text: str) -> str:
    """Find what no text of ours may say."""
    for line in text.splitlines():
        if found := _NOT_FINITE.search(line):
            return f"says {found[0]}: {_shape(line)}"
        if found := _ABSURD.search(line):
            return f"says {_shape(line)}"
        share = _SHARE.search(line)
        if share and int(share[1]) > 100 and "weight" not in text:
            return "an efficiency above 1 without its reason"
    return ""


def _shape(line: str) -> str:
    return re.sub(r"\d+", "9", line.strip())[:60]


def _written(given: Path, each: Case) -> Iterator[str]:
    """Look at the files: old ones whole, new ones as their readers want them."""
    if given.read_bytes() != each.data:
        yield "an old file has changed"
    yield _left_whole()
    for path in (*Path().glob("out.*"), *Path().glob("new.*"), Path("other.toml")):
        if fault := _looked_at(path.suffix[1:], path.read_bytes()):
            yield f"{path.name}: {fault}"


def _ours(body: bytes) -> str:
    """Return what an answer says, without what it repeats of the user's."""
    told = json.loads(body)
    ours = {key: told[key] for key in told if key not in ("document", "error", "faults", "state")}
    return json.dumps(ours, indent=1)


def _left_whole() -> str:
    if Path("old").read_bytes() != MINE:
        return "an old file has changed"
    if any(path.name.startswith(".cableroute.") for path in Path().iterdir()):
        return "a temporary file is left"
    return ""


def _looked_at(ending: str, data: bytes) -> str:
    """Find what is wrong with a file that was written, and what no text of ours may say."""
    if fault := unreadable(ending, data):
        return fault
    if ending not in TEXTS:
        return ""
    text = _CODE.sub("", data.decode().replace("\r\n", "\n"))
    if acts := _ACTS.search(text):
        return f"acts on a terminal: {acts[0]!r}"
    lines = (line for line in text.splitlines() if _NOT_FINITE.search(line))
    return next((f"writes no number: {_shape(line)}" for line in lines), "")


def _cause(error: BaseException) -> str:
    """Name the place in our code that is nearest to the fault."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [frame for frame in frames if "cableroute" in Path(frame.filename).parts]
    at = ours[-1] if ours else frames[-1]
    told = str(error).splitlines()[0][:60] if str(error) else ""
    name = "/".join(Path(at.filename).parts[-2:])
    return f"{type(error).__name__} at {name}:{at.lineno}: {re.sub(r'[0-9]+', '9', told)}"


@contextmanager
def _bounded(seconds: float) -> Iterator[None]:
    """Bound what an input takes of the processor, whatever else that does, and of memory."""

    def late(_signal: int, _frame: FrameType | None) -> None:
        raise LateError

    usual = signal.signal(signal.SIGPROF, late)
    memory = resource.getrlimit(resource.RLIMIT_AS)
    taken = Path("/proc/self/statm")  # on Linux
    if taken.exists():
        most = int(taken.read_text().split()[0]) * resource.getpagesize() + MOST_MEMORY
        resource.setrlimit(resource.RLIMIT_AS, (most, memory[1]))
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, usual)
        resource.setrlimit(resource.RLIMIT_AS, memory)
