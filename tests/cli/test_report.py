from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from cableroute.cli.report import report_command

DATA = Path(__file__).resolve().parents[2] / "data"
BUGGY = str(DATA / "grass_track_buggy.toml")
POINTS = "x_mm,y_mm,z_mm,label\n0,0,0,a\n400,0,0,b\n400,300,0,c\n"

app = typer.Typer()
app.command()(report_command)


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "p.csv").write_text(POINTS, encoding="utf-8")
    return lambda *words: CliRunner().invoke(app, list(words))


@pytest.mark.parametrize(
    ("name", "start"), [("x.html", b"<!DOCTYPE html>"), ("x.PDF", b"%PDF"), ("x.md", b"# ")]
)
def test_the_ending_decides_the_kind(run, tmp_path, name, start):
    result = run("p.csv", "--bend-radius", "60", "-o", name)
    assert result.exit_code == 0, result.output
    assert (tmp_path / name).read_bytes().startswith(start)
    assert result.stdout == f"{name} is written: verdict MARGINAL.\n"


@pytest.mark.parametrize("name", ["x.html", "x.pdf", "x.md"])
def test_a_study_is_a_section_when_it_is_asked_for(run, tmp_path, name):
    result = run("p.csv", "--bend-radius", "60", "--study", "-o", name)
    assert result.exit_code == 0, result.output
    data = (tmp_path / name).read_bytes()
    if name != "x.pdf":
        assert b"How sure the verdict is" in data
        assert b"Hang a scale on it" in data


def test_unasked_there_is_no_study(run, tmp_path):
    assert run("p.csv", "--bend-radius", "60", "-o", "x.md").exit_code == 0
    assert "How sure" not in (tmp_path / "x.md").read_text(encoding="utf-8")


def test_without_a_name_it_is_a_page_named_after_the_file(run, tmp_path):
    assert run("p.csv", "--bend-radius", "60").exit_code == 0
    assert (tmp_path / "p-report.html").is_file()


def test_a_failing_verdict_is_said_and_the_report_written_all_the_same(run, tmp_path):
    result = run("p.csv", "--bend-radius", "500", "-o", "x.md")
    assert result.exit_code == 0
    assert result.stdout == "x.md is written: verdict FAIL.\n"
    text = (tmp_path / "x.md").read_text(encoding="utf-8")
    assert text.startswith("# ")
    assert f"**FAIL.** Made by cableroute from p.csv, {date.today().isoformat()}." in text


def test_options_override_the_file(run, tmp_path):
    result = run(BUGGY, "--friction", "0.31", "--load", "77", "-o", "x.md")
    assert result.exit_code == 0, result.output
    text = (tmp_path / "x.md").read_text(encoding="utf-8")
    assert "0.31" in text
    assert "for 77 N" in text


def test_an_existing_report_stays_unless_forced(run, tmp_path):
    old = tmp_path / "x.md"
    old.write_text("mine", encoding="utf-8")
    result = run("p.csv", "--bend-radius", "60", "-o", "x.md")
    assert result.exit_code == 2
    assert "--force" in result.stderr
    assert old.read_text(encoding="utf-8") == "mine"
    assert run("p.csv", "--bend-radius", "60", "-o", "x.md", "--force").exit_code == 0
    assert old.read_text(encoding="utf-8").startswith("# ")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("-o", "x.docx"), ".html, .pdf, .md"),
        (("-o", "x"), ".html, .pdf, .md"),
        (("-o", "none/x.md"), "none/x.md"),
        (("--family", "no-such"), "no-such"),
        (("--library", "no-such.toml"), "no-such.toml"),
    ],
)
def test_what_cannot_be_is_told(run, tmp_path, words, told):
    before = sorted(tmp_path.iterdir())
    result = run("p.csv", "--bend-radius", "60", *words)
    assert result.exit_code == 2
    assert told in result.stderr
    assert "Traceback" not in result.stderr
    assert sorted(tmp_path.iterdir()) == before


def test_markdown_does_without_matplotlib():
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from cableroute import assess, read_job\n"
        "from cableroute.output.report.contents import report\n"
        "from cableroute.output.report.as_markdown import report_markdown\n"
        f"report_markdown(report(assess(read_job(Path({BUGGY!r}))), source='x'))\n"
        "assert 'matplotlib' not in sys.modules\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_sheet_is_named_after_the_file_and_takes_either_paper(run, tmp_path):
    assert run("p.csv", "--bend-radius", "60", "--sheet").exit_code == 0
    assert "sheets" in (tmp_path / "p-sheet.html").read_text(encoding="utf-8")
    for paper, box in (("a4", b"595.2755905512 841.8897637795"), ("letter", b"612 792")):
        result = run(
            "p.csv", "--bend-radius", "60", "--sheet", "--paper", paper, "-o", f"{paper}.pdf"
        )
        assert result.exit_code == 0, result.output
        assert b"/MediaBox [ 0 0 " + box in (tmp_path / f"{paper}.pdf").read_bytes()


def test_one_cable_alone_is_reported(run, tmp_path):
    assert run(BUGGY, "--cable", "throttle", "--sheet", "-o", "x.md").exit_code == 0
    text = (tmp_path / "x.md").read_text(encoding="utf-8")
    assert "## throttle" in text
    assert "## shift" not in text
    result = run(BUGGY, "--cable", "none", "-o", "y.md")
    assert result.exit_code == 2
    assert "known: shift, throttle" in result.stderr


def test_blank_readings_are_written_for_one_cable_of_a_sheet(run, tmp_path):
    result = run(BUGGY, "--sheet", "-o", "r.csv")
    assert result.exit_code == 2
    assert "say which with --cable; known: shift, throttle" in result.stderr
    assert run(BUGGY, "--sheet", "--cable", "shift", "-o", "r.csv").exit_code == 0
    assert (tmp_path / "r.csv").read_text().startswith("wrap_deg,load_n,hand_n,label\n")
    result = run(BUGGY, "-o", "long.csv")
    assert result.exit_code == 2
    assert ".html, .pdf, .md" in result.stderr
