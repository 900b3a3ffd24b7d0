from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
import time
import tomllib
from contextlib import suppress
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app

ROOT = Path(__file__).parents[2]
SURVEY = """# The trike, measured on Sunday.
title = "Trike"     # home-made
unit = "in"

[nodes]
A = [0, 0, 0]
B = [40, 0, 0]
C = [0, 30, 0]

[tubes.rail]
from = "A"
to = "B"
diameter = 1.5

[[cable]]
name = "shift"      # the long one
bend_radius = "60 mm"
points = [
  # from the lever
  { at = [0, 0, 0], label = "lever" }, # by the seat
  { at = [20, 0, 0] },
]
slack = 1           # one inch

[[cable]]
name = "brake"
bend_radius = "50 mm"
"""


def run(file, *lines, options=()):
    typed = "".join(f"{line}\n" for line in lines)
    return CliRunner().invoke(app, ["points", str(file), *options], input=typed)


def points_of(file, cable=0):
    return tomllib.loads(file.read_text(encoding="utf-8"))["cable"][cable].get("points", [])


def checked(file):
    return CliRunner().invoke(app, ["check", str(file)])


# -- through a pipe ------------------------------------------------------------------------------


def test_a_new_file_can_be_checked(tmp_path):
    file = tmp_path / "trike.toml"
    lines = ["0 0 0", "label lever", "3' 4 1/2\"; 0; 0", "3' 4 1/2\"; 12 in; 0", "fix anchor"]
    result = run(file, *lines, "stop", "9 9 9", options=["--unit", "in", "--bend-radius", "100"])
    assert result.exit_code == 0, result.output
    assert points_of(file) == [
        {"at": [0, 0, 0], "label": "lever"},
        {"at": ["3' 4 1/2\"", 0, 0]},
        {"at": ["3' 4 1/2\"", "12 in", 0], "fix": "anchor"},
    ]
    assert "so far: length 1351 mm (4' 5 3/16\"), wrap 98 deg" in result.stdout
    assert 'tightest leg: point 2 to point 3, 227 mm (8 15/16") to spare' in result.stdout
    assert checked(file).exit_code == 0
    assert os.listdir(tmp_path) == ["trike.toml"]


def test_the_cable_is_told_in_one_line_each_and_judged(tmp_path):
    """Kind, load, travel and family, then points with how they are held and their labels."""
    file = tmp_path / "trike.toml"
    result = run(
        file,
        "kind pull",
        "load 14 lbf",
        "travel 1 1/4 in",
        "family",
        "family pull-slick-medium",
        "0 0 0 anchor lever",
        "3' 4 1/2\"; 0; 0 clip sill 2",
        "3' 4 1/2\"; 12 in; 0, anchor, brake stop",
    )
    assert result.exit_code == 0, result.output
    cable = tomllib.loads(file.read_text(encoding="utf-8"))["cable"][0]
    told = {key: cable[key] for key in ("kind", "load", "travel", "family")}
    assert told == {
        "kind": "pull",
        "load": "14 lbf",
        "travel": "1 1/4 in",
        "family": "pull-slick-medium",
    }
    assert "bend_radius" not in cable  # the family's now
    assert [(each["label"], each["fix"]) for each in cable["points"]] == [
        ("lever", "anchor"),
        ("sill 2", "clip"),
        ("brake stop", "anchor"),
    ]
    assert "  pull-slick-medium     bends to" in result.stdout
    assert "push-solid" not in result.stdout
    assert "verdict so far: " in result.stdout


def test_a_family_too_weak_for_the_load_is_said_so(tmp_path):
    result = run(tmp_path / "a.toml", "kind push-pull", "load 400", "travel 60", "family")
    (light,) = (line for line in result.stdout.splitlines() if "push-solid-light" in line)
    assert "no: 300 N at most, 50 mm of stroke" in light


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("kind bowden", "kind: expected push-pull, pull or pull-pair, got 'bowden'"),
        ("load heavy", "load"),
        ("travel", "travel: expected needed at the far end"),
        ("family none-such", "none-such"),
    ],
)
def test_what_is_told_wrongly_of_the_cable_changes_nothing(tmp_path, line, said):
    file = tmp_path / "a.toml"
    result = run(file, "0 0 0", line)
    assert result.exit_code == 2
    assert said in result.stderr
    assert set(tomllib.loads(file.read_text(encoding="utf-8"))["cable"][0]) == {
        "name",
        "bend_radius",
        "points",
    }


@pytest.mark.parametrize("lines", [(), ("help",), ("stop",)])
def test_a_name_mistyped_becomes_no_machine(tmp_path, lines):
    result = run(tmp_path / "missing.toml", *lines)
    assert result.exit_code == 0
    assert "No point typed; no file written." in result.stdout
    assert "saved in" not in result.stdout
    assert os.listdir(tmp_path) == []


