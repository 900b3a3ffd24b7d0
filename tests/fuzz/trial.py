"""One trial: a command on a mutant, and everything that must be true of it whatever comes out."""

from __future__ import annotations

import json
import os
import random
import re
import signal
import traceback
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import Any

from typer.testing import CliRunner, Result

from cableroute.cli import app
from tests.fuzz.mutate import mutant

#: No input below a megabyte takes longer than this of the processor [s].
LONGEST = 10
LONGEST_LINE = 3000  # letters of a complaint
MINE = b"mine\n"
BARE = ("--bend-radius", "60", "--friction", "0.12", "--load", "80")
#: Every command: the kinds of its input, and ways to call it; `{}` is the input, `out` a new file.
WAYS: dict[str, tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]] = {
    "check": (
        ("toml", "toml", "toml", "csv", "obj", "dxf"),
        (
            ("{}",),
            ("{}", "--full"),
            ("{}", "--json"),
            ("{}", *BARE, "--json"),
            ("{}", "--inside", "--full"),
        ),
    ),
    "stock": (
        ("library",),
        (
            ("--library", "{}"),
            ("push-solid-light", "--library", "{}"),
            ("push-solid-light", "--library", "{}", "--json"),
        ),
    ),
    "suggest": (("toml", "csv"), (("{}",), ("{}", "--json"), ("{}", "--apply", "out.toml"))),
    "study": (
        ("toml", "toml", "csv"),
        tuple(("{}", "--n", "64", *more) for more in ((), ("--json",), ("--csv", "out.csv"))),
    ),
    "sweep": (
        ("toml",),
        tuple(
            ("{}", "--over", f"{key}:2", *more)
            for key in ("cable.shift.load=0:1e3", "cable.1.points.2.z=-9e9:9e9", "unit=1:2")
            for more in ((), ("--json",))
        ),
    ),
    "template": (("toml", "csv"), (("{}",), ("{}", "--json"), ("{}", "--csv", "out.csv"))),
    "export": (
        ("toml", "csv", "dxf"),
        tuple(("{}", *BARE, "-o", f"out.{end}") for end in ("dxf", "csv", "stl")),
    ),
    "feel": (("toml",), (("{}",), ("{}", "--json"))),
    "linkage": (("toml",), (("{}",), ("{}", "--json"), ("{}", "--csv", "out.csv"))),
    "compare": (
        ("toml", "csv"),
        (
            ("{}", "--pair", "--json"),
            ("{}", "--pair"),
            ("{}", "{other}"),
            ("{other}", "--cable", "a", "--families", "--library", "{}"),
        ),
    ),
    "calibrate": (("readings",), (("{}",), ("{}", "--json"), ("{}", "--route", "{other}"))),
    "report": (
        ("toml",),
        (
            *((("{}", "-o", "out.md"),) * 5),
            *((("{}", "--sheet", "-o", "out.html"),) * 2),
            ("{}", "-o", "out.html"),
        ),
    ),
    "draw": (
        ("toml",),
        (
            *((("{}", "--what", what, "-o", "out.svg")) for what in ("plan", "linkage", "machine")),
            ("{}", "--cable", "shift"),
        ),
    ),
    "points": (("dialogue",), (("new.toml",),)),
}
_NOT_FINITE = re.compile(r"(?<![\w.-])[-+]?(?:nan|inf|NaN|Infinity)(?![\w.-])")
_NAMED = re.compile(rb"(?i)\b(?:nan|inf|infinity)\b")
_ACTS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]")
_ABSURD = re.compile(r"\d{7,} ?%|of [^ ]+ travel -\d|-\d[\d.]* m?m? ?of travel")
#: What no reader sees: programs and styles of a report, pictures as data, a drawing's credits.
_CODE = re.compile(r"(?s)<(script|style|metadata)\b.*?</\1>|base64,[\w+/=\s]+")
_SHARE = re.compile(r"\((?:\d+ to )?(\d+) % arrives")


