"""Bad input: one clear message on stderr, exit status 2, never a traceback, nothing written."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner, Result

from cableroute.cli import COMMANDS, app

STARTER = files("cableroute.output").joinpath("starter.toml").read_text(encoding="utf-8")
CABLE = '[[cable]]\nname = "a"\nbend_radius = 50\nfriction = 0.1\n'
TWO = "points = [{ at = [0, 0, 0] }, { at = [900, 0, 0] }]\n"


def check(path: Path, *options: str) -> Result:
    return CliRunner().invoke(app, ["check", str(path), *options])


def refused(result: Result, *words: str) -> None:
    """One message or more, each after the program's name; nothing on stdout."""
    assert result.exit_code == 2, result.output
    assert isinstance(result.exception, SystemExit)
    assert result.stdout == ""
    assert all(line.startswith("cableroute: ") for line in result.stderr.splitlines())
    for word in words:
        assert word in result.stderr


def once(result: Result, *words: str) -> None:
    refused(result, *words)
    assert len(result.stderr.splitlines()) == 1, result.stderr


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (None, "No such file"),
        (b"", "empty file"),
        (b"  \n\n", "empty file"),
        (bytes(range(256)), "UTF-8"),
        (b"x,y\0,z", "binary"),
        (b"a = = 3", "expected valid TOML"),
        (b"a = 1\na = 2", "expected valid TOML"),
        (b"x = " + b"[" * 5000, "expected valid TOML"),
    ],
)
@pytest.mark.parametrize("suffix", [".toml", ".csv"])
def test_a_file_that_is_none(tmp_path, content, words, suffix):
    path = tmp_path / f"job{suffix}"
    if content is not None:
        path.write_bytes(content)
    if suffix == ".csv" and "TOML" in words:
        refused(check(path), str(path))
    else:
        once(check(path), str(path), words)


def test_a_folder(tmp_path):
    once(check(tmp_path), str(tmp_path), "directory")


BAD_TOML = {
    "cable = 3": ":1: cable: expected a list, got 3",
    "[cable]\nname = 'a'": ":1: cable: expected a list",
    "cable = []": ":1: cable: expected at least 1, got 0",
    "title = 'x'": ": cable: expected a value, got none",
    CABLE + "points = 'x'": ":5: cable \"a\", points: expected a list, got 'x'",
    CABLE + "points = []": ':5: cable "a", points: expected at least 2, got 0',
    CABLE + "points = [{ at = [0, 0, 0] }]": "points: expected at least 2, got 1",
    CABLE + TWO + "bend_radus = 3": ':6: cable "a", bend_radus: expected no such key here; '
    "the nearest is bend_radius",
    CABLE + TWO + "family = 'throttle-thn'": "throttle-thin",
    CABLE + "points = [{ at = [0, 0, 0] }, { at = [nan, 0, 0] }]": "point 2, at[0]",
    CABLE + "points = [{ at = [0, 0, 0] }, { at = [0, 0] }]": "point 2, at[2]",
    CABLE + "points = [{ at = [0, 0, 0] }, { at = [0, 1e308, 0] }]": "point 2, at[1]",
    CABLE + "points = [{ at = [0, 0, 0] }, { at = [0, 2e9, 0] }]": "expected at most",
    CABLE + "points = [{ at = [0, 0, 0] }, { at = [0, '4 ft 5 ft', 0] }]": "point 2, at[1]",
    CABLE + "points = [{ at = [0, 0, 0] }, { at = [0, true, 0] }]": "point 2, at[1]",
    CABLE + "points = [{ at = [0, 0, 0] }, { at = [0, {}, 0] }]": "point 2, at[1]",
    CABLE + "points = [{ at = [0, 0, 0] }, {}]": "point 2: expected one of at, on, tape",
    CABLE + "points = [{ at = [0, 0, 0] }, { at = [0, 0, 0] }]": "two places at least, got one",
    CABLE + TWO + "load = -5": "load: expected at least 0",
    CABLE + TWO + "kind = 'pul'": "kind: expected 'push-pull', 'pull' or 'pull-pair', got 'pul'",
    CABLE + TWO + "kind = 'pull'\npush_load = 5": "a pull cable cannot push",
    CABLE + TWO + "build = 3": "build: expected a table, got 3",
    '[nodes]\n" " = [0, 0, 0]\n' + CABLE + TWO: ":2: nodes: expected a name, got blank",
    '[nodes]\n"" = [0, 0, 0]\n' + CABLE + TWO: ":2: nodes: expected a name, got blank",
    '[nodes]\na = [0, 0, 0]\nb = [9, 0, 0]\n[tubes."\u00a0"]\nfrom = "a"\nto = "b"\ndiameter = 2\n'
    + CABLE
    + TWO: ":4: tubes: expected a name, got blank",
    '[[node_tape]]\nfrom = " "\nto = "b"\nread = 9\n'
    + CABLE
    + TWO: ":2: node_tape[0].from: expected a name, got blank",
    CABLE.replace('"a"', '" "') + TWO: ':2: cable " ", name: expected a name, got blank',
    CABLE + TWO + "[[keepout]]\nname = ''\nbox = [[0, 9, 0], [9, 19, 9]]": "a name, got blank",
    "[[cable]]\nname = 'a'\n" + TWO: 'cable "a": expected a least bend radius',
    "[[cable]]\nname = 'a'\nbend_radius = 9\nfriction = -0.1\n" + TWO: "0 <= low <= high < 2",
    "unit = 'furlong'\n" + CABLE + TWO: ":1: unit: expected 'mm', 'cm', 'm', 'in' or 'ft'",
    CABLE + TWO + CABLE + TWO: "its own name, got twice: a",
}


