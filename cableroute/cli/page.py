"""``cableroute page``: the whole job in a browser, here or on a phone in the same network."""

from __future__ import annotations

import sys
import webbrowser
from pathlib import Path
from threading import Thread
from typing import Annotated

import typer

from cableroute.cli.console import complain, complaints, say_aside
from cableroute.errors import CableRouteError
from cableroute.output.files import look_at, write_text
from cableroute.page.starters import KINDS, machine_text

LAN = """\
With --lan this page can be reached by everybody in the network of {host}. It is plain HTTP: who
can listen there can read the file and the code, and could change the file. Use it in a workshop's
own network only, and end it with Ctrl-C when done. The code below lets one browser in, once; the
next one follows when it is used."""


def page(
    file: Annotated[Path, typer.Argument(help="The route file (.toml); made if there is none.")],
    port: Annotated[
        int, typer.Option(metavar="N", min=0, max=65535, help="Port; a free one if not given.")
    ] = 0,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open a browser.")] = False,
    lan: Annotated[
        bool, typer.Option("--lan", help="Let a phone in the same network in, with a QR code.")
    ] = False,
) -> None:
    """Open a local page of a route file: its verdict, and every edit judged and saved at once.

    Prints its address alone on a line and answers until Ctrl-C. Every edit is saved at once.

    Exit status: 0 ended, 2 bad input or an address that cannot be had.
    """
    with complaints():
        if file.suffix.lower() != ".toml":
            raise CableRouteError(f"{file}: expected a route file, ending in .toml")
        look_at([file], force=True)
        if not file.exists():
            write_text(file, machine_text(file.stem, _kind()))
        _serve(file, port=port, lan=lan, opens=not no_open and not lan)


def _kind() -> str:
    """Ask what kind of cable a new file is about."""
    say_aside("What kind of cable is the first one?")
    for number, (name, words) in enumerate(KINDS.items(), start=1):
        say_aside(f"  {number}  {name}: {words}")
    answers = {str(number): name for number, name in enumerate(KINDS, start=1)}
    answers |= {name: name for name in KINDS}
    while True:
        if sys.stdin.isatty():
            say_aside("1, 2 or 3: ", nl=False)
        line = sys.stdin.readline()
        if not line:
            raise CableRouteError(f"expected the kind of cable: {', '.join(KINDS)}")
        if line.strip().lower() in answers:
            return answers[line.strip().lower()]
        complain(f"expected one of {', '.join(answers)}")


def _serve(file: Path, *, port: int, lan: bool, opens: bool) -> None:
    from cableroute.page.serve import LOOPBACK, Serving, lan_address

    host = lan_address() if lan else LOOPBACK
    serving = Serving(file, host=host, port=port, one_time=lan, on_new=_show_code)
    if lan:
        for line in LAN.format(host=host).splitlines():
            say_aside(line)
        _show_code(serving.address)

    def announce(address: str) -> None:
        sys.stdout.write(f"{address}\n")
        sys.stdout.flush()
        if opens:
            Thread(target=webbrowser.open, args=(serving.ticket,), daemon=True).start()

    serving.run(announce)


def _show_code(address: str) -> None:
    """Draw an address so that a phone can read it off the screen."""
    import segno

    segno.make(address, error="m").terminal(out=sys.stderr, compact=True)
    say_aside(address)
