"""The progress line: on a terminal and nowhere else, gone at the end, and what Ctrl-C leaves."""

from __future__ import annotations

import os
import re
import select
import signal
import struct
import subprocess
import sys
import threading
from contextlib import suppress
from types import SimpleNamespace

import pytest
import typer
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.core import TyperGroup

from cableroute import cli
from cableroute.cli import app
from cableroute.cli import progress as module
from cableroute.cli.progress import fitted, progress

pty = pytest.importorskip("pty")
POINTS = "x_mm,y_mm,z_mm,label\n0,0,0,a\n400,0,0,b\n400,300,0,c\n"
#: Nobody waits so long for a line, unless it never comes.
PATIENCE = 60.0


class Terminal:
    """A terminal, and what is read off it."""

    def __init__(self, columns: int = 80) -> None:
        fcntl, termios = pytest.importorskip("fcntl"), pytest.importorskip("termios")
        self.master, self.slave = pty.openpty()
        fcntl.ioctl(self.slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        self.file = os.fdopen(self.slave, "w", encoding="utf-8", closefd=False)
        self.raw = b""

    def until(self, words: str) -> None:
        """Read until the words have come."""
        while words not in self.text:
            assert select.select([self.master], [], [], PATIENCE)[0], f"{words!r} never came"
            self.raw += os.read(self.master, 4096)

    def read(self) -> str:
        """Read what is there."""
        while select.select([self.master], [], [], 0.0)[0]:
            self.raw += os.read(self.master, 4096)
        return self.text

    @property
    def text(self) -> str:
        return self.raw.decode(errors="replace")

    @property
    def line(self) -> str:
        """What stands on the line in the end, for letters of one place each."""
        places: dict[int, str] = {}
        cursor = 0
        for letter in self.read():
            assert letter == "\r" or letter.isprintable()
            cursor = 0 if letter == "\r" else cursor + 1
            places[cursor] = letter
        return "".join(places[i] for i in sorted(places) if i).rstrip()

    def close(self) -> None:
        with suppress(OSError):
            self.file.close()
        os.close(self.slave)
        os.close(self.master)


@pytest.fixture
def terminal(monkeypatch):
    """A terminal as stderr of the progress line; pytest has a hand on the other's."""
    made = Terminal()
    monkeypatch.setattr(module, "sys", SimpleNamespace(stderr=made.file))
    monkeypatch.setenv("TERM", "xterm")
    yield made
    made.close()


class AtOnce:
    """A timer whose time is up as it starts."""

    def __init__(self, _delay: float, function) -> None:
        self.start = function

    def cancel(self) -> None: ...

    join = cancel


@pytest.fixture
def slow(monkeypatch):
    """Everything takes long enough to be shown."""
    monkeypatch.setattr(module, "Timer", AtOnce)


def test_a_long_step_that_tells_nothing_is_shown_and_taken_away(terminal, monkeypatch):
    monkeypatch.setattr(module, "DELAY", 0.0)
    with progress("judging the cables"):
        terminal.until("judging the cables")
        assert terminal.line == "judging the cables"
    assert terminal.line == ""
    assert terminal.text.endswith("\r")


def test_a_shorter_text_leaves_nothing_of_a_longer(terminal, slow):
    with progress("judging every cable of the machine") as told:
        told("drawing 3 of 8: shift, forces")
        assert terminal.line == "drawing 3 of 8: shift, forces"
        told("page 1")
        assert terminal.line == "page 1"
    assert terminal.line == ""


def test_quick_work_shows_nothing(terminal, monkeypatch):
    monkeypatch.setattr(module, "DELAY", 3600.0)
    threads = threading.active_count()
    with progress("judging") as told:
        told("drawing")
    assert terminal.read() == ""
    assert threading.active_count() == threads


@pytest.mark.parametrize("error", [RuntimeError, KeyboardInterrupt, SystemExit])
def test_nothing_is_left_behind_by_what_breaks_off(terminal, slow, error):
    with pytest.raises(error), progress("judging"):
        raise error
    assert "judging" in terminal.read()
    assert terminal.line == ""


def test_a_dumb_terminal_is_left_alone(terminal, slow, monkeypatch):
    monkeypatch.setenv("TERM", "dumb")
    with progress("judging") as told:
        told("drawing")
    assert terminal.read() == ""


def test_there_is_no_colour_to_be_refused(terminal, slow, monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")
    with progress("judging"):
        assert terminal.line == "judging"
    assert "\x1b" not in terminal.read()


def test_a_pipe_gets_nothing(slow, monkeypatch):
    reader, writer = os.pipe()
    with open(reader, encoding="utf-8") as read:
        with open(writer, "w", encoding="utf-8") as pipe, monkeypatch.context() as patch:
            patch.setattr(sys, "stderr", pipe)
            with progress("judging") as told:
                told("drawing")
        assert read.read() == ""


def test_no_stderr_at_all_is_no_fault(slow, monkeypatch):
    monkeypatch.setattr(sys, "stderr", None)
    with progress("judging") as told:
        told("drawing")


def test_a_long_text_is_cut_to_the_width_of_its_terminal(slow, monkeypatch):
    narrow = Terminal(columns=20)
    monkeypatch.setattr(sys, "stderr", narrow.file)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "200")  # of stdout, which may be elsewhere
    with progress("drawing 3 of 8: a very long name"):
        assert narrow.line == "drawing 3 of 8: a …"
    assert narrow.line == ""
    assert max(map(len, narrow.text.split("\r"))) == 19
    narrow.close()


def test_a_terminal_that_has_gone_does_not_stop_the_work(slow, monkeypatch):
    gone = Terminal()
    monkeypatch.setattr(sys, "stderr", gone.file)
    monkeypatch.setenv("TERM", "xterm")
    with progress("judging") as told:
        os.close(gone.master)
        told("drawing")
    with pytest.raises(OSError, match="Input/output error"):
        os.write(gone.slave, b"it had indeed gone")
    gone.file.close()
    os.close(gone.slave)


def test_control_characters_never_reach_the_terminal(terminal, slow):
    with progress("a\x1b[2Jb\nc\rd\x07e\u202ef\udcffg\x9bh"):
        assert terminal.line == "a [2Jb c d e f g h"


@pytest.mark.parametrize(
    ("text", "room", "shown"),
    [
        ("abc", 3, "abc"),
        ("abcd", 3, "ab…"),
        ("線線", 4, "線線"),
        ("線線線", 4, "線…"),
        ("e\u0301tau", 4, "e\u0301tau"),
        ("", 1, ""),
        ("ab", 1, "…"),
    ],
)
def test_letters_are_counted_by_the_places_they_take(text, room, shown):
    assert fitted(text, room=room) == shown


def test_what_the_terminal_cannot_show_is_a_question_mark():
    assert fitted("線 1 µ", room=9, encoding="ascii") == "? 1 ?"
    assert fitted("abcd", room=3, encoding="ascii") == "ab?"


@settings(max_examples=50)
@given(text=st.text(), room=st.integers(1, 40))
def test_whatever_the_text_it_stays_on_its_line(text, room):
    shown = fitted(text, room=room)
    assert shown.isprintable()
    assert module._width(shown) <= room


# -- the commands --------------------------------------------------------------------------------

COMMANDS = {
    "report x.html": ("judging the cables", "drawing 1 of "),
    "report x.pdf": ("judging the cables", "drawing 1 of ", "page 1 of "),
    "draw x.png --what stock": ("judging the cables", "drawing 1 of 1: p"),
    "template x.pdf": ("judging the cables", "drawing the bends", "sheet 1 of "),
    "compare x.png": ("judging file 1 of 1: p", "setting them side by side", "drawing the picture"),
    "suggest": ("looking for moves, cable 1 of 1: p",),
}


@pytest.fixture
def run(tmp_path, monkeypatch):
    """Run a command on one elbow, with stdout and stderr as they are."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "p.csv").write_text(POINTS, encoding="utf-8")

    def call(words: str) -> None:
        name, *more = words.split()
        output = ["-o", more.pop(0)] if more else []
        pair = ["--pair", "--family", "push-solid-medium"] if name == "compare" else []
        with suppress(SystemExit):
            app([name, "p.csv", "--bend-radius", "60", *output, *pair, *more])

    return call


@pytest.mark.parametrize("words", COMMANDS)
def test_what_takes_long_is_said_on_a_terminal_and_not_to_stdout(run, terminal, slow, capfd, words):
    run(words)
    seen = terminal.read()
    for told in COMMANDS[words]:
        assert told in seen
    assert terminal.line == ""
    for what in ("drawing", "page", "sheet"):
        steps = re.findall(rf"\r{what} (\d+) of (\d+)", seen)
        assert [int(number) for number, _ in steps] == list(range(1, len(steps) + 1))
        assert {int(total) for _, total in steps} <= {len(steps)}
    printed = capfd.readouterr()
    assert "\r" not in printed.out
    assert "judging" not in printed.out
    assert printed.err == ""


def test_a_complaint_stands_on_a_line_of_its_own(run, terminal, slow, tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "stderr", terminal.file)
    (tmp_path / "x.png").write_text("mine")
    run("draw x.png --what stock")
    *cleared, complaint = terminal.read().removesuffix("\r\n").split("\r")
    assert complaint.startswith("cableroute: x.png: exists already")
    assert not cleared[-1].strip()


# -- Ctrl-C --------------------------------------------------------------------------------------


def _interrupted(*_words, **_more) -> None:
    raise KeyboardInterrupt


def test_ctrl_c_within_a_command_is_130_whatever_typer_makes_of_it(monkeypatch):
    monkeypatch.setattr(TyperGroup, "invoke", _interrupted)
    with pytest.raises(typer.Exit) as ended:
        cli.Group(name="cableroute").invoke(None)
    assert ended.value.exit_code == 130


def test_ctrl_c_outside_of_any_command_is_130_too(monkeypatch):
    monkeypatch.setattr(cli.signal, "signal", lambda *_: None)  # the tests keep their own
    monkeypatch.setattr(cli, "app", _interrupted)
    monkeypatch.setattr(
        cli, "sys", SimpleNamespace(stdin=0, stdout=None, stderr=None, exit=sys.exit)
    )
    with pytest.raises(SystemExit) as ended:
        cli.main()
    assert ended.value.code == 130


#: Runs the command line with a judge who never ends, but says when he begins.
ENDLESS = """
import signal, sys, time
import cableroute.cli.progress, cableroute.cli.report
from cableroute.cli import main

def endless(*_words, **_more):
    print("begun", flush=True)
    time.sleep(600)

signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's background job ignores it
cableroute.cli.progress.DELAY = 0.0
cableroute.cli.report.assess = endless
sys.argv[1:] = ["report", "p.csv", "--bend-radius", "60", "-o", "x.pdf"]
main()
"""


@pytest.mark.parametrize("watched", [True, False], ids=["terminal", "pipe"])
def test_ctrl_c_ends_with_130_and_leaves_nothing_behind(tmp_path, watched):
    (tmp_path / "p.csv").write_text(POINTS, encoding="utf-8")
    screen = Terminal()
    with subprocess.Popen(
        [sys.executable, "-c", ENDLESS],
        cwd=tmp_path,
        env={**os.environ, "TERM": "xterm"},
        stdout=subprocess.PIPE,
        stderr=screen.slave if watched else subprocess.PIPE,
    ) as process:
        try:
            assert process.stdout.readline() == b"begun\n"
            if watched:
                screen.until("judging the cables")
            process.send_signal(signal.SIGINT)
            out, complaints = process.communicate(timeout=PATIENCE)
        finally:
            process.kill()
    assert process.returncode == 130
    assert out == b""
    assert not complaints
    assert screen.line == ""
    assert [file.name for file in tmp_path.iterdir()] == ["p.csv"]
    screen.close()