def test_an_old_file_is_left_alone_if_nothing_is_typed(tmp_path):
    file = tmp_path / "old.toml"
    file.write_text("# notes only\n", encoding="utf-8")
    assert "no file written" in run(file).stdout
    assert file.read_text(encoding="utf-8") == "# notes only\n"
    file.write_text(SURVEY, encoding="utf-8")
    assert "2 points of shift saved" in run(file, options=["--cable", "shift"]).stdout


def test_a_new_file_whose_points_are_all_taken_back_is_saved_so(tmp_path):
    file = tmp_path / "new.toml"
    assert "0 points of new saved" in run(file, "0 0 0", "back").stdout
    assert points_of(file) == []


@pytest.mark.parametrize("typed", ["zz.toml", "nowhere/zz.toml"])
def test_a_folder_that_cannot_be_written_is_told_at_once_as_typed(tmp_path, monkeypatch, typed):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(os, "access", lambda *_: False)  # root may write anywhere
    result = run(typed, "0 0 0")
    why = "no permission" if typed == "zz.toml" else "No such file or directory"
    assert result.stderr == f"cableroute: {typed}: cannot write there: {why}\n"
    assert result.exit_code == 2


def test_a_save_that_fails_names_the_file_as_typed(tmp_path, monkeypatch):
    def full(*_, **__):
        raise OSError(28, "No space left on device")

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("pathlib.Path.touch", full)
    told = run("zz.toml", "0 0 0").stderr
    assert "cableroute: zz.toml: cannot write there: No space left on device" in told
    assert str(tmp_path) not in told


def test_a_radius_that_is_assumed_is_said_and_noted(tmp_path):
    file = tmp_path / "new.toml"
    result = run(file, "0 0 0", "500 0 0")
    assert "150 mm" in result.stdout
    assert 'bend_radius = "150 mm"  # assumed' in file.read_text(encoding="utf-8")
    assert checked(file).exit_code == 0


def test_a_leg_too_short_for_its_bend_is_said(tmp_path):
    lines = ["0 0 0", "label lever", "50 0 0", "50 300 0"]
    result = run(tmp_path / "new.toml", *lines, options=["--bend-radius", "80"])
    assert 'tightest leg: point 1 (lever) to point 2, 65 mm (2 9/16") too short' in result.stdout


def test_an_old_file_keeps_all_but_its_points(tmp_path):
    file = tmp_path / "old.toml"
    file.write_text(SURVEY, encoding="utf-8")
    lines = ["on rail 30 12:00", "tape A 20 B 35 C 20 up", "insert 2", "10 0 1", "label sill"]
    result = run(file, *lines, options=["--cable", "shift"])
    assert result.exit_code == 0, result.output
    old = "  { at = [20, 0, 0] },\n"
    new = (
        '  { at = [10, 0, 1], label = "sill" },\n' + old +
        '  { on = "rail", along = 30, clock = "12:00" },\n'
        '  { tape = { A = 20, B = 35, C = 20 }, side = "up" },\n'
    )  # fmt: skip
    assert file.read_text(encoding="utf-8") == SURVEY.replace(old, new)


def test_taking_all_back_leaves_the_very_file(tmp_path):
    file = tmp_path / "old.toml"
    text = SURVEY.replace("\n", "\r\n").encode("utf-8-sig")
    file.write_bytes(text)
    lines = ["1 1 1", "delete 1", "label x", "fix clip"]
    run(file, *lines, options=["--cable", "shift"])
    changed = file.read_bytes()
    assert changed.startswith(b"\xef\xbb\xbf# The trike")
    assert changed.count(b"\n") == changed.count(b"\r\n")
    file.write_bytes(text)
    run(file, *lines, *["back"] * 4, options=["--cable", "shift"])
    assert file.read_bytes() == text


def test_mixed_line_ends_stay_as_they_are(tmp_path):
    file = tmp_path / "old.toml"
    head, middle, tail = SURVEY.partition("unit")
    text = (head.replace("\n", "\r\n") + middle + tail).encode()
    file.write_bytes(text)
    run(file, "30 0 0", options=["--cable", "shift"])
    row = b"  { at = [20, 0, 0] },\n"
    assert file.read_bytes() == text.replace(row, row + b"  { at = [30, 0, 0] },\n")


def test_a_bad_line_is_complained_of_and_the_rest_is_taken(tmp_path):
    file = tmp_path / "new.toml"
    result = run(file, "0 0 0", "nonsense", "1 2", "on rail 3 3:00", "100 0 0")
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 3
    assert "nonsense" in result.stderr
    assert len(points_of(file)) == 2


