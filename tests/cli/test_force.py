"""``--force`` replaces files of the user's choice, and nothing else; all targets are looked at first."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from typer.testing import CliRunner

from cableroute.cli import app

DATA = Path(__file__).parents[2] / "data"
ELBOW = "x,y,z\n0,0,0\n400,0,0\n400,300,0\n"
READINGS = "wrap_deg,load_n,hand_n\n90,100,115\n180,100,132\n270,100,152\n"
BARE = ("--bend-radius", "60")


@pytest.fixture(autouse=True)
def here(tmp_path, monkeypatch) -> Path:
    """A folder with a list of points and a route file."""
    monkeypatch.chdir(tmp_path)
    Path("p.csv").write_text(ELBOW)
    Path("w.toml").write_text((DATA / "grass_track_buggy_selector.toml").read_text())
    return tmp_path


def run(*words: object):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.mark.parametrize(
    "words",
    [
        ("linkage", "w.toml", "--csv", "w.toml"),
        ("export", "p.csv", *BARE, "-o", "p.csv"),
        ("export", "p.csv", *BARE, "-o", "linked.csv"),
        ("template", "p.csv", *BARE, "--csv", "p.csv"),
        ("suggest", "w.toml", "--apply", "w.toml"),
    ],
)
def test_what_is_read_is_never_replaced(words):
    Path("linked.csv").symlink_to("p.csv")
    Path("w.toml").write_text(
        Path("w.toml").read_text() + "\n[[cable]]\nname='b'\nbend_radius=90\npoints=["
        "{at=[0,0,0]},{at=[130,0,0]},{at=[130,130,0]},{at=[400,130,0]}]\n"
    )
    before = {name: Path(name).read_bytes() for name in ("p.csv", "w.toml")}
    done = run(*words, "--force")
    assert done.exit_code == 2, done.output
    assert "is what is read" in done.stderr
    assert before == {name: Path(name).read_bytes() for name in before}


def test_neither_a_device_nor_a_pipe_nor_a_folder_is_replaced(here):
    os.mkfifo("pipe.toml")
    Path("folder.toml").mkdir()
    Path("null.toml").symlink_to(os.devnull)
    for name, kind in (("pipe", "a pipe"), ("folder", "a folder"), ("null", "a device")):
        done = run("new", f"{name}.toml", "--force")
        assert done.exit_code == 2
        assert f"expected the name of a file, got {kind}" in done.stderr
    assert stat.S_ISFIFO(Path("pipe.toml").stat().st_mode)
    assert Path("null.toml").is_symlink()
    assert Path(os.devnull).is_char_device()


@pytest.mark.parametrize(
    "words", [("points",), ("page",), ("calibrate", "p.csv", "--into")], ids=lambda words: words[0]
)
def test_what_is_edited_is_a_file(words):
    os.mkfifo("pipe.toml")
    Path("p.csv").write_text(READINGS)
    done = run(*words, "pipe.toml")
    assert done.exit_code == 2
    assert "pipe.toml: expected the name of a file, got a pipe" in done.stderr


def test_a_link_is_followed_and_one_to_nothing_refused(here):
    (here / "else").mkdir()
    Path("else/real.toml").write_text("old")
    Path("link.toml").symlink_to("else/real.toml")
    Path("broken.toml").symlink_to("else/none.toml")
    assert run("new", "link.toml").exit_code == 2
    assert run("new", "link.toml", "--force").exit_code == 0
    assert Path("link.toml").is_symlink()
    assert Path("else/real.toml").read_text() != "old"
    assert "a link to nothing" in run("new", "broken.toml", "--force").stderr
    assert sorted(os.listdir("else")) == ["real.toml"]


@pytest.mark.parametrize("mode", [0o600, 0o664])
def test_permissions_are_kept(mode):
    Path("old.toml").write_text("old")
    Path("old.toml").chmod(mode)
    assert run("new", "old.toml", "--force").exit_code == 0
    assert stat.S_IMODE(Path("old.toml").stat().st_mode) == mode


def test_all_targets_are_looked_at_before_any_is_written():
    Path("s.pdf").write_text("mine")
    done = run("template", "p.csv", *BARE, "--csv", "s.csv", "-o", "s.pdf")
    assert done.exit_code == 2
    assert not Path("s.csv").exists()
    assert Path("s.pdf").read_text() == "mine"


def test_a_picture_in_the_way_of_the_second_cable_stops_the_first():
    Path("two.toml").write_text(
        "".join(
            f"[[cable]]\nname = '{name}'\nbend_radius = 60\n"
            "points = [{ at = [0, 0, 0] }, { at = [400, 0, 0] }]\n"
            for name in ("one", "two")
        )
    )
    Path("two-two-plan.png").write_text("mine")
    done = run("draw", "two.toml", "--what", "plan")
    assert done.exit_code == 2
    assert not Path("two-one-plan.png").exists()
    assert Path("two-two-plan.png").read_text() == "mine"
