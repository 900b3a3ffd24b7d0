"""The local page: a thin server over the library, and its plain modules."""

from __future__ import annotations

from pathlib import Path

#: The page's own files, and the view that the report has too; nothing else is sent as it is.
STATIC = Path(__file__).parent / "static"
VIEW = Path(__file__).parents[1] / "output" / "report" / "view"