@pytest.mark.parametrize("lines", [[], ["5 5 5"], ["5 5 5", "5 5 5"], ["0 0 0", "9 0 0", "1 0 0"]])
def test_a_file_that_check_refuses_can_be_gone_on_with(tmp_path, lines):
    file = tmp_path / "new.toml"
    run(file, *lines)
    assert checked(file).exit_code == 2
    assert run(file, "100 200 0", "100 600 0").exit_code == 0
    assert len(points_of(file)) == len(lines) + 2


def test_a_cable_without_points_and_a_file_without_cables(tmp_path):
    file = tmp_path / "old.toml"
    file.write_text(SURVEY, encoding="utf-8")
    run(file, "0 0 0", "30 0 0", options=["--cable", "brake"])
    assert points_of(file, 1) == [{"at": [0, 0, 0]}, {"at": [30, 0, 0]}]
    file.write_text(SURVEY.partition("[[cable]]")[0], encoding="utf-8")
    run(file, "on rail 3 3:00", "on rail 30 3:00", options=["--cable", "clutch"])
    assert [point["along"] for point in points_of(file)] == [3, 30]
    assert checked(file).exit_code == 0


def test_other_units_are_written_with_the_number(tmp_path):
    file = tmp_path / "old.toml"
    file.write_text(SURVEY, encoding="utf-8")
    run(file, "600 100 0", options=["--cable", "shift", "--unit", "mm"])
    assert points_of(file)[-1] == {"at": ["600 mm", "100 mm", 0]}


@pytest.mark.parametrize(
    ("old", "new", "options", "words"),
    [
        ("", "", [], "expected --cable with one of: shift, brake"),
        ("", "", ["--cable", "nix"], "no cable 'nix'"),
        ("[20, 0, 0]", "[20, 0]", ["--cable", "shift"], "point 2, at"),
        ("diameter = 1.5", "diameter = 0", ["--cable", "shift"], "old.toml:13: tubes.rail.diameter"),
        ("{ at = [20, 0, 0] }", '{ on = "x", along = 1, clock = 0 }', ["--cable", "shift"],
         'old.toml:21: cable "shift", point 2: no tube'),
        ('bend_radius = "60 mm"', 'family = "nix"', ["--cable", "shift"], "nix"),
        ("[nodes]", "[nodes", ["--cable", "shift"], "expected valid TOML"),
        ("", "", ["--cable", "shift", "--bend-radius", "-1"], "--bend-radius: expected more"),
    ],
)  # fmt: skip
def test_a_file_with_faults_gets_the_usual_complaints(tmp_path, old, new, options, words):
    file = tmp_path / "old.toml"
    text = SURVEY.replace(old, new, 1) if old else SURVEY
    file.write_text(text, encoding="utf-8")
    result = run(file, "1 1 1", options=options)
    assert result.exit_code == 2
    assert words in result.stderr
    assert file.read_text(encoding="utf-8") == text


def test_only_route_files_are_taken(tmp_path):
    result = run(tmp_path / "points.csv")
    assert result.exit_code == 2
    assert "ending in .toml" in result.stderr
    assert run(tmp_path / "nowhere" / "new.toml").exit_code == 2


def test_check_readings_are_remembered_when_points_move(tmp_path):
    file = tmp_path / "old.toml"
    check = "slack = 1\ncheck = [{ from = 1, to = 2, read = 20 }]"
    file.write_text(SURVEY.replace("slack = 1 ", f"{check} "), encoding="utf-8")
    assert "check readings" not in run(file, "30 1 0", options=["--cable", "shift"]).stdout
    result = run(file, "insert 2", "10 0 0", options=["--cable", "shift"])
    assert "check readings" in result.stdout


# -- through a terminal --------------------------------------------------------------------------

pty = pytest.importorskip("pty")


#: Takes the terminal as its own, so that Ctrl-C and hanging up reach it, then runs the command.
ENTRY = (
    "import fcntl, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); "
    "from cableroute.cli import main; main()"
)


