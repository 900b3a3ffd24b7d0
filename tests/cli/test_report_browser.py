"""The page in a real browser: its script runs, and nothing is complained of or asked for."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from cableroute.assess import assess
from cableroute.measure.reading import read_job
from cableroute.output.report.as_html import report_html
from cableroute.output.report.contents import report

CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
)
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium")

DATA = Path(__file__).resolve().parents[2] / "data"
OPTIONS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    *("--host-resolver-rules=MAP * ~NOTFOUND", "--enable-logging=stderr", "--v=0", "--dump-dom"),
)


@pytest.fixture(scope="module")
def page() -> str:
    job = read_job(DATA / "survey_tubes.toml")
    return report_html(report(assess(job), source="</script><b>x.toml"))


def load(page: str, folder: Path) -> tuple[str, list[str]]:
    """The page as the browser has it after its script has run, and what its console says."""
    file = folder / "page.html"
    file.write_text(page, encoding="utf-8")
    profile = f"--user-data-dir={folder / 'profile'}"
    done = subprocess.run(
        [str(CHROMIUM), *OPTIONS, profile, file.as_uri()],
        capture_output=True,
        encoding="utf-8",
        timeout=180,
        check=True,
    )
    return done.stdout, [line for line in done.stderr.splitlines() if "CONSOLE" in line]


def test_the_script_draws_the_runs_without_a_complaint(page, tmp_path):
    found, console = load(page, tmp_path)
    assert console == []
    assert re.search(r'<html[^>]* data-ready="1"', found)
    drawn = found[found.index('id="space"') : found.index('id="space-seen"')]
    assert len(re.findall(r'<path[^>]* d="M[\d.-]+ ', drawn)) > 5
    assert ">x forward</text>" in drawn
    assert "NaN" not in drawn
    assert '<figure id="turn">' in found  # no longer hidden


def test_the_policy_stops_any_other_script_and_the_console_tells(page, tmp_path):
    planted = page.replace(
        "<main>", '<main><script>document.title="taken"</script><img src="http://a.example/x.png">'
    )
    found, console = load(planted, tmp_path)
    assert len(console) == 2
    assert all("Content Security Policy" in line for line in console)
    assert "<title>taken" not in found
