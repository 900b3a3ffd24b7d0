"""``cableroute new``: a starter file that checks, and never one over another."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app


def new(*args: object):
    return CliRunner().invoke(app, ["new", *map(str, args)])


def test_the_starter_checks_as_it_stands(tmp_path):
    path = tmp_path / "machine.toml"
    result = new(path)
    assert result.exit_code == 0
    assert f"cableroute check {path}" in result.stdout
    checked = CliRunner().invoke(app, ["check", str(path)])
    assert checked.exit_code in (0, 1)
    assert checked.stderr == ""


@pytest.mark.parametrize("example", ["throttle", "brake", "gear", "selector", "trim"])
def test_each_example_passes_its_own_check(tmp_path, example):
    path = tmp_path / "machine.toml"
    assert new(path, "--example", example).exit_code == 0
    checked = CliRunner().invoke(app, ["check", "--json", str(path)])
    assert checked.exit_code == 0
    found = json.loads(checked.stdout)
    assert found["verdict"] == "pass"
    assert "invented" in path.read_text(encoding="utf-8")
    assert bool(found["linkages"]) == (example in ("gear", "selector"))


def test_an_example_that_there_is_not_is_told(tmp_path):
    result = new(tmp_path / "machine.toml", "--example", "anchor")
    assert result.exit_code == 2
    assert "throttle" in result.stderr


def test_an_existing_file_stays_unless_forced(tmp_path):
    path = tmp_path / "machine.toml"
    path.write_text("mine")
    result = new(path)
    assert result.exit_code == 2
    assert "--force" in result.stderr
    assert path.read_text() == "mine"
    assert new(path, "--force").exit_code == 0
    assert "[[cable]]" in path.read_text()


def test_nothing_but_the_file_is_left_behind(tmp_path):
    new(tmp_path / "machine.toml")
    new(tmp_path / "machine.toml")
    assert os.listdir(tmp_path) == ["machine.toml"]


@pytest.mark.parametrize("where", ["no/such/folder.toml", "folder", "x" * 300 + ".toml"])
@pytest.mark.parametrize("force", [(), ("--force",)])
def test_a_place_that_cannot_be_written_is_one_complaint(tmp_path, where, force):
    (tmp_path / "folder").mkdir()
    result = new(tmp_path / where, *force)
    assert result.exit_code == 2
    assert result.stderr.startswith("cableroute: ")
    assert len(result.stderr.splitlines()) == 1
    assert os.listdir(tmp_path) == ["folder"]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write")
def test_a_folder_without_leave_to_write_is_one_complaint(tmp_path: Path):
    tmp_path.chmod(0o500)
    result = new(tmp_path / "machine.toml")
    tmp_path.chmod(0o700)
    assert result.exit_code == 2
    assert "cannot write there" in result.stderr
