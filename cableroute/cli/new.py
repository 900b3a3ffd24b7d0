"""``cableroute new``: a commented starter file."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Annotated

import typer

from cableroute.cli.console import ForceOption, complaints, say
from cableroute.output.files import write_text


def new(
    file: Annotated[Path, typer.Argument(help="The route file to write, as machine.toml.")],
    force: ForceOption = False,
) -> None:
    """Write a commented starter file to fill in with your own measurements."""
    text = files("cableroute.output").joinpath("starter.toml").read_text(encoding="utf-8")
    with complaints():
        write_text(file, text, force=force)
    say(f"{file} is written. Put your own points in, then: cableroute check {file}")