@dataclass(frozen=True, slots=True)
class Case:
    """What is tried: a command, its words, its input; all of it follows from the number."""

    command: str
    number: int
    words: tuple[str, ...]
    kind: str
    data: bytes


def case(command: str, number: int) -> Case:
    """Return the trial of a number."""
    chance = random.Random(f"{command} {number}")
    kinds, ways = WAYS[command]
    kind, words = chance.choice(kinds), chance.choice(ways)
    if kind in ("csv", "obj", "dxf") and BARE[0] not in words:
        words += BARE  # without which a list of points goes no further than that
    return Case(command, number, words, kind, mutant(kind, chance))


def tried(each: Case, folder: Path) -> str:
    """Run it in a folder of its own and return what is wrong, by its cause; nothing if all is well."""
    suffix = {"readings": "csv", "dialogue": "txt", "library": "toml"}.get(each.kind, each.kind)
    given = folder / f"in.{suffix}"
    given.write_bytes(each.data)
    other = folder / "other.toml"
    other.write_bytes(
        b"[[cable]]\nname='a'\nbend_radius=60\npoints=[{at=[0,0,0]},{at=[9e2,0,0]}]\n"
    )
    old = folder / "old"
    old.write_bytes(MINE)
    words = [word.format(given, other=other) for word in each.words]
    words = [str(folder / word) if word.startswith(("out.", "new.")) else word for word in words]
    home = Path.cwd()
    os.chdir(folder)
    try:
        with warnings.catch_warnings(), _in_time():
            warnings.simplefilter("error")
            typed = each.data if each.kind == "dialogue" else None
            result = CliRunner().invoke(app, [each.command, *words], input=typed)
        fault = _fault(result, "--json" in words) or _written(folder, old, given, each)
        # a label may be called so
        return "" if fault.startswith(("says", "writes")) and _NAMED.search(each.data) else fault
    except TimeoutError:
        return f"takes longer than {LONGEST} s"
    finally:
        os.chdir(home)


def _fault(result: Result, is_json: bool) -> str:
    """Return the first thing that is wrong with what was printed and how it ended."""
    return next(filter(None, _faults(result, is_json)), "")


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
    yield _strict(result.stdout) if is_json and result.exit_code < 2 else _words(result.stdout)


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


def _written(folder: Path, old: Path, given: Path, each: Case) -> str:
    """Look at the files: old ones whole, new ones without what no text may say, none left over."""
    if old.read_bytes() != MINE or given.read_bytes() != each.data:
        return "an old file has changed"
    left = [path.name for path in folder.iterdir() if path.name.startswith(".cableroute.")]
    if left:
        return "a temporary file is left"
    for path in folder.glob("out.*"):
        if path.suffix in (".md", ".csv", ".dxf", ".svg", ".html"):
            text = _CODE.sub("", path.read_text(encoding="utf-8"))
            if acts := _ACTS.search(text):
                return f"what it writes acts on a terminal in {path.suffix}: {acts[0]!r}"
            if found := _NOT_FINITE.search(text):
                line = next(line for line in text.splitlines() if _NOT_FINITE.search(line))
                return f"writes {found[0]} in {path.suffix}: {_shape(line)}"
    return ""


def _cause(error: BaseException) -> str:
    """Name the place in our code that is nearest to the fault."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [frame for frame in frames if "cableroute" in Path(frame.filename).parts]
    at = ours[-1] if ours else frames[-1]
    told = str(error).splitlines()[0][:60] if str(error) else ""
    name = "/".join(Path(at.filename).parts[-2:])
    return f"{type(error).__name__} at {name}:{at.lineno}: {re.sub(r'[0-9]+', '9', told)}"


@contextmanager
def _in_time() -> Iterator[None]:
    def late(_signal: int, _frame: FrameType | None) -> None:
        raise TimeoutError

    usual = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, LONGEST)  # of the processor, whatever else it does
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, usual)
