"""Write a file whole or not at all, and never over another unasked."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from cableroute.errors import CableRouteError


def refuse_existing(path: Path, *, force: bool) -> None:
    """Refuse to write over a file unasked.

    Parameters
    ----------
    path : Path
        Where something is to go.
    force : bool
        Whether an existing file may be replaced.

    Raises
    ------
    CableRouteError
        If the file exists and may not be replaced.
    """
    if path.exists() and not force:
        raise CableRouteError(
            f"{path}: exists already; give another name, or --force to replace it"
        )


def write_text(path: Path, text: str, *, force: bool = False) -> None:
    """Write a text file under a temporary name, then rename it.

    Parameters
    ----------
    path : Path
        Where it goes.
    text : str
        What it holds.
    force : bool
        Whether an existing file may be replaced.

    Raises
    ------
    CableRouteError
        If the file exists and may not be replaced, or cannot be written; an old file is intact.
    """
    write_bytes(path, text.encode(), force=force)


def write_bytes(path: Path, data: bytes, *, force: bool = False) -> None:
    """Write a file of any kind under a temporary name, then rename it.

    Parameters
    ----------
    path : Path
        Where it goes.
    data : bytes
        What it holds.
    force : bool
        Whether an existing file may be replaced.

    Raises
    ------
    CableRouteError
        If the file exists and may not be replaced, or cannot be written; an old file is intact.
    """
    try:
        if path.is_dir():
            raise CableRouteError(f"{path}: expected the name of a file, got a folder")
        refuse_existing(path, force=force)
        handle, name = tempfile.mkstemp(prefix=".cableroute.", dir=path.parent)
    except OSError as error:
        raise CableRouteError(f"{path}: cannot write there: {error.strerror}") from error
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        umask = os.umask(0)
        os.umask(umask)
        Path(name).chmod(0o666 & ~umask)
        Path(name).replace(path)
    except BaseException as error:  # a break in the middle of it too
        Path(name).unlink(missing_ok=True)
        if not isinstance(error, OSError):
            raise
        raise CableRouteError(f"{path}: cannot write it: {error.strerror}") from error