class Terminal:
    """The command on a terminal of its own, typed at as a hand would."""

    def __init__(self, file, *options):
        self.main, line = pty.openpty()
        environment = os.environ | {"PYTHONPATH": str(ROOT), "TERM": "dumb", "NO_COLOR": "1"}
        self.process = subprocess.Popen(
            [sys.executable, "-c", ENTRY, "points", str(file), *options],
            stdin=line, stdout=line, stderr=line, env=environment, start_new_session=True,
        )  # fmt: skip
        os.close(line)
        self.seen = ""

    def read_until(self, words, seconds=120.0):
        end, start = time.monotonic() + seconds, len(self.seen)
        while words not in self.seen[start:]:
            assert time.monotonic() < end, f"no {words!r} in {self.seen!r}"
            if select.select([self.main], [], [], 0.1)[0]:
                self.seen += os.read(self.main, 4096).decode()

    def type(self, text, then):
        os.write(self.main, text.encode())
        self.read_until(then)

    def interrupt(self, then):
        # a Ctrl-C in the very instant after the prompt may go unheard: press it again
        for _ in range(5):
            os.write(self.main, b"\x03")
            with suppress(AssertionError):
                return self.read_until(then, seconds=20.0)
        return pytest.fail("Ctrl-C was not heard")

    def close(self):
        if self.main is not None:
            os.close(self.main)
            self.main = None

    def status(self):
        try:
            return self.process.wait(timeout=120)
        finally:
            self.process.kill()
            self.close()


@pytest.fixture
def terminal(tmp_path):
    file = tmp_path / "new.toml"
    it = Terminal(file, "--bend-radius", "60")
    it.read_until("point 1> ")
    it.type("0 0 0\n", then="point 2> ")
    it.type("label lever\n", then="point 2> ")
    it.type("5\n", then="point 2, y> ")
    it.type("6\n", then="point 2, z> ")
    it.type("7\n", then="point 3> ")
    yield file, it
    it.process.kill()
    it.process.wait()
    it.close()


TYPED = [{"at": [0, 0, 0], "label": "lever"}, {"at": [5, 6, 7]}]


def test_a_terminal_asks_and_ctrl_c_in_the_midst_loses_nothing(terminal):
    file, it = terminal
    assert points_of(file) == TYPED  # saved already, with the talk still going on
    it.type("8\n", then="point 3, y> ")
    it.interrupt(then="2 points of new saved")
    assert it.status() == 0
    assert points_of(file) == TYPED
    assert os.listdir(file.parent) == ["new.toml"]


def test_a_new_file_at_a_terminal_asks_for_the_cable_first(tmp_path):
    file = tmp_path / "new.toml"
    it = Terminal(file)
    it.read_until("kind (push-pull, pull or pull-pair; Enter passes over)> ")
    it.type("pull\n", then="load (")
    it.type("60\n", then="travel (")
    it.type("\n", then="family (a name of this list; Enter passes over)> ")
    assert "  pull-1x19-medium " in it.seen
    it.type("pull-slick-medium\n", then="point 1> ")
    it.type("0 0 0 anchor lever\n", then="point 2> ")
    it.type("-600 0 0 anchor arm\n", then="point 3> ")
    assert "verdict so far: " in it.seen
    it.type("stop\n", then="saved")
    assert it.status() == 0
    cable = tomllib.loads(file.read_text(encoding="utf-8"))["cable"][0]
    assert (cable["kind"], cable["load"], "travel" in cable) == ("pull", 60, False)


def test_a_mistake_at_a_terminal_is_told_and_forgiven(terminal):
    _, it = terminal
    it.type("nonsense\n", then="point 3> ")
    assert "type help" in it.seen
    it.type("stop\n", then="saved")
    assert it.status() == 0


def test_the_end_of_the_input_loses_nothing(terminal):
    file, it = terminal
    it.type("\x04", then="saved")
    assert it.status() == 0
    assert points_of(file) == TYPED


def test_a_closed_terminal_loses_nothing(terminal):
    file, it = terminal
    it.type("9 9 9\n", then="point 4> ")
    it.close()  # hangs up
    it.status()
    assert points_of(file) == [*TYPED, {"at": [9, 9, 9]}]
    assert os.listdir(file.parent) == ["new.toml"]


@pytest.mark.parametrize("name", ["SIGHUP", "SIGTERM", "SIGKILL"])
def test_a_signal_loses_nothing(terminal, name):
    file, it = terminal
    it.process.send_signal(getattr(signal, name))
    it.status()
    assert points_of(file) == TYPED


def test_a_file_changed_meanwhile_is_left_alone(terminal):
    file, it = terminal
    file.write_text("# mine\n", encoding="utf-8")
    it.type("9 9 9\n", then="point 4> ")
    it.type("stop\n", then="saved")
    assert file.read_text(encoding="utf-8") == "# mine\n"
    assert len(points_of(file.with_name("new-points.toml"))) == 3


def test_a_folder_that_is_gone_for_a_while_is_said_and_saved_to_later(terminal):
    file, it = terminal
    away = file.parent.rename(file.parent.with_name("away"))
    it.type("9 9 9\n", then="point 4> ")
    assert "cannot write" in it.seen
    away.rename(file.parent)
    it.type("stop\n", then="saved")
    assert len(points_of(file)) == 3
