"""The command line: parse, read, call, print, exit code."""

from __future__ import annotations

import os
import sys
from io import TextIOWrapper

import typer

from cableroute.cli.calibrate import calibrate
from cableroute.cli.check import check
from cableroute.cli.draw import draw_command
from cableroute.cli.export import export
from cableroute.cli.linkage import linkage_command
from cableroute.cli.new import new
from cableroute.cli.points import points
from cableroute.cli.schema import schema
from cableroute.cli.stock import stock
from cableroute.cli.suggest import suggest
from cableroute.cli.template import template

app = typer.Typer(
    name="cableroute",
    help="From tape-measure points to a verdict on a control cable: bends, force, buckling, "
    "the length to order. Begin with: cableroute new machine.toml",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
for command in (new, points, check, calibrate, suggest, template, export, stock, schema):
    app.command()(command)
app.command("draw")(draw_command)
app.command("linkage")(linkage_command)


@app.callback()
def _options() -> None:
    """Keep the commands as sub-commands however few there are."""


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a label may hold what it cannot show
    try:
        app()
    except OSError as error:
        # nothing more can be written, so what waits to be flushed goes nowhere
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.stderr.write(f"cableroute: cannot write the output: {error.strerror}\n")
        sys.exit(2)
