"""What the README tells a newcomer to type works, and prints what the README shows."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def fenced(language: str) -> list[str]:
    """Return the contents of the fenced blocks of one language, in order."""
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)


@pytest.fixture(scope="module")
def commands() -> list[str]:
    blocks = [block.strip() for block in fenced("sh")]
    assert len(blocks) == 2, "the README has exactly two commands to begin with"
    assert not any("\n" in block for block in blocks), "each on one line"
    return blocks


@pytest.fixture(scope="module")
def printed(commands: list[str]) -> str:
    """What the first command prints once it is installed."""
    tool, *arguments = commands[0].split(" && ")[-1].split()
    assert tool == ".venv/bin/cableroute"
    assert arguments[0] == "check"
    done = subprocess.run(
        [sys.executable, "-m", "cableroute", *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_first_command_gives_a_verdict(printed: str) -> None:
    verdicts = re.findall(r"^(PASS|MARGINAL|FAIL)\b", printed, re.MULTILINE)
    assert verdicts, printed
    assert "FAIL" not in verdicts


def test_output_shown_is_the_output(printed: str) -> None:
    shown = fenced("text")[0]
    assert shown.strip() == printed.strip(), "README.md: paste the command's output again"


def test_ci_runs_the_test_command(commands: list[str]) -> None:
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert commands[1] in lines
    assert "pytest" in commands[1]


@pytest.mark.parametrize(
    "page", ["README.md", "DEVELOPERS.md", "data/README.md", "notebooks/README.md"]
)
def test_links_lead_somewhere(page: str) -> None:
    file = ROOT / page
    text = file.read_text(encoding="utf-8")
    links = re.findall(r"\]\((?!https?:|#)([^)#]+)", text)
    assert links
    assert [link for link in links if not (file.parent / link).exists()] == []


def test_csv_shown_is_read(tmp_path: Path) -> None:
    from cableroute import read_job

    file = tmp_path / "points.csv"
    file.write_text(fenced("csv")[0], encoding="utf-8")
    job = read_job(file, overrides={"bend_radius": 60.0})
    assert len(job.cables[0].points) >= 4


def test_linkage_shown_goes_with_the_cable_shown(tmp_path: Path) -> None:
    from cableroute import assess, read_job

    measuring = next(block for block in fenced("toml") if block.startswith("[nodes]"))
    linkage = next(block for block in fenced("toml") if block.startswith("[[linkage]]"))
    file = tmp_path / "machine.toml"
    file.write_text(f"{measuring}\n{linkage}", encoding="utf-8")
    found = assess(read_job(file))
    assert found.verdict != "fail"
    assert [each.verdict for each in found.linkages] == ["pass"]
    (cable,) = found.cables  # the heat of the exhaust is meant to be told
    assert {f.where for f in cable.findings if f.level != "note"} == {"exhaust"}


def test_selector_shown_goes_with_the_locomotive() -> None:
    from cableroute import assess, read_text

    shown = next(block for block in fenced("toml") if block.startswith("[[selector]]"))
    file = ROOT / "data" / "works_locomotive_forward.toml"
    lines = file.read_text(encoding="utf-8").split("[[selector]]")[0]
    found = assess(read_text(lines + shown, source=file.name))
    assert [each.verdict for each in found.selectors] == ["pass"]
