"""``cableroute stock``: the cable families and where their figures come from."""

from __future__ import annotations

from typing import Annotated

import typer

from cableroute.cli.console import JsonOption, LibraryOption, complaints, say, say_json
from cableroute.hardware.library import find_family, load_library
from cableroute.output.families import family_lines, table_lines


def stock(
    name: Annotated[
        str | None, typer.Argument(help="One family, with the source of each figure.")
    ] = None,
    library: LibraryOption = None,
    json: JsonOption = False,
) -> None:
    """Show the cable families, or one of them with the source of each figure."""
    with complaints():
        families = load_library(library or ())
        if name is not None:
            families = {name: find_family(name, families)}
    if json:
        say_json({key: family.model_dump(mode="json") for key, family in families.items()})
        return
    lines = family_lines(families[name]) if name else table_lines(families)
    for line in lines:
        say(line)
