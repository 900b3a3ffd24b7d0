"""Where template, export and draw cannot write: one complaint, exit 2, and an old file intact."""

from __future__ import annotations

import errno
import os

import pytest
from typer.testing import CliRunner

from cableroute.cli import app

#: Command, the option that names the file, and its ending.
WRITERS = [
    (("template",), "-o", ".pdf"),
    (("template",), "--csv", ".csv"),
    (("export",), "-o", ".dxf"),
    (("draw", "--what", "plan"), "-o", ".svg"),
]


@pytest.fixture(scope="module")
def elbow(tmp_path_factory) -> str:
    """A run of one bend, in a folder apart."""
    file = tmp_path_factory.mktemp("job") / "elbow.csv"
    file.write_text("x,y,z\n0,0,0\n400,0,0\n400,300,0\n")
    return str(file)


@pytest.fixture(params=WRITERS, ids=lambda writer: writer[0][0] + writer[2])
def write(request, elbow, tmp_path, monkeypatch):
    """Run a writing command on a name, without ending, in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    words, option, suffix = request.param

    def run(stem: str, *more: str):
        command = [*words, elbow, "--bend-radius", "60", option, stem + suffix, *more]
        return CliRunner().invoke(app, command)

    run.suffix = suffix
    return run


def complaint(result) -> str:
    """The one line of a refusal."""
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    (line,) = result.stderr.splitlines()
    assert line.startswith("cableroute: ")
    return line


def test_a_folder_that_is_missing(write, tmp_path):
    told = complaint(write("none/x"))
    assert f"none/x{write.suffix}: cannot write there: No such file or directory" in told
    assert not list(tmp_path.iterdir())


def test_a_file_in_place_of_the_folder(write, tmp_path):
    (tmp_path / "file").write_text("mine")
    assert "Not a directory" in complaint(write("file/x"))
    assert (tmp_path / "file").read_text() == "mine"


@pytest.mark.parametrize("force", [(), ("--force",)])
def test_a_folder_in_place_of_the_file(write, tmp_path, force):
    target = tmp_path / f"x{write.suffix}"
    target.mkdir()
    assert "expected the name of a file, got a folder" in complaint(write("x", *force))
    assert [*tmp_path.iterdir()] == [target]
    assert not list(target.iterdir())


def test_a_file_that_exists_stays_unless_forced(write, tmp_path):
    old = tmp_path / f"x{write.suffix}"
    old.write_text("mine")
    told = complaint(write("x"))
    assert "exists already" in told
    assert "--force" in told
    assert old.read_text() == "mine"
    assert write("x", "--force").exit_code == 0
    assert old.read_bytes() != b"mine"
    assert [*tmp_path.iterdir()] == [old]


@pytest.mark.parametrize("force", [(), ("--force",)])
def test_a_folder_without_leave_to_write(write, tmp_path, monkeypatch, force):
    """Refused by the system; simulated, as some run the tests as a user who may do anything."""
    target = tmp_path / f"x{write.suffix}"
    if force:
        target.write_text("mine")

    def refuse(*_, **__):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr("pathlib.Path.touch", refuse)
    assert "Permission denied" in complaint(write("x", *force))
    assert [path.read_text() for path in tmp_path.iterdir()] == ["mine"] * len(force)


def fill_a_little(new, pieces):
    """Write to a disk that is full after the first byte."""
    new.write_bytes(next(iter(pieces))[:1])
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize("old", [None, "mine"])
@pytest.mark.parametrize("step", ["write", "rename"])
def test_a_full_disk(write, tmp_path, monkeypatch, step, old):
    target = tmp_path / f"x{write.suffix}"
    if old is not None:
        target.write_text(old)

    def fail(*_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    if step == "write":
        monkeypatch.setattr("cableroute.output.files._fill", fill_a_little)
    else:
        monkeypatch.setattr("pathlib.Path.replace", fail)
    told = complaint(write("x", "--force"))
    assert f"x{write.suffix}: cannot write it: No space left on device" in told
    assert [path.read_text() for path in tmp_path.iterdir()] == ([old] if old else [])


def test_of_two_files_one_that_cannot_be_written_leaves_the_other_whole(
    elbow, tmp_path, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    words = ["template", elbow, "--bend-radius", "60", "-o", "x.pdf", "--csv", "none/x.csv"]
    assert "none/x.csv" in complaint(CliRunner().invoke(app, words))
    assert not list(tmp_path.iterdir())
    (tmp_path / "x.pdf").write_text("mine")
    assert "x.pdf: exists already" in complaint(CliRunner().invoke(app, [*words[:-1], "x.csv"]))
    assert (tmp_path / "x.pdf").read_text() == "mine"
    assert not (tmp_path / "x.csv").exists()
