"""The notebooks run from top to bottom, show pictures, and are kept without their output."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / "notebooks"
#: In the order of the story.
STORY = (
    "1_measure",
    "2_route",
    "3_mechanics",
    "4_verdict",
    "5_output",
    "6_linkage",
    "7_whole_job",
    "8_how_sure",
)
#: What the text of a notebook says will be seen below it.
PROMISED = {
    "1_measure": ("[ 300.  400. 1200.]", "read 1400, the others say 1300 mm"),
    "2_route": ("12.95°", "442.38 ft", "27.22 19.45 94.01", "0.456947", "0.762760"),
    "3_mechanics": ("0.311", "53033 N", "127 mm, 1691 mm, 180°: 1.2074", "2464 lb", "797 MPa"),
    "4_verdict": ("MARGINAL gear", "friction 0.35:  36% of the pull arrives, fail"),
    "5_output": ("PASS", "What to buy", "What to test", "Allow for spring-back"),
    "6_linkage": ("PASS     gear", "FAIL  lever right", "below its cables: pass"),
    "7_whole_job": ("FAIL", "with it moved: MARGINAL", "MARGINAL clutch", "itself: True"),
    "8_how_sure": (
        "1500 mm 36 %",
        "Hang a scale on it",
        "weight makes 0.1 % at most",
        "best: (410",
    ),
}
EACH = pytest.mark.parametrize("name", STORY)
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}

pytestmark = [
    # two of Jupyter's own, which nothing here can mend
    pytest.mark.filterwarnings("ignore:Jupyter is migrating its paths:DeprecationWarning"),
    pytest.mark.filterwarnings("ignore:Proactor event loop does not implement:RuntimeWarning"),
]


def kept(name: str) -> Any:
    """Return a notebook as it is kept."""
    return nbformat.read(FOLDER / f"{name}.ipynb", as_version=nbformat.NO_CONVERT)


def words(notebook: Any) -> str:
    """Return the text between the code."""
    return "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")


def shown_text(shown: list[Any]) -> str:
    """Return all text among what is shown."""
    texts = [each.get("text", "") for each in shown]
    return "\n".join(texts + [each.get("data", {}).get("text/markdown", "") for each in shown])


def outputs(name: str, *, within: Path) -> list[Any]:
    """Run a notebook in a folder, with the package that lies beside it, and return what it shows."""
    notebook = kept(name)
    path = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
    client = NotebookClient(
        notebook,
        timeout=300,
        kernel_name="python3",
        resources={"metadata": {"path": str(within)}},
    )
    client.execute(env=os.environ | {"PYTHONPATH": path})
    return [each for cell in notebook.cells for each in cell.get("outputs", ())]


@pytest.fixture(autouse=True)
def _own_jupyter(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the user's start-up files out of the kernel, and the kernel's files out of the home."""
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path / "ipython"))
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path / "jupyter"))


def test_every_notebook_is_in_the_story() -> None:
    assert sorted(file.stem for file in FOLDER.glob("*.ipynb")) == sorted(STORY)
    assert sorted(file.name for file in FOLDER.iterdir() if not file.name.startswith(".")) == [
        *(f"{name}.ipynb" for name in STORY),
        "README.md",
    ]


@EACH
def test_it_runs(name: str) -> None:
    before = sorted(FOLDER.iterdir())
    shown = outputs(name, within=FOLDER)

    assert any("image/png" in each.get("data", ()) for each in shown), "no picture is shown"
    assert [each for each in PROMISED[name] if each not in shown_text(shown)] == []
    complaints = [each.text for each in shown if each.get("name") == "stderr"]
    assert not any("Warning" in text for text in complaints), complaints
    assert sorted(FOLDER.iterdir()) == before, "it leaves files behind"


def test_it_runs_from_the_root_too() -> None:
    assert outputs("1_measure", within=ROOT)


@EACH
def test_nothing_but_source_is_kept(name: str) -> None:
    notebook = kept(name)

    nbformat.validate(notebook)
    assert (notebook.nbformat, notebook.nbformat_minor) == (4, 5)
    assert notebook.metadata == {"kernelspec": KERNEL}
    for cell in notebook.cells:
        assert cell.metadata == {}
        assert re.fullmatch("[a-z]+", cell.id), "an id that tells nothing"
        if cell.cell_type == "code":
            assert cell.outputs == []
            assert cell.execution_count is None
    assert 8 <= len(notebook.cells) <= 15


@EACH
def test_it_says_what_it_is(name: str) -> None:
    first = kept(name).cells[0].source

    assert first.startswith(f"# {name[0]}. ")
    assert "invented" in first
    assert "hurt" in first


@EACH
def test_it_leads_on(name: str) -> None:
    links = re.findall(r"\]\((?!https?:)([^)#]+)", words(kept(name)))

    following = STORY[(STORY.index(name) + 1) % len(STORY)]
    assert f"{following}.ipynb" in links
    assert [link for link in links if not (FOLDER / link).exists()] == []
