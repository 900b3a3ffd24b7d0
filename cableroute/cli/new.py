"""``cableroute new``: a commented starter file, for a job of your own or one like it."""

from __future__ import annotations

from enum import StrEnum
from importlib.resources import files
from pathlib import Path
from typing import Annotated

import typer

from cableroute.cli.console import ForceOption, complaints, say
from cableroute.output.files import write_text


class Example(StrEnum):
    """The jobs that there is a starter for."""

    THROTTLE = "throttle"
    BRAKE = "brake"
    GEAR = "gear"
    SELECTOR = "selector"
    TRIM = "trim"


def new(
    file: Annotated[Path, typer.Argument(help="The route file to write, as machine.toml.")],
    example: Annotated[
        Example | None, typer.Option(help="A small file for one job, which passes as it stands.")
    ] = None,
    force: ForceOption = False,
) -> None:
    """Write a commented starter file to fill in with your own measurements."""
    name = f"examples/{example}.toml" if example else "starter.toml"
    text = files("cableroute.output").joinpath(name).read_text(encoding="utf-8")
    with complaints():
        write_text(file, text, force=force)
    say(f"{file} is written. Put your own points in, then: cableroute check {file}")