@pytest.mark.parametrize("text", BAD_TOML, ids=range(len(BAD_TOML)))
def test_a_fault_is_one_message_and_nothing_is_written(tmp_path, text):
    path = tmp_path / "job.toml"
    path.write_text(text)
    once(check(path), str(path), BAD_TOML[text])
    assert os.listdir(tmp_path) == ["job.toml"]


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("ending", ["", "--force", "--csv="])
def test_an_empty_word_is_no_folder_and_no_name(tmp_path, monkeypatch, command, ending):
    (tmp_path / "job.toml").write_text(CABLE + TWO)
    monkeypatch.chdir(tmp_path)
    words = [command, ending] if "=" in ending else [command, "", *ending.split()]
    after = "--csv" if "=" in ending else command
    once(CliRunner().invoke(app, words), f"expected a name or a number after {after}, got nothing")
    assert os.listdir(tmp_path) == ["job.toml"]


def test_a_list_of_words_for_points_is_a_message_each(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(CABLE + 'points = [\n  "a",\n  "b",\n]\n')
    result = check(path)
    refused(result, ':6: cable "a", point 1: expected a table', ':7: cable "a", point 2')
    assert len(result.stderr.splitlines()) == 2


def test_a_reversal_names_the_cable_and_the_point(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(
        CABLE + "points = [\n{ at = [0, 0, 0] },\n{ at = [300, 0, 0], label = 'sill' },\n"
        "{ at = [90, 0, 0] },\n]\n"
    )
    once(check(path), f'{path}:7: cable "a", point 2 (sill): ', "straight back on itself")


@pytest.mark.parametrize("tolerance", [(), ("--tolerance", "0")])
def test_a_reversal_in_a_csv_names_its_line(tmp_path, tolerance):
    path = tmp_path / "a.csv"
    path.write_text("x,y,z,label\n0,0,0,\n300,0,0,sill\n90,0,0,\n")
    once(check(path, "--bend-radius", "50", *tolerance), f"{path}:3: ", "(sill)")


@pytest.mark.parametrize(
    ("option", "value", "words"),
    [
        ("--friction", "-1", "0 <= low <= high < 2"),
        ("--friction", "nan", "--friction"),
        ("--friction", "2", "0 <= low <= high < 2"),
        ("--bend-radius", "0", "--bend-radius: expected greater than 0"),
        ("--bend-radius", "-3", "--bend-radius: expected greater than 0"),
        ("--bend-radius", "nan", "--bend-radius"),
        ("--bend-radius", "inf", "--bend-radius"),
        ("--bend-radius", "1e308", "--bend-radius"),
        ("--load", "nan", "--load"),
        ("--load", "-1", "--load: expected at least 0"),
        ("--load", "1e308", "--load"),
        ("--push-load", "-1", "--push-load: expected at least 0"),
        ("--tolerance", "-1", "--tolerance: expected at least 0"),
        ("--tolerance", "nan", "--tolerance"),
        ("--family", "nope", '--family: expected a cable family of the library, got "nope"'),
    ],
)
@pytest.mark.parametrize("how", [(), ("--json",)])
def test_an_option_out_of_range_is_one_message(tmp_path, option, value, words, how):
    path = tmp_path / "job.toml"
    path.write_text(STARTER)
    result = check(path, option, value, *how)
    refused(result, words)
    assert len(set(result.stderr.splitlines())) <= 2
    assert "at least 1" not in result.stderr


@pytest.mark.parametrize(
    "options", [("--unit", "mile"), ("--load", "x"), ("--nope",), ("--library", "/no/such.toml")]
)
def test_bad_usage_is_exit_status_two(tmp_path, options):
    path = tmp_path / "job.toml"
    path.write_text(STARTER)
    result = check(path, *options)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert options[0] in result.stderr or options[-1] in result.stderr


def test_all_faults_are_told_in_one_go_with_line_cable_and_point(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(
        'titel = "x"\n'
        '[[cable]]\nname = "shift"\nbend_radius = 0\n'
        "points = [\n"
        "  { at = [0, 0, 0] },\n"
        "  { at = [0, 0, 1], radius = -5, label = 'sill' },\n"
        "  { at = [0, 0, 'two'] },\n"
        "]\n"
        '[[cable]]\nname = "brake"\nbend_radius = 9\n'
        "points = [{ at = [0, 0, 0] }, { at = [0, 0, 1], lable = 'x' }]\n"
    )
    result = check(path)
    refused(
        result,
        f"{path}:1: titel: expected no such key here; the nearest is title",
        f'{path}:4: cable "shift", bend_radius: expected greater than 0',
        f'{path}:7: cable "shift", point 2 (sill), radius: expected greater than 0, got -5',
        f'{path}:8: cable "shift", point 3, at[2]: cannot read `two` as a length',
        f'{path}:13: cable "brake", point 2, lable: expected no such key here; the nearest is '
        "label",
    )
    assert len(result.stderr.splitlines()) == 5


def test_names_that_nothing_has_are_told_with_the_other_faults(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(
        "[nodes]\nA = [0, 0, 0]\nB = [500, 0, 0]\n"
        '[tubes]\nsill = { from = "A", to = "Z", diameter = 30 }\n'
        '[[cable]]\nname = "shift"\nfamily = "push-solid-hevy"\nload = -4\n'
        "points = [\n"
        '  { on = "rail", along = 10, clock = 90 },\n'
        "  { tape = { A = 300, Q = 310, B = 400 } },\n"
        "]\n"
        '[[linkage]]\nname = "gear"\ncable = "shaft"\n'
        '[[selector]]\nname = "box"\nselect = "gear"\nshift = "gate"\n'
    )
    told = check(path).stderr
    for words in (
        f'{path}:9: cable "shift", load: expected at least 0, got -4.0',
        f"{path}:5: tubes.sill: no node 'Z'; known: A, B",
        f'{path}:8: cable "shift", family: expected a cable family of the library',
        f"{path}:11: cable \"shift\", point 1: no tube 'rail'; known: sill",
        f"{path}:12: cable \"shift\", point 2: tape: no node 'Q'; known: A, B",
        f"{path}:16: linkage \"gear\", cable: no cable 'shaft'; known: shift",
        f"{path}:20: selector \"box\", shift: no linkage 'gate'; known: gear",
    ):
        assert words in told


def test_all_that_the_keys_of_a_cable_say_against_each_other_is_told(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(
        '[[cable]]\nname = "a"\nkind = "pull"\nbend_radius = 50\npush_load = 4\npreload = 3\n'
        "points = [{ at = [0, 0, 0], passes = 'inside' }, { at = [900, 0, 0] }]\n"
    )
    once(
        check(path),
        "a pull cable cannot push; expected no push_load; ",
        "the run begins and ends on its first and last point; ",
        'preload goes with kind = "pull-pair" only',
    )


def test_a_long_list_of_faults_is_cut_and_counted(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("x,y,z\n" + "0,q,0\n" * 60)
    result = check(path, "--bend-radius", "50")
    refused(result, "and 10 more")
    assert len(result.stderr.splitlines()) == 51


@pytest.mark.parametrize("depth", [40, 300, 20_000])
@pytest.mark.parametrize("shape", ["x = {open}{close}", "{dots}b = 1"])
def test_deep_nesting_is_refused(tmp_path, depth, shape):
    path = tmp_path / "job.toml"
    depth = min(depth, 2000) if "dots" in shape else depth
    path.write_text(shape.format(open="[" * depth, close="]" * depth, dots="x." * depth))
    refused(check(path), str(path))


def test_a_closed_quote_missing_in_a_csv_names_where_it_opens(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text('x,y,z,label\n0,0,0,a\n0,0,9,"b\n' + "0,0,20,c\n" * 30_000)
    once(check(path, "--bend-radius", "50"), f"{path}:3: ", "quotation mark")


_LINES = STARTER.splitlines()
_VALUES = st.sampled_from(
    [
        *("0", "-1", "nan", "inf", "1e308", "1e-308", "1_000", "0x10", "true", "1979-05-27"),
        *("[]", "{}", "[[]]", "[0, 0, 0]", "[1, 2]"),
        *('""', '"x"', '"3 ft 4"', '"7x19"', '"push-solid-light"'),
    ]
)
_EDIT = st.one_of(
    st.tuples(st.just("drop"), st.integers(0, len(_LINES) - 1), st.none()),
    st.tuples(st.just("double"), st.integers(0, len(_LINES) - 1), st.none()),
    st.tuples(st.just("value"), st.integers(0, len(_LINES) - 1), _VALUES),
    st.tuples(st.just("number"), st.integers(0, len(_LINES) - 1), _VALUES),
    st.tuples(st.just("cut"), st.integers(0, len(_LINES) - 1), st.none()),
    st.tuples(st.just("uncomment"), st.integers(0, len(_LINES) - 1), st.none()),
)


def _mutate(lines: list[str], how: str, at: int, value: str | None) -> list[str]:
    line = lines[at] if at < len(lines) else ""
    if how == "drop":
        new = []
    elif how == "double":
        new = [line, line]
    elif how == "value" and "=" in line:
        new = [f"{line.split('=')[0]}= {value}"]
    elif how == "number":
        head, mark, tail = line.partition("[")
        new = [f"{head}{mark}{value}, {tail.partition(', ')[2]}" if mark else line]
    elif how == "cut":
        new = [line[: len(line) // 2]]
    else:
        new = [line.removeprefix("# ")]
    return lines[:at] + new + lines[at + 1 :]


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(edits=st.lists(_EDIT, min_size=1, max_size=3))
def test_no_edit_of_the_starter_gives_a_traceback(tmp_path, edits):
    lines = list(_LINES)
    for edit in edits:
        lines = _mutate(lines, *edit)
    path = tmp_path / "job.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    result = check(path, "--json")
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert result.exit_code in (0, 1, 2)
    if result.exit_code == 2:
        refused(result)
    else:
        assert result.stderr == ""
        json.loads(result.stdout, parse_constant=pytest.fail)


def test_a_hundred_thousand_points_give_a_result(tmp_path):
    angles = np.linspace(0.0, np.pi, 100_000)
    rows = np.column_stack([900 * np.cos(angles), 900 * np.sin(angles), 0 * angles])
    path = tmp_path / "scan.csv"
    np.savetxt(path, rows, delimiter=",", header="x_mm,y_mm,z_mm", comments="", fmt="%.9f")
    result = check(path, "--bend-radius", "60", "--friction", "0.1", "--tolerance", "0", "--json")
    assert result.exit_code in (0, 1)
    (cable,) = json.loads(result.stdout, parse_constant=pytest.fail)["cables"]
    assert cable["route"]["length_mm"] == pytest.approx(900 * np.pi, rel=1e-6)
    assert cable["route"]["wrap_deg"] == pytest.approx(180, rel=1e-3)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_output_that_cannot_be_written_is_no_verdict():
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "cableroute", "stock"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )

    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "cannot write" in done.stderr
