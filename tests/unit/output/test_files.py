"""Files are written whole or not at all, and never over another unasked."""

from __future__ import annotations

import os
import stat

import pytest

from cableroute.errors import CableRouteError
from cableroute.output.files import write_bytes, write_text


def test_text_is_written_in_utf8_with_the_usual_rights(tmp_path):
    path = tmp_path / "a.toml"
    old = os.umask(0o027)
    try:
        write_text(path, "é½\n")
    finally:
        os.umask(old)
    assert path.read_bytes() == "é½\n".encode()
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_an_old_file_stays_unless_forced(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text("old")
    with pytest.raises(CableRouteError, match="exists already"):
        write_text(path, "new")
    assert path.read_text() == "old"
    write_text(path, "new", force=True)
    assert path.read_text() == "new"


@pytest.mark.parametrize("force", [False, True])
@pytest.mark.parametrize(
    ("name", "words"),
    [("no/a.toml", "No such file"), ("folder", "a folder"), ("x" * 300, "too long")],
)
def test_a_place_that_cannot_be_written_is_an_error_that_leaves_nothing(
    tmp_path, name, words, force
):
    (tmp_path / "folder").mkdir()
    with pytest.raises(CableRouteError, match=words):
        write_text(tmp_path / name, "new", force=force)
    assert os.listdir(tmp_path) == ["folder"]


def test_a_file_that_is_replaced_keeps_its_rights(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text("old")
    path.chmod(0o604)
    write_text(path, "new", force=True)
    assert stat.S_IMODE(path.stat().st_mode) == 0o604


def test_a_failure_at_the_last_step_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "a.toml"
    path.write_text("old")

    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.replace", fail)
    with pytest.raises(CableRouteError, match="No space left"):
        write_text(path, "new", force=True)
    assert path.read_text() == "old"
    assert os.listdir(tmp_path) == ["a.toml"]


def test_a_break_while_writing_leaves_nothing(tmp_path, monkeypatch):
    def broken(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("cableroute.output.files.os.umask", broken)
    with pytest.raises(KeyboardInterrupt):
        write_bytes(tmp_path / "x", b"1")
    assert list(tmp_path.iterdir()) == []
